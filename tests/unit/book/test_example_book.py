"""The invented example book: it reads, says that it is invented, and holds what scripts may rely on."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from itertools import pairwise
from typing import get_args

import pytest

from layoutest.book.contents import ITEM_KINDS, PURPOSES
from layoutest.book.reader import example_book_folder, read_book
from layoutest.book.records import SundryKind, Work
from layoutest.layout.document import ItemKind

BORES_MM = (
    15,
    18,
    22,
    28,
    35,
    42,
    48,
    54,
    60,
    67,
    76,
    89,
    102,
    108,
    114,
    127,
    133,
    140,
    159,
    168,
    194,
    219,
    245,
    273,
    324,
)
THICKNESSES_MM = (20, 25, 30, 40, 50, 60, 75, 80, 100)


@pytest.fixture(scope="module")
def book():
    return read_book(example_book_folder())


def test_it_says_that_it_is_invented(book):
    assert book.invented
    assert book.name == "Invented example prices"
    assert dt.date.fromisoformat(book.date)
    assert (book.currency, book.decimals, book.folder) == ("GBP", 2, str(example_book_folder()))


@pytest.mark.parametrize("name", PURPOSES)
def test_every_file_begins_by_saying_so_and_how_it_is_edited(name):
    comments = (example_book_folder() / name).read_text(encoding="utf-8").splitlines()[:3]
    assert comments[0].startswith("# All of this price book is invented")
    assert any(line.startswith("# How to edit: ") for line in comments)


def test_it_has_every_bore_in_every_thickness_and_nothing_else(book):
    assert set(book.sections) == {("stone-wool-foil", bore, thick) for bore in BORES_MM for thick in THICKNESSES_MM}
    assert book.bores_mm("stone-wool-foil") == BORES_MM
    assert all(book.thicknesses_mm("stone-wool-foil", bore) == THICKNESSES_MM for bore in BORES_MM)
    assert book.bores_mm("glass-wool") == ()
    assert {row.length_mm for row in book.sections.values()} == {1000}
    assert not any(row.whole_cartons for row in book.sections.values())
    assert all(row.per_carton for row in book.sections.values())


def test_prices_rise_with_thickness_and_with_bore(book):
    price = {(bore, thick): row.price for (_, bore, thick), row in book.sections.items()}
    assert price[60, 40] == Decimal("6.10")
    assert all(price[bore, thin] < price[bore, thick] for bore in BORES_MM for thin, thick in pairwise(THICKNESSES_MM))
    assert all(
        price[small, thick] < price[large, thick] for thick in THICKNESSES_MM for small, large in pairwise(BORES_MM)
    )


def test_it_prices_everything_for_a_pipe_of_any_size(book):
    for kind in get_args(SundryKind):
        assert book.sundry(kind, 5000).price
    for work in get_args(Work):
        assert book.minutes(work, 12) < book.minutes(work, 5000)
    for kind in ITEM_KINDS:
        assert book.item_length_mm(kind, 12) < book.item_length_mm(kind, 5000)


def test_it_names_the_kinds_of_item_that_a_layout_has():
    assert get_args(ItemKind) == ITEM_KINDS


def test_its_roll_of_tape_divides_into_metres(book):
    tape = book.sundry("tape")
    assert (tape.width_mm, tape.roll_m, tape.price) == (75, 50, Decimal("9.50"))
    assert book.money(tape.price / tape.roll_m) == tape.price / tape.roll_m


def test_its_covering_is_complete(book):
    covering = book.coverings["stone-wool-foil"]
    assert list(book.coverings) == ["stone-wool-foil"]
    assert (covering.euroclass, covering.standard) == ("A2L-s1,d0", "EN 14303")
    assert (covering.metal_facing, covering.vapour_barrier) == (True, True)
    # Source: Thermal Insulation Handbook (April 2001), southern African trade association, stone wool of 100 kg/m3.
    assert {(10.0, 0.033), (50.0, 0.037), (200.0, 0.064)} <= set(covering.conductivity)
    # Source: ISO 12241, emissivity of aluminium bright rolled and oxidised; from memory.
    assert (covering.emissivity_bright, covering.emissivity_aged) == (0.05, 0.13)


def test_it_holds_no_van_stock_and_no_lines_of_an_estimator(book):
    assert book.stock == book.extras == ()


def test_it_knows_hard_access(book):
    assert {"ladder", "scaffold", "above 3 m", "crawlway"} <= set(book.access)
    assert all(factor > 1 for factor in book.access.values())
