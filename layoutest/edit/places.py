"""Where a leg begins or ends: at a node, on a leg, which is split there, or free on the sheet."""

from __future__ import annotations

from dataclasses import replace
from math import dist, gcd
from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.ids import next_id
from layoutest.edit.tables import changed
from layoutest.layout.document import Node

if TYPE_CHECKING:
    from layoutest.layout.document import Item, Layout, Leg

# A leg at 45° is split at a point that lies exactly on it, if it has one about as often as this.
EXACT_WITHIN_MM = 3


class AtNode(NamedTuple):
    """At a node that is there."""

    node: str


class OnLeg(NamedTuple):
    """On a leg, so far from its start along the drawn leg."""

    leg: str
    at_mm: int


class Free(NamedTuple):
    """At a point where nothing is drawn."""

    x_mm: int
    y_mm: int
    level_mm: int


Place = AtNode | OnLeg | Free


def place_node(layout: Layout, place: Place) -> tuple[Layout, str]:
    """The node at a place; it is made where there is none.

    Returns:
        the layout and the node; no node (an empty id) for a free place farther out than a file can hold.
    """
    if isinstance(place, AtNode):
        return layout, place.node
    if isinstance(place, OnLeg):
        return split_leg(layout, place.leg, place.at_mm)
    node = next_id(layout, "n")
    made = changed(layout, {"nodes": {node: Node(*place)}})
    return made, "" if made is layout else node


def drawn_mm(layout: Layout, leg: Leg) -> float:
    """The drawn length of a leg."""
    return dist(layout.nodes[leg.start], layout.nodes[leg.end])


def split_leg(layout: Layout, leg_id: str, at_mm: float) -> tuple[Layout, str]:
    """Split a leg at a distance from its start; at one of its ends it is not split.

    The part at the start keeps the id. Items go with the part that holds their middle; a taped length is shared in the
    proportion of the parts.

    Returns:
        the layout and the node at the place.
    """
    leg = layout.legs[leg_id]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    middle = _point(start, end, at_mm)
    if middle in (start, end):
        return layout, leg.start if middle == start else leg.end
    node, second_id = next_id(layout, "n"), next_id(layout, "l")
    first_mm = dist(start, middle)
    taped = _shared(leg.measured_mm, first_mm / dist(start, end))
    first = replace(leg, end=node, measured_mm=taped[0])
    second = replace(leg, start=node, measured_mm=taped[1])
    items = _parted(layout, leg_id, second_id, first_mm)
    return changed(layout, {"nodes": {node: middle}, "legs": {leg_id: first, second_id: second}, "items": items}), node


def _point(start: Node, end: Node, at_mm: float) -> Node:
    """The point of whole millimetres at a distance along a line; exactly on the line where that is near enough."""
    whole_mm = dist(start, end)
    if at_mm <= 0 or at_mm >= whole_mm:
        return start if at_mm <= 0 else end
    way = [b - a for a, b in zip(start, end, strict=True)]
    steps = gcd(*way)
    if whole_mm / steps > EXACT_WITHIN_MM:
        # Rounded from the start, so that both directions of a leg are rounded alike.
        return Node(*(a + round(d * at_mm / whole_mm) for a, d in zip(start, way, strict=True)))
    step = round(steps * at_mm / whole_mm)
    return Node(*(a + d // steps * step for a, d in zip(start, way, strict=True)))


def _shared(taped_mm: int | None, share: float) -> tuple[int | None, int | None]:
    if taped_mm is None or taped_mm < 2:
        # One millimetre cannot be shared: the second part counts as drawn.
        return taped_mm, None
    first = min(max(round(taped_mm * share), 1), taped_mm - 1)
    return first, taped_mm - first


def _parted(layout: Layout, first: str, second: str, first_mm: float) -> dict[str, Item]:
    """The items that come to stand on the second part."""
    return {
        name: replace(item, leg=second, at_mm=max(round(item.at_mm - first_mm), 0))
        for name, item in layout.items.items()
        if item.leg == first and item.at_mm > first_mm
    }
