"""Moving nodes, and what is picked."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.edit.items import slid
from layoutest.edit.stretch import stretch
from layoutest.edit.tables import changed
from layoutest.layout.document import Node

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.layout.document import Layout, Outline

__all__ = ["move_nodes", "move_selection", "moved_outline", "nodes_of", "stretch"]

Vector = tuple[int, int, int]


def move_nodes(layout: Layout, nodes: Iterable[str], by: Vector) -> Layout:
    """Move nodes by millimetres in x, y and level; legs at them grow, shrink or slant."""
    return changed(layout, {"nodes": _moved_nodes(layout, nodes, by)})


def move_selection(layout: Layout, ids: Iterable[str], by: Vector) -> Layout:
    """Move nodes, legs with their nodes and items, outlines; an item that is picked without its leg slides along it.

    Legs that are not picked but hang on what moves follow with their ends.
    """
    wanted = set(ids)
    nodes = nodes_of(layout, wanted)
    outlines = {name: moved_outline(layout.structure[name], by) for name in wanted & layout.structure.keys()}
    items = {name: layout.items[name] for name in wanted & layout.items.keys()}
    slipped = {name: slid(layout, item, by) for name, item in items.items() if item.leg not in wanted}
    return changed(layout, {"nodes": _moved_nodes(layout, nodes, by), "structure": outlines, "items": slipped})


def nodes_of(layout: Layout, ids: set[str]) -> set[str]:
    """The nodes among some ids, and those of the legs among them."""
    legs = [layout.legs[name] for name in ids & layout.legs.keys()]
    return (ids & layout.nodes.keys()) | {node for leg in legs for node in (leg.start, leg.end)}


def moved_outline(outline: Outline, by: Vector) -> Outline:
    """An outline moved in x and y; one that has levels is moved in level too."""
    dx, dy, dz = by
    levels = None if outline.levels_mm is None else (outline.levels_mm[0] + dz, outline.levels_mm[1] + dz)
    return replace(outline, outline=tuple((x + dx, y + dy) for x, y in outline.outline), levels_mm=levels)


def _moved_nodes(layout: Layout, nodes: Iterable[str], by: Vector) -> dict[str, Node]:
    dx, dy, dz = by
    held = {name: layout.nodes[name] for name in nodes if name in layout.nodes}
    return {name: Node(x + dx, y + dy, z + dz) for name, (x, y, z) in held.items()}
