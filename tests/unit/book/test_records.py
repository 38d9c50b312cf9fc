"""The lookups of a price book: bands, items of their own, rounding."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import permutations

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.book.records import ItemLength, LabourTime, Sundry


@pytest.fixture(scope="module")
def book():
    return read_book(example_book_folder())


def jacket(up_to_mm, item, price):
    return Sundry("jacket", up_to_mm, item, None, None, Decimal(price))


@pytest.mark.parametrize("order", list(permutations(range(3))))
@pytest.mark.parametrize(
    ("size_mm", "minutes"), [(22, 5), (60.3, 5), (60.300001, 7), (60.4, 7), (88.9, 7), (89, 9), (999, 9)]
)
def test_the_narrowest_band_that_serves_is_taken_in_any_order(book, order, size_mm, minutes):
    rows = [LabourTime("tee", up_to, Decimal(time)) for up_to, time in ((60.3, 5), (88.9, 7), (None, 9))]
    assert replace(book, labour=tuple(rows[place] for place in order)).minutes("tee", size_mm) == minutes


def test_where_no_band_serves_nothing_is_given(book):
    short = replace(
        book,
        labour=(LabourTime("tee", 60, Decimal(5)),),
        items=(ItemLength("valve", 60, 230),),
        sundries=(Sundry("insert", 140, "", None, None, Decimal(1)),),
    )
    assert short.minutes("tee", 76.1) is None
    assert short.minutes("jacket", 22) is None
    assert short.item_length_mm("valve", 76.1) is None
    assert short.item_length_mm("pump", 22) is None
    assert short.sundry("insert", 141) is None
    assert short.sundry("tape") is None


@pytest.mark.parametrize("order", list(permutations(range(3))))
@pytest.mark.parametrize(
    ("size_mm", "item", "price"),
    [(50, "pump", 40), (90, "pump", 30), (50, "valve", 20), (50, "", 20), (120, "valve", None)],
)
def test_a_jacket_for_the_very_item_goes_before_one_for_any(book, order, size_mm, item, price):
    rows = [jacket(60, "", 20), jacket(60, "pump", 40), jacket(None, "pump", 30)]
    found = replace(book, sundries=tuple(rows[place] for place in order)).sundry("jacket", size_mm, item)
    assert (found and found.price) == price


@pytest.mark.parametrize(
    ("kind", "outside_diameter_mm", "length_mm"),
    [("valve", 60.3, 230), ("valve", 61, 230), ("valve", 114.3, 350), ("valve", 400, 850), ("pump", 22, 180)],
)
def test_items_have_starting_lengths(book, kind, outside_diameter_mm, length_mm):
    # EN 558 face-to-face lengths of flanged valves, from memory; the pump is common practice, no source.
    assert book.item_length_mm(kind, outside_diameter_mm) == length_mm


def test_money_is_rounded_half_up(book):
    assert [str(book.money(Decimal(amount))) for amount in ("0.005", "0.0149", "2.675", "7")] == [
        "0.01",
        "0.01",
        "2.68",
        "7.00",
    ]
    assert str(replace(book, decimals=0).money(Decimal("0.5"))) == "1"
