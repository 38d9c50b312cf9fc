"""Turned and mirrored places, worked out by hand: a quarter anticlockwise leads (u, v) to (−v, u)."""

from __future__ import annotations

import pytest

from layoutest.edit.shape import mirror, rotate
from layoutest.layout.document import Node


@pytest.fixture
def corner(drawn):
    return drawn(
        {"n1": (0, 0, 50), "n2": (400, 0, 50), "n3": (400, 200, 50), "n4": (2000, 200, 50)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4"},
    )


def test_a_quarter_about_the_middle(corner):
    # The middle of l1 and l2 is (200, 100).
    turned = rotate(corner, {"l1", "l2"}, 1)
    assert turned.nodes == {
        "n1": Node(300, -100, 50),
        "n2": Node(300, 300, 50),
        "n3": Node(100, 300, 50),
        "n4": Node(2000, 200, 50),
    }
    assert turned.legs is corner.legs
    assert rotate(corner, {"l1", "l2"}, -3) == turned
    assert rotate(corner, {"l1", "l2"}, 4) is corner


def test_what_is_on_the_grid_stays_on_it(corner):
    turned = rotate(corner, {"l3"}, 1)
    assert all(place % 100 == 0 for name in ("n3", "n4") for place in turned.nodes[name][:2])


def test_turned_in_an_elevation_y_is_kept(drawn):
    layout = drawn({"n1": (0, 70, 0), "n2": (200, 70, 0)}, {"l1": "n1 n2"}, view="elevation")
    assert rotate(layout, {"l1"}, 1).nodes == {"n1": Node(100, 70, -100), "n2": Node(100, 70, 100)}


def test_mirrored_about_its_middle(corner):
    upright = mirror(corner, {"l1", "l2"}, "upright")
    assert [upright.nodes[name][:2] for name in ("n1", "n2", "n3")] == [(400, 0), (0, 0), (0, 200)]
    level = mirror(corner, {"l1", "l2"}, "level")
    assert [level.nodes[name][:2] for name in ("n1", "n2", "n3")] == [(0, 200), (400, 200), (400, 0)]
    assert level.nodes["n4"] is corner.nodes["n4"]


def test_outlines_turn_in_a_plan_and_stand_in_an_elevation(drawn):
    tank = {"w1": ("plant", ((0, 0), (200, 0), (200, 100), (0, 100)), (0, 1500))}
    plan = drawn({}, {}, structure=tank)
    assert rotate(plan, {"w1"}, 1).structure["w1"].outline == ((200, 0), (200, 200), (100, 200), (100, 0))
    elevation = drawn({"n1": (400, 0, 500), "n2": (900, 0, 2500)}, {"l1": "n1 n2"}, structure=tank, view="elevation")
    assert rotate(elevation, {"w1"}, 1) is elevation
    mirrored = mirror(elevation, {"w1", "l1"}, "level")
    assert mirrored.structure["w1"].levels_mm == (1000, 2500)
    assert mirrored.structure["w1"].outline == tank["w1"][1]
    assert mirror(elevation, {"w1"}, "upright").structure["w1"].outline == ((200, 0), (0, 0), (0, 100), (200, 100))


def test_a_wall_through_all_levels_is_mirrored_with_the_rest(drawn):
    wall = {"w1": ("wall", ((0, 0), (100, 0), (100, 900)))}
    layout = drawn({"n1": (0, 0, 0), "n2": (600, 0, 300)}, {"l1": "n1 n2"}, structure=wall, view="elevation")
    assert mirror(layout, {"w1", "l1"}, "upright").structure["w1"].outline == ((600, 0), (500, 0), (500, 900))
    assert mirror(layout, {"w1"}, "upright") is layout


def test_without_anything_picked_nothing_happens(corner):
    assert rotate(corner, {"was deleted"}, 1) is corner
    assert mirror(corner, (), "level") is corner
