"""What is told on top of the sheet: words, flags, what is pointed at, picked, held or drawn, and the scale bar."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline, Rect, Text
from layoutest.drawing.straight import seen
from layoutest.edit.places import drawn_mm
from layoutest.editor.flags import flag_parts
from layoutest.editor.snag_list import snag_point
from layoutest.editor.state import Boxing, Dragging, Drawing, Rising
from layoutest.editor.status import grown_leg
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.state import State
    from layoutest.editor.words import Words
    from layoutest.layout.document import Layout
    from layoutest.live.lit import Lit

POLE_PX = 24.0
FLAG_PX = 11.0
GRIP_PX = 8.0
MOST_FLAGS = 60
MOST_HELD = 60
# Above this many notes in view each is a dot, so that the pipes can be seen.
MOST_NOTES = 12
DIMENSION_OFF_PX = 30.0
BAR_UP_PX = 36.0


def over_sheet(state: State, words: Words, lit: Lit, flags: tuple[Flag, ...]) -> tuple[Primitive, ...]:
    """Everything on top of the sheet, in logical pixels, the lowest first."""
    parts: list[Primitive] = []
    if not state.picture.groups and not isinstance(state.gesture, Drawing):
        parts += _empty(state)
    parts += _pointed(state, lit)
    parts += _picked(state)
    parts += words.parts
    parts += _flags(state, flags)
    gesture = state.gesture
    if isinstance(gesture, Dragging):
        parts += _held(state, gesture)
    elif isinstance(gesture, Drawing):
        parts += _drawing(state, gesture)
    elif isinstance(gesture, Rising):
        parts += _mark(state.view.to_px(gesture.start.spot[:2]), gesture.start.holds)
    elif isinstance(gesture, Boxing) and state.pointer:
        parts += _box(gesture.from_px, state.pointer)
    parts += _scale_bar(state)
    return tuple(parts)


def strip(low: Point, high: Point, half: float) -> tuple[Point, ...]:
    """The four corners of a band between two points."""
    dx, dy = high[0] - low[0], high[1] - low[1]
    length = hypot(dx, dy)
    if not length:
        return tuple((low[0] + a * half, low[1] + b * half) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    x, y = -dy / length * half, dx / length * half
    return (low[0] + x, low[1] + y), (high[0] + x, high[1] + y), (high[0] - x, high[1] - y), (low[0] - x, low[1] - y)


def _leg_ends(state: State, layout: Layout, name: str) -> tuple[Point, Point]:
    leg = layout.legs[name]
    start, end = (state.view.to_px(spot_of(layout.view, layout.nodes[node])[:2]) for node in (leg.start, leg.end))
    return start, end


def _half_px(state: State, name: str) -> float:
    """Half the covered diameter of a leg in pixels, never so thin that it cannot be seen."""
    chosen = state.live.covering.network.chosen.legs.get(name)
    return max((chosen.spec.covered_diameter_mm if chosen else 40.0) / 2 * state.view.scale, 2.5)


def _pointed(state: State, lit: Lit) -> list[Primitive]:
    """The pieces that are lit, with the number of the section they are cut from."""
    parts: list[Primitive] = []
    plates: list[Primitive] = []
    for piece in lit.pieces:
        laid = state.live.covering.laid.get(piece.straight)
        if laid is None:
            continue
        shown = seen(state.layout, laid.straight)
        low, high = state.view.to_px(shown.at(piece.from_mm)), state.view.to_px(shown.at(piece.to_mm))
        half = max(laid.straight.spec.covered_diameter_mm / 2 * state.view.scale, 2.5)
        band = strip(low, high, half)
        parts.append(Polyline(band, "halo", "marker", closed=True))
        parts.append(Polyline(band, "selection", "hover", closed=True))
        plates += _plate(state, ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2), f"{piece.section}")
    return parts + plates


def _plate(state: State, at: Point, words: str) -> list[Primitive]:
    wide = state.measure(words, "base", True) + 12
    return [
        Rect(at[0] - wide / 2, at[1] - 10, wide, 20, "marker"),
        Text(at, words, bold=True, colour="marker_text", align="middle"),
    ]


def _picked(state: State) -> list[Primitive]:
    layout, parts = state.layout, []
    grips: list[Primitive] = []
    for name in sorted(state.picked):
        if name in layout.legs:
            low, high = _leg_ends(state, layout, name)
            parts.append(_outline(low, high, _half_px(state, name), "selection"))
            if len(state.picked) <= MOST_HELD:
                grips += [_grip(low), _grip(high)] if low != high else [_grip(low)]
        elif name in layout.items:
            parts += _picked_item(state, name)
        elif name in layout.nodes:
            x, y = state.view.to_px(spot_of(layout.view, layout.nodes[name])[:2])
            grips.append(Rect(x - 6, y - 6, 12, 12, "sheet", "selection"))
        elif name in layout.structure:
            box = state.picture.groups.get(f"outline {name}")
            if box:
                (x0, y1), (x1, y0) = state.view.to_px(box.box[:2]), state.view.to_px(box.box[2:])
                parts.append(Rect(x0, y0, x1 - x0, y1 - y0, "", "selection"))
    return parts + grips


def _outline(low: Point, high: Point, half: float, style: str) -> Primitive:
    """The outline of a leg on the sheet; of one that is seen as a point a ring."""
    if hypot(high[0] - low[0], high[1] - low[1]) < 1:
        return Circle(low, half, "", style)
    return Polyline(strip(low, high, half), style, closed=True)


def _grip(at: Point) -> Primitive:
    return Rect(at[0] - GRIP_PX / 2, at[1] - GRIP_PX / 2, GRIP_PX, GRIP_PX, "sheet", "selection")


def _picked_item(state: State, name: str) -> list[Primitive]:
    item = state.layout.items[name]
    if item.leg not in state.layout.legs:
        return []
    low, high = _leg_ends(state, state.layout, item.leg)
    length = drawn_mm(state.layout, state.layout.legs[item.leg])
    share = item.at_mm / length if length else 0.0
    x, y = low[0] + (high[0] - low[0]) * share, low[1] + (high[1] - low[1]) * share
    half = max(_half_px(state, item.leg) * 1.25, 9.0)
    return [Rect(x - half, y - half, 2 * half, 2 * half, "", "selection")]


class Flag(NamedTuple):
    """A snag's flag: the place it stands on, the middle of its sign, and whether it has a pole of its own."""

    foot: Point
    sign: Point
    severity: str
    number: int
    pole: bool

    @property
    def box(self) -> Box:
        """What words keep clear of."""
        x, y = self.sign
        return Box(x - FLAG_PX - 2, y - FLAG_PX - 2, x + FLAG_PX + 2, y + FLAG_PX + 2)


def flags_of(state: State) -> tuple[Flag, ...]:
    """The flags in view; those in one place stand side by side."""
    found: list[Flag] = []
    stood: dict[tuple[int, int], int] = {}
    sheet = state.regions.sheet
    for number, snag in enumerate(state.live.snags[:MOST_FLAGS], start=1):
        point = snag_point(state.layout, snag)
        if point is None:
            continue
        x, y = state.view.to_px(point)
        if sheet.low_x <= x <= sheet.high_x and sheet.low_y <= y <= sheet.high_y:
            spot = (round(x / 20), round(y / 20))
            count = stood[spot] = stood.get(spot, 0) + 1
            sign = (x + 10 + 2.3 * FLAG_PX * (count - 1), y - POLE_PX)
            found.append(Flag((x, y), sign, snag.severity, number, count == 1))
    return tuple(found)


def _flags(state: State, flags: tuple[Flag, ...]) -> list[Primitive]:
    parts: list[Primitive] = []
    many = sum(flag.severity == "note" for flag in flags) > MOST_NOTES
    for flag in flags:
        if many and flag.severity == "note" and not _is_picked(state, flag):
            parts.append(Circle(flag.foot, 4, "snag_note", "dimension", "sheet"))
            continue
        if flag.pole:
            parts += [Polyline((flag.foot, flag.sign), "centre", "text"), Circle(flag.foot, 2.5, "text")]
        parts += flag_parts(flag.severity, f"{flag.number}", flag.sign, FLAG_PX)
    return parts


def _is_picked(state: State, flag: Flag) -> bool:
    where = state.live.snags[flag.number - 1].where
    return bool(state.picked) and state.picked <= set(where)


def _moved_legs(state: State, gesture: Dragging) -> list[str]:
    old, new = state.document, gesture.layout
    nodes = {name for name, node in new.nodes.items() if old.nodes.get(name) is not node}
    both = [name for name, leg in new.legs.items() if leg.start in nodes and leg.end in nodes and name in old.legs]
    return both[:MOST_HELD]


def _held(state: State, gesture: Dragging) -> list[Primitive]:
    """The old place dashed, the new one outlined, how far it is, and the length that changes."""
    parts: list[Primitive] = []
    if gesture.layout is state.document:
        return parts
    for name in _moved_legs(state, gesture):
        half = _half_px(state, name)
        before = strip(*_leg_ends(state, state.document, name), half)
        parts.append(Polyline(before, "dimension", "dim", closed=True, dash="jacket"))
        now = _leg_ends(state, state.layout, name)
        parts.append(_outline(*now, half, "live"))
    grown = grown_leg(state)
    if grown:
        parts += _dimension(state, grown)
    if state.pointer:
        words = _offset_words(gesture.by)
        wide = state.measure(words, "base", True) + 16
        x, y = state.pointer[0] + 20, state.pointer[1] - 11
        parts += [Rect(x, y, wide, 22, "live"), Text((x + 8, y + 11), words, bold=True, colour="sheet")]
    return parts


def _offset_words(by: tuple[int, int]) -> str:
    signed = [f"{one:+}".replace("-", "−") for one in by if one]
    return ", ".join(signed) if signed else "0"


def _dimension(state: State, name: str) -> list[Primitive]:
    """The leg that grows: its length in a field between slim arrows, and what it was."""
    low, high = _leg_ends(state, state.layout, name)
    length = hypot(high[0] - low[0], high[1] - low[1])
    if length < 8:
        return []
    dx, dy = (high[0] - low[0]) / length, (high[1] - low[1]) / length
    nx, ny = -dy, dx
    if ny < 0 or (ny == 0 and nx < 0):
        nx, ny = -nx, -ny
    off = DIMENSION_OFF_PX + _half_px(state, name)
    a, b = (low[0] + nx * off, low[1] + ny * off), (high[0] + nx * off, high[1] + ny * off)
    parts: list[Primitive] = [Polyline((a, b), "dimension", "live")]
    for end, begin, sign in ((a, low, 1), (b, high, -1)):
        tip = (end[0] + sign * dx * 8 - dy * 3, end[1] + sign * dy * 8 + dx * 3)
        other = (end[0] + sign * dx * 8 + dy * 3, end[1] + sign * dy * 8 - dx * 3)
        parts.append(Polygon((end, tip, other), "live"))
        parts.append(Polyline((begin, (end[0] + nx * 6, end[1] + ny * 6)), "dimension", "live"))
    words = f"{drawn_mm(state.layout, state.layout.legs[name]):.0f}"
    wide = max(state.measure(words, "lead", True) + 20, 44)
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    parts.append(Rect(x - wide / 2, y - 12, wide, 24, "field", "live", radius="field"))
    parts.append(Text((x, y), words, "lead", bold=True, align="middle"))
    was = f"was {drawn_mm(state.document, state.document.legs[name]):.0f}"
    parts.append(Text((x, y + 22), was, "tiny", colour="dim", align="middle", halo="sheet"))
    return parts


def _drawing(state: State, gesture: Drawing) -> list[Primitive]:
    """The leg that would be drawn, with its length; and what its ends hold on to."""
    start = state.view.to_px(gesture.start.spot[:2])
    parts = _mark(start, gesture.start.holds)
    if gesture.end is None:
        return parts
    end = state.view.to_px(gesture.end.spot[:2])
    length_mm = hypot(
        gesture.end.spot.u_mm - gesture.start.spot.u_mm, gesture.end.spot.v_mm - gesture.start.spot.v_mm
    )
    parts.insert(0, Polyline((start, end), "live"))
    parts += _mark(end, gesture.end.holds)
    if length_mm >= 1:
        words = f"{length_mm:.0f}"
        wide = max(state.measure(words, "lead", True) + 20, 44)
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
        x, y = (x + wide / 2 + 12, y) if upright else (x, y + 24)
        parts.append(Rect(x - wide / 2, y - 12, wide, 24, "field", "live", radius="field"))
        parts.append(Text((x, y), words, "lead", bold=True, align="middle"))
    return parts


def _mark(at: Point, holds: str) -> list[Primitive]:
    """What a place holds on to: a square on a node, a ring on a leg, a cross on the grid."""
    x, y = at
    if holds == "node":
        return [Rect(x - 6, y - 6, 12, 12, "sheet", "live")]
    if holds == "leg":
        return [Circle(at, 7, "sheet", "live"), Circle(at, 2.5, "live")]
    return [Polyline(((x - 7, y), (x + 7, y)), "live"), Polyline(((x, y - 7), (x, y + 7)), "live")]


def _box(one: Point, other: Point) -> list[Primitive]:
    x, y = min(one[0], other[0]), min(one[1], other[1])
    return [Rect(x, y, abs(one[0] - other[0]), abs(one[1] - other[1]), "", "dimension", "accent")]


def _empty(state: State) -> Iterable[Primitive]:
    sheet = state.regions.sheet
    at = ((sheet.low_x + sheet.high_x) / 2, (sheet.low_y + sheet.high_y) / 2)
    words = "Press L and draw a leg, or drop a file" if state.tool != "leg" else "Press where the first leg begins"
    return (Text(at, words, "lead", colour="dim", align="middle", halo="sheet"),)


def _scale_bar(state: State) -> list[Primitive]:
    """A bar of a round length, and which plane is seen, at the lower right."""
    sheet, scale = state.regions.sheet, state.view.scale
    length_mm = next(one for one in _ROUND if one * scale >= 100 or one == _ROUND[-1])
    wide, x = length_mm * scale, sheet.high_x - 40
    y = sheet.high_y - BAR_UP_PX
    parts: list[Primitive] = [
        Rect(x - wide, y, wide / 2, 4, "text"),
        Rect(x - wide / 2, y, wide / 2, 4, "sheet", "centre", "text"),
    ]
    for share in (0.0, 0.5, 1.0):
        words = f"{length_mm * share:g}" + (" mm" if share == 1 else "")
        at = (x - wide + wide * share + (9 if share == 1 else 0), y + 16)
        parts.append(Text(at, words, "tiny", colour="dim", align="middle", halo="sheet"))
    view = "Plan" if state.layout.view == "plan" else "Elevation"
    depth = f"level {state.depth_mm} unless said" if state.layout.view == "plan" else f"y {state.depth_mm} unless said"
    parts.append(Text((x - wide - 24, y + 2), f"{view}, {depth}", "tiny", colour="dim", align="right", halo="sheet"))
    return parts


_ROUND = tuple(base * 10**power for power in range(1, 7) for base in (1, 2, 5))
