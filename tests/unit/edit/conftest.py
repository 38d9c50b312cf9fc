"""Small layouts in a few words: nodes as (x, y, level) in mm, legs as their two nodes."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.edit.draw import Pen
from layoutest.layout.document import Item, Layout, Leg, Node, Outline, Service


@pytest.fixture
def pen():
    return Pen("HF", "steel DN50", area="Roof")


@pytest.fixture
def drawn():
    def make(nodes, legs, items=(), structure=None, **sheet):
        """Legs are told as "n1 n2" under their id, items as (leg, at_mm)."""
        return Layout(
            services=MappingProxyType({"HF": Service("Heating flow", covering="stone-wool-foil", thickness_mm=40)}),
            nodes=MappingProxyType({name: Node(*place) for name, place in nodes.items()}),
            legs=MappingProxyType({name: Leg(*ends.split(), "HF", "steel DN50") for name, ends in legs.items()}),
            items=MappingProxyType({f"v{number}": Item(*item) for number, item in enumerate(items, start=1)}),
            structure=MappingProxyType({name: Outline(*one) for name, one in (structure or {}).items()}),
            **sheet,
        )

    return make


@pytest.fixture
def with_leg():
    def make(layout, name, **fields):
        return replace(layout, legs=MappingProxyType({**layout.legs, name: replace(layout.legs[name], **fields)}))

    return make


@pytest.fixture
def pipe(drawn):
    """One pipe along x, 4 m long."""
    return drawn({"n1": (0, 0, 2400), "n2": (4000, 0, 2400)}, {"l1": "n1 n2"})
