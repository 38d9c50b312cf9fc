"""Small layouts, drawn in a few words and covered from the example book."""

from __future__ import annotations

from types import MappingProxyType

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.layout.document import Layout, Leg, Node, PipeSize, Service, Settings
from layoutest.network import derive

# Covered 25 mm thick, the first three have D 110 mm and R 55 mm; "wide" has D 194 at 40, "slim" D 72 at 25.
PIPES = {
    "tight": PipeSize(60, 0),
    "long": PipeSize(60, 200),
    "other": PipeSize(60, 0),
    "wide": PipeSize(114, 0),
    "slim": PipeSize(22, 0),
}
SERVICES = MappingProxyType({"S": Service(covering="stone-wool-foil", thickness_mm=25)})


class Drawn:
    """A covered layout, and what stands in it in short."""

    def __init__(self, layout, book, before=None):
        self.layout = layout
        self.chosen = choose(layout, book, before and before.chosen)
        self.network = derive(self.chosen, before and before.network)
        self.covering = cover(self.network, before and before.covering)

    def runs(self, of=None):
        return [run for run in self.covering.runs() if of in (None, run.of)]

    def run(self, of):
        (run,) = self.runs(of)
        return run

    def made(self, place):
        return self.covering.joined.get(place) or self.covering.faces[place]

    def everything(self, kind):
        parts = [*self.covering.joined.values(), *self.covering.faces.values()]
        return [thing for part in parts for thing in getattr(part, kind)]

    def joints(self):
        """(place, kind, count, length) of every joint."""
        found = self.everything("joints")
        return sorted((joint.place, joint.kind, joint.count, round(joint.length_mm, 1)) for joint in found)

    def seals(self):
        return sorted(seal.place for seal in self.everything("seals"))

    def fittings(self):
        return sorted((fitting.node, fitting.kind) for fitting in self.everything("fittings"))

    def snags(self):
        return sorted((snag.code, *snag.where) for snag in self.covering.snags())


def leg(text, **more):
    """A leg from `start end pipe`."""
    start, end, pipe = text.split()
    return Leg(start, end, "S", pipe, **more)


@pytest.fixture(scope="session")
def book():
    return read_book(example_book_folder())


@pytest.fixture(scope="session")
def draw(book):
    """Cover a layout: nodes by name, legs by name as `start end pipe` or as a `Leg`."""

    def drawn(nodes, legs, *, items=None, fittings=None, before=None, settings=None):
        layout = Layout(
            settings=settings or Settings(),
            pipes=MappingProxyType(PIPES),
            services=SERVICES,
            nodes=MappingProxyType({name: Node(*place, *(0,) * (3 - len(place))) for name, place in nodes.items()}),
            legs=MappingProxyType({k: leg(v) if isinstance(v, str) else v for k, v in legs.items()}),
            fittings=MappingProxyType(fittings or {}),
            items=MappingProxyType(items or {}),
        )
        return Drawn(layout, book, before)

    return drawn


@pytest.fixture(scope="session")
def make_leg():
    return leg
