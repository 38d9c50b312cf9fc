"""Joining what lies together: two nodes into one, or an end to the leg that it lies on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.edit.places import split_leg
from layoutest.edit.tables import changed

if TYPE_CHECKING:
    from layoutest.layout.document import Layout, Leg


def join_nodes(layout: Layout, kept: str, gone: str) -> Layout:
    """Put one node in place of another. A leg that loses its length, or doubles one that is there, goes with it."""
    if kept == gone:
        return layout
    legs: dict[str, Leg] = {}
    dropped: set[str] = set()
    pairs = {frozenset((leg.start, leg.end)) for leg in layout.legs.values() if gone not in (leg.start, leg.end)}
    for name, leg in layout.legs.items():
        if gone not in (leg.start, leg.end):
            continue
        ended = replace(leg, start=kept if leg.start == gone else leg.start, end=kept if leg.end == gone else leg.end)
        pair = frozenset((ended.start, ended.end))
        if len(pair) == 1 or pair in pairs:
            dropped.add(name)
        else:
            legs[name] = ended
            pairs.add(pair)
    items = {name for name, item in layout.items.items() if item.leg in dropped}
    return changed(layout, {"legs": legs}, {"nodes": {gone}, "fittings": {gone}, "legs": dropped, "items": items})


def join_on_leg(layout: Layout, node: str, leg: str) -> Layout:
    """Split a leg where a node lies on it and join both: an end on a leg becomes a tee."""
    start, end = layout.nodes[layout.legs[leg].start], layout.nodes[layout.legs[leg].end]
    along = [b - a for a, b in zip(start, end, strict=True)]
    off = [b - a for a, b in zip(start, layout.nodes[node], strict=True)]
    square = sum(a * a for a in along)
    if not square:
        return layout
    split, met = split_leg(layout, leg, sum(a * b for a, b in zip(along, off, strict=True)) / square**0.5)
    return join_nodes(split, node, met) if met != node else layout
