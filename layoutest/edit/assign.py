"""Typing over what is drawn: what legs are made of, their lengths, levels, items and the sheet itself."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal

from layoutest.edit.move import legs_by_node, stretch
from layoutest.edit.places import drawn_mm
from layoutest.edit.tables import changed
from layoutest.layout.document import FittingChoice, Node
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.layout.document import Layout


def set_legs(layout: Layout, legs: Iterable[str], **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a leg
    """Change fields of legs: `service`, `pipe`, `covered`, `covering`, `thickness_mm`, `area`, `access`, `measured_mm`."""
    return changed(layout, {"legs": {name: replace(layout.legs[name], **fields) for name in legs}})


def set_item(layout: Layout, item: str, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of an item
    """Change fields of an item."""
    return changed(layout, {"items": {item: replace(layout.items[item], **fields)}})


def set_fitting(layout: Layout, node: str, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a choice
    """Change what is wanted at a bend; a choice that says nothing is taken away."""
    choice = replace(layout.fittings.get(node, FittingChoice()), **fields)
    if choice == FittingChoice():
        return changed(layout, gone={"fittings": {node}})
    return changed(layout, {"fittings": {node: choice}})


def set_sheet(layout: Layout, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a layout
    """Change the sheet: `title`, `revision`, `view`, `grid_mm`, `times`."""
    made = replace(layout, **fields)
    return layout if made == layout else made


def set_level(layout: Layout, nodes: Iterable[str], level_mm: int) -> Layout:
    """Put nodes on a level; rises and drops at them change, other legs slant."""
    return changed(layout, {"nodes": {name: layout.nodes[name]._replace(level_mm=level_mm) for name in nodes}})


def set_length(layout: Layout, leg_id: str, length_mm: int, fixed: Literal["start", "end"] = "start") -> Layout:
    """Set the drawn length of a leg: all that hangs beyond its far end moves with that end.

    Where the far end hangs on the fixed one by another way, only the line at the far end is moved.
    """
    leg = layout.legs[leg_id]
    near, far = (leg.start, leg.end) if fixed == "start" else (leg.end, leg.start)
    here, there = layout.nodes[near], layout.nodes[far]
    old_mm = drawn_mm(layout, leg)
    if not old_mm:
        return layout
    end = [round(a + (b - a) * length_mm / old_mm) for a, b in zip(here, there, strict=True)]
    by = (end[0] - there[0], end[1] - there[1], end[2] - there[2])
    beyond = _beyond(layout, leg_id, far)
    if near not in beyond:
        return changed(layout, {"nodes": {name: _moved(layout.nodes[name], by) for name in beyond}})
    legs_at = legs_by_node(layout)
    move = spot_of(layout.view, Node(*by))
    across = next((name for name in legs_at[far] if name != leg_id and _is_across(layout, name, leg_id)), None)
    if across:
        return stretch(layout, across, move[:2])
    return changed(layout, {"nodes": {far: _moved(there, by)}})


def _moved(node: Node, by: tuple[int, int, int]) -> Node:
    return Node(node[0] + by[0], node[1] + by[1], node[2] + by[2])


def _is_across(layout: Layout, first: str, second: str) -> bool:
    ways = []
    for name in (first, second):
        leg = layout.legs[name]
        start, end = layout.nodes[leg.start], layout.nodes[leg.end]
        ways.append([b - a for a, b in zip(start, end, strict=True)])
    return sum(a * b for a, b in zip(*ways, strict=True)) == 0


def _beyond(layout: Layout, leg: str, node: str) -> set[str]:
    """All nodes that hang on a node by legs other than one."""
    legs_at = legs_by_node(layout)
    found, ahead = {node}, [node]
    while ahead:
        for name in legs_at.get(ahead.pop(), ()):
            if name != leg:
                fresh = {layout.legs[name].start, layout.legs[name].end} - found
                found |= fresh
                ahead += fresh
    return found


