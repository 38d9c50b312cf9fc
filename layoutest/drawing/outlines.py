"""Walls, slabs and plant on the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Group, Hatch, Point, Polygon, Polyline, Primitive, Text

if TYPE_CHECKING:
    from layoutest.layout.document import Outline, View

NAME_FROM_MM = 300


def outline_group(name: str, outline: Outline, view: View) -> Group | None:
    """An outline as it is seen: its shape in a plan, its width and levels in an elevation; None without levels there."""
    points = _seen(outline, view)
    if points is None:
        return None
    us, vs = [u for u, _ in points], [v for _, v in points]
    box = Box(min(us) - 20, min(vs) - 20, max(us) + 20, max(vs) + 20)
    if outline.kind == "plant":
        body: Primitive = Polygon(points, "plant_fill", "plant")
        middle = ((min(us) + max(us)) / 2, (min(vs) + max(vs)) / 2)
        named = (Text(middle, name, "tiny", bold=True, align="middle"),)
        fine = (body, *named) if min(max(us) - min(us), max(vs) - min(vs)) >= NAME_FROM_MM else (body,)
        return Group(f"outline {name}", box, ((body,), (body,), fine, fine), 120.0)
    if outline.kind == "slab" and view == "plan":
        # It lies under or over everything: only its edge is drawn.
        return Group(f"outline {name}", box, ((Polyline(points, "structure", closed=True, dash="CR"),),))
    parts = (Polygon(points, "structure_fill"), Hatch(points, "structure", "structure"))
    return Group(f"outline {name}", box, ((*parts, Polyline(points, "structure", closed=True)),))


def _seen(outline: Outline, view: View) -> tuple[Point, ...] | None:
    if view == "plan":
        return tuple((float(x), float(y)) for x, y in outline.outline)
    if outline.levels_mm is None:
        return None
    low, high = min(x for x, _ in outline.outline), max(x for x, _ in outline.outline)
    bottom, top = outline.levels_mm
    return ((low, bottom), (high, bottom), (high, top), (low, top))
