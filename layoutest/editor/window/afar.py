"""What is a thin line from afar as one rectangle of pixels; ten thousand of them are made and painted in one frame."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from layoutest.drawing.primitives import DETAIL_FROM_PX, Circle, Polygon, Polyline
from layoutest.editor.window.brush import FILL

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Group, Primitive
    from layoutest.editor.window.brush import Stroke
    from layoutest.editor.window.strokes import Strokes

# A line that is longer than this shows its dashes.
DASHED_PX = 60.0
# What is thinner than this is a rectangle even if it leans.
THIN_PX = 3.0
Corners = tuple[float, float, float, float]
# A group with the colour and two corners of the rectangle that stands for it; in place of a colour where there
# is no rectangle: whether nothing of it is seen, or more.
Known = tuple["Group", "Rgb", Corners | None]
NOTHING, MORE = (-1, -1, -1), (-2, -2, -2)


class Afar:
    """What groups are from afar. It is the same at every scale and kept for each group."""

    def __init__(self, strokes: Strokes) -> None:
        self._strokes = strokes
        self._kept: dict[str, Known] = {}

    def drop(self, name: str) -> None:
        """A group is gone."""
        self._kept.pop(name, None)

    def strokes(self, groups: Sequence[Group], scale: float, grow: float) -> list[Stroke | None]:
        """For each group the one stroke that it is with y up, or an empty one; None where it is more than that.

        Args:
            groups: the groups.
            scale: logical pixels for each unit of the picture.
            grow: device pixels for each unit of the picture.
        """
        made: list[Stroke | None] = [None] * len(groups)
        far: list[tuple[int, Rgb]] = []
        flat: list[float] = []
        kept, far_from = self._kept, DETAIL_FROM_PX[0] / scale
        for number, group in enumerate(groups):
            if not 0 < group.width < far_from:
                continue
            known = kept.get(group.name)
            if known is None or known[0] is not group:
                known = kept[group.name] = (group, *self._simple(group))
            _, rgb, corners = known
            if corners:
                far.append((number, rgb))
                flat += corners
            elif rgb == NOTHING:
                made[number] = ()
        rows = _rectangles(flat, grow, self._strokes.weight("far"), self._strokes.scale)
        for (number, rgb), (fits, left, top, width, height) in zip(far, rows, strict=True):
            if fits:
                made[number] = (FILL, rgb, left, top, width, height)
        return made

    def _simple(self, group: Group) -> tuple[Rgb, Corners | None]:
        parts = group.details[0]
        found = _corners(parts[0]) if len(parts) == 1 else None
        if found:
            return self._strokes.rgb(found[0]), found[1]
        return (MORE if parts else NOTHING), None


def _corners(part: Primitive) -> tuple[str, Corners] | None:
    """The colour and two corners of a line, a disc or a box; None for anything else."""
    if isinstance(part, Polyline):
        points = part.points
        return (part.colour, (*points[0], *points[1])) if part.style == "far" and len(points) == 2 else None
    if isinstance(part, Circle) and part.fill and not part.style:
        (x, y), reach = part.centre, part.radius
        return part.fill, (x - reach, y - reach, x + reach, y + reach)
    if isinstance(part, Polygon) and part.fill and not part.style and len(part.points) == 4:
        xs, ys = zip(*part.points, strict=True)
        if len(set(xs)) == len(set(ys)) == 2:
            return part.fill, (min(xs), min(ys), max(xs), max(ys))
    return None


def _rectangles(flat: Sequence[float], grow: float, weight: int, scale: float) -> Iterable[Sequence[int]]:
    """For each two corners whether a rectangle can stand for it, and its pixels: left, top, width, height."""
    corners = np.array(flat, np.float64).reshape(-1, 4) * grow
    low, high = np.minimum(corners[:, :2], corners[:, 2:]), np.maximum(corners[:, :2], corners[:, 2:])
    size = high - low
    fits = np.all(size <= DASHED_PX * scale, axis=1) & np.any(size <= THIN_PX * scale, axis=1)
    # What is thinner than the weight lies round its middle.
    begin = np.stack([low[:, 0], -high[:, 1]], axis=1) - np.maximum(weight - size, 0) / 2
    pixels = np.floor(begin + 0.5), np.maximum(np.floor(size + 0.5), weight)
    rows: list[list[int]] = np.column_stack([fits, *pixels]).astype(np.int64).tolist()
    return rows
