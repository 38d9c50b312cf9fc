"""Walls, slabs and plant on the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.extent import extent
from layoutest.drawing.primitives import Group, Hatch, Point, Polygon, Polyline, Primitive

if TYPE_CHECKING:
    from layoutest.layout.document import Outline, View

# The edge of a slab is drawn where this is 3 px or more.
SLAB_SEEN_MM = 100.0


def outline_group(name: str, outline: Outline, view: View) -> Group | None:
    """An outline as it is seen: its shape in a plan, its width and levels in an elevation, None without any there."""
    points = _seen(outline, view)
    if points is None:
        return None
    box = extent((Hatch(points, "structure", "structure"),))
    if outline.kind == "plant":
        body: Primitive = Polygon(points, "plant_fill", "plant")
        thick = min(box.high_x - box.low_x, box.high_y - box.low_y)
        far: tuple[Primitive, ...] = (Polygon(points, "plant"),)
        return Group(f"outline {name}", box, (far, (body,), (body,), (body,)), max(thick, 1.0) / 4)
    if outline.kind == "slab" and view == "plan":
        # It lies under or over everything: only its edge is drawn.
        line = (Polyline(points, "structure", closed=True, dash="CR"),)
        return Group(f"outline {name}", box, ((), line, line, line), SLAB_SEEN_MM)
    fill, edge = Polygon(points, "structure_fill"), Polyline(points, "structure", closed=True)
    near = (fill, Hatch(points, "structure", "structure"), edge)
    thick = min(box.high_x - box.low_x, box.high_y - box.low_y)
    details = ((Polygon(points, "structure"),), (fill, edge), near, near)
    return Group(f"outline {name}", box, details, max(thick, 1.0))


def _seen(outline: Outline, view: View) -> tuple[Point, ...] | None:
    if view == "plan":
        return tuple((float(x), float(y)) for x, y in outline.outline)
    if outline.levels_mm is None:
        return None
    low, high = min(x for x, _ in outline.outline), max(x for x, _ in outline.outline)
    bottom, top = outline.levels_mm
    return ((low, bottom), (high, bottom), (high, top), (low, top))
