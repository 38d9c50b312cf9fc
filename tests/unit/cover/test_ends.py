"""Every row of the table of ends: the cut, and what it does to the length."""

from __future__ import annotations

from math import asin, cos, degrees, hypot, pi, radians, sin, sqrt, tan

import pytest
from scipy.optimize import minimize_scalar

from layoutest.layout.document import FittingChoice

CORNER = {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 1500)}


def ends(run):
    return [(end.cut, end.angle_deg, end.node) for end in run.ends]


def least_start_mm(main_mm, branch_mm, lean_deg):
    """The least over φ of [√(Rm² − Rb² sin²φ) − Rb cosφ cosβ] / sinβ, found by scipy.optimize.minimize_scalar."""
    lean = radians(lean_deg)

    def start_mm(around):
        return (sqrt(main_mm**2 - (branch_mm * sin(around)) ** 2) - branch_mm * cos(around) * cos(lean)) / sin(lean)

    return min(minimize_scalar(start_mm, bounds=(k * pi / 6, (k + 1) * pi / 6), method="bounded").fun for k in range(6))


def test_a_bend_in_two_pieces_is_measured_to_the_corner(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    assert drawn.run("l1").covered_mm == 2000
    assert ends(drawn.run("l1")) == [("square", 0, "n1"), ("mitre", 45, "n2")]
    assert drawn.run("l2").covered_mm == 1500
    assert ends(drawn.run("l2")) == [("mitre", 45, "n2"), ("square", 0, "n3")]


@pytest.mark.parametrize("mitres", [2, 3, 4])
def test_a_bend_of_several_mitres_takes_length_and_adds_pieces(draw, mitres):
    drawn = draw(CORNER, {"l1": "n1 n2 long", "l2": "n2 n3 long"}, fittings={"n2": FittingChoice(mitres=mitres)})
    half_mm = 200 * tan(radians(90 / (2 * mitres)))
    assert drawn.run("l1").covered_mm == pytest.approx(2000 - 200 + half_mm)
    assert drawn.run("l2").covered_mm == pytest.approx(1500 - 200 + half_mm)
    assert ends(drawn.run("l1"))[1] == ("mitre", 45 / mitres, "n2")
    pieces = drawn.runs("n2")
    assert [piece.number for piece in pieces] == list(range(1, mitres))
    for piece in pieces:
        assert piece.covered_mm == pytest.approx(2 * half_mm)
        assert ends(piece) == [("mitre", 45 / mitres, None)] * 2
        assert (piece.twist_deg, piece.one_piece, piece.is_bend_piece) == (0, True, True)


def test_a_long_elbow_gets_its_mitres_without_being_asked(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 long", "l2": "n2 n3 long"})
    # 200·(1/cos 22.5° − 1) = 16.5 mm and 200·(1/cos 15° − 1) = 7.1 mm.
    assert ends(drawn.run("l1"))[1] == ("mitre", 15, "n2")
    assert len(drawn.runs("n2")) == 2


def test_a_pre_formed_cover_leaves_square_ends(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 long", "l2": "n2 n3 long"}, fittings={"n2": FittingChoice(cover="preformed")})
    assert drawn.run("l1").covered_mm == pytest.approx(1800)
    assert ends(drawn.run("l1")) == [("square", 0, "n1"), ("square", 0, "n2")]
    assert drawn.runs("n2") == []
    (fitting,) = drawn.made("n2").fittings
    assert (fitting.kind, fitting.mitres) == ("bend", 0)


def test_a_bend_of_45_degrees(draw):
    drawn = draw({"n1": (0, 0), "n2": (2000, 0), "n3": (3000, 1000)}, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    assert ends(drawn.run("l1"))[1] == ("mitre", 22.5, "n2")


def test_at_a_bend_of_two_sizes_the_larger_counts(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 slim", "l2": "n2 n3 long"}, fittings={"n2": FittingChoice(mitres=2)})
    half_mm = 200 * tan(radians(22.5))
    assert drawn.run("l1").covered_mm == pytest.approx(1800 + half_mm)
    assert drawn.run("l2").covered_mm == pytest.approx(1300 + half_mm)
    (piece,) = drawn.runs("n2")
    assert piece.spec.covered_diameter_mm == 110
    # Its throat is closed by the larger one's R of 55 mm, though the smaller one's R is 36 mm.
    closed = draw(
        CORNER,
        {"l1": "n1 n2 slim", "l2": "n2 n3 tight"},
        fittings={"n2": FittingChoice(mitres=2, elbow_radius_mm=50)},
    )
    assert ("mitres-impossible", "n2") in closed.snags()


TEE = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0), "n4": (2000, 1500)}
THROUGH = {"l1": "n1 n2 tight", "l2": "n2 n3 tight"}


def test_equal_pipes_at_a_right_angle_are_notched(draw):
    drawn = draw(TEE, {**THROUGH, "l3": "n2 n4 tight"})
    assert drawn.run("l1").covered_mm == 5000
    assert ends(drawn.run("l1")) == [("square", 0, "n1"), ("square", 0, "n3")]
    assert drawn.run("l3").covered_mm == 1500
    assert ends(drawn.run("l3")) == [("notch", 0, "n2"), ("square", 0, "n4")]


@pytest.mark.parametrize(("thickness_mm", "cut"), [(25, "notch"), (20, "saddle"), (30, "saddle")])
def test_diameters_over_a_millimetre_apart_are_saddled(draw, make_leg, thickness_mm, cut):
    drawn = draw(TEE, {**THROUGH, "l3": make_leg("n2 n4 tight", thickness_mm=thickness_mm)})
    assert drawn.run("l3").ends[0].cut == cut


def test_a_saddle_at_a_right_angle(draw, make_leg):
    mains = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    drawn = draw(TEE, {**mains, "l3": "n2 n4 slim"})
    # D 194 and 72: s = √(97² − 36²) = 90.07 mm, worked by hand.
    assert drawn.run("l3").covered_mm == pytest.approx(1500 - sqrt(97**2 - 36**2))
    assert drawn.run("l3").covered_mm == pytest.approx(1409.93, abs=0.005)
    assert ends(drawn.run("l3")) == [("saddle", 0, "n2"), ("square", 0, "n4")]


@pytest.mark.parametrize(
    ("far", "lean_deg"),
    [
        ((2200, 2000), degrees(asin(10 / sqrt(101)))),  # s·cot β = 9 mm < Rb
        ((4000, 1000), degrees(asin(1 / sqrt(5)))),  # s·cot β = 180 mm > Rb
    ],
)
def test_a_saddle_at_a_slant_on_both_sides_of_its_formula(draw, make_leg, far, lean_deg):
    mains = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    drawn = draw({**TEE, "n4": far}, {**mains, "l3": "n2 n4 slim"})
    length_mm = sqrt((far[0] - 2000) ** 2 + far[1] ** 2)
    assert drawn.run("l3").covered_mm == pytest.approx(length_mm - least_start_mm(97, 36, lean_deg), abs=1e-4)
    assert drawn.run("l3").ends[0].cut == "saddle"


@pytest.mark.parametrize("far", [(3000, 1000), (2020, 1000)])  # 45° and 88.9°
def test_equal_pipes_at_a_slant_are_saddled_to_the_node(draw, far):
    drawn = draw({**TEE, "n4": far}, {**THROUGH, "l3": "n2 n4 tight"})
    assert drawn.run("l3").ends[0].cut == "saddle"
    # s = 0, so the branch starts at the main's centre line, at φ = 90°.
    assert drawn.run("l3").covered_mm == pytest.approx(hypot(far[0] - 2000, far[1]))


def test_an_angle_within_the_tolerance_of_90_is_90(draw):
    drawn = draw({**TEE, "n4": (2008, 1000)}, {**THROUGH, "l3": "n2 n4 tight"})  # 89.54°
    assert drawn.run("l3").ends[0].cut == "notch"


def test_a_branch_larger_than_its_main_is_left_its_length(draw, make_leg):
    drawn = draw(TEE, {"l1": "n1 n2 slim", "l2": "n2 n3 slim", "l3": make_leg("n2 n4 wide", thickness_mm=40)})
    assert drawn.run("l3").covered_mm == 1500
    assert ends(drawn.run("l3"))[0] == ("saddle", 0, "n2")
    assert drawn.snags() == [("branch-larger", "l3", "n2")]
    assert drawn.joints() == [("n2", "saddle", 1, round(194 * pi, 1))]


def test_a_reducing_tee_moves_the_step_past_its_widest_branch(draw):
    cross = {**TEE, "n5": (2000 - 1000, -1000)}
    legs = {"l1": "n1 n2 tight", "l2": "n2 n3 slim", "l3": "n2 n4 slim", "l4": "n2 n5 tight"}
    drawn = draw(cross, legs)
    past_mm = 110 / (2 * sin(radians(45)))  # the slanting branch, D 110, before the upright one of D 72
    assert drawn.run("l1").covered_mm == pytest.approx(2000 + past_mm)
    assert drawn.run("l2").covered_mm == pytest.approx(3000 - past_mm)
    assert drawn.run("l2").from_mm == pytest.approx(past_mm)
    assert ends(drawn.run("l1"))[1] == ends(drawn.run("l2"))[0] == ("square", 0, "n2")
    assert drawn.fittings() == sorted(
        [("n2", "reducer"), ("n2", "tee"), ("n2", "tee"), *((node, "end") for node in ("n1", "n3", "n4", "n5"))]
    )


def test_only_covered_branches_move_the_step(draw, make_leg):
    legs = {"l1": "n1 n2 tight", "l2": "n2 n3 slim", "l3": make_leg("n2 n4 tight", covered=False)}
    drawn = draw(TEE, legs)
    assert drawn.run("l1").covered_mm == 2000
    assert drawn.run("l2").covered_mm == 3000


def test_a_covered_main_runs_past_the_node_where_bare_pipe_goes_on(draw, make_leg):
    legs = {"l1": "n1 n2 tight", "l2": make_leg("n2 n3 tight", covered=False), "l3": "n2 n4 tight"}
    drawn = draw(TEE, legs)
    assert drawn.run("l1").covered_mm == 2055
    assert drawn.made("n2").seals[0].leg.id == "l1"
    assert ("n2", "tee") in drawn.fittings()
    assert ("n2", "change") not in drawn.fittings()


@pytest.mark.parametrize(("pipe", "kind"), [("slim", "reducer"), ("other", "reducer"), ("tight", "change")])
def test_reducers_and_changes_are_square_at_the_node(draw, make_leg, pipe, kind):
    line = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0)}
    drawn = draw(line, {"l1": "n1 n2 tight", "l2": make_leg(f"n2 n3 {pipe}", thickness_mm=30)})
    assert [run.covered_mm for run in drawn.runs()] == [2000, 3000]
    assert ends(drawn.run("l1"))[1] == ends(drawn.run("l2"))[0] == ("square", 0, "n2")
    assert ("n2", kind) in drawn.fittings()


def test_every_leg_ends_square_where_none_runs_through(draw):
    star = {"n1": (0, 0), "n2": (1000, 0), "n3": (0, 1000), "n4": (0, 0, 1000)}
    drawn = draw(star, {f"l{n}": f"n1 n{n + 1} tight" for n in (1, 2, 3)})
    for run in drawn.runs():
        assert ends(run)[0] == ("square", 0, "n1")
        assert run.covered_mm == 1000
    assert drawn.joints() == []
    assert drawn.fittings() == [("n2", "end"), ("n3", "end"), ("n4", "end")]


def test_no_mitre_against_bare_pipe(draw, make_leg):
    drawn = draw(CORNER, {"l1": "n1 n2 tight", "l2": make_leg("n2 n3 tight", covered=False)})
    assert ends(drawn.run("l1")) == [("square", 0, "n1"), ("square", 0, "n2")]
    assert drawn.joints() == []
    assert drawn.seals() == ["n1", "n2"]
    assert drawn.fittings() == [("n1", "end")]


def test_lengths_are_rounded_up_to_whole_millimetres_after_a_hundredth(draw):
    drawn = draw(CORNER, {"l1": "n1 n2 long", "l2": "n2 n3 long"}, fittings={"n2": FittingChoice(mitres=2)})
    assert drawn.run("l1").covered_mm == pytest.approx(1882.843, abs=0.001)
    assert drawn.run("l1").packed_mm == 1883
    whole = draw(CORNER, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    assert whole.run("l1").packed_mm == 2000


@pytest.mark.parametrize(("rise_mm", "packed_mm"), [(6, 2000), (7, 2001)])
def test_less_than_a_hundredth_of_a_millimetre_does_not_count(draw, rise_mm, packed_mm):
    # √(2000² + 6²) = 2000.009 mm and √(2000² + 7²) = 2000.012 mm.
    drawn = draw({"n1": (0, 0), "n2": (2000, rise_mm)}, {"l1": "n1 n2 tight"})
    assert drawn.run("l1").packed_mm == packed_mm


@pytest.mark.parametrize(
    ("away", "long_deg"), [((0, 0, 900), 180), ((0, 0, -900), 0), ((0, 900, 0), 90), ((0, -900, 0), 270)]
)
def test_a_mitred_end_is_longest_on_the_side_away_from_the_turn(draw, away, long_deg):
    # Told from the top, clockwise for an eye at n1 that looks along x; y is on its left.
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": tuple(a + b for a, b in zip((2000, 0, 0), away, strict=True))}
    first, last = draw(nodes, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"}).run("l1").ends
    assert last.long_side_deg == pytest.approx(long_deg)
    assert first.long_side_deg is None
