"""Straights: maximal chains of legs that run on into one another."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from math import fsum
from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.network.graph import chains
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


def straights_of(legs: Mapping[str, ChosenLeg], names: Iterable[str], joins: Mapping[str, tuple[Pair, ...]]) -> list[Straight]:
    """Make the straights of some legs; `joins` gives, for each node, the pairs of legs that run on there."""
    wanted = set(names)
    nodes = {node for name in wanted for node in (legs[name].start, legs[name].end)}
    pairs = [pair for node in nodes for pair in joins.get(node, ()) if wanted.issuperset(pair)]
    return [_straight([legs[name] for name in chain]) for chain in chains(wanted, pairs)]


def _straight(legs: list[ChosenLeg]) -> Straight:
    at_node: dict[str, list[ChosenLeg]] = {}
    for leg in legs:
        at_node.setdefault(leg.start, []).append(leg)
        at_node.setdefault(leg.end, []).append(leg)
    first = min((node for node, held in at_node.items() if len(held) == 1), key=natural_key)
    nodes, ordered = [first], []
    leg = at_node[first][0]
    while True:
        ordered.append(leg)
        nodes.append(leg.end if nodes[-1] == leg.start else leg.start)
        onward = [other for other in at_node[nodes[-1]] if other is not leg]
        if not onward:
            break
        leg = onward[0]
    lengths = [leg.length_mm for leg in ordered]
    return Straight(
        min((leg.id for leg in legs), key=natural_key),
        legs[0].spec,
        tuple(ordered),
        tuple(nodes),
        tuple(accumulate(lengths, initial=0.0)),
        fsum(lengths),
    )
