"""What the hand holds on the sheet: legs that are dragged, with the length that changes, and a leg that is drawn."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Circle, Polygon, Polyline, Rect, Text, detail
from layoutest.drawing.shapes import band, leg_shape
from layoutest.edit.places import drawn_mm
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.marks import Held, Hold, Rubber
    from layoutest.editor.picture import Measure, View
    from layoutest.layout.document import Layout

FIELD_PX = (44.0, 24.0)
OFF_PX = 20.0
LEAST_DIMENSION_PX = 8.0
ARROW_PX = (8.0, 2.6)
LEAST_FILLED_PX = 3.0
_BOLD = True


def held_parts(
    picture: SheetPicture, view: View, held: Held, pointer: Point | None, measure: Measure
) -> list[Primitive]:
    """The old places dashed, the held legs in chalk, how far they are, and the length that changes."""
    parts: list[Primitive] = []
    for leg in held.legs:
        shape = leg_shape(held.before, leg)
        if shape:
            parts.append(Polyline(_px(view, shape), "dimension", "dim", closed=True, dash="CR"))
    parts += _chalked(picture, view, held.legs)
    layout, before = picture.covering.network.chosen.layout, held.before.network.chosen.layout
    if held.grows in layout.legs and held.grows in before.legs:
        parts += _dimension(picture, view, held, measure)
    if pointer and any(held.by):
        words = ", ".join(f"{one:+}".replace("-", "−") for one in held.by if one)
        wide = measure(words, "base", _BOLD) + 16
        x, y = pointer[0] + 20, pointer[1] - 11
        parts.append(Rect(x, y, wide, 22, "live", radius="field"))
        parts.append(Text((x + 8, y + 11), words, bold=True, colour="sheet"))
    return parts


def _px(view: View, points: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(view.to_px(point) for point in points)


def _chalked(picture: SheetPicture, view: View, legs: tuple[str, ...]) -> list[Primitive]:
    """Held legs filled with chalk; then once more what is drawn on their bodies, their outlines, and what is on top."""
    parts: list[Primitive] = []
    edges: list[Primitive] = []
    keys: dict[str, None] = {}
    for leg in legs:
        shape = leg_shape(picture.covering, leg)
        if shape is None:
            continue
        points = _px(view, shape)
        parts.append(Polygon(points, "live_fill"))
        edges.append(Polyline(points, "live", closed=True))
        keys[picture.covering.network.straight_of.get(leg, "")] = None
    for key in keys:
        parts += _on_body(_seen(picture, key, view), view)
    return [*parts, *edges, *(part for key in _upright_beside(picture, keys) for part in _upright(picture, key, view))]


def _seen(picture: SheetPicture, key: str, view: View) -> tuple[Primitive, ...]:
    """What is drawn of a straight where it is more than a line."""
    group = picture.groups.get(key)
    return detail(group, view.scale) if group and group.width * view.scale >= LEAST_FILLED_PX else ()


def _upright_beside(picture: SheetPicture, keys: Iterable[str]) -> dict[str, None]:
    """Rises and drops at the ends of some straights: they are drawn over what they join."""
    found: dict[str, None] = {}
    covering = picture.covering
    for key in keys:
        nodes = covering.laid[key].straight.nodes if key in covering.laid else ()
        for node in nodes[:1] + nodes[-1:]:
            junction = covering.network.junctions[node]
            others = (*junction.straights, *(branch.straight for branch in junction.branches))
            found |= {one: None for one in others if isinstance(picture.groups[one].details[0][0], Circle)}
    return found


def _upright(picture: SheetPicture, key: str, view: View) -> Iterator[Primitive]:
    for part in _seen(picture, key, view):
        if isinstance(part, Circle):
            yield part._replace(centre=view.to_px(part.centre), radius=part.radius * view.scale)


def _on_body(parts: tuple[Primitive, ...], view: View) -> Iterator[Primitive]:
    """What is drawn on top of a body, in px."""
    for part in parts:
        if isinstance(part, Polyline):
            ticks = tuple(tick * view.scale for tick in part.ticks)
            yield part._replace(points=_px(view, part.points), ticks=ticks, tick=part.tick * view.scale)
        elif isinstance(part, Polygon) and not part.fill.startswith("body:"):
            yield part._replace(points=_px(view, part.points))
        elif isinstance(part, Circle):
            yield part._replace(centre=view.to_px(part.centre), radius=part.radius * view.scale)


def _ends(layout: Layout, view: View, leg: str) -> tuple[Point, Point]:
    one = layout.legs[leg]
    start, end = (view.to_px(spot_of(layout.view, layout.nodes[node])[:2]) for node in (one.start, one.end))
    return start, end


def _dimension(picture: SheetPicture, view: View, held: Held, measure: Measure) -> list[Primitive]:
    """The length of the leg that grows, in a field between slim arrows, and what it was."""
    layout, before = picture.covering.network.chosen.layout, held.before.network.chosen.layout
    low, high = _ends(layout, view, held.grows)
    length = hypot(high[0] - low[0], high[1] - low[1])
    if length < LEAST_DIMENSION_PX:
        return []
    along = (high[0] - low[0]) / length, (high[1] - low[1]) / length
    # Below the leg, or to the right of one that goes up the sheet.
    out = (-along[1], along[0])
    if out[1] < 0 or (out[1] == 0 and out[0] < 0):
        out = (-out[0], -out[1])
    chosen = picture.covering.network.chosen.legs.get(held.grows)
    off = (chosen.spec.covered_diameter_mm / 2 * view.scale if chosen else 0.0) + OFF_PX
    a, b = ((x + out[0] * off, y + out[1] * off) for x, y in (low, high))
    parts: list[Primitive] = [Polyline((a, b), "dimension", "live")]
    for tip, foot, way in ((a, low, 1), (b, high, -1)):
        near = foot[0] + out[0] * (off - OFF_PX + 4), foot[1] + out[1] * (off - OFF_PX + 4)
        parts.append(Polyline((near, (tip[0] + out[0] * 6, tip[1] + out[1] * 6)), "dimension", "live"))
        parts.append(_arrow(tip, (along[0] * way, along[1] * way)))
    figure = held.figure or f"{drawn_mm(layout, layout.legs[held.grows]):.0f}"
    middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    wide = max(measure(figure, "lead", _BOLD) + 20, FIELD_PX[0])
    if abs(out[0]) > abs(out[1]):
        middle = middle[0] + wide / 2 - 8, middle[1]
    parts += length_field(middle, figure, measure)
    was = f"was {drawn_mm(before, before.legs[held.grows]):.0f}"
    parts.append(Text((middle[0], middle[1] + 23), was, "tiny", colour="dim", align="middle", halo="sheet"))
    return parts


def _arrow(tip: Point, way: Point) -> Primitive:
    long, half = ARROW_PX
    foot = tip[0] + way[0] * long, tip[1] + way[1] * long
    side = (-way[1] * half, way[0] * half)
    return Polygon((tip, (foot[0] + side[0], foot[1] + side[1]), (foot[0] - side[0], foot[1] - side[1])), "live")


def length_field(middle: Point, figure: str, measure: Measure) -> list[Primitive]:
    """A length that the hand holds, in a field."""
    wide, high = max(measure(figure, "lead", _BOLD) + 20, FIELD_PX[0]), FIELD_PX[1]
    return [
        Rect(middle[0] - wide / 2, middle[1] - high / 2, wide, high, "field", "live", radius="field"),
        Text(middle, figure, "lead", bold=True, colour="live", align="middle"),
    ]


def rubber_parts(view: View, rubber: Rubber, measure: Measure) -> list[Primitive]:
    """The leg that would be drawn, to scale, with its length; and what its ends hold on to."""
    start = view.to_px(rubber.start.at)
    if rubber.end is None:
        return hold_parts(view, rubber.start)
    end = view.to_px(rubber.end.at)
    length = hypot(end[0] - start[0], end[1] - start[1])
    parts: list[Primitive] = []
    half = rubber.half_mm * view.scale
    if length and half >= LEAST_FILLED_PX / 2:
        parts += [Polygon(band(start, end, half), "live_fill", "dimension", "live")]
    parts.append(Polyline((start, end), "live"))
    parts += hold_parts(view, rubber.start) + hold_parts(view, rubber.end)
    long_mm = hypot(rubber.end.at[0] - rubber.start.at[0], rubber.end.at[1] - rubber.start.at[1])
    if long_mm >= 1:
        figure = rubber.figure or f"{long_mm:.0f}"
        wide = max(measure(figure, "lead", _BOLD) + 20, FIELD_PX[0])
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
        parts += length_field((x + half + wide / 2 + 12, y) if upright else (x, y + half + 24), figure, measure)
    return parts


def hold_parts(view: View, hold: Hold) -> list[Primitive]:
    """What a place holds on to: a square on a node, a ring on a leg, a cross on the grid."""
    x, y = view.to_px(hold.at)
    if hold.on == "node":
        return [Rect(x - 6, y - 6, 12, 12, "sheet", "live")]
    if hold.on == "leg":
        return [Circle((x, y), 7, "sheet", "live"), Circle((x, y), 2.5, "live")]
    return [Polyline(((x - 7, y), (x + 7, y)), "live"), Polyline(((x, y - 7), (x, y + 7)), "live")]
