"""Joining what lies together: two nodes into one, or an end to the leg that it lies on."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from typing import TYPE_CHECKING

from layoutest.edit.places import split_leg
from layoutest.edit.tables import changed
from layoutest.layout.contacts import MEET_MM
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from layoutest.layout.document import Layout, Leg


def join_nodes(layout: Layout, kept: str, gone: str) -> Layout:
    """Put one node in place of another. A leg between both, or one that doubles another then, goes with its items."""
    if kept == gone:
        return layout
    pairs = {frozenset((leg.start, leg.end)) for leg in layout.legs.values() if kept in (leg.start, leg.end)}
    legs: dict[str, Leg] = {}
    dropped: set[str] = set()
    for name in sorted((name for name, leg in layout.legs.items() if gone in (leg.start, leg.end)), key=natural_key):
        leg = layout.legs[name]
        ended = replace(leg, start=kept if leg.start == gone else leg.start, end=kept if leg.end == gone else leg.end)
        pair = frozenset((ended.start, ended.end))
        if len(pair) == 1 or pair in pairs:
            dropped.add(name)
        else:
            legs[name] = ended
            pairs.add(pair)
    items = {name for name, item in layout.items.items() if item.leg in dropped}
    return changed(layout, {"legs": legs}, {"nodes": {gone}, "fittings": {gone}, "legs": dropped, "items": items})


def join_on_leg(layout: Layout, node: str, leg_id: str) -> Layout:
    """Make a tee where a node lies on a leg, within 1 mm; nothing happens to a node elsewhere or of the leg itself."""
    leg = layout.legs[leg_id]
    start, end, at = layout.nodes[leg.start], layout.nodes[leg.end], layout.nodes[node]
    whole_mm = dist(start, end)
    if node in (leg.start, leg.end) or not whole_mm:
        return layout
    way = [(b - a) / whole_mm for a, b in zip(start, end, strict=True)]
    along_mm = sum(d * (b - a) for d, a, b in zip(way, start, at, strict=True))
    along_mm = min(max(along_mm, 0), whole_mm)
    if dist(at, [a + d * along_mm for a, d in zip(start, way, strict=True)]) > MEET_MM:
        return layout
    split, met = split_leg(layout, leg_id, along_mm)
    return join_nodes(split, node, met)
