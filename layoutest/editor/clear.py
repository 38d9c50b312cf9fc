"""Places for words: clear of pipes and of other words, and where it can be of edges too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline, Rect, Text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Group, Point, Primitive
    from layoutest.editor.picture import Measure, View

CELL_PX = 2.0
EDGE_PX = 2.0
LEAST_HALF_PX = 1.5
MOST_STEPS = 40
LEAST_STEP_PX = 12.0


class Clear:
    """What words have to keep clear of, on a raster of 2 px: for each row of it an integer with a bit a cell."""

    def __init__(self, picture: SheetPicture, view: View, sheet: Box, names: Iterable[str]) -> None:
        self.sheet = sheet
        self._pipes, self._edges = ([0] * (int((sheet.high_y - sheet.low_y) / CELL_PX) + 2) for _ in range(2))
        for name in names:
            if name.startswith("outline "):
                for box in _edges(picture.groups[name], view):
                    self._fill(self._edges, box)
            elif not name.startswith("break "):
                for box in _pipe(picture.groups[name], view):
                    self._fill(self._pipes, box)

    def keep(self, boxes: Iterable[Box]) -> None:
        """Keep some places free of words."""
        for box in boxes:
            self._fill(self._pipes, box)

    def takes(self, box: Box, *, edges: bool = True) -> bool:
        """Take a place when it is free, of `edges` of walls and plant too unless they do not matter."""
        sheet = self.sheet
        if box.low_x < sheet.low_x or box.low_y < sheet.low_y or box.high_x > sheet.high_x or box.high_y > sheet.high_y:
            return False
        if not self.is_free(box) or (edges and self._meets(self._edges, box)):
            return False
        self._fill(self._pipes, box)
        return True

    def is_free(self, box: Box) -> bool:
        """Whether neither a pipe nor a word lies in a box."""
        return not self._meets(self._pipes, box)

    def _meets(self, rows: list[int], box: Box) -> bool:
        first, last, bits = self._cells(box)
        return any(row & bits for row in rows[first:last])

    def _cells(self, box: Box) -> tuple[int, int, int]:
        """The rows of a box, and the bits of its columns; only what lies on the sheet."""
        left, top, right, _ = self.sheet
        first = round((max(box.low_x, left) - left) / CELL_PX)
        wide = max(round((min(box.high_x, right) - left) / CELL_PX) - first, 0)
        low, high = round((box.low_y - top) / CELL_PX), round((box.high_y - top) / CELL_PX)
        return max(low, 0), min(max(high, 0), len(self._pipes)), ((1 << wide) - 1) << first

    def _fill(self, rows: list[int], box: Box) -> None:
        first, last, bits = self._cells(box)
        if bits:
            rows[first:last] = [row | bits for row in rows[first:last]]


def boxes_in_front(parts: Iterable[Primitive], measure: Measure) -> list[Box]:
    """What plates and words take of the sheet: all that lies behind gives way to them."""
    boxes = [Box(part.x, part.y, part.x + part.width, part.y + part.height) for part in parts if isinstance(part, Rect)]
    return boxes + [words_box(part, measure) for part in parts if isinstance(part, Text)]


def words_box(text: Text, measure: Measure) -> Box:
    """What words take: as wide as they are, and as high as their type."""
    wide, (x, y) = measure(text.words, text.size, text.bold), text.at
    high = load_look().type_px[text.size][0]
    before = {"left": 0.0, "middle": wide / 2, "right": wide}[text.align]
    if text.turn_deg:
        return Box(x - high / 2, y + before - wide, x + high / 2, y + before)
    return Box(x - before, y - high / 2, x - before + wide, y + high / 2)


def meets(box: Box, others: Iterable[Box]) -> bool:
    """Whether a box lies over one of some others."""
    return any(
        box.low_x < one.high_x and one.low_x < box.high_x and box.low_y < one.high_y and one.low_y < box.high_y
        for one in others
    )


def _pipe(group: Group, view: View) -> Iterator[Box]:
    """A pipe as boxes, a slanting one as a row of small ones; its jackets; or the pieces of a bend."""
    first = group.details[0][0] if group.details[0] else None
    if isinstance(first, Polyline):
        half = max(group.width / 2 * view.scale, LEAST_HALF_PX)
        yield from _line(view.to_px(first.points[0]), view.to_px(first.points[-1]), half)
    elif isinstance(first, Circle):
        (x, y), half = view.to_px(first.centre), max(first.radius * view.scale, LEAST_HALF_PX)
        yield Box(x - half, y - half, x + half, y + half)
    coarse = group.details[1] if len(group.details) > 1 else ()
    for part in coarse:
        if isinstance(part, Polygon) and (first is None or not part.fill.startswith("body:")):
            yield _round([view.to_px(point) for point in part.points])


def _line(low: Point, high: Point, half: float) -> Iterator[Box]:
    (x0, y0), (x1, y1) = low, high
    wide, tall = abs(x1 - x0), abs(y1 - y0)
    steps = 1
    if wide > half and tall > half:
        steps = min(max(int(max(wide, tall) / max(2 * half, LEAST_STEP_PX)), 1), MOST_STEPS)
    for step in range(steps):
        a, b = step / steps, (step + 1) / steps
        box = _round([(x0 + (x1 - x0) * a, y0 + (y1 - y0) * a), (x0 + (x1 - x0) * b, y0 + (y1 - y0) * b)])
        yield Box(box.low_x - half, box.low_y - half, box.high_x + half, box.high_y + half)


def _edges(group: Group, view: View) -> Iterator[Box]:
    """The edges of plant; of walls and slabs all, as they are hatched."""
    shape = group.details[-1][0]
    if not isinstance(shape, Polygon):
        return
    points = [view.to_px(point) for point in shape.points]
    if shape.fill != "plant_fill":
        yield _round(points)
        return
    for low, high in zip(points, (*points[1:], points[0]), strict=True):
        box = _round([low, high])
        yield Box(box.low_x - EDGE_PX, box.low_y - EDGE_PX, box.high_x + EDGE_PX, box.high_y + EDGE_PX)


def _round(points: list[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))
