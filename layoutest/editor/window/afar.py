"""What is a thin line from afar as one rectangle of pixels; ten thousand of them are painted in one frame."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Circle, Polyline
from layoutest.editor.window.strokes import FILL

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.window.strokes import Stroke, Strokes

# A line that is longer than this shows its dashes.
DASHED_PX = 60.0
# What is thinner than this is a rectangle even if it leans.
THIN_PX = 3.0


def far_stroke(strokes: Strokes, part: Primitive, grow: float) -> Stroke | None:
    """The rectangle of a line or a disc of `far` weight, with y up; None for what is to be painted as anything else."""
    if isinstance(part, Polyline):
        if part.style != "far" or len(part.points) != 2:
            return None
        (x0, y0), (x1, y1) = part.points
        colour = part.colour
    elif isinstance(part, Circle):
        if not part.fill.startswith("far:"):
            return None
        (x, y), reach, colour = part.centre, part.radius, part.fill
        x0, y0, x1, y1 = x - reach, y - reach, x + reach, y + reach
    else:
        return None
    weight = strokes.weight("far")
    left, right = (x0, x1) if x0 < x1 else (x1, x0)
    low, high = (y0, y1) if y0 < y1 else (y1, y0)
    across, up, most = (right - left) * grow, (high - low) * grow, DASHED_PX * strokes.scale
    if across > most or up > most or (across > THIN_PX and up > THIN_PX):
        return None
    # A line of no breadth lies round its middle.
    x_px, y_px = left * grow, -high * grow
    if across < weight:
        x_px -= (weight - across) / 2
    if up < weight:
        y_px -= (weight - up) / 2
    wide, tall = max(floor(across + 0.5), weight), max(floor(up + 0.5), weight)
    return FILL, strokes.rgb(colour), floor(x_px + 0.5), floor(y_px + 0.5), wide, tall
