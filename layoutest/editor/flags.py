"""Snags as signs: the shape says how bad, the number which one."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Circle, Polygon, Text

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point, Primitive


def flag_parts(severity: str, number: str, middle: Point, radius: float) -> list[Primitive]:
    """An octagon for an error, a triangle for a warning, a circle for a note, with its number."""
    x, y = middle
    fill, ink = f"snag_{severity}", f"snag_{severity}_text"
    if severity == "error":
        corners = tuple(
            (x + radius * cos(pi / 8 + k * pi / 4), y + radius * sin(pi / 8 + k * pi / 4)) for k in range(8)
        )
        shape: Primitive = Polygon(corners, fill)
    elif severity == "warning":
        wide, tall = radius * 1.15, radius * 2
        low = y + radius * 0.86
        shape = Polygon(((x, low - tall), (x + wide, low), (x - wide, low)), fill, "centre", "snag_warning_text")
        y = low - tall * 0.33
    else:
        shape = Circle(middle, radius, fill)
    return [shape, Text((x, y), number, "tiny", bold=True, colour=ink, align="middle")] if number else [shape]
