"""The tools' pictures, 16 px square, as primitives round a middle. Each stands beside a word or has a tooltip."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Circle, Polygon, Polyline, Rect

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Point, Primitive

# Roles of line by the weight that they have: 1, 1.25 and 1.75 px.
_FINE, _STROKE, _BOLD = "rule", "edge", "mitre"


def pictogram(name: str, middle: Point, colour: str = "text") -> list[Primitive]:
    """The picture of a tool; nothing for a name that has none."""
    draw = _PICTURES.get(name)
    return draw(*middle, colour) if draw else []


def chevron(x: float, y: float, colour: str = "text") -> list[Primitive]:
    """The mark of a list that opens, 10 px wide."""
    return [Polyline(((x - 5, y - 2.5), (x, y + 3), (x + 5, y - 2.5)), _STROKE, colour)]


def _pick(x: float, y: float, colour: str) -> list[Primitive]:
    dashes = [Rect(x - 6.5 + at, y - 6.5, 3, 1.5, colour) for at in (0, 5, 10)]
    dashes += [Rect(x - 6.5 + at, y + 5, 3, 1.5, colour) for at in (0, 10)]
    dashes += [Rect(left, y - 1.5, 1.5, 3, colour) for left in (x - 6.5, x + 5)]
    pointer = ((x - 2.5, y - 3.5), (x + 6.5, y + 2), (x + 2.2, y + 2.6), (x - 0.2, y + 6.8))
    return [*dashes, Polygon(pointer, colour)]


def _leg(x: float, y: float, colour: str) -> list[Primitive]:
    ends = [Rect(x - 7, y + 3, 4, 4, colour), Rect(x + 3, y - 7, 4, 4, colour)]
    return [Polyline(((x - 5, y + 5), (x + 5, y - 5)), _BOLD, colour), *ends]


def _rise(x: float, y: float, colour: str) -> list[Primitive]:
    return [Circle((x, y), 6, "", _STROKE, colour), Circle((x, y), 1.8, colour)]


def _item(x: float, y: float, colour: str) -> list[Primitive]:
    bow = ((x - 6, y - 4), (x - 6, y + 4), (x + 6, y - 4), (x + 6, y + 4))
    return [Polyline(bow, _STROKE, colour, closed=True)]


def _support(x: float, y: float, colour: str) -> list[Primitive]:
    rod = [Rect(x - 5, y - 6.5, 10, 1.5, colour), Rect(x - 0.75, y - 6, 1.5, 7, colour)]
    return [*rod, Polyline(_arc(x, y + 1, 4, 0, pi), _STROKE, colour)]


def _wall(x: float, y: float, colour: str) -> list[Primitive]:
    strokes = [Polyline(((x + at, y + 3), (x + at + 4, y - 3)), _FINE, colour) for at in (-4.5, 0.5)]
    return [Rect(x - 7, y - 4, 14, 8, "", _STROKE, colour), *strokes]


def _plant(x: float, y: float, colour: str) -> list[Primitive]:
    return [Rect(x - 5.5, y - 6.5, 11, 13, "", _STROKE, colour), Rect(x - 5, y - 2.5, 10, 1.5, colour)]


def _tape(x: float, y: float, colour: str) -> list[Primitive]:
    marks = [Rect(x + at, y - 3, 1.25, high, colour) for at, high in ((-3.6, 3.5), (-0.6, 4.5), (2.4, 3.5))]
    return [Rect(x - 7, y - 3.5, 14, 7, "", _STROKE, colour), *marks]


def _note(x: float, y: float, colour: str) -> list[Primitive]:
    return [Rect(x - 5, y + at, wide, 1.5, colour) for at, wide in ((-4.75, 10), (-0.75, 10), (3.25, 6))]


def _picture(x: float, y: float, colour: str) -> list[Primitive]:
    hills = ((x - 5.5, y + 4), (x - 2, y - 1), (x + 0.5, y + 2), (x + 2.5, y), (x + 5, y + 4))
    return [Rect(x - 7, y - 6, 14, 12, "", _STROKE, colour), Polyline(hills, _STROKE, colour)]


def _undo(x: float, y: float, colour: str) -> list[Primitive]:
    return _bent_arrow(x, y, colour, 1)


def _redo(x: float, y: float, colour: str) -> list[Primitive]:
    return _bent_arrow(x, y, colour, -1)


def _bent_arrow(x: float, y: float, colour: str, way: int) -> list[Primitive]:
    bend = [(x + way * (2.5 + px), y + py) for px, py in _arc(0, 1.5, 3.5, -pi / 2, pi / 2)]
    line = ((x - way * 4, y - 2), *bend, (x - way * 1.5, y + 5))
    head = ((x - way * 6, y - 2), (x - way * 2, y - 5.5), (x - way * 2, y + 1.5))
    return [Polyline(line, _STROKE, colour), Polygon(head, colour)]


def _arc(x: float, y: float, radius: float, start: float, stop: float) -> tuple[Point, ...]:
    angles = [start + (stop - start) * step / 8 for step in range(9)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


_PICTURES: dict[str, Callable[[float, float, str], list[Primitive]]] = {
    "pick": _pick,
    "leg": _leg,
    "rise": _rise,
    "item": _item,
    "support": _support,
    "wall": _wall,
    "plant": _plant,
    "tape": _tape,
    "note": _note,
    "picture": _picture,
    "undo": _undo,
    "redo": _redo,
}
