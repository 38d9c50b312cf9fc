"""Straights: their ids, their direction, their lengths, and chains that come back to themselves."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from layoutest.cover.covering import cover
from layoutest.layout.document import Settings

ROW = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0), "n10": (6000, 0)}


def test_ids_follow_the_smallest_leg_ids_numbers_as_numbers(sketch):
    nodes = {f"n{k}": (0, 1000 * k) for k in range(6)} | {f"m{k}": (500, 1000 * k) for k in range(6)}
    legs = {"l10": "n0 m0", "l2": "n1 m1", "a7": "n2 m2", "l1": "n3 m3", "l02": "n4 m4", "b": "n5 m5"}
    assert sketch(nodes, legs).straights() == {
        "s1": "a7",
        "s2": "b",
        "s3": "l1",
        "s4": "l02",
        "s5": "l2",
        "s6": "l10",
    }


@pytest.mark.parametrize(
    "legs",
    [
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n10"},
        {"l3": "n10 n3", "l2": "n3 n2", "l1": "n2 n1"},
        {"l2": "n2 n3", "l1": "n2 n1", "l3": "n10 n3"},
    ],
)
def test_a_straight_starts_at_its_end_node_with_the_smaller_id(sketch, legs):
    made = sketch(ROW, legs)
    straight = made.straight("s1")
    assert straight.nodes == ("n1", "n2", "n3", "n10")
    assert straight.offsets_mm == (0, 1000, 3000, 6000)
    assert straight.centre_line_mm == 6000
    assert straight.heading == (1, 0, 0)
    assert [leg.id for leg in straight.legs] == ["l1", "l2", "l3"]


def test_numbers_inside_node_ids_compare_as_numbers(sketch):
    made = sketch({"n10": (0, 0), "n9": (1000, 0)}, {"l1": "n10 n9"})
    assert made.straight("s1").nodes == ("n9", "n10")
    assert made.straight("s1").heading == (-1, 0, 0)


def test_a_nodes_id_inside_a_straight_does_not_turn_it(sketch):
    made = sketch({"n5": (0, 0), "n1": (1000, 0), "n3": (2000, 0)}, {"l1": "n5 n1", "l2": "n1 n3"})
    assert made.straight("s1").nodes == ("n3", "n1", "n5")


def test_a_measured_length_replaces_the_drawn_one(sketch):
    made = sketch(ROW, {"l1": "n1 n2", "l2": ("n3 n2", {"measured_mm": 2345}), "l3": "n3 n10"})
    straight = made.straight("s1")
    assert straight.offsets_mm == (0, 1000, 3345, 6345)
    assert straight.centre_line_mm == 6345
    assert straight.offset_mm("n3") == 3345
    held = {place: straight.leg_at(place).id for place in (-5, 999, 1000, 3344, 3345, 9999)}
    assert held == {-5: "l1", 999: "l1", 1000: "l2", 3344: "l2", 3345: "l3", 9999: "l3"}


def test_a_slanting_leg_is_as_long_as_it_is(sketch):
    made = sketch({"n1": (0, 0, 0), "n2": (2000, 3000, 6000)}, {"l1": "n1 n2"})
    assert made.straight("s1").centre_line_mm == 7000
    assert made.straight("s1").offsets_mm == (0, 7000)


def test_a_tee_does_not_break_the_through_pipe(sketch):
    nodes = {**ROW, "n4": (1000, 500), "n5": (3000, 0, 500)}
    made = sketch(nodes, {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n10", "l4": "n2 n4", "l5": "n3 n5"})
    assert made.straights() == {"s1": "l1 l2 l3", "s2": "l4", "s3": "l5"}


def test_loops_and_several_networks(sketch):
    square = {"n1": (0, 0), "n2": (1000, 0), "n3": (1000, 1000), "n4": (0, 1000)}
    far = {"n5": (9000, 0), "n6": (9000, 500)}
    made = sketch(square | far, {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n4 n1", "l5": "n5 n6"})
    assert made.straights() == {"s1": "l1", "s2": "l2", "s3": "l3", "s4": "l4", "s5": "l5"}
    assert [made.at(f"n{k}").kind for k in range(1, 7)] == ["bend"] * 4 + ["end"] * 2
    assert made.codes() == []


def test_legs_that_cross_in_view_but_not_in_space(sketch):
    nodes = {"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (1000, -1000, 300), "n4": (1000, 1000, 300)}
    made = sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4"})
    assert made.codes() == []
    assert [made.at(node).kind for node in nodes] == ["end"] * 4


# A round main of 90 legs: every turn, of 4°, is within the widest tolerance, so that it runs on and on.
ROUND = {f"n{k}": (round(20_000 * cos(radians(4 * k))), round(20_000 * sin(radians(4 * k)))) for k in range(90)}
WIDE = Settings(angle_tolerance_deg=5)


def ring(first, legs):
    return {f"l{k}": f"n{k} n{(k + 1) % 90}" for k in range(first, first + legs)}


def test_a_ring_without_any_bend(sketch):
    made = sketch(ROUND, ring(0, 90), settings=WIDE)
    straight = made.straight("s1")
    assert len(straight.legs) == 90
    assert (straight.nodes[0], straight.nodes[1], straight.nodes[-1]) == ("n0", "n1", "n0")
    assert straight.centre_line_mm == pytest.approx(90 * 2 * 20_000 * sin(radians(2)), abs=90)
    (run,) = cover(made.network).runs()
    assert run.covered_mm == straight.centre_line_mm


def test_a_ring_is_the_same_however_its_legs_are_stored(sketch):
    legs = ring(0, 90)
    turned = {name: " ".join(reversed(legs[name].split())) for name in reversed(legs)}
    assert (
        sketch(ROUND, legs, settings=WIDE).straight("s1").nodes
        == sketch(ROUND, turned, settings=WIDE).straight("s1").nodes
    )


def test_a_ring_that_begins_and_ends_at_one_bend(sketch):
    # The last legs of the ring before and behind n0 run on straight, and meet at n0 with a turn of 28°.
    nodes = {name: ROUND[name] for name in ROUND if name not in ("n1", "n2", "n88", "n89")} | {"n0": (20_600, 0)}
    legs = ring(3, 84) | {"l0": "n0 n3", "l87": "n87 n0"}
    made = sketch(nodes, legs, settings=WIDE)
    assert {made.at(node).kind for node in nodes if node != "n0"} == {"on"}
    assert made.at("n0").kind == "bend"
    assert made.at("n0").turn_deg == pytest.approx(28, abs=0.1)
    straight = made.straight("s1")
    assert (straight.nodes[:2], straight.nodes[-1], len(straight.legs)) == (("n0", "n3"), "n0", 86)
    (run,) = cover(made.network).runs()
    assert {end.cut for end in run.ends} == {"mitre"}
    turned = {name: " ".join(reversed(legs[name].split())) for name in reversed(legs)}
    assert sketch(nodes, turned, settings=WIDE).straight("s1").nodes == straight.nodes


def test_a_chain_that_ends_as_a_branch_of_itself(sketch):
    # A tail comes in from the south, 3.2° from it, and goes round: straighter into l0 than l89, which ends on it.
    made = sketch({**ROUND, "n90": (21_118, -20_000)}, {**ring(0, 90), "l90": "n90 n0"}, settings=WIDE)
    assert made.at("n0").kind == "tee"
    assert [branch.leg.id for branch in made.at("n0").branches] == ["l89"]
    straight = made.straight("s1")
    assert [leg.id for leg in straight.legs] == [*(f"l{k}" for k in range(89, -1, -1)), "l90"]
    assert (straight.nodes[0], straight.nodes[-1]) == ("n0", "n90")
    assert made.codes() == [("odd-angle", "l89", "n0")]
