"""What runs are called in the results, and what each of them carries."""

from __future__ import annotations

from itertools import pairwise

import pytest

from layoutest.cover.copies import copy_of, prefixes
from layoutest.layout.document import FittingChoice, Item


def header(draw, count, *, items=True):
    """A header of `count` legs of 1000 mm with a branch at each node between them, and a valve on each leg."""
    nodes = {f"n{number}": (1000 * number, 0) for number in range(count + 1)}
    legs = {f"l{number}": f"n{number - 1} n{number} tight" for number in range(1, count + 1)}
    for number in range(1, count):
        nodes[f"e{number}"] = (1000 * number, 900)
        legs[f"m{number}"] = f"n{number} e{number} slim"
    valves = {f"v{number}": Item(f"l{number}", 500, length_mm=100) for number in range(1, count + 1)}
    return draw(nodes, legs, items=valves if items else {})


def names(copy):
    return [named.name for named in copy.runs]


def test_runs_are_numbered_along_their_straight_and_pieces_round_their_bend(draw):
    drawn = draw(
        {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 1500)},
        {"l10": "n1 n2 long", "l9": "n2 n3 long"},
        items={"v1": Item("l10", 800, length_mm=100)},
    )
    copy = copy_of("riser#2:", drawn.covering)
    assert names(copy) == [
        "riser#2:s1.1",
        "riser#2:s2.1",
        "riser#2:s2.2",
        "riser#2:bend n2.1",
        "riser#2:bend n2.2",
    ]
    assert [named.run for named in copy.runs] == list(drawn.covering.runs())
    assert [named.source for named in copy.runs[-2:]] == ["riser#2:n2"] * 2
    assert copy.runs[0].source == "riser#2:s1.1"
    assert (copy.straight("l9"), copy.straight("l10")) == ("riser#2:s1", "riser#2:s2")


def test_numbers_in_names_count_as_numbers(draw):
    copy = copy_of("", header(draw, 12).covering)
    straights = list(dict.fromkeys(name.split(".")[0] for name in names(copy)))
    assert straights == [f"s{number}" for number in range(1, 13)]


@pytest.mark.parametrize("count", [3, 200])
def test_each_run_carries_the_hole_of_its_own_branch(draw, count):
    drawn = header(draw, count)
    along = [named for named in copy_of("", drawn.covering).runs if named.run.of == "l1"]
    assert [[hole.node for hole in named.holes] for named in along] == [
        [],
        *[[f"n{number}"] for number in range(1, count)],
        [],
    ]
    for named in along[1:-1]:
        assert named.holes[0].place_mm - named.run.from_mm == 450
    assert drawn.snags() == []


def test_a_hole_over_a_narrow_gap_is_carried_by_both_runs(draw):
    nodes = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0), "n4": (1000, 900)}
    legs = {"l1": "n1 n2 tight", "l2": "n2 n3 tight", "l3": "n2 n4 slim"}
    drawn = draw(nodes, legs, items={"v1": Item("l2", 15, "flange", 20)})
    assert [[hole.node for hole in named.holes] for named in copy_of("", drawn.covering).runs[:2]] == [["n2"], ["n2"]]


def test_the_supports_that_a_run_lies_over(draw):
    items = {
        "v1": Item("l1", 500, "support", 60, "through"),
        "v2": Item("l1", 1000, "valve", 200),
        "v3": Item("l1", 1500, "support", 60, "through"),
        "v4": Item("l1", 1700, "other", 60, "through"),
        "v5": Item("l1", 1800, "support", 60, "insert"),
    }
    copy = copy_of("", draw({"n1": (0, 0), "n2": (2000, 0)}, {"l1": "n1 n2 tight"}, items=items).covering)
    assert [named.supports for named in copy.runs] == [((470, 530),), ((1470, 1530),), ()]


def test_a_part_of_a_run_is_shared_out_to_the_legs_it_lies_on(draw):
    nodes = {"n1": (0, 0), "n2": (400, 0), "n3": (1000, 0), "n4": (3000, 0), "n5": (3000, 900)}
    legs = {"l1": "n1 n2 long", "l2": "n3 n2 long", "l3": "n3 n4 long", "l4": "n4 n5 long"}
    drawn = draw(nodes, legs, fittings={"n4": FittingChoice(cover="preformed")})
    named, other = copy_of("", drawn.covering).runs

    def shared(*part):
        return [(leg.id, length_mm) for leg, length_mm in named.legs_along(*part)]

    assert shared(0, 2800) == [("l1", 400), ("l2", 600), ("l3", 1800)]
    assert shared(399, 401) == [("l1", 1), ("l2", 1)]
    assert shared(400, 1000) == [("l2", 600)]
    assert shared(1000, 1001) == [("l3", 1)]
    assert shared(2799, 2900) == [("l3", 101)]
    assert [(leg.id, length_mm) for leg, length_mm in other.legs_along(10, 30)] == [("l4", 20)]


def test_the_last_leg_gets_what_is_rounded_up(draw):
    # √(1000² + 20²) = 1000.2 mm twice: 2000.4 mm, cut as 2001.
    drawn = draw({"n1": (0, 0), "n2": (1000, 20), "n3": (2000, 40)}, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    (named,) = copy_of("", drawn.covering).runs
    assert named.run.packed_mm == 2001
    assert [(leg.id, length_mm) for leg, length_mm in named.legs_along(0, 2001)] == [("l1", 1000), ("l2", 1001)]
    assert [(leg.id, length_mm) for leg, length_mm in named.legs_along(2000, 2001)] == [("l2", 1)]


def test_the_parts_of_a_run_on_its_legs_add_up(draw):
    along = copy_of("", header(draw, 60, items=False).covering).runs[0]
    cuts = [0, 1, 999, 1000, 1001, 33_333, 59_999, 60_000]
    for low_mm, high_mm in pairwise(cuts):
        parts = list(along.legs_along(low_mm, high_mm))
        assert sum(length_mm for _, length_mm in parts) == high_mm - low_mm
        assert [leg.id for leg, _ in parts] == [f"l{n}" for n in range(low_mm // 1000 + 1, (high_mm - 1) // 1000 + 2)]


def test_one_layout_built_once_has_no_prefix():
    assert prefixes(["riser"], [1]) == [[""]]


def test_prefixes_tell_layouts_and_copies_apart():
    assert prefixes(["flat"], [3]) == [["flat:", "flat#2:", "flat#3:"]]
    assert prefixes(["a", "b", "a"], [1, 2, 1]) == [["a:"], ["b:", "b#2:"], ["a(2):"]]
