"""Primitives turned into strokes: short tuples of whole device pixels and colours that are painted in a loop.

A stroke's coordinates are relative to an origin that is given when it is painted, so that a moved view costs nothing.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor, hypot
from typing import TYPE_CHECKING, Any

import pygame

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Circle, Clip, Hatch, Polygon, Polyline, Rect, Text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layoutest.drawing.look import Rgb, Theme
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.window.type import Type

FILL, SHAPE, LINE, DISC, RING, WORDS, WITHIN, ROUNDED = range(8)
Stroke = tuple[Any, ...]
HATCH_PITCH = {"offcut": 6.0, "scrap": 4.0, "structure": 9.0}
JACKET_DASH = (4.0, 3.0)
BREAK_PX = 3


class Strokes:
    """Makes strokes for one theme and interface scale. `grow` is px per unit of the picture, `up` whether y goes up."""

    def __init__(self, theme: Theme, type_: Type) -> None:
        self.theme, self.type, self.scale = theme, type_, type_.scale
        self.look = load_look()
        self._colours: dict[str, Rgb] = {}

    def rgb(self, role: str) -> Rgb:
        """The colour of a role of the look."""
        found = self._colours.get(role)
        if found is None:
            found = self._colours[role] = self.theme.rgb(role)
        return found

    def weight(self, style: str) -> int:
        """The weight of a style in whole device pixels."""
        px = {"far": 2.0, "break": 0.0}.get(style, self.look.line_px(style))
        return max(int(px * self.scale + 0.5), 1)

    def of(self, parts: Iterable[Primitive], grow: float, *, up: bool) -> list[Stroke]:
        """The strokes of some primitives."""
        made: list[Stroke] = []
        for part in parts:
            _MAKERS[type(part)](self, made, part, grow, -grow if up else grow)
        return made

    def _colour(self, colour: str, style: str) -> Rgb:
        return self.rgb(colour or style)

    def _polyline(self, made: list[Stroke], part: Polyline, gx: float, gy: float) -> None:
        points = [(x * gx, y * gy) for x, y in part.points]
        if part.closed:
            points.append(points[0])
        colour = self._colour(part.colour, part.style)
        weight = self.weight(part.style)
        if part.style == "break":
            weight = round(part.width * gx) + 2 * round(BREAK_PX * self.scale)
        elif part.width:
            weight = max(round(part.width * gx), 1)
        pattern = self._dash(part.dash, weight)
        if pattern and _length(points) > sum(pattern) * 1.5:
            for start, end in _dashed(points, pattern):
                line(made, colour, start, end, weight)
        else:
            for start, end in pairwise(points):
                line(made, colour, start, end, weight)
        if part.ticks:
            self._ticks(made, part, points, gx)

    def _dash(self, dash: str, weight: int) -> tuple[float, ...]:
        if not dash:
            return ()
        pattern = JACKET_DASH if dash == "jacket" else self.look.dashes[dash]
        return tuple(one * weight for one in pattern)

    def _ticks(self, made: list[Stroke], part: Polyline, points: Sequence[Point], gx: float) -> None:
        colour, weight = self.rgb("joint"), self.weight("joint")
        reach = part.tick * gx + self.look.lines_px["joint_overshoot"] * self.scale
        (x0, y0), (x1, y1) = points[0], points[-1]
        length = hypot(x1 - x0, y1 - y0)
        if not length:
            return
        dx, dy = (x1 - x0) / length, (y1 - y0) / length
        for at in part.ticks:
            x, y = x0 + dx * at * gx, y0 + dy * at * gx
            line(made, colour, (x - dy * reach, y + dx * reach), (x + dy * reach, y - dx * reach), weight)

    def _polygon(self, made: list[Stroke], part: Polygon, gx: float, gy: float) -> None:
        points = [(x * gx, y * gy) for x, y in part.points]
        if part.fill:
            self._filled(made, points, self.rgb(part.fill))
        if part.style:
            weight, colour = self.weight(part.style), self._colour(part.colour, part.style)
            for start, end in zip(points, (*points[1:], points[0]), strict=True):
                line(made, colour, start, end, weight)

    @staticmethod
    def _filled(made: list[Stroke], points: list[Point], colour: Rgb) -> None:
        xs, ys = {round(x) for x, _ in points}, {round(y) for _, y in points}
        if len(points) == 4 and len(xs) == 2 and len(ys) == 2:
            low_x, low_y = min(xs), min(ys)
            made.append((FILL, colour, low_x, low_y, max(xs) - low_x, max(ys) - low_y))
        else:
            made.append((SHAPE, colour, [(round(x), round(y)) for x, y in points]))

    def _rect(self, made: list[Stroke], part: Rect, gx: float, gy: float) -> None:
        left, top = round(part.x * gx), round(part.y * gy)
        right, bottom = round((part.x + part.width) * gx), round((part.y + part.height) * gy)
        width, height = max(right - left, 1), max(bottom - top, 1)
        radius = round(self.look.radius_px[part.radius] * self.scale)
        fill = self.rgb(part.fill) if part.fill else None
        if radius:
            weight = self.weight(part.style) if part.style else 0
            edge = self._colour(part.colour, part.style) if part.style else None
            made.append((ROUNDED, fill, edge, left, top, width, height, weight, radius))
            return
        if fill:
            made.append((FILL, fill, left, top, width, height))
        if part.style:
            _frame(made, self._colour(part.colour, part.style), (left, top, width, height), self.weight(part.style))

    def _circle(self, made: list[Stroke], part: Circle, gx: float, gy: float) -> None:
        x, y, radius = part.centre[0] * gx, part.centre[1] * gy, max(part.radius * gx, 1.0)
        if part.fill:
            made.append((DISC, self.rgb(part.fill), round(x), round(y), radius))
        if part.style:
            weight = self.weight(part.style)
            made.append((RING, self._colour(part.colour, part.style), round(x), round(y), radius + weight / 2, weight))

    def _hatch(self, made: list[Stroke], part: Hatch, gx: float, gy: float) -> None:
        points = [(x * gx, y * gy) for x, y in part.points]
        pitch = HATCH_PITCH[part.pattern] * self.scale
        colour = self.rgb(part.colour)
        for slope in (1, -1) if part.pattern == "scrap" else (1,):
            for start, end in hatched(points, pitch * 2**0.5, slope):
                made.append((LINE, colour, *start, *end, 1))

    def _text(self, made: list[Stroke], part: Text, gx: float, gy: float) -> None:
        px = round(part.cap_height * gx / 0.698) if part.cap_height else self.type.px_of(part.size)
        if not part.words or px < 4:
            return
        halo = self.rgb(part.halo) if part.halo else None
        surface, middle = self.type.drawn(part.words, px, part.bold, self.rgb(part.colour), halo, bool(part.turn_deg))
        x, y = part.at[0] * gx, part.at[1] * gy
        rim = round(3 * self.scale) if halo else 0
        width, height = surface.get_size()
        if part.turn_deg:
            off = {"left": height - rim, "middle": height / 2, "right": rim}[part.align]
            made.append((WORDS, surface, floor(x - middle + 0.5), floor(y - off + 0.5)))
        else:
            off = {"left": rim, "middle": width / 2, "right": width - rim}[part.align]
            made.append((WORDS, surface, floor(x - off + 0.5), floor(y - middle + 0.5)))

    def _clip(self, made: list[Stroke], part: Clip, gx: float, gy: float) -> None:
        inner: list[Stroke] = []
        for one in part.parts:
            _MAKERS[type(one)](self, inner, one, gx, gy)
        left, right = round(part.box.low_x * gx), round(part.box.high_x * gx)
        top, bottom = sorted((round(part.box.low_y * gy), round(part.box.high_y * gy)))
        made.append((WITHIN, (left, top, right - left, bottom - top), inner))


_MAKERS: dict[type, Callable[..., None]] = {
    Polyline: Strokes._polyline,  # noqa: SLF001 - the table of its own methods
    Polygon: Strokes._polygon,  # noqa: SLF001
    Rect: Strokes._rect,  # noqa: SLF001
    Circle: Strokes._circle,  # noqa: SLF001
    Hatch: Strokes._hatch,  # noqa: SLF001
    Text: Strokes._text,  # noqa: SLF001
    Clip: Strokes._clip,  # noqa: SLF001
}


def line(made: list[Stroke], colour: Rgb, start: Point, end: Point, weight: int) -> None:
    """A line: level and upright ones are whole rectangles of pixels, others are smooth."""
    (x0, y0), (x1, y1) = start, end
    if abs(x1 - x0) < 0.5:
        top, bottom = floor(min(y0, y1) + 0.5), floor(max(y0, y1) + 0.5)
        made.append(
            (FILL, colour, floor(x0 + 0.5) - weight // 2, top, weight, max(bottom - top, 0) + (weight + 1) // 2)
        )
    elif abs(y1 - y0) < 0.5:
        left, right = floor(min(x0, x1) + 0.5), floor(max(x0, x1) + 0.5)
        made.append(
            (FILL, colour, left, floor(y0 + 0.5) - weight // 2, max(right - left, 0) + (weight + 1) // 2, weight)
        )
    else:
        length = hypot(x1 - x0, y1 - y0)
        wide = max(round(weight * length / max(abs(x1 - x0), abs(y1 - y0))), 1)
        made.append((LINE, colour, x0, y0, x1, y1, wide))


def _frame(made: list[Stroke], colour: Rgb, box: tuple[int, int, int, int], weight: int) -> None:
    left, top, width, height = box
    made += (
        (FILL, colour, left, top, width, weight),
        (FILL, colour, left, top + height - weight, width, weight),
        (FILL, colour, left, top, weight, height),
        (FILL, colour, left + width - weight, top, weight, height),
    )


def _length(points: Sequence[Point]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def _dashed(points: Sequence[Point], pattern: Sequence[float]) -> Iterable[tuple[Point, Point]]:
    """The drawn parts of a dashed line; the pattern goes on round corners."""
    number, left, on = 0, pattern[0], True
    for (x0, y0), (x1, y1) in pairwise(points):
        length = hypot(x1 - x0, y1 - y0)
        at = 0.0
        while at < length - 1e-9:
            step = min(left, length - at)
            if on:
                a, b = at / length, (at + step) / length
                yield (x0 + (x1 - x0) * a, y0 + (y1 - y0) * a), (x0 + (x1 - x0) * b, y0 + (y1 - y0) * b)
            at += step
            left -= step
            if left <= 1e-9:
                number = (number + 1) % len(pattern)
                left, on = pattern[number], not on


def hatched(points: Sequence[Point], pitch: float, slope: int) -> Iterable[tuple[Point, Point]]:
    """Lines at 45° inside a shape, a pitch apart along x, on one raster for all shapes."""
    # Along a line x + slope·y is constant: it is counted in pitches from the origin.
    keys = [x + slope * y for x, y in points]
    for number in range(ceil(min(keys) / pitch), floor(max(keys) / pitch) + 1):
        key = number * pitch
        crossings = []
        for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True):
            k0, k1 = x0 + slope * y0, x1 + slope * y1
            if (k0 <= key) != (k1 <= key):
                share = (key - k0) / (k1 - k0)
                crossings.append((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))
        crossings.sort()
        yield from zip(crossings[::2], crossings[1::2], strict=False)


def paint(surface: pygame.Surface, strokes: Iterable[Stroke], ox: int, oy: int) -> None:
    """Paint strokes with their origin at a pixel."""
    fill, polygon, aaline = surface.fill, pygame.draw.polygon, pygame.draw.aaline
    for stroke in strokes:
        kind = stroke[0]
        if kind == FILL:
            _, colour, x, y, w, h = stroke
            fill(colour, (x + ox, y + oy, w, h))
        elif kind == LINE:
            _, colour, x0, y0, x1, y1, w = stroke
            aaline(surface, colour, (x0 + ox, y0 + oy), (x1 + ox, y1 + oy), w)
        elif kind == SHAPE:
            points = [(x + ox, y + oy) for x, y in stroke[2]]
            polygon(surface, stroke[1], points)
        elif kind == WORDS:
            surface.blit(stroke[1], (stroke[2] + ox, stroke[3] + oy))
        elif kind == DISC:
            pygame.draw.aacircle(surface, stroke[1], (stroke[2] + ox, stroke[3] + oy), stroke[4])
        elif kind == RING:
            pygame.draw.aacircle(surface, stroke[1], (stroke[2] + ox, stroke[3] + oy), stroke[4], stroke[5])
        elif kind == ROUNDED:
            _rounded(surface, stroke, ox, oy)
        else:
            _within(surface, stroke, ox, oy)


def _rounded(surface: pygame.Surface, stroke: Stroke, ox: int, oy: int) -> None:
    _, fill, edge, x, y, w, h, weight, radius = stroke
    box = (x + ox, y + oy, w, h)
    if edge is not None:
        pygame.draw.rect(surface, edge, box, 0 if fill is not None else weight, radius)
        if fill is not None:
            inner = (x + ox + weight, y + oy + weight, w - 2 * weight, h - 2 * weight)
            pygame.draw.rect(surface, fill, inner, 0, max(radius - weight, 0))
    elif fill is not None:
        pygame.draw.rect(surface, fill, box, 0, radius)


def _within(surface: pygame.Surface, stroke: Stroke, ox: int, oy: int) -> None:
    x, y, w, h = stroke[1]
    before = surface.get_clip()
    surface.set_clip(before.clip(pygame.Rect(x + ox, y + oy, w, h)))
    paint(surface, stroke[2], ox, oy)
    surface.set_clip(before)
