"""Pipes that meet away from a node, nodes on a leg, nodes in one place."""

from __future__ import annotations

import pytest

MEASURED = {"measured_mm": 900}


def cross(sketch, level=0, *, one=None, other=None):
    nodes = {"n1": (0, 0, 0), "n2": (2000, 0, 0), "n3": (700, -900, level), "n4": (700, 800, level)}
    return sketch(nodes, {"l10": ("n1 n2", one or {}), "l9": ("n3 n4", other or {})})


def test_pipes_that_meet(sketch):
    made = cross(sketch)
    assert made.codes() == [("pipes-meet", "l9", "l10")]
    snag = made.only("pipes-meet")
    assert (snag.severity, snag.says) == ("error", "Legs l9 and l10 cross in space without a node.")
    assert snag.do == "Join them at a node, or change the level of one."


@pytest.mark.parametrize("level", [1, -1, 300])
def test_pipes_that_cross_in_view_only(sketch, level):
    assert cross(sketch, level).codes() == []


def test_bare_pipes_meet_too(sketch):
    assert cross(sketch, one={"covered": False}).codes() == [("pipes-meet", "l9", "l10")]


@pytest.mark.parametrize("which", ["one", "other"])
def test_the_place_of_a_measured_leg_is_not_judged(sketch, which):
    leg = "l10" if which == "one" else "l9"
    assert cross(sketch, **{which: MEASURED}).codes() == [("measured-not-checked", leg)]


def test_a_leg_left_out_meets_nothing(sketch):
    assert cross(sketch, one={"pipe": "lead"}).codes() == [("unknown-pipe", "l10")]


def test_an_upright_leg_meets_a_level_one(sketch):
    nodes = {"n1": (0, 0, 1000), "n2": (2000, 0, 1000), "n3": (700, 0, 0), "n4": (700, 0, 3000)}
    assert sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4"}).codes() == [("pipes-meet", "l1", "l2")]


def test_slanting_legs_meet_where_rounding_leaves_them_less_than_a_millimetre_apart(sketch):
    # The second leg passes (1000, 1000/3): a third of a millimetre from any whole one.
    nodes = {"n1": (0, 0), "n2": (3000, 1000), "n3": (1000, -700), "n4": (1000, 900)}
    assert sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4"}).codes() == [("pipes-meet", "l1", "l2")]


def test_a_node_on_a_leg(sketch):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (700, 0), "n4": (700, 800)}
    made = sketch(nodes, {"l1": "n1 n2", "l2": "n4 n3"})
    assert made.codes() == [("node-on-leg", "l1", "n3")]
    snag = made.only("node-on-leg")
    assert (snag.severity, snag.says) == ("warning", "Node n3 lies on leg l1 and is not joined to it.")
    assert snag.do == "End leg l1 at node n3 to make a tee, or move the node."


def test_a_node_of_several_legs_on_a_leg_is_told_once(sketch):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (700, 0), "n4": (700, 800), "n5": (700, -800)}
    made = sketch(nodes, {"l1": "n1 n2", "l2": "n4 n3", "l3": "n3 n5"})
    assert made.codes() == [("node-on-leg", "l1", "n3")]


def test_a_node_on_a_measured_leg(sketch):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (700, 0), "n4": (700, 800)}
    made = sketch(nodes, {"l1": ("n1 n2", MEASURED), "l2": "n4 n3"})
    assert made.codes() == [("measured-not-checked", "l1")]


def test_nodes_in_one_place(sketch):
    nodes = {"n1": (0, 0), "n10": (2000, 0), "n9": (2000, 0), "n4": (2000, 800)}
    made = sketch(nodes, {"l1": "n1 n10", "l2": "n4 n9"})
    assert made.codes() == [("nodes-in-one-place", "n9", "n10")]
    snag = made.only("nodes-in-one-place")
    assert (snag.severity, snag.says) == ("warning", "Nodes n9 and n10 are in one place and not joined.")
    assert snag.do == "Make them one node, or move one of them."


def test_legs_end_to_end_in_line_do_not_overlap(sketch):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 0), "n4": (3000, 0)}
    assert sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4"}).codes() == [("nodes-in-one-place", "n2", "n3")]


def test_a_node_without_legs_is_a_stray_wherever_it_is(sketch):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (700, 0), "n4": (0, 0)}
    assert sketch(nodes, {"l1": "n1 n2"}).codes() == [("stray-node", "n3"), ("stray-node", "n4")]


def test_far_and_near_legs_are_compared_alike(sketch):
    # One leg of a kilometre among many short ones: each short one crosses it.
    nodes = {"n1": (-500_000, 0), "n2": (500_000, 0)}
    legs = {"l1": "n1 n2"}
    for number in range(40):
        x = 25_000 * number - 490_000
        nodes |= {f"a{number}": (x, -30), f"b{number}": (x + 7, 30)}
        legs[f"m{number}"] = f"a{number} b{number}"
    assert sketch(nodes, legs).codes() == sorted(("pipes-meet", "l1", f"m{number}") for number in range(40))
