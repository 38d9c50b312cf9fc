"""Moving: nodes, what is picked, and a leg sideways with the network kept joined."""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, radians
from typing import TYPE_CHECKING

from layoutest.edit.tables import changed
from layoutest.layout.document import Node
from layoutest.layout.plane import Spot, node_of, spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.layout.document import Layout, Leg

Vector = tuple[int, int, int]
LegsAt = dict[str, list[str]]


def move_nodes(layout: Layout, nodes: Iterable[str], by: Vector) -> Layout:
    """Move nodes by millimetres in x, y and level; legs at them grow, shrink or slant."""
    dx, dy, dz = by
    moved = {name: layout.nodes[name] for name in nodes if name in layout.nodes}
    return changed(layout, {"nodes": {name: Node(x + dx, y + dy, z + dz) for name, (x, y, z) in moved.items()}})


def move_selection(layout: Layout, ids: Iterable[str], by: Vector) -> Layout:
    """Move legs, nodes and outlines; legs that are not picked but hang on them follow with their ends."""
    wanted = set(ids)
    nodes = wanted & layout.nodes.keys()
    for name in wanted & layout.legs.keys():
        nodes |= {layout.legs[name].start, layout.legs[name].end}
    outlines = {name: layout.structure[name] for name in wanted & layout.structure.keys()}
    shifted = {
        name: replace(one, outline=tuple((x + by[0], y + by[1]) for x, y in one.outline))
        for name, one in outlines.items()
    }
    return changed(move_nodes(layout, nodes, by), {"structure": shifted})


def stretch(layout: Layout, leg: str, by: tuple[int, int]) -> Layout:
    """Move a leg sideways on the sheet, with the whole line of legs that it is in, and keep all that is joined joined.

    Of the way it is moved only the part at a right angle to the line counts. Legs that meet the line at a right angle
    grow or shrink; a slanting leg at an end of the line keeps its angle; rises and drops that stand on the line go
    with it. A leg that stands upright on the sheet, and a line without neighbours, moves freely.
    """
    seen = _seen(layout, leg)
    if seen is None:
        return _move_upright(layout, leg, by)
    legs_at = legs_by_node(layout)
    line, ends = _line(layout, leg, legs_at)
    nodes = {node for name in line for node in (layout.legs[name].start, layout.legs[name].end)}
    standing = _standing_on(layout, nodes, legs_at)
    others = {name for node in standing for name in legs_at[node]} - line
    others = {name for name in others if _seen(layout, name) is not None}
    if others:
        across = (-seen[1], seen[0])
        way = by[0] * across[0] + by[1] * across[1]
        by_mm: tuple[float, float] = (across[0] * way, across[1] * way)
    else:
        by_mm = by
    shift = round(by_mm[0]), round(by_mm[1])
    moved = {node: _shifted(layout, node, shift) for node in standing}
    for end in ends:
        slid = _slide(layout, end, line, legs_at, seen, shift)
        if slid:
            for node in _standing_on(layout, {end}, legs_at):
                moved[node] = _shifted(layout, node, slid)
    return changed(layout, {"nodes": moved})


def legs_by_node(layout: Layout) -> LegsAt:
    """The legs at each node that has any."""
    found: LegsAt = {}
    for name, leg in layout.legs.items():
        found.setdefault(leg.start, []).append(name)
        found.setdefault(leg.end, []).append(name)
    return found


def _seen(layout: Layout, leg: str) -> tuple[float, float] | None:
    """The direction of a leg on the sheet, as a unit vector; None for one that is seen as a point."""
    start, end = (spot_of(layout.view, layout.nodes[node]) for node in _ends(layout.legs[leg]))
    du, dv = end.u_mm - start.u_mm, end.v_mm - start.v_mm
    length = hypot(du, dv)
    return (du / length, dv / length) if length else None


def _ends(leg: Leg) -> tuple[str, str]:
    return leg.start, leg.end


def _shifted(layout: Layout, node: str, by: tuple[int, int]) -> Node:
    spot = spot_of(layout.view, layout.nodes[node])
    return node_of(layout.view, Spot(spot.u_mm + by[0], spot.v_mm + by[1], spot.depth_mm))


def _line(layout: Layout, leg: str, legs_at: Mapping[str, list[str]]) -> tuple[set[str], tuple[str, str]]:
    """All legs in one line with a leg on the sheet, whatever they are made of, and the two ends of the line."""
    line, ends = {leg}, []
    for node in _ends(layout.legs[leg]):
        here, at = leg, node
        while (onward := _onward(layout, here, at, legs_at)) is not None and onward not in line:
            line.add(onward)
            first, last = _ends(layout.legs[onward])
            here, at = onward, last if at == first else first
        ends.append(at)
    return line, (ends[0], ends[1])


def _onward(layout: Layout, leg: str, node: str, legs_at: Mapping[str, list[str]]) -> str | None:
    """The leg that goes straight on beyond a node."""
    seen = _seen(layout, leg)
    if seen is None:
        return None
    limit = cos(radians(layout.settings.angle_tolerance_deg)) - 1e-12
    for other in legs_at[node]:
        way = _seen(layout, other) if other != leg else None
        if way and abs(seen[0] * way[0] + seen[1] * way[1]) >= limit and _is_beyond(layout, leg, other, node):
            return other
    return None


def _is_beyond(layout: Layout, leg: str, other: str, node: str) -> bool:
    """Whether two legs leave their node on opposite sides."""
    ways = []
    for name in (leg, other):
        first, last = _ends(layout.legs[name])
        here = spot_of(layout.view, layout.nodes[node])
        there = spot_of(layout.view, layout.nodes[last if node == first else first])
        ways.append((there.u_mm - here.u_mm, there.v_mm - here.v_mm))
    return ways[0][0] * ways[1][0] + ways[0][1] * ways[1][1] < 0


def _standing_on(layout: Layout, nodes: set[str], legs_at: Mapping[str, list[str]]) -> set[str]:
    """Nodes with all that stands on them: the other ends of legs that are seen as a point."""
    found, ahead = set(nodes), list(nodes)
    while ahead:
        for name in legs_at.get(ahead.pop(), ()):
            if _seen(layout, name) is None:
                fresh = set(_ends(layout.legs[name])) - found
                found |= fresh
                ahead += fresh
    return found


def _slide(
    layout: Layout,
    end: str,
    line: set[str],
    legs_at: Mapping[str, list[str]],
    seen: tuple[float, float],
    shift: tuple[int, int],
) -> tuple[int, int] | None:
    """How an end of the line moves so that a slanting neighbour keeps its angle; None where it moves as the line."""
    standing = _standing_on(layout, {end}, legs_at)
    near = {name for node in standing for name in legs_at[node]} - line
    ways = [way for name in sorted(near) if (way := _seen(layout, name)) is not None]
    if len(ways) != 1:
        return None
    way = ways[0]
    spread = seen[0] * way[1] - seen[1] * way[0]
    if abs(spread) < 0.2 or abs(seen[0] * way[0] + seen[1] * way[1]) < 1e-9:
        return None
    # The end slides along its neighbour until it is on the line that was moved.
    along = (seen[0] * shift[1] - seen[1] * shift[0]) / spread
    return round(way[0] * along), round(way[1] * along)


def _move_upright(layout: Layout, leg: str, by: tuple[int, int]) -> Layout:
    """A rise or drop moves with all that stands in its place; what is joined there follows with its ends."""
    legs_at = legs_by_node(layout)
    nodes = _standing_on(layout, set(_ends(layout.legs[leg])), legs_at)
    return changed(layout, {"nodes": {node: _shifted(layout, node, by) for node in nodes}})
