"""Moving a leg sideways on the sheet, with the network kept joined."""

from __future__ import annotations

from math import cos, hypot, radians
from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.hanging import LegsAt, legs_by_node, other_end
from layoutest.edit.tables import changed
from layoutest.layout.plane import Spot, node_of, spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.layout.document import Layout, Node

Flat = tuple[float, float]
Shift = tuple[int, int]

# A neighbour that nearly runs along the line (less than some 12° off it) would slide many times as far as the line is
# moved: it slants instead.
LEAST_SPREAD = 0.2
RIGHT_ANGLE = 1e-9


class Line(NamedTuple):
    """What moves together: the way it is seen to run, its legs, and their nodes with all that stands on them."""

    way: Flat
    legs: set[str]
    nodes: set[str]


def stretch(layout: Layout, leg: str, by: Shift) -> Layout:
    """Move a leg sideways on the sheet, with the whole line of legs that it is in.

    Of the way it is moved only the part at a right angle to the line counts. Legs that meet the line at a right angle
    grow or shrink. Where one slanting leg meets it, it keeps its angle: the end of the line, or the tee in it, slides
    to where both meet, as long as no leg of the line is turned round by that. Rises and drops go with the line, and
    the line goes on beyond them. A leg that is seen as a point, and a line on which nothing hangs, move freely.

    Args:
        layout: the layout.
        leg: a leg of the line.
        by: to the right and up the sheet, in mm.
    """
    legs_at = legs_by_node(layout)
    way = seen(layout, leg)
    ends = {layout.legs[leg].start, layout.legs[leg].end}
    if way is None:
        return _shifted(layout, dict.fromkeys(_standing_on(layout, ends, legs_at), by))
    line = _line(layout, way, ends, legs_at)
    hanging = {name for node in line.nodes for name in legs_at[node] if name not in line.legs}
    if not any(seen(layout, name) for name in hanging):
        return _shifted(layout, dict.fromkeys(line.nodes, by))
    across_mm = by[1] * way[0] - by[0] * way[1]
    shift = round(-way[1] * across_mm), round(way[0] * across_mm)
    moved = dict.fromkeys(line.nodes, shift)
    slid = _shifted(layout, moved | _slides(layout, line, hanging, legs_at, shift))
    return slid if _keeps_order(layout, slid, line) else _shifted(layout, moved)


def seen(layout: Layout, leg: str) -> Flat | None:
    """The way a leg is seen to run on the sheet, as a unit vector; None for one that is seen as a point."""
    start, end = _spots(layout, leg)
    du, dv = end.u_mm - start.u_mm, end.v_mm - start.v_mm
    length = hypot(du, dv)
    return (du / length, dv / length) if length else None


def _spots(layout: Layout, name: str) -> tuple[Spot, Spot]:
    leg = layout.legs[name]
    return spot_of(layout.view, layout.nodes[leg.start]), spot_of(layout.view, layout.nodes[leg.end])


def _line(layout: Layout, way: Flat, ends: set[str], legs_at: LegsAt) -> Line:
    """All legs that run on in one line on the sheet, whatever they are made of, also beyond rises and drops."""
    limit = cos(radians(layout.settings.angle_tolerance_deg)) - 1e-12
    line = Line(way, set(), set(ends))
    ahead = list(ends)
    while ahead:
        node = ahead.pop()
        for name in legs_at[node]:
            other = seen(layout, name)
            if other is None or abs(way[0] * other[0] + way[1] * other[1]) >= limit:
                if other is not None:
                    line.legs.add(name)
                there = other_end(layout.legs[name], node)
                if there not in line.nodes:
                    line.nodes.add(there)
                    ahead.append(there)
    return line


def _standing_on(layout: Layout, nodes: Iterable[str], legs_at: LegsAt) -> set[str]:
    """Nodes with all that stands on them: the other ends of legs that are seen as a point."""
    found, ahead = set(nodes), list(nodes)
    while ahead:
        node = ahead.pop()
        for name in legs_at[node]:
            there = other_end(layout.legs[name], node)
            if there not in found and seen(layout, name) is None:
                found.add(there)
                ahead.append(there)
    return found


def _slides(layout: Layout, line: Line, hanging: set[str], legs_at: LegsAt, shift: Shift) -> dict[str, Shift]:
    """How the nodes move at which one slanting leg meets the line; nothing where the line itself rises or falls."""
    if not all(_is_flat(layout, name) for name in line.legs):
        return {}
    slides: dict[str, Shift] = {}
    for name in hanging:
        slide = _slide(layout, name, line.way, shift)
        ends = [node for node in (layout.legs[name].start, layout.legs[name].end) if node in line.nodes]
        if slide is None or len(ends) != 1:
            continue
        standing = _standing_on(layout, ends, legs_at)
        met = {other for node in standing for other in legs_at[node] if other in hanging and seen(layout, other)}
        if met == {name}:
            slides |= dict.fromkeys(standing, slide)
    return slides


def _slide(layout: Layout, leg: str, line_way: Flat, shift: Shift) -> Shift | None:
    """How a node moves along a slanting leg to stay on the line that is moved; None for a leg that does not slant."""
    way = seen(layout, leg)
    if way is None or not _is_flat(layout, leg):
        return None
    spread = line_way[0] * way[1] - line_way[1] * way[0]
    if abs(spread) < LEAST_SPREAD or abs(line_way[0] * way[0] + line_way[1] * way[1]) < RIGHT_ANGLE:
        return None
    along_mm = (line_way[0] * shift[1] - line_way[1] * shift[0]) / spread
    return round(way[0] * along_mm), round(way[1] * along_mm)


def _is_flat(layout: Layout, leg: str) -> bool:
    start, end = _spots(layout, leg)
    return start.depth_mm == end.depth_mm


def _keeps_order(old: Layout, new: Layout, line: Line) -> bool:
    """Whether every leg of a line still runs the way it ran."""
    for name in line.legs:
        was, now = seen(old, name), seen(new, name)
        if was is None or now is None or was[0] * now[0] + was[1] * now[1] <= 0:
            return False
    return True


def _shifted(layout: Layout, shifts: dict[str, Shift]) -> Layout:
    """Move nodes on the sheet, each by its own shift."""
    nodes: dict[str, Node] = {}
    for name, (du, dv) in shifts.items():
        spot = spot_of(layout.view, layout.nodes[name])
        nodes[name] = node_of(layout.view, Spot(spot.u_mm + du, spot.v_mm + dv, spot.depth_mm))
    return changed(layout, {"nodes": nodes})
