from __future__ import annotations

import pytest

from layoutest.edit.assign import set_fitting, set_item, set_legs, set_length, set_level, set_service_record, set_sheet
from layoutest.edit.outline import add_outline
from layoutest.errors import UsageError
from layoutest.layout.document import FittingChoice, Layout, Node, Outline, Service


def test_what_legs_are_made_of(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (1, 0, 0), "n3": (2, 0, 0)}, {"l1": "n1 n2", "l2": "n2 n3"})
    made = set_legs(layout, ["l1", "was deleted"], pipe="copper 28", covered=False, measured_mm=5)
    assert (made.legs["l1"].pipe, made.legs["l1"].covered, made.legs["l1"].measured_mm) == ("copper 28", False, 5)
    assert made.legs["l2"] is layout.legs["l2"]
    assert set_legs(layout, ["l1"], pipe="steel DN50") is layout


def test_an_item_a_fitting_a_service_and_the_sheet(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (900, 0, 0)}, {"l1": "n1 n2"}, [("l1", 300)])
    assert set_item(layout, "v1", kind="pump", length_mm=200).items["v1"].kind == "pump"
    chosen = set_fitting(layout, "n2", mitres=2)
    assert chosen.fittings == {"n2": FittingChoice(mitres=2)}
    assert set_fitting(chosen, "n2", mitres=None) == layout
    assert set_fitting(layout, "was deleted", mitres=2) is layout
    assert set_service_record(layout, "CW", Service("Cold")).services.keys() == {"HF", "CW"}
    assert set_service_record(layout, "HF", layout.services["HF"]) is layout
    assert set_sheet(layout, title="Roof", view="elevation").view == "elevation"
    assert set_sheet(layout, title="", grid_mm=100) is layout


def test_a_level_makes_legs_slant_and_rises_change(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (900, 0, 0), "n3": (900, 0, 700)}, {"l1": "n1 n2", "l2": "n2 n3"})
    made = set_level(layout, ["n2", "was deleted"], 200)
    assert made.nodes == {**layout.nodes, "n2": Node(900, 0, 200)}
    assert set_level(layout, ["n3"], 700) is layout


@pytest.fixture
def snake(drawn):
    return drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (1000, 900, 0), "n4": (2500, 900, 300)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4"},
    )


def test_a_typed_length_brings_along_what_hangs_beyond(snake):
    made = set_length(snake, "l1", 1250)
    assert made.nodes == {
        "n1": Node(0, 0, 0),
        "n2": Node(1250, 0, 0),
        "n3": Node(1250, 900, 0),
        "n4": Node(2750, 900, 300),
    }
    other = set_length(snake, "l2", 400, "end")
    assert other.nodes == {**snake.nodes, "n1": Node(0, 500, 0), "n2": Node(1000, 500, 0)}


def test_a_typed_length_of_a_leg_at_45_degrees(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (100, 100, 0)}, {"l1": "n1 n2"})
    # 1000 / √2 = 707.1
    assert set_length(layout, "l1", 1000).nodes["n2"] == Node(707, 707, 0)


def test_in_a_ring_only_what_stands_at_an_angle_moves(drawn):
    layout = drawn(
        {
            "n1": (0, 0, 0),
            "n2": (2000, 0, 0),
            "n3": (2000, 900, 0),
            "n4": (0, 900, 0),
            "n5": (2600, 900, 0),
            "n6": (2000, 900, 500),
        },
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n4 n1", "l5": "n3 n5", "l6": "n3 n6"},
    )
    made = set_length(layout, "l1", 2300)
    # The branch l5 runs the same way and takes up the difference; the rise l6 stands at an angle and comes along.
    assert made.nodes == {
        **layout.nodes,
        "n2": Node(2300, 0, 0),
        "n3": Node(2300, 900, 0),
        "n6": Node(2300, 900, 500),
    }


def test_in_a_ring_with_a_rise_the_rise_gets_its_length(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (0, 0, 600), "n3": (800, 0, 600), "n4": (800, 0, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n4 n1"},
    )
    assert set_length(layout, "l1", 750).nodes == {**layout.nodes, "n2": Node(0, 0, 750), "n3": Node(800, 0, 750)}


def test_in_a_triangle_the_far_end_moves_alone(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (0, 1000, 0)}, {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n1"}
    )
    assert set_length(layout, "l1", 800).nodes == {**layout.nodes, "n2": Node(800, 0, 0)}


def test_lengths_that_cannot_be_change_nothing(snake, drawn):
    assert set_length(snake, "l1", 0) is snake
    assert set_length(snake, "l1", 1000) is snake
    assert set_length(snake, "l1", 1_000_001) is snake
    point = drawn({"n1": (0, 0, 0), "n2": (0, 0, 0)}, {"l1": "n1 n2"})
    assert set_length(point, "l1", 500) is point


def test_outlines_are_put_on_the_sheet():
    corners = [(0, 0), (100, 0), (100, 100)]
    layout, name = add_outline(Layout(), "wall", corners)
    assert (name, layout.structure[name]) == ("w1", Outline("wall", tuple(corners)))
    layout, name = add_outline(layout, "plant", corners, (1500, 0))
    assert (name, layout.structure[name].levels_mm) == ("w2", (0, 1500))
    assert add_outline(layout, "slab", [*corners, (0, 1_000_001)]) == (layout, "")


def test_an_outline_needs_corners_and_two_levels():
    with pytest.raises(UsageError, match=r"^a wall has 2 corners; expected at least three$"):
        add_outline(Layout(), "wall", [(0, 0), (1, 0)])
    with pytest.raises(UsageError, match=r"^a slab has its foot and its top at 5 mm; expected two levels$"):
        add_outline(Layout(), "slab", [(0, 0), (1, 0), (1, 1)], (5, 5))
