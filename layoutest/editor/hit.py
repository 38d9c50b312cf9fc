"""What lies under the pointer: a node, an item, a leg or an outline."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Point
    from layoutest.editor.picture import View
    from layoutest.layout.document import Layout

REACH_PX = 6.0
NODE_REACH_PX = 8.0
_RANK = {"node": 0, "item": 1, "leg": 2, "outline": 3}


class Hit(NamedTuple):
    """What was hit: its kind (`node`, `item`, `leg`, `outline`), its id, and how far along the drawn leg."""

    kind: str
    id: str
    at_mm: int = 0


def hit(picture: SheetPicture, layout: Layout, view: View, point_px: Point) -> Hit | None:
    """The nearest node, else the uppermost item, leg or outline at a place of the window."""
    u, v = view.to_mm(point_px)
    reach = REACH_PX / view.scale
    near = Box(u - 2 * reach, v - 2 * reach, u + 2 * reach, v + 2 * reach)
    found: list[tuple[int, float, int, Hit]] = []
    for number, name in enumerate(reversed(picture.boxes.touching(near))):
        for rank_mm, one in _in_group(picture, layout, name, (u, v), reach):
            found.append((_RANK[one.kind], rank_mm if one.kind == "node" else 0.0, number, one))
    return min(found, default=(0, 0.0, 0, None), key=lambda entry: entry[:3])[3]


def in_box(picture: SheetPicture, layout: Layout, box_mm: tuple[float, float, float, float]) -> set[str]:
    """The ids of all legs, items and outlines that lie wholly in a box of the sheet."""
    box = Box(*box_mm)
    ids: set[str] = set()
    for name in picture.boxes.touching(box):
        kind, _, rest = name.partition(" ")
        if kind == "outline" and _holds(box, picture.groups[name].box):
            ids.add(rest)
        legs = _legs_of(picture, name)
        for leg in legs:
            ends = [spot_of(layout.view, layout.nodes[node]) for node in (layout.legs[leg].start, layout.legs[leg].end)]
            if all(box.low_x <= end.u_mm <= box.high_x and box.low_y <= end.v_mm <= box.high_y for end in ends):
                ids.add(leg)
    return ids | {name for name, item in layout.items.items() if item.leg in ids}


def _holds(outer: Box, inner: Box) -> bool:
    return (
        outer.low_x <= inner.low_x
        and outer.low_y <= inner.low_y
        and outer.high_x >= inner.high_x
        and outer.high_y >= inner.high_y
    )


def _legs_of(picture: SheetPicture, name: str) -> tuple[str, ...]:
    laid = picture.covering.laid.get(name)
    if laid:
        return tuple(leg.id for leg in laid.straight.legs)
    kind, _, rest = name.partition(" ")
    return (rest,) if kind == "leg" else ()


def _in_group(
    picture: SheetPicture, layout: Layout, name: str, point: Point, reach: float
) -> Iterable[tuple[float, Hit]]:
    kind, _, rest = name.partition(" ")
    if kind == "outline" and rest:
        box = picture.groups[name].box
        if (
            box.low_x <= point[0] <= box.high_x
            and box.low_y <= point[1] <= box.high_y
            and _is_inside(layout, rest, point)
        ):
            yield 0.0, Hit("outline", rest)
        return
    laid = picture.covering.laid.get(name)
    half = laid.straight.spec.covered_diameter_mm / 2 if laid else 0.0
    for leg in _legs_of(picture, name):
        yield from _on_leg(layout, leg, point, max(half, reach), reach)
    for placed in laid.items if laid else ():
        item = _on_item(layout, placed.id, point, placed.to_mm - placed.from_mm, max(half * 1.15, reach))
        if item:
            yield 0.0, item


def _on_leg(layout: Layout, name: str, point: Point, half: float, reach: float) -> Iterable[tuple[float, Hit]]:
    leg = layout.legs[name]
    start, end = (spot_of(layout.view, layout.nodes[node]) for node in (leg.start, leg.end))
    du, dv = end.u_mm - start.u_mm, end.v_mm - start.v_mm
    square = du * du + dv * dv
    share = ((point[0] - start.u_mm) * du + (point[1] - start.v_mm) * dv) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    off = hypot(point[0] - start.u_mm - du * share, point[1] - start.v_mm - dv * share)
    node_reach = reach * NODE_REACH_PX / REACH_PX
    for node, spot in ((leg.start, start), (leg.end, end)):
        away = hypot(point[0] - spot.u_mm, point[1] - spot.v_mm)
        if away <= node_reach:
            yield away, Hit("node", node)
    if off <= half:
        length = (square + (end.depth_mm - start.depth_mm) ** 2) ** 0.5
        yield off, Hit("leg", name, round(share * length))


def _on_item(layout: Layout, name: str, point: Point, long_mm: float, half: float) -> Hit | None:
    item = layout.items[name]
    leg = layout.legs[item.leg]
    start, end = (spot_of(layout.view, layout.nodes[node]) for node in (leg.start, leg.end))
    du, dv = end.u_mm - start.u_mm, end.v_mm - start.v_mm
    seen = hypot(du, dv)
    if not seen:
        return None
    along = ((point[0] - start.u_mm) * du + (point[1] - start.v_mm) * dv) / seen
    across = abs((point[0] - start.u_mm) * dv - (point[1] - start.v_mm) * du) / seen
    length = (seen * seen + (end.depth_mm - start.depth_mm) ** 2) ** 0.5
    if abs(along - item.at_mm * seen / length) <= max(long_mm / 2, half) and across <= half:
        return Hit("item", name, item.at_mm)
    return None


def _is_inside(layout: Layout, name: str, point: Point) -> bool:
    outline = layout.structure[name]
    if layout.view != "plan":
        return True
    if outline.kind == "slab":
        return False
    inside = False
    corners = outline.outline
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (y0 > point[1]) != (y1 > point[1]) and point[0] < (x1 - x0) * (point[1] - y0) / (y1 - y0) + x0:
            inside = not inside
    return inside
