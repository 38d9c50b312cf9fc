"""What must be true of the estimate of any layout."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import DIRECTIONS, layouts, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.files.estimate_record import estimate_record, estimate_text
from layoutest.job import Source, estimate_job
from layoutest.layout.document import Node

BOOK = read_book(example_book_folder())


def estimated(layout, book=BOOK):
    return estimate_job([Source("a.layout.json", "", layout)], book)


def figures(estimate):
    """Everything counted, by size and cause, without ids."""
    record = estimate_record(estimate)
    lines = sorted((line["what"], line["cause"], line["quantity"], line["rate"]) for line in record["cost"]["lines"])
    packing = [(pack["stock"], pack["sections"], pack["joints"], pack["cost"]) for pack in record["packing"]]
    return record["counts"], packing, lines, record["cost"]["known"], sorted(snag["code"] for snag in record["snags"])


def moved(layout, turn):
    return replace(layout, nodes=MappingProxyType({name: Node(*turn(*node)) for name, node in layout.nodes.items()}))


drawn = networks(directions=tuple(DIRECTIONS))


@given(drawn, st.randoms(use_true_random=False))
def test_the_order_of_records_changes_nothing(layout, random):
    def shuffled(table):
        entries = list(table.items())
        random.shuffle(entries)
        return MappingProxyType(dict(entries))

    other = replace(layout, nodes=shuffled(layout.nodes), legs=shuffled(layout.legs), items=shuffled(layout.items))
    assert estimate_text(estimated(other)) == estimate_text(estimated(layout))


@given(drawn)
def test_legs_drawn_from_the_other_end_change_nothing(layout):
    def item(item):
        leg = layout.legs[item.leg]
        length = sum((a - b) ** 2 for a, b in zip(layout.nodes[leg.start], layout.nodes[leg.end], strict=True)) ** 0.5
        return replace(item, at_mm=round(length) - item.at_mm) if length == round(length) else None

    kept = {name: turned for name, one in layout.items.items() if (turned := item(one))}
    layout = replace(layout, items=MappingProxyType({name: layout.items[name] for name in kept}))
    legs = {name: replace(leg, start=leg.end, end=leg.start) for name, leg in layout.legs.items()}
    other = replace(layout, legs=MappingProxyType(legs), items=MappingProxyType(kept))
    assert figures(estimated(other)) == figures(estimated(layout))


@given(drawn, st.tuples(*[st.integers(-5000, 5000)] * 3))
def test_moving_changes_nothing(layout, by):
    other = moved(layout, lambda x, y, level: (x + by[0], y + by[1], level + by[2]))
    assert figures(estimated(other)) == figures(estimated(layout))


@given(drawn)
def test_a_quarter_turn_changes_no_quantity(layout):
    assert figures(estimated(moved(layout, lambda x, y, level: (-y, x, level)))) == figures(estimated(layout))


@given(drawn)
def test_mirroring_changes_no_quantity_but_the_hand_of_twists(layout):
    before, after = estimated(layout), estimated(moved(layout, lambda x, y, level: (-x, y, level)))
    assert figures(after) == figures(before)

    def twists(estimate, sign):
        found = [run["twist_deg"] for run in estimate_record(estimate)["runs"]]
        return [None if twist is None else twist if abs(twist) == 180 else sign * twist + 0.0 for twist in found]

    assert twists(after, 1) == twists(before, -1)


@given(networks(items=False), st.data())
def test_splitting_a_leg_changes_no_quantity(layout, data):
    name = data.draw(st.sampled_from(sorted(layout.legs)))
    leg = layout.legs[name]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    middle = Node(*((a + b) // 2 for a, b in zip(start, end, strict=True)))
    legs = {**layout.legs, name: replace(leg, end="n99"), "l99": replace(leg, start="n99")}
    other = replace(layout, nodes=MappingProxyType({**layout.nodes, "n99": middle}), legs=MappingProxyType(legs))
    assert figures(estimated(other)) == figures(estimated(layout))


@given(drawn)
def test_every_run_is_covered_once_and_every_millimetre_accounted_for(layout):
    record = estimate_record(estimated(layout))
    laid = {}
    for packing in record["packing"]:
        for cut in packing["cuts"]:
            used = sum(piece["length_mm"] for piece in cut["pieces"])
            waste = cut["wedge_mm"] + cut["kerf_mm"] + cut["offcut_mm"] + cut["scrap_mm"]
            assert used + waste == cut["length_mm"]
            for piece in cut["pieces"]:
                laid.setdefault(piece["run"], []).append((piece["run_from_mm"], piece["length_mm"]))
    assert set(laid) == {run["id"] for run in record["runs"]}
    for run in record["runs"]:
        at = 0
        for start, length in sorted(laid[run["id"]]):
            assert start == at
            at += length
        assert at == run["packed_mm"]
        assert -0.0105 <= run["packed_mm"] - run["covered_mm"] < 0.9905


@given(drawn)
def test_lines_add_up_to_the_penny(layout):
    estimate = estimated(layout)
    record = estimate_record(estimate)
    cost = record["cost"]
    for line in cost["lines"]:
        assert BOOK.money(Decimal(line["quantity"]) * Decimal(line["rate"])) == Decimal(line["amount"])
    assert sum(Decimal(line["amount"]) for line in cost["lines"]) == Decimal(cost["known"])
    if record["complete"]:
        assert Decimal(cost["net"]) == Decimal(cost["known"])
        assert Decimal(cost["vat"]) == BOOK.money(Decimal(cost["net"]) * BOOK.vat_percent / 100)
        assert Decimal(cost["net"]) + Decimal(cost["vat"]) == Decimal(cost["total"])
    for packing in record["packing"]:
        name = f"Sections {packing['stock']}"
        lines = [line for line in cost["lines"] if line["what"].startswith(name)]
        assert sum(Decimal(line["quantity"]) for line in lines if line["unit"] == "nr") == packing["sections"]
        paid = sum(Decimal(line["amount"]) for line in lines)
        assert paid == packing["sections"] * Decimal(packing["section_price"])


@given(drawn)
def test_incomplete_looks_incomplete(layout):
    record = estimate_record(estimated(layout))
    errors = [snag for snag in record["snags"] if snag["severity"] == "error"]
    assert record["complete"] == (not errors and not record["left_out"])
    if not record["complete"]:
        assert record["cost"]["net"] is record["cost"]["vat"] is record["cost"]["total"] is None


@settings(max_examples=300)
@given(layouts())
def test_whatever_can_be_read_can_be_estimated(layout):
    assert json.loads(estimate_text(estimated(layout)))["format"] == "layoutest-estimate"
