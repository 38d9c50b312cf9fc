"""What stands at a node of one or two legs, row by row as the derivation is laid down."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import pytest

from layoutest.layout.document import Service, Settings
from layoutest.network.findings import network_snags

EAST, WEST, NORTH, UP = (2000, 0, 0), (-2000, 0, 0), (0, 2000, 0), (0, 0, 2000)


def test_an_end(star):
    made = star((EAST,))
    assert made.at("n0").kind == made.at("n1").kind == "end"
    assert made.at("n0").straights == ("l1",)
    assert made.codes() == []


@pytest.mark.parametrize("arms", [(EAST, WEST), (UP, (0, 0, -500)), ((300, 400, 0), (-600, -800, 0))])
def test_a_continuation(star, arms):
    made = star(*((arm,) for arm in arms))
    assert made.at("n0").kind == "on"
    assert made.straights() == {"s1": "l1 l2"}
    assert made.codes() == []


def test_legs_that_reach_the_same_covering_in_different_ways_are_alike(star):
    own = {"covering": "stone-wool-foil", "thickness_mm": 40}
    assert star((EAST,), (WEST, "mid", own)).at("n0").kind == "on"


def test_area_and_access_make_no_difference(star):
    own = {"area": "roof", "access": "ladder", "measured_mm": 1234}
    made = star((EAST,), (WEST, "mid", own))
    assert made.at("n0").kind == "on"
    assert made.straight("s1").centre_line_mm == 2000 + 1234


@pytest.mark.parametrize(
    ("one", "other", "kind", "larger"),
    [
        pytest.param(("small",), ("mid",), "reducer", "l2", id="outside diameter"),
        pytest.param(("mid",), ("mid two",), "reducer", "l1", id="another pipe of the same size: smaller leg id"),
        pytest.param(("mid",), ("mid", {"service": "HR"}), "change", "l1", id="service: smaller leg id"),
        pytest.param(("mid",), ("mid", {"thickness_mm": 50}), "change", "l2", id="thickness: covered diameter"),
        pytest.param(("mid", {"covered": False}), ("mid",), "change", "l2", id="covered before bare"),
        pytest.param(("big", {"covered": False}), ("small",), "reducer", "l2", id="covered before a larger bare pipe"),
        pytest.param(("small", {"thickness_mm": 80}), ("mid",), "reducer", "l2", id="outside before covered diameter"),
        pytest.param(("mid", {"service": "HR"}), ("big",), "reducer", "l2", id="pipe and service: a reducer"),
    ],
)
def test_a_step_in_line(star, one, other, kind, larger):
    made = star((EAST, *one), (WEST, *other))
    junction = made.at("n0")
    assert (junction.kind, junction.legs[0].id, junction.straights[0]) == (kind, larger, larger)
    assert made.straights() == {"s1": "l1", "s2": "l2"}
    assert junction.branches == ()


def test_another_covering_is_a_change(star, book):
    glass = {("glass-wool", bore, thick): size for (_, bore, thick), size in book.sections.items()}
    both = replace(book, sections={**book.sections, **glass})
    made = star((EAST,), (WEST, "mid", {"covering": "glass-wool"}), book=both)
    assert made.at("n0").kind == "change"


def test_bare_legs_are_alike_whatever_covering_they_would_have(star):
    bare, thick = {"covered": False}, {"covered": False, "thickness_mm": 80}
    assert star((EAST, "mid", bare), (WEST, "mid", thick)).at("n0").kind == "on"


def test_between_equals_the_straight_with_the_smaller_leg_id_is_the_larger(sketch):
    # At n2 meet l5 and l3; but l5 belongs to the straight of l1.
    nodes = {"n0": (0, 0), "n1": (1000, 0), "n2": (2000, 0), "n3": (3000, 0)}
    other = {"service": "HR"}
    made = sketch(nodes, {"l1": "n0 n1", "l5": "n1 n2", "l3": ("n2 n3", other)})
    assert made.at("n2").straights == ("l1", "l3")
    assert made.at("n2").legs[0].id == "l5"


# 10,000 mm long, a leg whose end is 87 mm beside the line is off by 0.498°, and 88 mm beside it by 0.504°.
@pytest.mark.parametrize("aside", [(0, 87, 0), (0, -87, 0), (0, 0, 87)])
def test_within_the_tolerance_of_straight_on(star, aside):
    made = star(((10_000, 0, 0),), ((-10_000, *aside[1:]),))
    assert made.at("n0").kind == "on"


@pytest.mark.parametrize("aside", [(0, 88, 0), (0, -88, 0), (0, 0, 88)])
def test_beyond_the_tolerance_of_straight_on(star, aside):
    made = star(((10_000, 0, 0),), ((-10_000, *aside[1:]),))
    assert made.at("n0").kind == "bend"
    assert made.at("n0").turn_deg == pytest.approx(degrees(atan2(88, 10_000)))


@pytest.mark.parametrize(("across", "turn"), [(87, 90), (-87, 90), (88, 90.504), (-88, 89.496)])
def test_within_the_tolerance_of_a_right_angle(star, across, turn):
    made = star(((10_000, 0, 0),), ((across, 10_000, 0),))
    # An arm that leans towards the other one turns more.
    assert made.at("n0").turn_deg == (90 if turn == 90 else pytest.approx(turn, abs=1e-3))


@pytest.mark.parametrize(("tolerance", "kind"), [(0.6, "on"), (0.5, "bend")])
def test_the_tolerance_is_a_setting(star, tolerance, kind):
    made = star(((10_000, 0, 0),), ((-10_000, 88, 0),), settings=Settings(angle_tolerance_deg=tolerance))
    assert made.at("n0").kind == kind


@pytest.mark.parametrize("step", [(1, 2, 0), (3, 7, 11), (-13, 5, 2), (1, 0, 97)])
@pytest.mark.parametrize("times", [3, 7, 10])
def test_what_is_exact_on_paper_needs_no_tolerance(star, step, times):
    exact = Settings(angle_tolerance_deg=0)
    on = star((tuple(100 * a for a in step),), (tuple(-100 * times * a for a in step),), settings=exact)
    assert on.at("n0").kind == "on"
    square = (-step[1], step[0], 0)
    bend = star((tuple(100 * a for a in step),), (tuple(100 * times * a for a in square),), settings=exact)
    assert bend.at("n0").turn_deg == 90


@pytest.mark.parametrize(
    ("place", "turn"),
    [((1000, 1000, 0), 135), ((-1000, 1000, 0), 45), ((0, 0, 700), 90), ((-1000, 0, 1000), 45), ((0, -900, 0), 90)],
)
def test_a_bend_of_any_angle(star, place, turn):
    made = star((EAST,), (place,))
    assert made.at("n0").kind == "bend"
    assert made.at("n0").turn_deg == pytest.approx(turn)
    assert made.straights() == {"s1": "l1", "s2": "l2"}


def test_a_bend_of_unlike_legs_is_one_of_the_larger(star):
    made = star((EAST, "small"), (NORTH, "mid"))
    assert made.at("n0").kind == "bend"
    assert [leg.id for leg in made.at("n0").legs] == ["l2", "l1"]
    snag = made.only("unlike-at-bend")
    assert (snag.severity, snag.where) == ("note", ("l1", "l2", "n0"))
    assert snag.says == (
        "Legs that differ in pipe meet at a bend: it is covered as the larger, mid, stone-wool-foil 60x40."
    )
    assert snag.do == "Check that this is meant; else put the change into a straight."


def test_a_bend_between_services_is_told_once(star):
    made = star((EAST,), (NORTH, "mid", {"service": "HR", "thickness_mm": 50}))
    assert made.codes() == [("unlike-at-bend", "l1", "l2", "n0")]
    assert "differ in service and thickness meet" in made.only("unlike-at-bend").says


def test_a_bend_of_a_covered_and_a_bare_leg(star):
    made = star((EAST, "big", {"covered": False}), (NORTH, "mid"))
    assert [leg.id for leg in made.at("n0").legs] == ["l2", "l1"]
    assert made.codes() == [("unlike-at-bend", "l1", "l2", "n0")]
    assert made.only("unlike-at-bend").says == (
        "A covered and a bare leg meet at a bend: the covering of l2 ends square at node n0."
    )


def test_a_bend_of_unlike_bare_legs(star):
    bare = {"covered": False}
    made = star((EAST, "big", bare), (NORTH, "mid", {**bare, "service": "HR"}))
    assert made.codes() == [("unlike-at-bend", "l1", "l2", "n0")]
    assert made.only("unlike-at-bend").says == "Bare legs that differ in pipe and service meet at a bend."


def test_a_bend_of_a_covered_and_a_bare_leg_of_another_service(star):
    made = star((EAST,), (NORTH, "mid", {"covered": False, "service": "HR"}))
    assert made.codes() == [("unlike-at-bend", "l1", "l2", "n0"), ("services-meet", "l1", "l2", "n0")]


# A leg of 1000 mm back towards the first one: 1000·tan(29°) = 554 mm and 1000·tan(31°) = 601 mm beside it. At 563 mm
# the turn is 150.62°, and at 570 mm, 150.32°: that is 150° within the tolerance.
@pytest.mark.parametrize(
    ("aside", "code", "says"),
    [
        (554, "folded-back", "The pipe turns back on itself by 151°."),
        (563, "folded-back", "The pipe turns back on itself by 151°."),
        (570, "odd-angle", "A turn of 150° has no stock elbow."),
        (601, "odd-angle", "A turn of 149° has no stock elbow."),
    ],
)
def test_a_turn_that_makes_little_sense(star, aside, code, says):
    made = star((EAST,), ((1000, aside, 0),))
    assert made.codes() == [(code, "l1", "l2", "n0")]
    assert made.only(code).says == says


def test_a_bare_pipe_that_folds_back(star):
    bare = {"covered": False}
    made = star((EAST, "mid", bare), ((1000, 500, 0), "mid", bare))
    assert made.only("folded-back").severity == "warning"


# 1000 mm long, a leg leaning back by 1.2° is 21 mm beside the square; by 0.9° it is 16 mm.
@pytest.mark.parametrize(("back", "codes"), [(21, [("odd-angle", "l1", "l2", "n0")]), (16, []), (0, [])])
def test_a_turn_over_91_degrees(star, back, codes):
    made = star((EAST,), ((back, 1000, 0),))
    assert made.codes() == codes


def test_services_that_meet_in_line(star):
    made = star((EAST,), (WEST, "mid", {"service": "HR"}))
    snag = made.only("services-meet")
    assert (snag.severity, snag.where) == ("note", ("l1", "l2", "n0"))
    assert snag.says == "Services HF and HR meet at node n0."
    assert snag.do == "Check that they are meant to be joined."


def test_a_stray_node(sketch):
    made = sketch({"n1": (0, 0), "n2": (1000, 0), "n10": (0, 5000), "n9": (0, 6000)}, {"l1": "n1 n2"})
    strays = network_snags(made.network)
    assert [(snag.code, snag.severity, snag.where, snag.says) for snag in strays] == [
        ("stray-node", "warning", ("n9",), "No leg ends at node n9."),
        ("stray-node", "warning", ("n10",), "No leg ends at node n10."),
    ]
    assert strays[0].do == "Delete it, or draw a leg to it."


def test_the_node_of_a_leg_left_out_is_told_by_that_leg(sketch):
    made = sketch({"n1": (0, 0), "n2": (1000, 0), "n3": (2000, 0)}, {"l1": "n1 n2", "l2": "n2 n3 lead"})
    assert made.codes() == [("unknown-pipe", "l2")]
    assert made.at("n2").kind == "end"
    assert "n3" not in made.network.junctions


def test_a_leg_left_out_is_left_out_before_derivation(star):
    # Without its unknown service l3 would be a branch.
    made = star((EAST,), (WEST,), (NORTH, "mid", {"service": "LTHW"}))
    assert made.at("n0").kind == "on"
    assert made.codes() == [("unknown-service", "l3")]


def test_ids_of_many_services_are_told_in_order(star):
    one = Service(covering="stone-wool-foil", thickness_mm=40)
    made = star((EAST, "mid", {"service": "S10"}), (WEST, "mid", {"service": "S9"}), services={"S9": one, "S10": one})
    assert made.only("services-meet").says == "Services S9 and S10 meet at node n0."
