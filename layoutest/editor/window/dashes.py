"""Dashed and hatched lines: which parts of them are drawn."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor, hypot
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.drawing.primitives import Point

GRAIN_PX = 0.125


def dashed(points: Sequence[Point], pattern: Sequence[float]) -> Iterator[list[Point]]:
    """The dashes of a line, each as a line of its own; the pattern goes on round corners.

    Args:
        points: the line.
        pattern: lengths drawn and left out by turns, in the units of the points, all above 0; an even number.
    """
    number, left = 0, pattern[0]
    dash = [points[0]]
    for (x0, y0), (x1, y1) in pairwise(points):
        length, at = hypot(x1 - x0, y1 - y0), 0.0
        while at < length - 1e-9:
            step = min(left, length - at)
            at, left = at + step, left - step
            drawn = number % 2 == 0
            here = (x0 + (x1 - x0) * at / length, y0 + (y1 - y0) * at / length)
            if drawn:
                dash.append(here)
            if left > 1e-9:
                continue
            if drawn:
                yield dash
            dash = [here]
            number = (number + 1) % len(pattern)
            left = pattern[number]
        if number % 2:
            dash = []
    if len(dash) > 1:
        yield dash


def hatched(points: Sequence[Point], pitch: float, slope: int) -> Iterator[tuple[Point, Point]]:
    """Lines at 45° inside a shape, a pitch apart along x, on one raster for all shapes.

    Their ends lie at whole grains, so that a line is the same line whatever it is cut by.
    """
    # Along a line x + slope·y is constant: it is counted in pitches from the origin.
    keys = [x + slope * y for x, y in points]
    for number in range(ceil(min(keys) / pitch), floor(max(keys) / pitch) + 1):
        key = number * pitch
        crossings = []
        for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True):
            k0, k1 = x0 + slope * y0, x1 + slope * y1
            if (k0 <= key) != (k1 <= key):
                share = (key - k0) / (k1 - k0)
                x = floor((x0 + (x1 - x0) * share) / GRAIN_PX + 0.5) * GRAIN_PX
                crossings.append((x, (key - x) * slope))
        crossings.sort()
        yield from zip(crossings[::2], crossings[1::2], strict=False)
