"""Where a leg begins or ends: at a node, on a leg, which is split there, or free on the sheet."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.ids import fresh_ids
from layoutest.edit.tables import changed
from layoutest.layout.document import Node

if TYPE_CHECKING:
    from layoutest.layout.document import Item, Layout, Leg


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
    """The node at a place; it is made where there is none."""
    if isinstance(place, AtNode):
        return layout, place.node
    if isinstance(place, OnLeg):
        return split_leg(layout, place.leg, place.at_mm)
    node = next(fresh_ids(layout, "n"))
    return changed(layout, {"nodes": {node: Node(*place)}}), node


def drawn_mm(layout: Layout, leg: Leg) -> float:
    """The drawn length of a leg."""
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    return sqrt(sum((b - a) ** 2 for a, b in zip(start, end, strict=True)))


def split_leg(layout: Layout, leg_id: str, at_mm: float) -> tuple[Layout, str]:
    """Split a leg at a distance from its start; at one of its ends it is not split.

    The part at the start keeps the id. Items go with the part that holds their middle; a taped length is shared in the
    proportion of the parts.

    Returns:
        the layout and the node at the place.
    """
    leg = layout.legs[leg_id]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    length_mm = drawn_mm(layout, leg)
    if length_mm == 0:
        return layout, leg.start
    share = at_mm / length_mm
    middle = Node(*(round(a + (b - a) * share) for a, b in zip(start, end, strict=True)))
    if share <= 0 or middle == start:
        return layout, leg.start
    if share >= 1 or middle == end:
        return layout, leg.end
    node, second_id = next(fresh_ids(layout, "n")), next(fresh_ids(layout, "l"))
    first_mm = sqrt(sum((b - a) ** 2 for a, b in zip(start, middle, strict=True)))
    taped = _shared(leg.measured_mm, first_mm / length_mm)
    first = replace(leg, end=node, measured_mm=taped[0])
    second = replace(leg, start=node, measured_mm=taped[1])
    items = _parted(layout, leg_id, second_id, first_mm)
    return changed(layout, {"nodes": {node: middle}, "legs": {leg_id: first, second_id: second}, "items": items}), node


def _shared(taped_mm: int | None, share: float) -> tuple[int | None, int | None]:
    if taped_mm is None or taped_mm < 2:
        return taped_mm, taped_mm
    first = min(max(round(taped_mm * share), 1), taped_mm - 1)
    return first, taped_mm - first


def _parted(layout: Layout, first: str, second: str, first_mm: float) -> dict[str, Item]:
    """The items that come to stand on the second part."""
    return {
        name: replace(item, leg=second, at_mm=max(round(item.at_mm - first_mm), 0))
        for name, item in layout.items.items()
        if item.leg == first and item.at_mm > first_mm
    }
