"""Primitives turned into strokes, in one theme and at one interface scale."""

from __future__ import annotations

from itertools import pairwise
from math import floor, hypot
from typing import TYPE_CHECKING

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Circle, Clip, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.window import smooth
from layoutest.editor.window.brush import PICTURE, WITHIN
from layoutest.editor.window.dashes import dashed, hatched
from layoutest.editor.window.shapes import disc, filled, path, put, rounded
from layoutest.editor.window.snapping import middle_of, snapped, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layoutest.drawing.look import Rgb, Theme
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.window.brush import Stroke
    from layoutest.editor.window.type import Type

HATCH_PITCH_PX = {"offcut": 6.0, "scrap": 4.0, "structure": 9.0}
JACKET_DASH = (4.0, 3.0)
BREAK_PX = 3
# Lines on the screen that the look knows no weight of: from afar, and the rim beside a pipe that crosses over others.
WEIGHTS_PX = {"far": 2.0}
LEAST_TYPE_PX = 4


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
            rounded(made, self.rgb(part.fill), inner, max(radius - inset, 0), 0)
        if part.style:
            rounded(made, self.rgb(part.colour or part.style), box, radius, weight)

    def _circle(self, made: list[Stroke], part: Circle, place: _Place) -> None:
        (point,) = place.all((part.centre,))
        radius, weight = max(part.radius * place.gx, 1.0), self.weight(part.style) if part.style else 1
        # Its middle lies where that of a line through it would.
        centre = middle_of(point[0], weight), middle_of(point[1], weight)
        if part.fill:
            disc(made, centre, radius, self.rgb(part.fill), 0)
        if part.style:
            disc(made, centre, radius + weight / 2, self.rgb(part.colour or part.style), weight)

    def _hatch(self, made: list[Stroke], part: Hatch, place: _Place) -> None:
        points, weight = place.all(part.points), self.weight("rule")
        # Whole pixels from line to line: every line is the same picture.
        pitch = whole(HATCH_PITCH_PX[part.pattern] * self.scale * 2**0.5)
        colour = self.rgb(part.colour)
        for slope in (1, -1) if part.pattern == "scrap" else (1,):
            for start, end in hatched(points, pitch, slope):
                put(made, smooth.bar(start, end, weight, colour))

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


def _length(points: Sequence[Point]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
