"""Straights: maximal chains of legs that run on into one another."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from math import fsum
from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.network.meeting import away

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.choose import ChosenLeg, Spec
    from layoutest.layout.geometry import Vector
    from layoutest.network.meeting import Pair


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight, directed from its end node with the smaller id.

    `key`, its smallest leg id, names it inside the program; the s-numbers are given when a result is written.
    `offsets_mm` says how far along the straight each node stands.
    """

    key: str
    spec: Spec
    legs: tuple[ChosenLeg, ...]
    nodes: tuple[str, ...]
    offsets_mm: tuple[float, ...]
    centre_line_mm: float

    @property
    def heading(self) -> Vector:
        """Its direction, taken at its first node."""
        return away(self.legs[0], self.nodes[0])

    def offset_mm(self, node: str) -> float:
        """How far along it one of its nodes stands."""
        return self.offsets_mm[self.nodes.index(node)]

    def leg_at(self, place_mm: float) -> ChosenLeg:
        """The leg at a place along it; the nearest one beyond its ends."""
        for leg, end_mm in zip(self.legs, self.offsets_mm[1:], strict=True):
            if place_mm < end_mm:
                return leg
        return self.legs[-1]


def straights_of(
    legs: Mapping[str, ChosenLeg], names: Iterable[str], joins: Mapping[str, tuple[Pair, ...]]
) -> list[Straight]:
    """Make the straights that hold some legs; `joins` gives, for each node, the pairs of legs that run on there."""
    made: list[Straight] = []
    done: set[str] = set()
    for name in names:
        if name not in done:
            made.append(_straight(*_chain(legs[name], legs, joins)))
            done.update(leg.id for leg in made[-1].legs)
    return made


def _chain(
    leg: ChosenLeg, legs: Mapping[str, ChosenLeg], joins: Mapping[str, tuple[Pair, ...]]
) -> tuple[list[ChosenLeg], list[str]]:
    """The whole chain that a leg is in, and its nodes, both from one end to the other."""
    ahead, nodes = _walk(leg, leg.end, legs, joins)
    if ahead and nodes[-1] == leg.start and _onward(leg.id, leg.start, joins) == ahead[-1].id:
        # A ring of turns that are all within the tolerance has no end: it is cut open where its smallest leg begins.
        first = min((leg, *ahead), key=lambda part: natural_key(part.id))
        start, end = sorted((first.start, first.end), key=natural_key)
        ahead, nodes = _walk(first, end, legs, joins)
        return [first, *ahead], [start, *nodes]
    behind, before = _walk(leg, leg.start, legs, joins)
    return [*reversed(behind), leg, *ahead], [*reversed(before), *nodes]


def _walk(
    leg: ChosenLeg, node: str, legs: Mapping[str, ChosenLeg], joins: Mapping[str, tuple[Pair, ...]]
) -> tuple[list[ChosenLeg], list[str]]:
    """The legs that follow a leg beyond one of its nodes, and the nodes from that one on."""
    passed, nodes, here = [], [node], leg
    while (name := _onward(here.id, node, joins)) is not None and name != leg.id:
        here = legs[name]
        node = here.end if node == here.start else here.start
        passed.append(here)
        nodes.append(node)
    return passed, nodes


def _onward(name: str, node: str, joins: Mapping[str, tuple[Pair, ...]]) -> str | None:
    for first, second in joins.get(node, ()):
        if name == first:
            return second
        if name == second:
            return first
    return None


def _straight(legs: list[ChosenLeg], nodes: list[str]) -> Straight:
    # A chain that comes back to the node where it began is directed by its legs.
    ends = (natural_key(nodes[0]), natural_key(legs[0].id)), (natural_key(nodes[-1]), natural_key(legs[-1].id))
    if ends[1] < ends[0]:
        legs, nodes = legs[::-1], nodes[::-1]
    if len(legs) == 1:
        length_mm = legs[0].length_mm
        return Straight(legs[0].id, legs[0].spec, tuple(legs), tuple(nodes), (0.0, length_mm), length_mm)
    lengths = [leg.length_mm for leg in legs]
    return Straight(
        min((leg.id for leg in legs), key=natural_key),
        legs[0].spec,
        tuple(legs),
        tuple(nodes),
        tuple(accumulate(lengths, initial=0.0)),
        fsum(lengths),
    )
