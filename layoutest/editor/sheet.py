"""What is told on top of the sheet, in logical px: words, flags, what is pointed at, picked, held or drawn, the key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline, Rect, Text
from layoutest.drawing.shapes import item_shape, leg_shape, piece_shape
from layoutest.editor.clear import boxes_in_front, meets, words_box
from layoutest.editor.flags import flag_parts
from layoutest.editor.held import held_parts, rubber_parts
from layoutest.editor.key import key_parts
from layoutest.editor.marks import DOT_PX, FLAG_PX
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.drawing.shapes import Shape
    from layoutest.editor.marks import Flag, SheetMarks
    from layoutest.editor.picture import Measure, View
    from layoutest.live.lit import LitPiece

GRIP_PX = 8.0
NODE_GRIP_PX = 12.0
HALO_PX = 4.5
LEAST_ITEM_PX = 9.0
LEAST_HALF_PX = 2.5
PLATE_PX = (22.0, 18.0)
CURSOR_PX = 24.0
# With more picked than this the grips would hide the pipes.
MOST_GRIPS = 60
_BOLD = True


def over(picture: SheetPicture, view: View, box: Box, marks: SheetMarks, measure: Measure) -> tuple[Primitive, ...]:
    """Everything on top of the sheet, the lowest first.

    Args:
        picture: the sheet's groups.
        view: which part of it is seen.
        box: where the sheet lies in the window.
        marks: what the eye and the hand are at.
        measure: widths of words.
    """
    parts: list[Primitive] = []
    if marks.empty:
        middle = (box.low_x + box.high_x) / 2, (box.low_y + box.high_y) / 2
        parts.append(Text(middle, marks.empty, "lead", colour="dim", align="middle", halo="sheet"))
    lit, front = _lit(picture, view, marks.lit, measure)
    front += marks.waiting
    if marks.held:
        front += held_parts(picture, view, marks.held, marks.pointer, measure)
    if marks.rubber:
        front += rubber_parts(view, marks.rubber, measure)
    parts += lit
    parts += _picked(picture, view, marks.picked)
    parts += _behind(marks, boxes_in_front(front, measure), measure)
    parts += front
    if marks.boxed:
        low_x, low_y, high_x, high_y = marks.boxed
        parts.append(Rect(low_x, low_y, high_x - low_x, high_y - low_y, "", "dimension", "accent"))
    if marks.cursor:
        parts += _cursor(view.to_px(marks.cursor))
    parts += key_parts(picture.covering.network.chosen.layout.view, view, box, marks.depth_mm)
    return tuple(parts)


def _behind(marks: SheetMarks, taken: Sequence[Box], measure: Measure) -> list[Primitive]:
    """The words and flags that do not lie where something in front of them stands."""
    if not taken:
        return [*(part for words in marks.words for part in words), *_flags(marks.flags)]
    parts: list[Primitive] = []
    for words in marks.words:
        if not any(isinstance(part, Text) and meets(words_box(part, measure), taken) for part in words):
            parts += words
    return [*parts, *_flags([flag for flag in marks.flags if not meets(flag.box, taken)])]


def in_px(view: View, shape: Shape) -> Shape:
    """A shape of the sheet where it is seen."""
    return tuple(view.to_px(point) for point in shape)


def _lit(
    picture: SheetPicture, view: View, lit: Iterable[LitPiece], measure: Measure
) -> tuple[list[Primitive], list[Primitive]]:
    """The pieces that are lit: a halo and an edge of ink; and plates with their section's number."""
    parts: list[Primitive] = []
    plates: list[Primitive] = []
    taken: list[Box] = []
    for piece in lit:
        shape = _lit_shape(picture, piece)
        if shape is None:
            continue
        shape = in_px(view, shape)
        parts.append(Polyline(shape, "halo", "marker", 2 * HALO_PX, closed=True))
        # Lines end square: at a corner the halo is made round.
        parts += (Circle(point, HALO_PX, "marker") for point in shape)
        parts.append(Polyline(shape, "selection", "hover", closed=True))
        middle = sum(x for x, _ in shape) / len(shape), sum(y for _, y in shape) / len(shape)
        plate = _plate(middle, f"{piece.section}", measure)
        (place,) = boxes_in_front(plate[:1], measure)
        if not meets(place, taken):
            plates += plate
            taken.append(place)
    return parts, plates


def _lit_shape(picture: SheetPicture, piece: LitPiece) -> Shape | None:
    """The outline of a piece; None where it is not seen, as a bend that turns out of the sheet."""
    if piece.straight in picture.covering.laid:
        return piece_shape(picture.covering, piece.straight, piece.from_mm, piece.to_mm)
    group = picture.groups.get(piece.straight)
    bodies = [part.points for part in group.details[-1] if isinstance(part, Polygon)] if group else []
    number = round(piece.from_mm / (piece.to_mm - piece.from_mm))
    return bodies[number] if number < len(bodies) else None


def _plate(at: Point, number: str, measure: Measure) -> list[Primitive]:
    wide, high = max(measure(number, "base", _BOLD) + 10, PLATE_PX[0]), PLATE_PX[1]
    return [
        Rect(at[0] - wide / 2, at[1] - high / 2, wide, high, "marker", "plant", "marker_text"),
        Text(at, number, bold=True, colour="marker_text", align="middle"),
    ]


def _picked(picture: SheetPicture, view: View, picked: frozenset[str]) -> list[Primitive]:
    layout = picture.covering.network.chosen.layout
    parts: list[Primitive] = []
    grips: list[Primitive] = []
    for name in sorted(picked):
        shape = _outline(picture, view, name)
        if shape:
            parts.append(Polyline(shape, "selection", closed=True))
        if name in layout.nodes:
            grips.append(_grip(view.to_px(spot_of(layout.view, layout.nodes[name])[:2]), NODE_GRIP_PX))
        elif name in layout.legs and len(picked) <= MOST_GRIPS:
            leg = layout.legs[name]
            ends = {view.to_px(spot_of(layout.view, layout.nodes[node])[:2]) for node in (leg.start, leg.end)}
            grips += (_grip(end, GRIP_PX) for end in sorted(ends))
    return parts + grips


def _outline(picture: SheetPicture, view: View, name: str) -> Shape | None:
    """What stands round something that is picked; never so thin that it cannot be seen."""
    covering = picture.covering
    layout = covering.network.chosen.layout
    if name in layout.legs:
        return _widened(view, leg_shape(covering, name), LEAST_HALF_PX)
    if name in layout.items:
        return _widened(view, item_shape(covering, name), LEAST_ITEM_PX)
    group = picture.groups.get(f"outline {name}")
    first = group.details[-1][0] if group else None
    return in_px(view, first.points) if isinstance(first, Polygon | Polyline) else None


def _widened(view: View, shape: Shape | None, least_px: float) -> Shape | None:
    """A shape in px; one that is narrower than twice so much is a box round its middle line instead."""
    if shape is None:
        return None
    points = in_px(view, shape)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    low_x, high_x = _apart(min(xs), max(xs), least_px)
    low_y, high_y = _apart(min(ys), max(ys), least_px)
    if (low_x, high_x) == (min(xs), max(xs)) and (low_y, high_y) == (min(ys), max(ys)):
        return points
    return (low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)


def _apart(low: float, high: float, least: float) -> tuple[float, float]:
    middle = (low + high) / 2
    return (low, high) if high - low >= 2 * least else (middle - least, middle + least)


def _grip(at: Point, size: float) -> Primitive:
    return Rect(at[0] - size / 2, at[1] - size / 2, size, size, "sheet", "selection")


def _flags(flags: Sequence[Flag]) -> Iterator[Primitive]:
    """Dots and poles first, so that none lies over a sign."""
    for flag in flags:
        if not flag.told:
            yield Circle(flag.foot, DOT_PX, f"snag_{flag.severity}", "dimension", "sheet")
            continue
        yield Polyline((flag.foot, flag.sign), "centre", "text")
        yield Circle(flag.foot, 2.5, "text")
    for flag in flags:
        if flag.told:
            yield from flag_parts(flag.severity, f"{flag.number}", flag.sign, FLAG_PX)


def _cursor(at: Point) -> list[Primitive]:
    """The grid cursor: a cross of 24 px, 2 px."""
    (x, y), half = at, CURSOR_PX / 2
    return [
        Polyline(((x - half, y), (x + half, y)), "focus", "accent"),
        Polyline(((x, y - half), (x, y + half)), "focus", "accent"),
    ]
