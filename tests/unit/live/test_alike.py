"""Changes are told of like plans."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.edit.assign import set_length
from layoutest.files.layout_read import read_layout
from layoutest.live.alike import compared, quickened
from layoutest.live.live import live_of, with_plans
from layoutest.pack.plan import pack

DEMO = Path(__file__).parents[3] / "demo_layouts" / "plant-room.layout.json"


@pytest.fixture(scope="module")
def room():
    """The demo packed by the packer, and the same with one leg longer, packed quickly where that changed it."""
    book, layout = read_book(example_book_folder()), read_layout(DEMO).layout
    quick = live_of(layout, book)
    packed = with_plans(quick, [pack(problem) for problem in quick.problems_to_pack()])
    edited = live_of(set_length(layout, "l28", 1700), book, packed)
    return quick, packed, edited


def test_what_only_the_packer_made_better_is_no_change(room):
    quick, packed, _ = room
    told = compared(quick, packed)
    assert told.before == told.after == quick.tally
    assert not told.sections


def test_a_quick_plan_is_compared_with_a_quick_one(room):
    quick, packed, edited = room
    again = live_of(edited.layout, edited.book, quick)
    told, both_quick = compared(packed, edited), compared(quick, again)
    # Of the stocks that nothing changed one pair is the packer's, the other quick: lines are rounded otherwise.
    pence = abs((told.after.net - told.before.net) - (both_quick.after.net - both_quick.before.net))
    assert pence <= Decimal("0.01") * len(packed.stocks)
    assert told.after == edited.tally
    assert told.sections == both_quick.sections


def test_packed_plans_are_compared_as_they_are(room):
    _, packed, edited = room
    exact = with_plans(edited, [pack(problem) for problem in edited.problems_to_pack()])
    told = compared(packed, exact)
    assert (told.before, told.after) == (packed.tally, exact.tally)


def test_a_quick_plan_is_found_again(room):
    quick, packed, _ = room
    for key, stock in packed.stocks.items():
        assert quickened(stock).batches == quick.stocks[key].batches
