"""Joints with their taped lengths, end seals, and which fittings count."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from layoutest.cover.curves import hole_point_mm
from layoutest.cover.perimeters import saddle_perimeter_mm
from layoutest.layout.document import FittingChoice, Item

CORNER = {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 1500)}
TEE = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0), "n4": (2000, 1500)}
LINE = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0)}
THROUGH = {"l1": "n1 n2 tight", "l2": "n2 n3 tight"}


@pytest.mark.parametrize(
    ("pipe", "choice", "joint"),
    [
        # The lengths for D 110 mm and for a branch of 72 mm on a main of 194 mm were worked out beforehand; no source.
        ("tight", None, ("mitre", 1, 420.2)),
        ("long", FittingChoice(mitres=2), ("mitre", 2, 360.0)),
        ("long", FittingChoice(cover="preformed"), ("square", 2, 345.6)),
    ],
)
def test_the_joints_of_a_bend(draw, pipe, choice, joint):
    fittings = {"n2": choice} if choice else {}
    drawn = draw(CORNER, {"l1": f"n1 n2 {pipe}", "l2": f"n2 n3 {pipe}"}, fittings=fittings)
    assert drawn.joints() == [("n2", *joint)]
    assert drawn.fittings() == [("n1", "end"), ("n2", "bend"), ("n3", "end")]
    assert drawn.seals() == ["n1", "n3"]


def test_the_joint_of_a_notch(draw):
    drawn = draw(TEE, {**THROUGH, "l3": "n2 n4 tight"})
    assert drawn.joints() == [("n2", "notch", 1, 420.2)]
    (tee,) = drawn.made("n2").fittings
    assert (tee.kind, tee.straights, tee.angle_deg, tee.cut) == ("tee", ("l1", "l3"), 90, "notch")


def test_the_joint_of_a_saddle(draw, make_leg):
    wide = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    drawn = draw(TEE, {**wide, "l3": "n2 n4 slim"})
    assert drawn.joints() == [("n2", "saddle", 1, 228.3)]
    assert drawn.made("n2").fittings[0].cut == "saddle"


def test_a_bend_of_two_sizes_is_taped_round_the_larger(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 slim", "l2": "n2 n3 tight"})
    assert drawn.joints() == [("n2", "mitre", 1, 420.2)]
    (bend,) = drawn.made("n2").fittings
    assert (bend.straights, bend.leg.id) == (("l2", "l1"), "l2")


def test_every_branch_of_a_cross_has_its_joint(draw):
    drawn = draw({**TEE, "n5": (2000, -1500)}, {**THROUGH, "l3": "n2 n4 tight", "l4": "n2 n5 slim"})
    saddle = round(saddle_perimeter_mm(55, 36, 90), 1)
    assert drawn.joints() == [("n2", "notch", 1, 420.2), ("n2", "saddle", 1, saddle)]
    assert [kind for _, kind in drawn.fittings()].count("tee") == 2


@pytest.mark.parametrize(
    ("thickness_mm", "other_mm", "seals"),
    [(25, 30, 0), (25, 20, 0), (25, 40, 1), (40, 25, 1)],  # D 110 and 120, 100, 140
)
def test_a_step_of_over_ten_millimetres_is_sealed(draw, make_leg, thickness_mm, other_mm, seals):
    legs = {
        "l1": make_leg("n1 n2 tight", thickness_mm=thickness_mm),
        "l2": make_leg("n2 n3 tight", thickness_mm=other_mm),
    }
    drawn = draw(LINE, legs)
    larger_mm = 60 + 2 * max(thickness_mm, other_mm)
    assert drawn.joints() == [("n2", "square", 1, round(larger_mm * pi, 1))]
    assert drawn.seals() == ["n1", *["n2"] * seals, "n3"]


def test_a_reducer_is_taped_round_the_larger_covering_even_on_the_smaller_pipe(draw, make_leg):
    drawn = draw(LINE, {"l1": "n1 n2 tight", "l2": make_leg("n2 n3 slim", thickness_mm=60)})
    assert drawn.joints() == [("n2", "square", 1, round(142 * pi, 1))]
    (reducer,) = drawn.made("n2").fittings
    assert (reducer.kind, reducer.straights) == ("reducer", ("l1", "l2"))


def test_a_change_of_service(draw):
    drawn = draw(LINE, THROUGH)
    legs = dict(drawn.layout.legs)
    services = {**drawn.layout.services, "T": drawn.layout.services["S"]}
    changed = replace(drawn.layout, legs={**legs, "l2": replace(legs["l2"], service="T")}, services=services)
    again = type(drawn)(changed, drawn.chosen.book)
    assert ("n2", "change") in again.fittings()
    assert again.joints() == [("n2", "square", 1, 345.6)]
    assert again.seals() == ["n1", "n3"]


def test_where_the_covering_stops_against_bare_pipe(draw, make_leg):
    drawn = draw(LINE, {"l1": "n1 n2 tight", "l2": make_leg("n2 n3 tight", covered=False)})
    assert drawn.joints() == []
    assert drawn.fittings() == [("n1", "end")]
    assert drawn.seals() == ["n1", "n2"]
    assert drawn.run("l1").covered_mm == 2000


def test_a_branch_of_a_bare_main_ends_square_with_a_seal(draw, make_leg):
    bare = {name: make_leg(text, covered=False) for name, text in THROUGH.items()}
    drawn = draw(TEE, {**bare, "l3": "n2 n4 tight"})
    assert drawn.run("l3").ends[0].cut == "square"
    assert drawn.run("l3").covered_mm == 1500
    assert drawn.joints() == []
    assert drawn.fittings() == [("n4", "end")]
    assert drawn.seals() == ["n2", "n4"]


def test_a_bare_branch_cuts_no_notch(draw, make_leg):
    drawn = draw(TEE, {**THROUGH, "l3": make_leg("n2 n4 tight", covered=False)})
    assert drawn.joints() == []
    assert drawn.fittings() == [("n1", "end"), ("n3", "end")]
    assert drawn.covering.holes() == {}
    assert drawn.seals() == ["n1", "n3"]


def test_a_reducing_tee_counts_as_its_tees_and_a_reducer(draw):
    drawn = draw(TEE, {"l1": "n1 n2 tight", "l2": "n2 n3 slim", "l3": "n2 n4 tight"})
    assert drawn.joints() == [("n2", "notch", 1, 420.2), ("n2", "square", 1, 345.6)]
    kinds = [(fitting.kind, fitting.straights) for fitting in drawn.made("n2").fittings]
    assert sorted(kinds) == [("reducer", ("l1", "l2")), ("tee", ("l1", "l3"))]
    assert drawn.seals() == ["n1", "n2", "n3", "n4"]


def test_an_unresolved_node_has_neither_joints_nor_seals(draw):
    star = {"n1": (0, 0), "n2": (1000, 0), "n3": (0, 1000), "n4": (0, 0, 1000)}
    drawn = draw(star, {f"l{n}": f"n1 n{n + 1} tight" for n in (1, 2, 3)})
    assert drawn.joints() == []
    assert drawn.seals() == ["n2", "n3", "n4"]


def test_both_faces_of_an_insert_are_taped_but_none_that_has_no_run(draw):
    nodes = {"n1": (0, 0), "n2": (2000, 0)}
    insert = {"length_mm": 100, "covered": "insert"}
    drawn = draw(nodes, {"l1": "n1 n2 tight"}, items={"v1": Item("l1", 50, **insert), "v2": Item("l1", 800, **insert)})
    assert [joint[:3] for joint in drawn.joints()] == [("v1", "square", 1), ("v2", "square", 1), ("v2", "square", 1)]
    assert drawn.seals() == ["n2"]


@pytest.mark.parametrize(("end", "around_deg"), [((2000, 0, 900), 0), ((2000, -900), 90), ((2000, 900), 270)])
def test_on_which_side_of_the_main_a_hole_is(draw, end, around_deg):
    drawn = draw({**TEE, "n4": end}, {**THROUGH, "l3": "n2 n4 slim"})
    ((key, (hole,)),) = drawn.covering.holes().items()
    assert (key, hole.node, hole.place_mm, hole.half_mm, hole.cut) == ("l1", "n2", 2000, 36, "saddle")
    assert hole.around_deg == pytest.approx(around_deg)


@pytest.mark.parametrize("to_mm", [1000, 3000])
@pytest.mark.parametrize("turned", [False, True])
def test_the_hole_of_a_slanting_branch_lies_where_the_branch_leans(draw, make_leg, to_mm, turned):
    # Its extent along the main is that of the developed curve of the hole, X over all φ; the branch leaves at 45°.
    nodes = {**TEE, "n4": (to_mm, 1000)}
    if turned:
        nodes["n1"], nodes["n3"] = nodes["n3"], nodes["n1"]
    wide = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    drawn = draw(nodes, {**wide, "l3": "n2 n4 slim"})
    ((_, (hole,)),) = drawn.covering.holes().items()
    along_mm = [hole_point_mm(97, 36, 45, around)[0] for around in range(0, 360, 5)]
    sign = 1 if (to_mm > 2000) != turned else -1
    node_mm = 3000 if turned else 2000
    ends_mm = sorted((node_mm + sign * min(along_mm), node_mm + sign * max(along_mm)))
    assert [hole.place_mm - hole.half_mm, hole.place_mm + hole.half_mm] == pytest.approx(ends_mm)


@pytest.mark.parametrize(("x", "y"), [(-40, -38), (-40, -30), (-31, 40), (7, -40), (3, 4)])
def test_the_side_of_a_hole_is_below_a_full_turn(draw, x, y):
    # The branch leans upwards over a main that runs at a slant: rounding must not make 360° of 0°.
    nodes = {"n1": (-50 * x, -50 * y), "n2": (0, 0), "n3": (50 * x, 50 * y), "n4": (50 * x, 50 * y, 1000)}
    drawn = draw(nodes, {**THROUGH, "l3": "n2 n4 slim"})
    ((_, (hole,)),) = drawn.covering.holes().items()
    assert hole.around_deg == 0


def test_no_seal_against_bare_pipe_where_an_item_keeps_the_covering_away(draw, make_leg):
    legs = {"l1": "n1 n2 tight", "l2": make_leg("n2 n3 tight", covered=False)}
    drawn = draw(LINE, legs, items={"v1": Item("l1", 1900, length_mm=200)})
    assert drawn.seals() == ["n1", "v1"]


def test_a_branch_too_short_to_be_made_still_counts_without_its_joint(draw, make_leg):
    # A saddle takes 90.07 mm of the branch, and its elbow of Rc 50 in a pre-formed cover the rest.
    nodes = {**TEE, "n4": (2000, 140), "n5": (3000, 140)}
    wide = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    choice = FittingChoice(cover="preformed", elbow_radius_mm=50)
    drawn = draw(nodes, {**wide, "l3": "n2 n4 slim", "l4": "n4 n5 slim"}, fittings={"n4": choice})
    assert ("run-too-short", "l3", "n2", "n4") in drawn.snags()
    assert [joint[:3] for joint in drawn.joints()] == [("n4", "square", 1)]
    assert {("n2", "tee"), ("n4", "bend")} <= set(drawn.fittings())
    assert drawn.seals() == ["n1", "n3", "n5"]
