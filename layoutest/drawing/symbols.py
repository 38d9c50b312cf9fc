"""What stands in the line of a pipe, as plain line symbols after ISO 6412: valve, flange, strainer, pump and so on."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Circle, Polygon, Polyline

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Point, Primitive

LEAST_HALF_MM = 30.0
JACKET_WIDER = 1.12


class _Frame:
    """Places told along and across the pipe from the middle of a thing in it."""

    def __init__(self, middle: Point, way: Point) -> None:
        self.middle, self.way = middle, way

    def at(self, along: float, across: float) -> Point:
        (u, v), (du, dv) = self.middle, self.way
        return u + du * along - dv * across, v + dv * along + du * across

    def rect(self, half_long: float, half_wide: float) -> tuple[Point, ...]:
        return tuple(
            self.at(a, b)
            for a, b in (
                (-half_long, half_wide),
                (half_long, half_wide),
                (half_long, -half_wide),
                (-half_long, -half_wide),
            )
        )


class ItemPlace(NamedTuple):
    """Where an item is seen: its middle, the direction of its pipe (a unit vector) and its length on the sheet.

    `cover_mm` is the diameter of the covering beside it, or of the pipe where that is bare.
    """

    middle: Point
    way: Point
    long_mm: float
    pipe_mm: float
    cover_mm: float


def outline_parts(covered: str, place: ItemPlace) -> tuple[Primitive, ...]:
    """The double outline of a jacket, or an insert between the sections; nothing for what is covered otherwise."""
    frame, half = _Frame(place.middle, place.way), place.long_mm / 2
    if covered == "jacket":
        wide = place.cover_mm / 2 * JACKET_WIDER
        inner = min(half, wide) * 0.16
        return (
            Polygon(frame.rect(half, wide), "field", "plant"),
            Polyline(frame.rect(half - inner, wide - inner), "joint", "edge", closed=True, dash="jacket"),
        )
    if covered == "insert":
        return (Polygon(frame.rect(half, place.cover_mm / 2), "structure_fill", "plant"),)
    return ()


def symbol_parts(kind: str, place: ItemPlace) -> tuple[Primitive, ...]:
    """The symbol of an item, as large as fits its place."""
    size = min(max(place.long_mm / 2 * 0.52, LEAST_HALF_MM), max(place.cover_mm / 2 * 0.62, LEAST_HALF_MM))
    frame = _Frame(place.middle, place.way)
    return tuple(_SYMBOLS.get(kind, _other)(frame, size, place.pipe_mm, place.cover_mm))


def _valve(frame: _Frame, size: float, *_: float) -> list[Primitive]:
    left = (frame.at(-size, size * 0.62), frame.at(0, 0), frame.at(-size, -size * 0.62))
    right = (frame.at(size, size * 0.62), frame.at(0, 0), frame.at(size, -size * 0.62))
    return [Polygon(left, "field", "plant"), Polygon(right, "field", "plant")]


def _flange(frame: _Frame, size: float, pipe_mm: float, _: float) -> list[Primitive]:
    tall = max(pipe_mm * 0.75, size * 0.8)
    gap = size * 0.18
    return [Polyline((frame.at(off, tall), frame.at(off, -tall)), "plant") for off in (-gap, gap)]


def _strainer(frame: _Frame, size: float, *_: float) -> list[Primitive]:
    slant = (frame.at(-size * 0.5, size * 0.55), frame.at(size * 0.5, -size * 0.55))
    return [Polygon(frame.rect(size, size * 0.55), "field", "plant"), Polyline(slant, "plant")]


def _pump(frame: _Frame, size: float, *_: float) -> list[Primitive]:
    head = (frame.at(-size * 0.55, size * 0.72), frame.at(size * 0.92, 0), frame.at(-size * 0.55, -size * 0.72))
    return [Circle(frame.at(0, 0), size, "field", "plant"), Polygon(head, "", "plant")]


def _meter(frame: _Frame, size: float, *_: float) -> list[Primitive]:
    needle = (frame.at(-size * 0.5, -size * 0.5), frame.at(size * 0.5, size * 0.5))
    return [Circle(frame.at(0, 0), size * 0.85, "field", "plant"), Polyline(needle, "plant")]


def _support(frame: _Frame, size: float, _: float, cover_mm: float) -> list[Primitive]:
    """A foot under the covering; beside a pipe that goes up the sheet, on its right."""
    (du, dv), wide = frame.way, max(size * 0.6, LEAST_HALF_MM)
    down = -1 if du > 0 or (du == 0 and dv > 0) else 1
    near, far = down * cover_mm / 2, down * (cover_mm / 2 + wide)
    return [Polygon((frame.at(-wide, far), frame.at(0, near), frame.at(wide, far)), "field", "plant")]


def _other(frame: _Frame, size: float, *_: float) -> list[Primitive]:
    return [Polygon(frame.rect(size * 0.8, size * 0.55), "field", "plant")]


_SYMBOLS: dict[str, Callable[..., list[Primitive]]] = {
    "valve": _valve,
    "flange": _flange,
    "strainer": _strainer,
    "pump": _pump,
    "meter": _meter,
    "support": _support,
    "other": _other,
}
