"""Items in the line of a leg: put there, and slid along it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.edit.ids import fresh_ids
from layoutest.edit.places import drawn_mm
from layoutest.edit.tables import changed
from layoutest.layout.document import Item

if TYPE_CHECKING:
    from layoutest.layout.document import ItemKind, Layout


def add_item(layout: Layout, leg: str, at_mm: int, kind: ItemKind) -> tuple[Layout, str]:
    """Put an item on a leg, its middle at a distance from the leg's start; the covering runs over a support."""
    name = next(fresh_ids(layout, "v"))
    covered = "through" if kind == "support" else "jacket"
    item = Item(leg, _on_leg(layout, leg, at_mm), kind, covered=covered)  # type: ignore[arg-type]
    return changed(layout, {"items": {name: item}}), name


def slide_item(layout: Layout, name: str, at_mm: int) -> Layout:
    """Move an item along its leg."""
    item = layout.items[name]
    return changed(layout, {"items": {name: replace(item, at_mm=_on_leg(layout, item.leg, at_mm))}})


def _on_leg(layout: Layout, leg: str, at_mm: int) -> int:
    return min(max(round(at_mm), 0), int(drawn_mm(layout, layout.legs[leg])))
