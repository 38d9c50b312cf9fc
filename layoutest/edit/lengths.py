"""Typing the length of a leg or a level, with all that hangs beyond brought along."""

from __future__ import annotations

from math import dist
from typing import TYPE_CHECKING, Literal

from layoutest.edit.hanging import legs_by_node, other_end
from layoutest.edit.move import move_nodes
from layoutest.edit.tables import changed
from layoutest.layout.document import Node
from layoutest.layout.geometry import angle_deg, minus

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from layoutest.layout.document import Layout

STRAIGHT_DEG = 180.0


def set_level(layout: Layout, nodes: Iterable[str], level_mm: int) -> Layout:
    """Put nodes on a level; rises and drops at them change, other legs slant."""
    held = {name: layout.nodes[name] for name in nodes if name in layout.nodes}
    return changed(layout, {"nodes": {name: node._replace(level_mm=level_mm) for name, node in held.items()}})


def set_length(layout: Layout, leg_id: str, length_mm: int, fixed: Literal["start", "end"] = "start") -> Layout:
    """Set the drawn length of a leg: all that hangs beyond its far end moves with that end.

    Where the far end hangs on the fixed one by another way too, in a ring, only what stands at an angle at the far end
    moves, and legs that run the same way as this one grow or shrink; where that leads back to the fixed end, as in a
    triangle, the far end moves alone.

    Args:
        layout: the layout.
        leg_id: a leg; nothing happens to one without length.
        length_mm: at least 1; nothing happens for less.
        fixed: the end that stays.
    """
    leg = layout.legs[leg_id]
    near, far = (leg.start, leg.end) if fixed == "start" else (leg.end, leg.start)
    here, there = layout.nodes[near], layout.nodes[far]
    old_mm = dist(here, there)
    if not old_mm or length_mm < 1:
        return layout
    end = Node(*(a + round((b - a) * length_mm / old_mm) for a, b in zip(here, there, strict=True)))
    by = (end.x_mm - there.x_mm, end.y_mm - there.y_mm, end.level_mm - there.level_mm)
    for goes_on in (lambda name: name != leg_id, lambda name: name != leg_id and not _runs_along(layout, name, leg_id)):
        nodes = _reached(layout, far, goes_on)
        if near not in nodes:
            return move_nodes(layout, nodes, by)
    return move_nodes(layout, (far,), by)


def _reached(layout: Layout, node: str, goes_on: Callable[[str], bool]) -> set[str]:
    """All nodes that hang on a node by legs over which one may go on."""
    legs_at = legs_by_node(layout)
    found, ahead = {node}, [node]
    while ahead:
        here = ahead.pop()
        for name in legs_at[here]:
            there = other_end(layout.legs[name], here)
            if there not in found and goes_on(name):
                found.add(there)
                ahead.append(there)
    return found


def _runs_along(layout: Layout, first: str, second: str) -> bool:
    """Whether two legs run the same way, forth or back."""
    ways = []
    for name in (first, second):
        leg = layout.legs[name]
        ways.append(minus(layout.nodes[leg.end], layout.nodes[leg.start]))
    turn = angle_deg(*ways)
    return min(turn, STRAIGHT_DEG - turn) <= layout.settings.angle_tolerance_deg
