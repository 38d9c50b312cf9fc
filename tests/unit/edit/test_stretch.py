"""Legs moved sideways. Places are worked out by hand from right angles and 45° triangles."""

from __future__ import annotations

import pytest

from layoutest.edit.move import stretch
from layoutest.layout.document import Node


def test_legs_at_right_angles_grow_and_shrink(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (0, 1000, 0), "n3": (3000, 1000, 0), "n4": (3000, 2000, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4"},
    )
    moved = stretch(layout, "l2", (0, 200))
    assert moved.nodes == {**layout.nodes, "n2": Node(0, 1200, 0), "n3": Node(3000, 1200, 0)}
    assert moved.legs is layout.legs
    assert moved.nodes["n1"] is layout.nodes["n1"]


def test_only_the_part_at_a_right_angle_counts(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (2000, 900, 0)}, {"l1": "n1 n2", "l2": "n2 n3"})
    assert stretch(layout, "l1", (350, -100)) == stretch(layout, "l1", (0, -100))
    assert stretch(layout, "l1", (350, 0)) is layout


def test_the_whole_line_moves_through_tees_and_reducers(drawn, with_leg):
    layout = drawn(
        {
            "n1": (0, 0, 0),
            "n2": (1000, 0, 0),
            "n3": (2500, 0, 0),
            "n4": (4000, 0, 0),
            "n5": (1000, 800, 0),
            "n6": (4000, -900, 0),
        },
        {"l1": "n1 n2", "l2": "n3 n2", "l3": "n3 n4", "l4": "n2 n5", "l5": "n4 n6"},
    )
    layout = with_leg(layout, "l3", pipe="steel DN25")
    moved = stretch(layout, "l1", (0, 50))
    assert [moved.nodes[f"n{number}"].y_mm for number in range(1, 7)] == [50, 50, 50, 50, 800, -900]


def test_what_hangs_behind_a_branch_stays(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (1000, 800, 0), "n4": (1900, 800, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4"},
    )
    moved = stretch(layout, "l1", (0, 300))
    assert moved.nodes["n3"] is layout.nodes["n3"]
    assert moved.nodes["n4"] is layout.nodes["n4"]


def test_a_slanting_neighbour_at_an_end_keeps_its_angle(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (3000, 1000, 0)}, {"l1": "n1 n2", "l2": "n2 n3"})
    moved = stretch(layout, "l1", (0, 400))
    # On the 45° leg, 400 mm up is 400 mm along: the bend slides to where both lines meet.
    assert moved.nodes == {"n1": Node(0, 400, 0), "n2": Node(2400, 400, 0), "n3": Node(3000, 1000, 0)}
    assert stretch(moved, "l1", (0, -400)) == layout


def test_a_slanting_branch_keeps_its_angle(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (5000, 0, 0), "n4": (3000, -1000, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n2 n4"},
    )
    moved = stretch(layout, "l2", (0, 400))
    assert moved.nodes["n2"] == Node(1600, 400, 0)
    assert (moved.nodes["n1"], moved.nodes["n3"]) == (Node(0, 400, 0), Node(5000, 400, 0))


def test_no_leg_is_turned_round_by_a_slide(drawn):
    layout = drawn(
        {"n0": (0, 1000, 0), "n1": (0, 0, 0), "n2": (300, 0, 0), "n3": (1300, -1000, 0)},
        {"l0": "n0 n1", "l1": "n1 n2", "l2": "n2 n3"},
    )
    # Down the 45° leg the end would slide to x = 800; upwards by 500 to x = −200, behind the other end.
    assert stretch(layout, "l1", (0, -500)).nodes["n2"] == Node(800, -500, 0)
    moved = stretch(layout, "l1", (0, 500))
    assert (moved.nodes["n1"], moved.nodes["n2"]) == (Node(0, 500, 0), Node(300, 500, 0))


def test_a_neighbour_that_slants_out_of_the_sheet_follows_with_its_end(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (3000, 1000, 500)}, {"l1": "n1 n2", "l2": "n2 n3"})
    assert stretch(layout, "l1", (0, 400)).nodes["n2"] == Node(2000, 400, 0)


def test_rises_and_drops_go_with_the_line_which_goes_on_beyond(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (1000, 0, -600), "n4": (3000, 0, -600), "n5": (1000, 700, -600)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n3 n5"},
    )
    moved = stretch(layout, "l1", (0, 250))
    assert [moved.nodes[f"n{number}"].y_mm for number in range(1, 6)] == [250, 250, 250, 250, 700]
    assert [node.level_mm for node in moved.nodes.values()] == [node.level_mm for node in layout.nodes.values()]


def test_a_drop_seen_as_a_point_moves_with_all_that_stands_there(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (1000, 0, -600), "n4": (1000, 0, -900), "n5": (1000, 800, -900)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n4 n5"},
    )
    moved = stretch(layout, "l3", (100, 50))
    assert [moved.nodes[name][:2] for name in ("n2", "n3", "n4")] == [(1100, 50)] * 3
    assert moved.nodes["n1"] is layout.nodes["n1"]
    assert moved.nodes["n5"] is layout.nodes["n5"]


def test_a_lone_leg_moves_freely(pipe):
    assert stretch(pipe, "l1", (150, -50)).nodes == {"n1": Node(150, -50, 2400), "n2": Node(4150, -50, 2400)}


def test_in_an_elevation_y_is_kept(drawn):
    layout = drawn(
        {"n1": (0, 70, 0), "n2": (0, 70, 3000), "n3": (2000, 70, 3000)},
        {"l1": "n1 n2", "l2": "n2 n3"},
        view="elevation",
    )
    moved = stretch(layout, "l2", (999, 300))
    assert moved.nodes == {"n1": Node(0, 70, 0), "n2": Node(0, 70, 3300), "n3": Node(2000, 70, 3300)}


@pytest.mark.parametrize(("off_mm", "follows"), [(17, True), (18, False)])
def test_the_angle_tolerance_says_what_is_one_line(drawn, off_mm, follows):
    # atan(17 / 2000) = 0.487°, atan(18 / 2000) = 0.516°; the tolerance is 0.5°.
    layout = drawn({"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (4000, off_mm, 0)}, {"l1": "n1 n2", "l2": "n2 n3"})
    moved = stretch(layout, "l1", (0, 100))
    assert (moved.nodes["n3"] == Node(4000, off_mm + 100, 0)) is follows


def test_a_ring_stays_a_ring(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (2000, 1000, 0), "n4": (0, 1000, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n4 n1"},
    )
    moved = stretch(layout, "l3", (0, -300))
    assert moved.nodes == {**layout.nodes, "n3": Node(2000, 700, 0), "n4": Node(0, 700, 0)}
