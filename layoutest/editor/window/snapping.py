"""Where lines and edges lie on whole pixels. Pixel n reaches from n to n + 1."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.primitives import Point

# What leans by less than this over its whole length is level or upright.
LEVEL_PX = 0.5


def whole(value: float) -> int:
    """The nearest whole number; of two as near the greater, so that a moved picture is the same picture."""
    return floor(value + 0.5)


def middle_of(value: float, weight: int) -> float:
    """Where the middle of a line of whole weight lies so that it covers whole pixels; an edge where the weight is 0."""
    return floor(value - weight / 2 + 0.5) + weight / 2


def snapped(points: Sequence[Point], weight: int, *, closed: bool) -> list[Point]:
    """A line's points with its level and upright parts on whole pixels. A closed line ends where it begins."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    for number in range(len(points) - 1):
        here, there = number, number + 1
        if abs(xs[there] - xs[here]) < LEVEL_PX:
            xs[here] = xs[there] = middle_of(xs[here], weight)
        if abs(ys[there] - ys[here]) < LEVEL_PX:
            ys[here] = ys[there] = middle_of(ys[here], weight)
    if closed:
        # What its last part moved, its first part shares.
        xs[0], ys[0] = xs[-1], ys[-1]
        if len(points) > 1 and abs(xs[1] - xs[0]) < LEVEL_PX:
            xs[1] = xs[0]
        if len(points) > 1 and abs(ys[1] - ys[0]) < LEVEL_PX:
            ys[1] = ys[0]
    return list(zip(xs, ys, strict=True))
