"""Small layouts, drawn in a few words and derived with the example book."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.check.places import place_snags
from layoutest.check.structure import structure_snags
from layoutest.choose import choice_snags, choose
from layoutest.layout.document import Layout, Leg, Node, PipeSize, Service
from layoutest.network import derive
from layoutest.network.findings import network_snags

SERVICES = MappingProxyType(
    {
        "HF": Service("Heating flow", "water", 80, covering="stone-wool-foil", thickness_mm=40),
        "HR": Service("Heating return", "water", 60, covering="stone-wool-foil", thickness_mm=40),
    }
)
# Pipes of our own, so that no test hangs on the shipped table: all fit a bore of the example book well.
PIPES = MappingProxyType(
    {
        "big": PipeSize(114, 150),
        "mid": PipeSize(60, 75),
        "mid two": PipeSize(60, 75),
        "small": PipeSize(28, 0),
    }
)


class Sketch:
    """A layout with all that is derived from it."""

    def __init__(self, layout, book, before=None):
        self.layout = layout
        self.chosen = choose(layout, book, before and before.chosen)
        self.network = derive(self.chosen, before and before.network)

    def snags(self):
        return [
            *choice_snags(self.chosen),
            *network_snags(self.network),
            *place_snags(self.chosen),
            *structure_snags(self.chosen),
        ]

    def codes(self):
        """(code, places) of every snag, in the order of importance."""
        return [(snag.code, *snag.where) for snag in sorted(self.snags(), key=lambda snag: (snag.rank, snag.where))]

    def only(self, code):
        (snag,) = (snag for snag in self.snags() if snag.code == code)
        return snag

    def at(self, node):
        return self.network.junctions[node]

    def straights(self):
        """The legs of every straight by its name, in the straight's direction."""
        return {
            name: " ".join(leg.id for leg in self.network.straights[key].legs)
            for key, name in self.network.names.items()
        }

    def straight(self, name):
        keys = {name: key for key, name in self.network.names.items()}
        return self.network.straights[keys[name]]


@pytest.fixture(scope="session")
def book():
    return read_book(example_book_folder())


@pytest.fixture
def sketch(book):
    """Make a layout of nodes (x, y or x, y, level) and of legs, each `from to` or `from to pipe` or (that, fields)."""

    def make(nodes, legs, *, book=book, services=SERVICES, pipes=PIPES, before=None, **parts):
        drawn = {}
        for name, leg in legs.items():
            words, fields = leg if isinstance(leg, tuple) else (leg, {})
            start, end, *pipe = words.split(" ", 2)
            drawn[name] = replace(Leg(start, end, "HF", pipe[0] if pipe else "mid"), **fields)
        layout = Layout(
            services=services,
            pipes=pipes,
            nodes=MappingProxyType({name: Node(*place, *(0,) * (3 - len(place))) for name, place in nodes.items()}),
            legs=MappingProxyType(drawn),
            **{name: MappingProxyType(part) if isinstance(part, dict) else part for name, part in parts.items()},
        )
        return Sketch(layout, book, before)

    return make


@pytest.fixture
def star(sketch):
    """Make a layout of legs that all leave node n0: each arm is where it ends, with its pipe and fields if need be.

    Leg l1 runs from n0 to n1, l2 from n2 to n0, and so on in turns.
    """

    def make(*arms, **parts):
        nodes, legs = {"n0": (0, 0, 0)}, {}
        for number, (place, *rest) in enumerate(arms, 1):
            nodes[f"n{number}"] = place
            pipe = rest[0] if rest else "mid"
            ends = f"n0 n{number}" if number % 2 else f"n{number} n0"
            legs[f"l{number}"] = (f"{ends} {pipe}", rest[1] if len(rest) > 1 else {})
        return sketch(nodes, legs, **parts)

    return make
