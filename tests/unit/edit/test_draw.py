from __future__ import annotations

from math import dist

import pytest

from layoutest.edit.draw import draw_leg, rise
from layoutest.edit.places import AtNode, Free, OnLeg, drawn_mm, place_node, split_leg
from layoutest.layout.document import Layout, Leg, Node


def test_the_first_leg_on_an_empty_sheet(pen):
    drawn = draw_leg(Layout(), Free(0, 0, 2400), Free(3000, 0, 2400), pen)
    assert (drawn.start, drawn.end, drawn.legs) == ("n1", "n2", ("l1",))
    assert drawn.layout.nodes == {"n1": Node(0, 0, 2400), "n2": Node(3000, 0, 2400)}
    assert drawn.layout.legs == {"l1": Leg("n1", "n2", "HF", "steel DN50", area="Roof")}


def test_a_leg_from_a_leg_makes_a_tee(pipe, pen):
    drawn = draw_leg(pipe, OnLeg("l1", 1500), Free(1500, 900, 2400), pen)
    assert drawn.layout.nodes["n3"] == Node(1500, 0, 2400)
    ends = {name: (leg.start, leg.end) for name, leg in drawn.layout.legs.items()}
    assert ends == {"l1": ("n1", "n3"), "l2": ("n3", "n2"), "l3": ("n3", "n4")}
    assert drawn.layout.nodes["n1"] is pipe.nodes["n1"]


def test_a_leg_from_one_leg_to_another(drawn, pen):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (4000, 0, 0), "n3": (0, 1000, 0), "n4": (4000, 1000, 0)}, {"l1": "n1 n2", "l2": "n3 n4"}
    )
    made = draw_leg(layout, OnLeg("l1", 700), OnLeg("l2", 700), pen)
    assert len(made.layout.legs) == 5
    assert drawn_mm(made.layout, made.layout.legs[made.legs[0]]) == 1000


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (AtNode("n1"), AtNode("n1")),
        (AtNode("n1"), Free(0, 0, 2400)),
        (AtNode("n1"), AtNode("n2")),
        (AtNode("n2"), AtNode("n1")),
        (AtNode("n1"), OnLeg("l1", 1200)),
        (OnLeg("l1", 1200), OnLeg("l1", 3000)),
        (OnLeg("l1", 3000), OnLeg("l1", 1200)),
        (OnLeg("l1", 1200), OnLeg("l1", 1200)),
        (AtNode("n1"), Free(1_000_001, 0, 2400)),
        (Free(0, -1_000_001, 2400), AtNode("n1")),
    ],
)
def test_nothing_is_drawn_onto_itself_twice_or_too_far_out(pipe, pen, start, end):
    drawn = draw_leg(pipe, start, end, pen)
    assert drawn.layout is pipe
    assert drawn.legs == ()


def test_a_leg_that_passes_an_end_is_not_joined_to_it(pipe, pen):
    drawn = draw_leg(pipe, Free(4000, -500, 2400), Free(4000, 500, 2400), pen)
    assert drawn.layout.legs["l1"] is pipe.legs["l1"]
    over = draw_leg(pipe, Free(9000, 0, 2400), Free(4000, 0, 2400), pen)
    assert over.end != "n2"


def test_a_rise_in_a_plan_changes_the_level(pipe, pen):
    drawn = rise(pipe, AtNode("n2"), 3600, pen)
    assert drawn.layout.nodes[drawn.end] == Node(4000, 0, 3600)
    again = rise(drawn.layout, AtNode("n2"), 3600, pen)
    assert again.layout is drawn.layout
    assert rise(pipe, AtNode("n2"), 2400, pen).legs == ()


def test_a_rise_too_far_out_is_not_drawn(pipe, pen):
    for start, to_mm in ((AtNode("n2"), 1_000_001), (OnLeg("l1", 700), -1_000_001), (Free(0, 1_000_001, 0), 500)):
        drawn = rise(pipe, start, to_mm, pen)
        assert drawn.layout is pipe
        assert (drawn.start, drawn.end, drawn.legs) == ("", "", ())


def test_a_rise_in_an_elevation_changes_y(drawn, pen):
    layout = drawn({"n1": (0, 0, 0), "n2": (0, 0, 3000)}, {"l1": "n1 n2"}, view="elevation")
    made = rise(layout, OnLeg("l1", 1000), -600, pen)
    assert made.layout.nodes[made.end] == Node(0, -600, 1000)


def test_a_rise_ends_at_the_node_that_is_there(drawn, pen):
    nodes = {"n1": (0, 0, 0), "n2": (900, 0, 0), "n10": (900, 0, 600), "n9": (900, 0, 600), "n3": (0, 0, 600)}
    layout = drawn(nodes, {"l1": "n1 n2", "l2": "n3 n10", "l3": "n3 n9"})
    assert rise(layout, AtNode("n2"), 600, pen).end == "n9"


def test_a_split_shares_items_and_the_taped_length(drawn, with_leg):
    layout = drawn({"n1": (0, 0, 0), "n2": (4000, 0, 0)}, {"l1": "n1 n2"}, [("l1", 400), ("l1", 1000), ("l1", 1900)])
    layout = with_leg(layout, "l1", measured_mm=4033)
    split, node = split_leg(layout, "l1", 1000)
    assert {name: (item.leg, item.at_mm) for name, item in split.items.items()} == {
        "v1": ("l1", 400),
        "v2": ("l1", 1000),
        "v3": ("l2", 900),
    }
    assert split.items["v1"] is layout.items["v1"]
    assert (split.legs["l1"].measured_mm, split.legs["l2"].measured_mm) == (1008, 3025)
    assert split.legs["l2"].start == split.legs["l1"].end == node


@pytest.mark.parametrize(
    ("at_mm", "node"), [(0, "n1"), (-5, "n1"), (0.4, "n1"), (4000, "n2"), (3999.6, "n2"), (9000, "n2")]
)
def test_at_its_ends_a_leg_is_not_split(pipe, at_mm, node):
    split, met = split_leg(pipe, "l1", at_mm)
    assert split is pipe
    assert met == node


def test_one_taped_millimetre_cannot_be_shared(pipe, with_leg):
    split, _ = split_leg(with_leg(pipe, "l1", measured_mm=1), "l1", 2000)
    assert (split.legs["l1"].measured_mm, split.legs["l2"].measured_mm) == (1, None)


def test_a_steep_leg_is_split_at_the_nearest_whole_millimetre(drawn):
    layout = drawn({"n1": (0, 0, 0), "n2": (1732, 1000, 0)}, {"l1": "n1 n2"})
    split, node = split_leg(layout, "l1", 1000)
    assert split.nodes[node] == Node(866, 500, 0)
    assert dist(split.nodes["n1"], split.nodes[node]) == pytest.approx(1000, abs=1)


def test_a_leg_without_length_is_not_split(drawn):
    layout = drawn({"n1": (5, 5, 5), "n2": (5, 5, 5)}, {"l1": "n1 n2"})
    split, node = split_leg(layout, "l1", 10)
    assert split is layout
    assert node in ("n1", "n2")


def test_a_place_too_far_out_has_no_node(pipe):
    assert place_node(pipe, Free(0, 0, 1_000_001)) == (pipe, "")
    far, node = place_node(pipe, Free(0, 0, 1_000_000))
    assert far.nodes[node] == Node(0, 0, 1_000_000)
