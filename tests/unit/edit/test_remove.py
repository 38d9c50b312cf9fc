from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.edit.remove import delete
from layoutest.layout.document import FittingChoice


@pytest.fixture
def tee(drawn):
    """A pipe of two legs with a branch, a node on which nothing hangs, items on all legs."""
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (2000, 0, 0), "n4": (1000, 900, 0), "n5": (7, 7, 7)},
        {"l1": "n1 n2", "l2": "n2 n3", "l3": "n2 n4"},
        [("l1", 500), ("l2", 500), ("l3", 500)],
        {"w1": ("wall", ((0, 0), (1, 0), (1, 1)))},
    )
    return replace(layout, fittings=MappingProxyType({"n2": FittingChoice(mitres=2), "n4": FittingChoice(mitres=1)}))


def test_a_branch_goes_with_its_item_and_its_end(tee):
    left = delete(tee, {"l3"})
    assert left.legs == {name: tee.legs[name] for name in ("l1", "l2")}
    assert left.items.keys() == {"v1", "v2"}
    # The node where nothing hung before stays: nobody took anything from it.
    assert left.nodes.keys() == {"n1", "n2", "n3", "n5"}
    assert left.fittings.keys() == {"n2"}


def test_a_node_goes_with_all_legs_at_it(tee):
    left = delete(tee, {"n2"})
    assert not left.legs
    assert not left.items
    assert left.nodes.keys() == {"n5"}
    assert not left.fittings


def test_items_and_outlines_go_alone(tee):
    left = delete(tee, {"v2", "w1"})
    assert left.items.keys() == {"v1", "v3"}
    assert not left.structure
    assert left.legs is tee.legs
    assert left.nodes is tee.nodes


def test_what_is_not_there_is_no_fault(tee):
    assert delete(tee, {"l99"}) is tee
    assert delete(tee, ()) is tee
