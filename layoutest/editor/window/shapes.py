"""Lines, bodies, discs and rounded rectangles in pixels, as strokes.

Level and upright edges are whole pixels, all others have smooth rims.
"""

from __future__ import annotations

from itertools import pairwise
from math import floor, hypot
from typing import TYPE_CHECKING

from layoutest.editor.window import smooth
from layoutest.editor.window.brush import DISC, FILL, PICTURE, TILED
from layoutest.editor.window.snapping import snapped, whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Point
    from layoutest.editor.window.brush import Stroke

# A larger disc is no picture of its own.
LARGE_DISC_PX = 100


def path(made: list[Stroke], colour: Rgb, points: Sequence[Point], weight: int, *, closed: bool = False) -> None:
    """A line through snapped points. Its ends are cut off square, its corners are full."""
    last = len(points) - 2
    for number, (start, end) in enumerate(pairwise(points)):
        before, after = closed or number > 0, closed or number < last
        (x0, y0), (x1, y1) = start, end
        if x0 == x1 or y0 == y1:
            made.append((FILL, colour, *_level(x0, y0, x1, y1, weight, before, after)))
        else:
            # Smooth corners need less: a square end would stick out.
            over = weight / 4 / hypot(x1 - x0, y1 - y0)
            dx, dy = (x1 - x0) * over, (y1 - y0) * over
            begin = (x0 - dx, y0 - dy) if before else start
            finish = (x1 + dx, y1 + dy) if after else end
            put(made, smooth.bar(begin, finish, weight, colour))


def _level(
    x0: float,
    y0: float,
    x1: float,
    y1: float,
    weight: int,
    before: bool,  # noqa: FBT001 - as many as a line has ends
    after: bool,  # noqa: FBT001
) -> tuple[int, int, int, int]:
    """The pixels of a level or upright line."""
    if y0 != y1:
        top, left, height, width = _level(y0, x0, y1, x1, weight, before, after)
        return left, top, width, height
    low, high, more_low, more_high = (x0, x1, before, after) if x0 < x1 else (x1, x0, after, before)
    begin = whole(low - (weight / 2 if more_low else 0))
    finish = whole(high + (weight / 2 if more_high else 0))
    return begin, whole(y0 - weight / 2), max(finish - begin, 1), weight


def filled(made: list[Stroke], points: Sequence[Point], colour: Rgb) -> None:
    """A filled shape. A long body is one rectangle of pixels between its two ends."""
    corners = snapped([*points, points[0]], 0, closed=True)[:-1]
    if len(corners) == 4:
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
        if (x0 == x1 and y1 == y2 and x2 == x3 and y3 == y0) or (y0 == y1 and x1 == x2 and y2 == y3 and x3 == x0):
            left, top = int(min(x0, x2)), int(min(y0, y2))
            made.append((FILL, colour, left, top, int(max(x0, x2)) - left, int(max(y0, y2)) - top))
            return
    for axis in (0, 1):
        between = _strip(corners, axis)
        if between:
            _body(made, corners, axis, between, colour)
            return
    put(made, smooth.polygon(corners, colour))


def _strip(corners: Sequence[Point], axis: int) -> tuple[int, int] | None:
    """From where to where along an axis a shape is a rectangle of its whole width; None where it is none."""
    across = [corner[1 - axis] for corner in corners]
    edges = []
    for side in (min(across), max(across)):
        at = [number for number, value in enumerate(across) if value == side]
        # The two corners of one edge, in its direction round the shape.
        if len(at) != 2 or at[1] - at[0] not in {1, len(corners) - 1}:
            return None
        first, last = at if at[1] - at[0] == 1 else at[::-1]
        edges.append((corners[first][axis], corners[last][axis]))
    (a, b), (c, d) = edges
    if (b > a) == (d > c):
        # The sides between them cross.
        return None
    low, high = -(-max(min(a, b), min(c, d)) // 1), min(max(a, b), max(c, d)) // 1
    if high <= low or any(low < corner[axis] < high for corner in corners):
        return None
    return int(low), int(high)


def _body(made: list[Stroke], corners: Sequence[Point], axis: int, between: tuple[int, int], colour: Rgb) -> None:
    low, high = between
    across = [corner[1 - axis] for corner in corners]
    side, breadth = int(min(across)), int(max(across)) - int(min(across))
    box = (low, side, high - low, breadth) if axis == 0 else (side, low, breadth, high - low)
    made.append((FILL, colour, *box))
    for limit, keep in ((low, -1), (high, 1)):
        end = _beyond(corners, axis, limit, keep)
        if len({corner[axis] for corner in end}) > 1:
            put(made, smooth.polygon(end, colour))


def _beyond(corners: Sequence[Point], axis: int, limit: int, keep: int) -> list[Point]:
    """What of a shape lies before (-1) or past (1) a limit along an axis (Sutherland and Hodgman 1974)."""
    made: list[Point] = []
    for number, here in enumerate(corners):
        last = corners[number - 1]
        inside, was = keep * (here[axis] - limit) >= 0, keep * (last[axis] - limit) >= 0
        if inside != was:
            share = (limit - last[axis]) / (here[axis] - last[axis])
            across = last[1 - axis] + (here[1 - axis] - last[1 - axis]) * share
            made.append((limit, across) if axis == 0 else (across, limit))
        if inside:
            made.append(here)
    return made


def put(made: list[Stroke], placed: smooth.Placed) -> None:
    """A smooth shape at its place."""
    made.append((TILED if isinstance(placed.picture, smooth.Tiled) else PICTURE, *placed))


def disc(made: list[Stroke], centre: Point, radius: float, colour: Rgb, weight: int) -> None:
    """A disc, or, with a weight, a ring that reaches as far inwards from the radius."""
    if radius <= LARGE_DISC_PX:
        put(made, smooth.disc(centre, radius, colour, weight))
    else:
        made.append((DISC, colour, floor(centre[0]), floor(centre[1]), whole(radius), weight))


def rounded(made: list[Stroke], colour: Rgb, box: tuple[int, int, int, int], radius: int, weight: int) -> None:
    """A rectangle with round corners, or, with a weight, its frame."""
    left, top, width, height = box
    r = min(radius, width // 2, height // 2)
    right, below = left + width, top + height
    sides = [
        (left + r, top, width - 2 * r, height),
        (left, top + r, r, height - 2 * r),
        (right - r, top + r, r, height - 2 * r),
    ]
    if weight:
        sides = [(left + r, y, width - 2 * r, weight) for y in (top, below - weight)]
        sides += [(x, top + max(r, weight), weight, height - 2 * max(r, weight)) for x in (left, right - weight)]
    made += [(FILL, colour, *side) for side in sides if side[2] > 0 and side[3] > 0]
    if r:
        corners = smooth.corners(r, colour, weight)
        at = ((left, top), (right - r, top), (left, below - r), (right - r, below - r))
        made += [(PICTURE, picture, *place) for picture, place in zip(corners, at, strict=True)]
