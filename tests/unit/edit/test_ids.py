from __future__ import annotations

from dataclasses import replace
from itertools import islice
from types import MappingProxyType

import pytest

from layoutest.edit.ids import fresh_ids, next_id
from layoutest.layout.document import Layout, Leg, Node


def numbered(*names):
    nodes = {"a": Node(0, 0, 0), "b": Node(1, 0, 0)}
    legs = {name: Leg("a", "b", "HF", "steel DN50") for name in names}
    return Layout(nodes=MappingProxyType(nodes), legs=MappingProxyType(legs))


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ((), "l1"),
        (("l1", "l2"), "l3"),
        (("l2", "l9", "l1"), "l10"),
        (("l1", "l70"), "l71"),
        (("riser", "l4x", "x9", "l"), "l1"),
        (("riser", "return", "branch", "drain", "l3", "l1", "l2", "supply", "vent", "spare"), "l4"),
        (("l007",), "l1"),
        (tuple(f"l{number}" for number in range(1, 100)), "l100"),
        (tuple(f"l{number}" for number in range(1, 101)), "l101"),
    ],
)
def test_the_number_after_the_largest(names, expected):
    assert next_id(numbered(*names), "l") == expected


def test_ids_are_used_once_across_all_tables():
    layout = numbered("l1")
    layout = replace(layout, nodes=MappingProxyType({**layout.nodes, "l2": Node(2, 0, 0)}))
    assert list(islice(fresh_ids(layout, "l"), 2)) == ["l3", "l4"]
