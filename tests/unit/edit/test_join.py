from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.edit.join import join_nodes, join_on_leg
from layoutest.layout.document import FittingChoice, Node


def ends(layout):
    return {name: (leg.start, leg.end) for name, leg in layout.legs.items()}


def test_legs_are_ended_at_the_node_that_is_kept(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (900, 0, 0), "n3": (900, 0, 0), "n4": (900, 900, 0)}, {"l1": "n1 n2", "l2": "n3 n4"}
    )
    layout = replace(layout, fittings=MappingProxyType({"n3": FittingChoice(mitres=2), "n2": FittingChoice(mitres=3)}))
    joined = join_nodes(layout, "n2", "n3")
    assert ends(joined) == {"l1": ("n1", "n2"), "l2": ("n2", "n4")}
    assert joined.nodes.keys() == {"n1", "n2", "n4"}
    assert joined.fittings.keys() == {"n2"}
    assert joined.legs["l1"] is layout.legs["l1"]


def test_a_leg_between_both_and_a_double_go_with_their_items(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (900, 0, 0), "n3": (900, 900, 0)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n1"},
        [("l1", 100), ("l2", 100), ("l3", 100)],
    )
    joined = join_nodes(layout, "n2", "n3")
    assert ends(joined) == {"l1": ("n1", "n2")}
    assert joined.items.keys() == {"v1"}
    assert join_nodes(layout, "n2", "n2") is layout


@pytest.mark.parametrize("off_mm", [0, 1, -1])
def test_an_end_on_a_leg_becomes_a_tee(drawn, off_mm):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (4000, 0, 0), "n3": (1500, off_mm, 0), "n4": (1500, 900, 0)},
        {"l1": "n1 n2", "l2": "n3 n4"},
        [("l1", 3000)],
    )
    joined = join_on_leg(layout, "n3", "l1")
    assert ends(joined) == {"l1": ("n1", "n3"), "l2": ("n3", "n4"), "l3": ("n3", "n2")}
    assert joined.nodes == layout.nodes
    assert (joined.items["v1"].leg, joined.items["v1"].at_mm) == ("l3", 1500)


@pytest.mark.parametrize("place", [(1500, 2, 0), (1500, 0, -2), (4002, 0, 0), (-2, 0, 0)])
def test_an_end_elsewhere_is_not_joined(drawn, place):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (4000, 0, 0), "n3": place, "n4": (1500, 900, 0)}, {"l1": "n1 n2", "l2": "n3 n4"}
    )
    assert join_on_leg(layout, "n3", "l1") is layout


def test_an_end_at_the_end_of_a_leg_is_joined_to_it(drawn):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (4000, 0, 0), "n3": (4001, 0, 0), "n4": (4001, 9, 0)}, {"l1": "n1 n2", "l2": "n3 n4"}
    )
    joined = join_on_leg(layout, "n3", "l1")
    assert ends(joined) == {"l1": ("n1", "n3"), "l2": ("n3", "n4")}
    assert joined.nodes["n3"] == Node(4001, 0, 0)


def test_a_leg_is_not_joined_to_its_own_end(pipe, drawn):
    assert join_on_leg(pipe, "n2", "l1") is pipe
    point = drawn({"n1": (0, 0, 0), "n2": (0, 0, 0), "n3": (0, 0, 0)}, {"l1": "n1 n2"})
    assert join_on_leg(point, "n3", "l1") is point
