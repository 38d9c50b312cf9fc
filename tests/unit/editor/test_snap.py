"""Where clicks mean to be."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, hypot, radians, sin
from types import MappingProxyType

import pytest

from layoutest.edit.places import AtNode, Free, OnLeg
from layoutest.editor.hit import Hit
from layoutest.editor.snap import at_spot, reach, snap_end, snap_on_leg, snap_start, step_mm
from layoutest.layout.document import Layout, Leg, Node
from layoutest.layout.plane import Spot

START = Spot(1000, 2000, 2400)


def sheet(nodes, legs, **fields):
    drawn = {name: Leg(*ends.split(), "HF", "copper 35") for name, ends in legs.items()}
    nodes = {name: Node(*place) for name, place in nodes.items()}
    return Layout(nodes=MappingProxyType(nodes), legs=MappingProxyType(drawn), **fields)


EMPTY = sheet({}, {})
CROSS = sheet(
    {"n1": (0, 0, 2400), "n2": (4000, 0, 2400), "n3": (0, 1000, 3000), "n4": (4000, 1000, 3000), "n5": (4000, 0, 900)},
    {"l1": "n1 n2", "l2": "n3 n4", "l3": "n2 n5"},
)


@pytest.mark.parametrize("turn", range(0, 360, 5))
def test_a_leg_ends_in_one_of_eight_directions_on_the_grid(turn):
    point = START.u_mm + 1234 * cos(radians(turn)), START.v_mm + 1234 * sin(radians(turn))
    end = snap_end(EMPTY, START, point, None, free=False).spot
    du, dv = end.u_mm - START.u_mm, end.v_mm - START.v_mm
    assert not du or not dv or abs(du) == abs(dv)
    off = (degrees(atan2(dv, du)) - turn + 180) % 360 - 180
    assert abs(off) <= 22.5
    assert (max(abs(du), abs(dv)) + 0) % 50 == 0
    assert hypot(du, dv) == pytest.approx(1234 * cos(radians(off)), abs=36)
    assert end.depth_mm == 2400


def test_free_of_angles_it_ends_where_the_pointer_is():
    assert snap_end(EMPTY, START, (1733.4, 2111.6), None, free=True).place == Free(1733, 2112, 2400)
    assert snap_start(EMPTY, (1733.4, 2111.6), None, 2400, free=True).place == Free(1733, 2112, 2400)


@pytest.mark.parametrize(("grid_mm", "step"), [(100, 50), (1, 1), (2, 1), (25, 12), (10_000, 5000)])
def test_a_start_is_on_half_the_grid(grid_mm, step):
    layout = replace(EMPTY, grid_mm=grid_mm)
    assert step_mm(layout) == step
    spot = snap_start(layout, (7777.7, -3333.3), None, 100, free=False).spot
    assert spot.u_mm % step == 0
    assert abs(spot.u_mm - 7777.7) <= step / 2
    assert abs(spot.v_mm + 3333.3) <= step / 2


def test_a_start_on_a_node_or_a_leg():
    assert snap_start(CROSS, (3, 4), Hit("node", "n1"), 2400, free=False) == (AtNode("n1"), Spot(0, 0, 2400), "node")
    found = snap_start(CROSS, (1033, 14), Hit("leg", "l1", 1033), 2400, free=False)
    assert found == (OnLeg("l1", 1050), Spot(1050, 0, 2400), "leg")
    assert snap_start(CROSS, (1033, 14), Hit("leg", "l1", 1033), 2400, free=True).place == OnLeg("l1", 1033)
    assert snap_start(CROSS, (1033, 14), Hit("item", "v1", 1033), 2400, free=False).holds == "grid"


@pytest.mark.parametrize(("depth_mm", "node"), [(2400, "n2"), (900, "n5"), (1800, "n2")])
def test_of_the_ends_of_a_rise_a_start_takes_the_one_at_the_depth_in_hand(depth_mm, node):
    assert snap_start(CROSS, (4000, 0), Hit("node", "n2"), depth_mm, free=False).place == AtNode(node)
    assert snap_start(CROSS, (4000, 0), Hit("leg", "l3"), 900, free=False).place in (AtNode("n2"), AtNode("n5"))


def test_a_place_on_a_leg_near_its_ends_is_its_node():
    assert snap_on_leg(CROSS, "l1", (10, 0), free=False).place == AtNode("n1")
    assert snap_on_leg(CROSS, "l1", (-500, 0), free=True).place == AtNode("n1")
    assert snap_on_leg(CROSS, "l1", (9000, 0), free=False).place == AtNode("n2")
    assert snap_on_leg(CROSS, "l3", (4000, 0), free=False).place == AtNode("n2"), "the upper end of what stands upright"


def test_a_place_on_a_slanting_leg_is_on_the_grid_along_its_longer_axis():
    slant = sheet({"n1": (30, 0, 0), "n2": (3030, 1500, 600)}, {"l1": "n1 n2"})
    found = snap_on_leg(slant, "l1", (1541, 740), free=False)
    assert found.spot.u_mm == 1550
    assert found.spot.v_mm == pytest.approx(760, abs=1)
    assert found.spot.depth_mm == pytest.approx(304, abs=1)
    assert found.place.at_mm == pytest.approx(hypot(1520, 760, 304), abs=1)
    down = sheet({"n1": (0, 0, 0), "n2": (700, -2000, 0)}, {"l1": "n1 n2"})
    assert snap_on_leg(down, "l1", (300, -880), free=False).spot.v_mm == -900


def test_another_leg_is_met_at_its_own_level_only():
    start = Spot(1500, -800, 2400)
    met = snap_end(CROSS, start, (1512, 30), Hit("leg", "l1", 1512), free=False)
    assert met == (OnLeg("l1", 1500), Spot(1500, 0, 2400), "leg")
    crossed = snap_end(CROSS, start, (1512, 1010), Hit("leg", "l2", 1512), free=False)
    assert (crossed.holds, crossed.place) == ("grid", Free(1500, 1000, 2400))
    risen = snap_end(CROSS, start, (4000, 0), Hit("leg", "l3", 0), free=True)
    assert risen.holds == "grid"


def test_a_leg_along_another_meets_nothing_and_one_past_its_end_neither():
    along = snap_end(CROSS, Spot(-500, 0, 2400), (1500, 5), Hit("leg", "l1", 1500), free=False)
    assert along.holds == "grid"
    past = snap_end(CROSS, Spot(4200, -800, 2400), (4200, 10), Hit("leg", "l1", 4000), free=False)
    assert past.holds == "grid"
    corner = snap_end(CROSS, Spot(0, -800, 2400), (3, 5), Hit("leg", "l1", 3), free=False)
    assert corner.place == AtNode("n1")
    far = snap_end(CROSS, Spot(4000, -800, 2400), (4003, 5), Hit("leg", "l1", 3999), free=False)
    assert far.place == AtNode("n2")


def test_a_node_is_an_end_where_it_lies_in_a_direction_and_at_the_depth():
    straight = snap_end(CROSS, Spot(0, -800, 2400), (20, 10), Hit("node", "n1"), free=False)
    assert straight.place == AtNode("n1")
    aside = snap_end(CROSS, Spot(-700, -800, 2400), (0, 0), Hit("node", "n1"), free=False)
    assert aside.holds == "grid"
    assert snap_end(CROSS, Spot(-700, -800, 2400), (0, 0), Hit("node", "n1"), free=True).place == AtNode("n1")
    assert snap_end(CROSS, Spot(0, -800, 100), (0, 0), Hit("node", "n1"), free=True).holds == "grid"


@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_a_typed_length_runs_toward_the_pointer(turn):
    toward = Spot(START.u_mm + round(900 * cos(radians(turn))), START.v_mm + round(900 * sin(radians(turn))), 2400)
    end = reach(EMPTY, START, toward, 5200).spot
    assert hypot(end.u_mm - START.u_mm, end.v_mm - START.v_mm) == pytest.approx(5200, abs=0.8)
    assert degrees(atan2(end.v_mm - START.v_mm, end.u_mm - START.u_mm)) % 360 == pytest.approx(turn % 360, abs=0.1)


def test_a_typed_length_with_the_pointer_at_the_start_runs_to_the_right():
    assert reach(EMPTY, START, START, 700).place == Free(1700, 2000, 2400)


def test_a_typed_length_ends_on_what_lies_exactly_there():
    assert reach(CROSS, Spot(0, -800, 2400), Spot(0, -700, 2400), 800).place == AtNode("n1")
    assert reach(CROSS, Spot(1000, -800, 2400), Spot(1000, -700, 2400), 800).place == OnLeg("l1", 1000)
    assert reach(CROSS, Spot(1000, -800, 2400), Spot(1000, -700, 2400), 1800).holds == "grid", "at another level"
    assert at_spot(CROSS, Spot(4000, 0, 1500)).place == OnLeg("l3", 900)


def test_an_elevation_is_seen_in_x_and_level():
    riser = sheet({"n1": (0, 250, 0), "n2": (0, 250, 3000)}, {"l1": "n1 n2"}, view="elevation")
    met = snap_end(riser, Spot(-900, 1400, 250), (20, 1390), Hit("leg", "l1", 1390), free=False)
    assert met.place == OnLeg("l1", 1400)
    assert snap_end(riser, Spot(-900, 1400, 250), (400, 1390), None, free=False).place == Free(400, 250, 1400)
