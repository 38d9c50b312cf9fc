"""Pipes on the sheet are to scale: bodies, cuts, joints and gaps lie where the covering has them."""

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians, sin

import pytest

from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.drawing.pipes import sheet_groups
from layoutest.drawing.primitives import Circle, Polygon, Polyline
from layoutest.layout.document import FittingChoice, Item, Node, Outline, PipeSize
from layoutest.network import derive

# Pipe "mid" is 60 mm and covered 40 mm thick: bore 60, covered diameter 140. "small" is 28: bore 28, covered 108.
MID_MM, SMALL_MM = 140.0, 108.0


def area(points):
    """The area of a shape (shoelace formula)."""
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def close(point):
    return pytest.approx(point, abs=1e-6)


def test_a_body_is_as_wide_as_bore_and_twice_the_thickness(pictured):
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0)}, {"l1": "n1 n2"})
    spec = drawn.covering.laid["l1"].straight.spec
    assert spec.bore_mm + 2 * spec.thickness_mm == MID_MM
    us, vs = zip(*drawn.body("l1"), strict=True)
    assert (min(us), max(us), min(vs), max(vs)) == (0, 3000, -70, 70)
    assert drawn.picture.groups["l1"].width == MID_MM


def test_four_details_grow(pictured):
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0)}, {"l1": "n1 n2"}, joints={"l1": (1000.0,)})
    far, near = drawn.parts("l1", 0), drawn.parts("l1", 1)
    assert [part.style for part in far] == ["far"]
    assert far[0].dash == "HF"
    assert not any(isinstance(part, Polyline) for part in near)
    assert [len(drawn.lines("l1", "centre", detail)) for detail in range(4)] == [0, 0, 1, 1]


def test_ticks_stand_where_the_joints_are(pictured):
    drawn = pictured({"n1": (0, 0), "n2": (0, 4000)}, {"l1": "n1 n2"}, joints={"l1": (1000.0, 2000.0)})
    (centre,) = drawn.lines("l1", "centre")
    assert centre.points == ((0, 0), (0, 4000))
    assert centre.ticks == (1000, 2000)
    assert centre.tick == MID_MM / 2


def test_a_taped_length_is_spread_over_the_drawn_one(pictured):
    legs = {"l1": ("n1 n2", {"measured_mm": 8000})}
    drawn = pictured({"n1": (0, 0), "n2": (4000, 0)}, legs, joints={"l1": (1000.0,)})
    (centre,) = drawn.lines("l1", "centre")
    assert centre.ticks == (500,)
    assert area(drawn.body("l1")) == pytest.approx(4000 * MID_MM)


@pytest.mark.parametrize("turn", [20, 45, 60, 90, -90, 120, 135])
def test_a_mitre_halves_the_turn(pictured, turn):
    """A bend is made of two pieces mitred at half the turn: the mitre is the mirror between both pipes."""
    far = (3000 + round(3000 * cos(radians(turn))), round(3000 * sin(radians(turn))))
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0), "n3": far}, {"l1": "n1 n2 small", "l2": "n2 n3 small"})
    (mitre,), (same,) = drawn.lines("l1", "mitre"), drawn.lines("l2", "mitre")
    low, high = mitre.points
    assert {tuple(round(a, 6) for a in point) for point in mitre.points} == {
        tuple(round(a, 6) for a in point) for point in same.points
    }
    assert ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2) == close((3000, 0))
    exact = degrees(atan2(far[1], far[0] - 3000))
    along = degrees(atan2(high[1] - low[1], high[0] - low[0]))
    assert sin(radians(along - 90 - exact / 2)) == pytest.approx(0, abs=1e-9)
    # As long as the long axis of the ellipse at which a plane cuts a cylinder (Euclid's construction): D / cos a.
    assert hypot(high[0] - low[0], high[1] - low[1]) == pytest.approx(SMALL_MM / cos(radians(exact / 2)))
    # Both bodies have the ends of the mitre among their corners.
    for name in ("l1", "l2"):
        corners = [tuple(round(a, 6) for a in point) for point in drawn.body(name)]
        assert {tuple(round(a, 6) for a in point) for point in mitre.points} <= set(corners)


def test_a_mitred_body_is_as_large_as_a_square_one(pictured):
    """What a slanted end has more on its long side it has less on the other: the area is length times diameter."""
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0), "n3": (3000, 2000)}, {"l1": "n1 n2 small", "l2": "n2 n3 small"})
    assert area(drawn.body("l1")) == pytest.approx(3000 * SMALL_MM)
    lengths = sorted(abs(b[0] - a[0]) for a, b in pairwise((*drawn.body("l1"), drawn.body("l1")[0])) if a[1] == b[1])
    assert lengths == close([3000 - SMALL_MM / 2, 3000 + SMALL_MM / 2])  # R · tan 45°


@pytest.mark.parametrize("mitres", [2, 3, 4])
def test_a_segmented_bend_closes(pictured, mitres):
    drawn = pictured(
        {"n1": (0, 0), "n2": (3000, 0), "n3": (3000, 3000)},
        {"l1": "n1 n2 big", "l2": "n2 n3 big"},
        pipes={"big": PipeSize(60, 300)},
        fittings={"n2": FittingChoice(mitres)},
    )
    bend = drawn.covering.bends["n2"]
    pieces, lines = drawn.bodies("bend n2"), drawn.lines("bend n2", "mitre")
    assert len(pieces) == mitres - 1
    assert len(lines) == mitres
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in (line.points for line in lines)]
    # Regular polygon round the elbow: its first and last corners lie as far before and behind the node.
    assert middles[0] == close((3000 - bend.take_mm, 0))
    assert middles[-1] == close((3000, bend.take_mm))
    for low, high in pairwise(middles):
        assert hypot(high[0] - low[0], high[1] - low[1]) == pytest.approx(bend.piece_mm)
    # The mitres of the straights are the first and the last of the bend, and every cut points at the elbow's centre.
    for name, line in (("l1", lines[0]), ("l2", lines[-1])):
        (mitre,) = drawn.lines(name, "mitre")
        assert sorted(mitre.points) == [close(point) for point in sorted(line.points)]
    for line in lines:
        (x0, y0), (x1, y1) = line.points
        assert (x1 - x0) * (300 - y0) - (y1 - y0) * (2700 - x0) == pytest.approx(0, abs=1e-3)


def test_a_preformed_elbow_is_round(pictured):
    drawn = pictured(
        {"n1": (0, 0), "n2": (3000, 0), "n3": (3000, 3000)},
        {"l1": "n1 n2 big", "l2": "n2 n3 big"},
        pipes={"big": PipeSize(60, 300)},
        fittings={"n2": FittingChoice(cover="preformed")},
    )
    for u, v in drawn.body("bend n2"):
        assert abs(hypot(u - 2700, v - 300) - 300) == pytest.approx(MID_MM / 2)
    assert max(u for u, _ in drawn.body("l1")) == pytest.approx(2700)


@pytest.mark.parametrize("pipe", ["mid", "small"])
@pytest.mark.parametrize("lean", [0, 1500, -1500])
def test_a_branch_meets_its_main_on_both_cylinders(pictured, pipe, lean):
    """Each point of the drawn curve lies on the branch's and on the main's cylinder at once."""
    drawn = pictured(
        {"n1": (0, 0), "n2": (3000, 0), "n3": (6000, 0), "n4": (3000 + lean, 1500)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": f"n2 n4 {pipe}"},
    )
    (cut,) = drawn.lines("l3", "notch")
    radius = drawn.covering.laid["l3"].straight.spec.covered_diameter_mm / 2
    way = (lean / hypot(lean, 1500), 1500 / hypot(lean, 1500))
    assert len(cut.points) >= 3
    for u, v in cut.points:
        across = (u - 3000) * way[1] - v * way[0]
        out_of_sheet = max(radius * radius - across * across, 0)
        assert v > -1e-6
        assert hypot(v, out_of_sheet**0.5) == pytest.approx(MID_MM / 2, abs=1e-6)


def test_equal_pipes_meet_in_a_v_down_to_the_axis(pictured):
    drawn = pictured(
        {"n1": (0, 0), "n2": (3000, 0), "n3": (6000, 0), "n4": (3000, 1500)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n2 n4"},
    )
    (cut,) = drawn.lines("l3", "notch")
    assert sorted(cut.points) == [close((2930, 70)), close((3000, 0)), close((3070, 70))]


def test_a_reducer_is_a_step(pictured):
    drawn = pictured({"n1": (0, 0), "n2": (2000, 0), "n3": (4000, 0)}, {"l1": "n1 n2", "l2": "n2 n3 small"})
    assert max(drawn.body("l1")) == (2000, 70)
    assert min(drawn.body("l2")) == (2000, -54)


def test_an_item_leaves_bare_pipe_in_a_gap(pictured):
    item = Item("l1", 1500, "valve", 300, "bare", 50)
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0)}, {"l1": "n1 n2"}, items={"v1": item})
    left, right = sorted(drawn.bodies("l1"))
    assert max(u for u, _ in left) == 1300
    assert min(u for u, _ in right) == 1700
    (bare,) = [part for part in drawn.parts("l1", 1) if isinstance(part, Polygon) and part.fill == "field"]
    us, vs = zip(*bare.points, strict=True)
    assert (min(us), max(us), min(vs), max(vs)) == (1300, 1700, -30, 30)


def test_a_jacket_is_outlined_twice_and_its_symbol_is_the_finest_detail(pictured):
    items = {"v1": Item("l1", 1500, "valve", 300), "sp1": Item("l1", 2500, "support", 60, "through")}
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0)}, {"l1": "n1 n2"}, items=items)
    assert len(drawn.lines("l1", "joint")) == len(drawn.lines("l1", "joint", 1)) == 1
    coarse, fine = (
        [part for part in drawn.parts("l1", detail) if isinstance(part, Polygon) and len(part.points) == 3]
        for detail in (2, 3)
    )
    assert len(coarse) == 1  # the foot of the support
    assert len(fine) == 3  # and both triangles of the valve
    tips = [point for part in fine for point in part.points]
    assert tips.count((1500, 0)) == 2
    assert len(drawn.bodies("l1")) == 2  # what runs through leaves no gap of its own


def test_a_bare_pipe_is_two_lines_at_its_own_diameter(pictured):
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0)}, {"l1": ("n1 n2", {"covered": False})})
    assert drawn.bodies("l1") == []
    (bare,) = [part for part in drawn.parts("l1", 1) if isinstance(part, Polygon)]
    assert {v for _, v in bare.points} == {-30, 30}


@pytest.mark.parametrize(("levels", "mark"), [((2400, 3000), "dot"), ((2400, 900), "ring")])
def test_a_rise_has_a_dot_and_a_drop_a_ring(pictured, levels, mark):
    nodes = {"n1": (0, 0, levels[0]), "n2": (3000, 0, levels[0]), "n3": (3000, 0, levels[1])}
    drawn = pictured(nodes, {"l1": "n1 n2", "l2": "n2 n3"})
    ring, inner = drawn.parts("l2", 2)
    assert (ring.centre, ring.radius) == ((3000, 0), MID_MM / 2)
    assert bool(inner.fill) == (mark == "dot")
    # The covering of the level pipe goes up to it.
    assert max(u for u, _ in drawn.body("l1")) == 3000


def test_an_elevation_shows_x_and_level(pictured):
    nodes = {"n1": (0, 500, 0), "n2": (0, 500, 3000), "n3": (0, -200, 3000)}
    drawn = pictured(nodes, {"l1": "n1 n2", "l2": "n2 n3"}, view="elevation")
    assert max(v for _, v in drawn.body("l1")) == 3000
    ring, dot = drawn.parts("l2", 2)
    assert isinstance(ring, Circle)
    assert dot.fill  # it comes towards the eye, which looks along y


def test_what_is_left_out_is_dashed_in_the_colour_of_errors(pictured):
    legs = {"l1": "n1 n2", "l2": "n2 n3 unheard of"}
    drawn = pictured({"n1": (0, 0), "n2": (3000, 0), "n3": (3000, 2000)}, legs)
    (line,) = drawn.parts("leg l2", -1)
    assert (line.points, line.colour) == (((3000, 0), (3000, 2000)), "snag_error")
    assert line.dash


def test_a_straight_too_short_to_cover_is_dashed(pictured):
    nodes = {"n1": (0, 0), "n2": (3000, 0), "n3": (3050, 0), "n4": (6000, 0), "n5": (3000, 900), "n6": (3000, -60)}
    legs = {"l1": "n1 n2 big", "l2": "n2 n3 big", "l3": "n3 n4 big", "l4": "n2 n6 small", "l5": "n2 n5 small"}
    drawn = pictured(nodes, legs)
    assert "too-short" in drawn.covering.laid["l4"].reach
    assert [line.colour for line in drawn.lines("l4", "live")] == ["snag_error"]
    assert drawn.lines("l5", "live") == []


def test_the_lower_pipe_is_drawn_first_and_broken_where_they_cross(pictured):
    nodes = {"n1": (0, 0, 2400), "n2": (3000, 0, 2400), "n3": (1000, -900, 2900), "n4": (1000, 900, 2900)}
    drawn = pictured(nodes, {"l1": "n1 n2", "l2": "n3 n4 small"})
    order = drawn.picture.order
    assert order.index("l1") < order.index("break l2") < order.index("l2")
    (rim,) = drawn.parts("break l2")
    assert (rim.style, rim.colour, rim.width) == ("break", "sheet", SMALL_MM)
    (u0, low), (u1, high) = rim.points
    assert u0 == u1 == 1000
    assert (low + high) / 2 == close(0)
    assert MID_MM < high - low < MID_MM + 50
    assert "break l1" not in order


def test_pipes_at_one_level_break_nothing(pictured):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (4000, 0), "n4": (2000, 2000)}
    drawn = pictured(nodes, {"l1": "n1 n2", "l2": "n2 n3", "l3": "n2 n4"})
    assert not [name for name in drawn.picture.order if name.startswith("break")]


def test_walls_lie_under_plant_and_plant_under_pipes(pictured):
    structure = {
        "b1": Outline("plant", ((0, 0), (900, 0), (900, 900), (0, 900)), (0, 1200)),
        "w1": Outline("wall", ((0, 0), (5000, 0), (5000, 200), (0, 200))),
    }
    drawn = pictured({"n1": (0, 100, -900), "n2": (3000, 100, -900)}, {"l1": "n1 n2"}, structure=structure)
    assert drawn.picture.order == ("outline w1", "outline b1", "l1")
    assert [type(part).__name__ for part in drawn.parts("outline w1", -1)] == ["Polygon", "Hatch", "Polyline"]


def test_a_moved_leg_makes_only_its_own_groups_again(sketch):
    nodes = {f"n{n}": (1000 * n, 700 * (n % 2)) for n in range(12)}
    first = sketch(nodes, {f"l{n}": f"n{n} n{n + 1} small" for n in range(11)})
    covering = cover(first.network)
    before = sheet_groups(covering, {})
    layout = first.layout
    moved = replace(layout, nodes={**layout.nodes, "n5": Node(5000, 900, 0)})
    network = derive(choose(moved, first.chosen.book, first.chosen), first.network)
    after = sheet_groups(cover(network, covering), {}, before)
    fresh = {name for name, group in after.groups.items() if before.groups.get(name) is not group}
    assert fresh == {"l3", "l4", "l5", "l6"}  # both legs, and the mitres of their neighbours
    assert sheet_groups(covering, before.joints, before) is before
