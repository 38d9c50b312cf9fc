"""Primitives turned into strokes: short tuples of whole device pixels and colours that are painted in a loop.

A stroke's coordinates are relative to an origin that is given when it is painted, so that a moved view costs nothing.
Level and upright lines are whole rectangles of pixels, all else has smooth rims.
"""

from __future__ import annotations

from itertools import pairwise
from math import floor, hypot
from typing import TYPE_CHECKING, Any

import pygame

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Circle, Clip, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.window import smooth
from layoutest.editor.window.dashes import dashed, hatched
from layoutest.editor.window.snapping import middle_of, snapped, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layoutest.drawing.look import Rgb, Theme
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.window.type import Type

FILL, PICTURE, TILED, DISC, WITHIN = range(5)
# Its kind and what that needs: see `paint`.
Stroke = tuple[Any, ...]
HATCH_PITCH_PX = {"offcut": 6.0, "scrap": 4.0, "structure": 9.0}
JACKET_DASH = (4.0, 3.0)
BREAK_PX = 3
# Lines on the screen that the look knows no weight of: from afar, and the rim beside a pipe that crosses over others.
WEIGHTS_PX = {"far": 2.0}
LEAST_TYPE_PX = 4
# A larger disc is no picture of its own.
LARGE_DISC_PX = 100


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
        px = WEIGHTS_PX.get(style) or self.look.line_px(style)
        return max(floor(px * self.scale + 0.5), 1)

    def of(self, parts: Iterable[Primitive], grow: float, *, up: bool, off: Point = (0.0, 0.0)) -> list[Stroke]:
        """The strokes of some primitives, moved by a part of a pixel."""
        made: list[Stroke] = []
        place = _Place(grow, -grow if up else grow, *off)
        for part in parts:
            _MAKERS[type(part)](self, made, part, place)
        return made

    def _polyline(self, made: list[Stroke], part: Polyline, place: _Place) -> None:
        points = place.all(part.points)
        if part.closed:
            points.append(points[0])
        colour, weight = self.rgb(part.colour or part.style), self.weight(part.style)
        if part.style == "break":
            weight = whole(part.width * place.gx) + 2 * whole(BREAK_PX * self.scale)
        elif part.width:
            weight = max(whole(part.width * place.gx), 1)
        points = snapped(points, weight, closed=part.closed)
        pattern = self._dash(part.dash, weight)
        if pattern and _length(points) > sum(pattern):
            for dash in dashed(points, pattern):
                path(made, colour, dash, weight)
        else:
            path(made, colour, points, weight, closed=part.closed)
        if part.ticks:
            self._ticks(made, part, points, place.gx)

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
            tick = [(x - dy * reach, y + dx * reach), (x + dy * reach, y - dx * reach)]
            path(made, colour, snapped(tick, weight, closed=False), weight)

    def _polygon(self, made: list[Stroke], part: Polygon, place: _Place) -> None:
        points = place.all(part.points)
        if part.fill:
            filled(made, points, self.rgb(part.fill))
        if part.style:
            weight = self.weight(part.style)
            ring = snapped([*points, points[0]], weight, closed=True)
            path(made, self.rgb(part.colour or part.style), ring, weight, closed=True)

    def _rect(self, made: list[Stroke], part: Rect, place: _Place) -> None:
        (x0, y0), (x1, y1) = place.all(((part.x, part.y), (part.x + part.width, part.y + part.height)))
        left, top = whole(x0), whole(y0)
        box = (left, top, max(whole(x1) - left, 1), max(whole(y1) - top, 1))
        radius = whole(self.look.radius_px[part.radius] * self.scale)
        weight = self.weight(part.style) if part.style else 0
        if part.fill:
            inset = weight // 2 if radius else 0
            inner = (box[0] + inset, box[1] + inset, box[2] - 2 * inset, box[3] - 2 * inset)
            _rounded(made, self.rgb(part.fill), inner, max(radius - inset, 0), 0)
        if part.style:
            _rounded(made, self.rgb(part.colour or part.style), box, radius, weight)

    def _circle(self, made: list[Stroke], part: Circle, place: _Place) -> None:
        (point,) = place.all((part.centre,))
        radius, weight = max(part.radius * place.gx, 1.0), self.weight(part.style) if part.style else 1
        # Its middle lies where that of a line through it would.
        centre = middle_of(point[0], weight), middle_of(point[1], weight)
        if part.fill:
            _disc(made, centre, radius, self.rgb(part.fill), 0)
        if part.style:
            _disc(made, centre, radius + weight / 2, self.rgb(part.colour or part.style), weight)

    def _hatch(self, made: list[Stroke], part: Hatch, place: _Place) -> None:
        points, weight = place.all(part.points), self.weight("rule")
        # Whole pixels from line to line: every line is the same picture.
        pitch = whole(HATCH_PITCH_PX[part.pattern] * self.scale * 2**0.5)
        colour = self.rgb(part.colour)
        for slope in (1, -1) if part.pattern == "scrap" else (1,):
            for start, end in hatched(points, pitch, slope):
                _put(made, smooth.bar(start, end, weight, colour))

    def _text(self, made: list[Stroke], part: Text, place: _Place) -> None:
        px = self.type.px_of_capital(part.cap_height * place.gx) if part.cap_height else self.type.px_of(part.size)
        if not part.words or px < LEAST_TYPE_PX:
            return
        halo = self.rgb(part.halo) if part.halo else None
        words = self.type.drawn(part.words, px, part.bold, self.rgb(part.colour), halo, bool(part.turn_deg))
        ((x, y),) = place.all((part.at,))
        width, height = words.picture.get_size()
        rim = self.type.rim_px if halo else 0
        if part.turn_deg:
            off = {"left": height - rim, "middle": height / 2, "right": rim}[part.align]
            made.append((PICTURE, words.picture, whole(x - words.middle), whole(y - off)))
        else:
            off = {"left": rim, "middle": width / 2, "right": width - rim}[part.align]
            made.append((PICTURE, words.picture, whole(x - off), whole(y - words.middle)))

    def _clip(self, made: list[Stroke], part: Clip, place: _Place) -> None:
        inner: list[Stroke] = []
        for one in part.parts:
            _MAKERS[type(one)](self, inner, one, place)
        (x0, y0), (x1, y1) = place.all((part.box[:2], part.box[2:]))
        left, right = whole(x0), whole(x1)
        top, bottom = sorted((whole(y0), whole(y1)))
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


class _Place:
    """How a picture's units lie on the pixels: px for each unit across and down, and where its zero is."""

    __slots__ = ("gx", "gy", "ox", "oy")

    def __init__(self, gx: float, gy: float, ox: float, oy: float) -> None:
        self.gx, self.gy, self.ox, self.oy = gx, gy, ox, oy

    def all(self, points: Iterable[Sequence[float]]) -> list[Point]:
        gx, gy, ox, oy = self.gx, self.gy, self.ox, self.oy
        return [(x * gx + ox, y * gy + oy) for x, y in points]


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
            _put(made, smooth.bar(begin, finish, weight, colour))


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
    xs, ys = {x for x, _ in corners}, {y for _, y in corners}
    if len(corners) == 4 and len(xs) == 2 and len(ys) == 2:
        left, top = int(min(xs)), int(min(ys))
        made.append((FILL, colour, left, top, int(max(xs)) - left, int(max(ys)) - top))
        return
    for axis in (0, 1):
        between = _strip(corners, axis)
        if between:
            _body(made, corners, axis, between, colour)
            return
    _put(made, smooth.polygon(corners, colour))


def _strip(corners: Sequence[Point], axis: int) -> tuple[int, int] | None:
    """From where to where along an axis a shape is a rectangle of its whole width; None where it is none."""
    across = [corner[1 - axis] for corner in corners]
    spans = []
    for side in (min(across), max(across)):
        edge = [corner[axis] for corner in corners if corner[1 - axis] == side]
        if len(edge) != 2:
            return None
        spans.append(sorted(edge))
    low, high = -(-max(spans[0][0], spans[1][0]) // 1), min(spans[0][1], spans[1][1]) // 1
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
            _put(made, smooth.polygon(end, colour))


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


def _put(made: list[Stroke], placed: smooth.Placed) -> None:
    made.append((TILED if isinstance(placed.picture, smooth.Tiled) else PICTURE, *placed))


def _disc(made: list[Stroke], centre: Point, radius: float, colour: Rgb, weight: int) -> None:
    if radius <= LARGE_DISC_PX:
        _put(made, smooth.disc(centre, radius, colour, weight))
    else:
        made.append((DISC, colour, floor(centre[0]), floor(centre[1]), whole(radius), weight))


def _rounded(made: list[Stroke], colour: Rgb, box: tuple[int, int, int, int], radius: int, weight: int) -> None:
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


def _length(points: Sequence[Point]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def paint(surface: pygame.Surface, strokes: Iterable[Stroke], ox: int, oy: int) -> None:
    """Paint strokes with their origin at a pixel."""
    fill, blit = surface.fill, surface.blit
    for stroke in strokes:
        kind = stroke[0]
        if kind == FILL:
            _, colour, x, y, w, h = stroke
            fill(colour, (x + ox, y + oy, w, h))
        elif kind == PICTURE:
            blit(stroke[1], (stroke[2] + ox, stroke[3] + oy))
        elif kind == TILED:
            stroke[1].paint(surface, stroke[2] + ox, stroke[3] + oy)
        elif kind == DISC:
            pygame.draw.aacircle(surface, stroke[1], (stroke[2] + ox, stroke[3] + oy), stroke[4], stroke[5])
        else:
            _within(surface, stroke, ox, oy)


def _within(surface: pygame.Surface, stroke: Stroke, ox: int, oy: int) -> None:
    x, y, w, h = stroke[1]
    before = surface.get_clip()
    surface.set_clip(before.clip(pygame.Rect(x + ox, y + oy, w, h)))
    paint(surface, stroke[2], ox, oy)
    surface.set_clip(before)
