"""Items in the line of a leg: put there, and slid along it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.edit.ids import next_id
from layoutest.edit.places import drawn_mm
from layoutest.edit.tables import FARTHEST_MM, changed
from layoutest.layout.document import Item

if TYPE_CHECKING:
    from layoutest.layout.document import ItemCover, ItemKind, Layout


def add_item(
    layout: Layout,
    leg: str,
    at_mm: float,
    kind: ItemKind,
    *,
    length_mm: int | None = None,
    covered: ItemCover | None = None,
    clear_mm: int = 0,
) -> tuple[Layout, str]:
    """Put an item on a leg, its middle at a distance from the leg's start, or at the end that is nearer.

    Without a cover told, the covering runs through over a support, and everything else has a jacket.

    Returns:
        the layout and the item's id.
    """
    name = next_id(layout, "v")
    usual: ItemCover = "through" if kind == "support" else "jacket"
    item = Item(leg, _on_leg(layout, leg, at_mm), kind, length_mm, covered or usual, clear_mm)
    return changed(layout, {"items": {name: item}}), name


def slide_item(layout: Layout, name: str, at_mm: float) -> Layout:
    """Move an item along its leg, at most to an end."""
    item = layout.items[name]
    return changed(layout, {"items": {name: replace(item, at_mm=_on_leg(layout, item.leg, at_mm))}})


def slid(layout: Layout, item: Item, by: tuple[int, int, int]) -> Item:
    """An item moved along its leg by as much of a vector (in x, y and level, mm) as runs along the leg."""
    leg = layout.legs[item.leg]
    way = [b - a for a, b in zip(layout.nodes[leg.start], layout.nodes[leg.end], strict=True)]
    along_mm = sum(a * b for a, b in zip(way, by, strict=True)) / (drawn_mm(layout, leg) or 1)
    return replace(item, at_mm=_on_leg(layout, item.leg, item.at_mm + along_mm))


def _on_leg(layout: Layout, leg: str, at_mm: float) -> int:
    return min(max(round(at_mm), 0), int(drawn_mm(layout, layout.legs[leg])), FARTHEST_MM)
