"""The working: its rows add up to what is covered, and the tape of all legs to the tape that is priced."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import pi
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import NAMES, book, demo, exact

from layoutest.edit.assign import set_item, set_legs
from layoutest.edit.items import add_item
from layoutest.editor.working import working_of
from layoutest.layout.document import Item
from layoutest.live.live import live_of, with_plan

SIGN = {"": 1, "+": 1, "−": -1}


def sums(steps):
    """The figures before the covering added up, the covering, and the tape, as the rows tell them."""
    begin = next(number for number, step in enumerate(steps) if step.total)
    added = sum(SIGN[step.sign] * float(step.figure) for step in steps[:begin])
    tape = [float(step.figure) for step in steps if step.words == "tape"]
    return added, float(steps[begin].figure), tape[0]


@pytest.mark.parametrize("name", NAMES)
def test_every_working_adds_up_to_what_is_covered_and_all_of_them_to_the_tape(name):
    live = live_of(demo(name), book())
    for _ in range(2):
        tape_mm = 0.0
        for laid in live.covering.laid.values():
            steps = working_of(live, laid.straight.legs[0].id)
            if not laid.straight.spec.covered:
                assert steps == ()
                continue
            added, covered, tape = sums(steps)
            # Each figure is rounded to 0.1 mm.
            assert added == pytest.approx(covered, abs=0.05 * len(steps))
            assert covered == pytest.approx(sum(run.covered_mm for run in laid.runs), abs=0.0501)
            tape_mm += tape
        # Each straight is rounded to 0.1 mm, the tally to 1 mm.
        assert tape_mm == pytest.approx(live.tally.tape_mm, abs=0.5 + 0.05 * len(live.covering.laid))
        for problem in live.problems_to_pack():
            live = with_plan(live, exact(problem))


def test_the_first_five_minutes_in_words():
    """35 + 2 × 30 mm of covering: the joint round it is π × 95 = 298.5 mm, with 50 mm of overlap."""
    live = live_of(demo("first-five-minutes"), book())
    rows = [(step.words, step.sign, step.figure) for step in working_of(live, "l1")]
    assert rows[0] == ("leg l1, corner to corner", "", "3400.0")
    assert rows[1] == ("bend at n2, mitre of 45°", "−", "0.0")
    assert ("gap for v1", "−") in [row[:2] for row in rows]
    assert "2 runs of covering on s1" in [row[0] for row in rows]
    assert f"joints between them, 2 × ({pi * 95:.1f} + 50)" in [row[0] for row in rows]
    assert rows[-1][0] == "tape"


def test_a_taped_length_is_told_and_many_gaps_are_told_as_one():
    layout = set_legs(demo("first-five-minutes"), ("l1",), measured_mm=9000)
    items = {f"v{number}": Item("l1", 500 * number, "valve", 100) for number in range(1, 7)}
    live = live_of(replace(layout, items=MappingProxyType(items)), book())
    steps = working_of(live, "l1")
    assert (steps[0].words, steps[0].figure) == ("leg l1, as taped", "9000.0")
    assert "gaps for 6 items" in [step.words for step in steps]
    added, covered, _ = sums(steps)
    assert added == pytest.approx(covered, abs=0.5)


@pytest.mark.parametrize("at_mm", [200, 230, 3200])
def test_an_item_at_an_end_is_a_gap_there(at_mm):
    layout, item = add_item(demo("first-five-minutes"), "l1", at_mm, "pump")
    live = live_of(set_item(layout, item, length_mm=400), book())
    steps = working_of(live, "l1")
    assert f"gap for {item}" in [step.words for step in steps]
    added, covered, _ = sums(steps)
    assert added == pytest.approx(covered, abs=0.5)


def test_a_straight_that_an_item_takes_whole_still_adds_up():
    layout, item = add_item(demo("first-five-minutes"), "l2", 1100, "pump")
    live = live_of(set_item(layout, item, length_mm=2200), book())
    added, covered, _ = sums(working_of(live, "l2"))
    assert covered == 0
    assert added == pytest.approx(0, abs=0.5)


def test_a_straight_too_short_for_its_ends_says_by_how_much():
    """Steel DN50 has elbows of 76 mm (ASME B16.9, 2 in long radius); two of them take more than 100 mm."""
    bends = demo("teaching-short")
    nodes = {
        **bends.nodes,
        "n3": bends.nodes["n2"]._replace(y_mm=60),
        "n4": bends.nodes["n2"]._replace(x_mm=9000, y_mm=60),
    }
    legs = {**bends.legs, "l3": replace(bends.legs["l2"], start="n3", end="n4")}
    live = live_of(replace(bends, nodes=MappingProxyType(nodes), legs=MappingProxyType(legs)), book())
    steps = working_of(live, "l2")
    added, covered, _ = sums(steps)
    assert covered == 0
    assert added == pytest.approx(0, abs=0.2)
    assert "too short by" in [step.words for step in steps]


def test_a_leg_that_is_bare_left_out_or_gone_has_no_working():
    layout = set_legs(demo("first-five-minutes"), ("l1",), covered=False)
    layout = set_legs(layout, ("l2",), pipe="no such pipe")
    live = live_of(layout, book())
    for leg in ("l1", "l2", "l99"):
        assert working_of(live, leg) == ()
