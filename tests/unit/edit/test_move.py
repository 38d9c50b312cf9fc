from __future__ import annotations

from layoutest.edit.items import add_item, slide_item
from layoutest.edit.move import move_nodes, move_selection
from layoutest.layout.document import Item, Node


def test_legs_at_a_moved_node_follow_with_their_ends(pipe, with_leg):
    taped = with_leg(pipe, "l1", measured_mm=4010)
    moved = move_nodes(taped, ["n2", "was deleted"], (0, 300, -400))
    assert moved.nodes == {"n1": Node(0, 0, 2400), "n2": Node(4000, 300, 2000)}
    assert moved.legs is taped.legs
    assert move_nodes(pipe, ["n2"], (0, 0, 0)) is pipe


def test_ends_that_fall_on_each_other_lose_no_leg(pipe):
    moved = move_nodes(pipe, ["n2"], (-4000, 0, 0))
    assert moved.nodes["n2"] == moved.nodes["n1"]
    assert moved.legs is pipe.legs


def test_nothing_moves_farther_out_than_a_file_can_hold(pipe):
    assert move_nodes(pipe, ["n1", "n2"], (996_000, 0, 0)).nodes["n2"].x_mm == 1_000_000
    assert move_nodes(pipe, ["n1", "n2"], (996_001, 0, 0)) is pipe


def test_a_selection_moves_with_its_nodes_items_and_outlines(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (4000, 0, 0), "n3": (4000, 2000, 0)},
        {"l1": "n1 n2", "l2": "n2 n3"},
        [("l1", 500), ("l2", 500)],
        {"w1": ("plant", ((0, 0), (900, 0), (900, 900)), (0, 2000)), "w2": ("wall", ((0, 0), (90, 0), (90, 9)))},
    )
    moved = move_selection(layout, {"l1", "v1", "v2", "w1", "w2", "was deleted"}, (100, 300, 50))
    assert moved.nodes == {"n1": Node(100, 300, 50), "n2": Node(4100, 300, 50), "n3": Node(4000, 2000, 0)}
    # The first item goes with its leg; the second slides along its own, which runs in y.
    assert moved.items == {"v1": Item("l1", 500), "v2": Item("l2", 800)}
    assert moved.structure["w1"].outline == ((100, 300), (1000, 300), (1000, 1200))
    assert moved.structure["w1"].levels_mm == (50, 2050)
    assert moved.structure["w2"].levels_mm is None


def test_an_item_stays_on_its_leg(pipe):
    layout, item = add_item(pipe, "l1", 9000, "valve")
    assert layout.items[item] == Item("l1", 4000, "valve", covered="jacket")
    assert slide_item(layout, item, -1).items[item].at_mm == 0
    assert slide_item(layout, item, 1234.6).items[item].at_mm == 1235
    assert move_selection(layout, {item}, (-500, 70, 0)).items[item].at_mm == 3500
    assert slide_item(layout, item, 4001) is layout


def test_the_covering_runs_through_over_a_support(pipe):
    layout, item = add_item(pipe, "l1", 100, "support")
    assert layout.items[item].covered == "through"
    layout, item = add_item(layout, "l1", 900, "support", length_mm=80, covered="insert", clear_mm=5)
    assert item == "v2"
    assert layout.items[item] == Item("l1", 900, "support", 80, "insert", 5)
