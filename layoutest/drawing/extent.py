"""The box round some primitives in millimetres. Weights of lines and words do not count: their size goes by pixels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Circle, Hatch, Polygon, Polyline

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.drawing.primitives import Point, Primitive


def extent(parts: Iterable[Primitive]) -> Box:
    """The box round all points of some primitives, at least one, with half the width of lines that have one."""
    points: list[Point] = []
    for part in parts:
        if isinstance(part, Polyline) and (part.ticks or part.width):
            reach = max(part.tick, part.width / 2)
            points += ((u + a, v + b) for u, v in part.points for a, b in ((-reach, -reach), (reach, reach)))
        elif isinstance(part, Polyline | Polygon | Hatch):
            points += part.points
        elif isinstance(part, Circle):
            (u, v), reach = part.centre, part.radius
            points += ((u - reach, v - reach), (u + reach, v + reach))
    us, vs = [u for u, _ in points], [v for _, v in points]
    return Box(min(us), min(vs), max(us), max(vs))
