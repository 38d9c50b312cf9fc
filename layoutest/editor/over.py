"""What the eye and the hand are at on the sheet, taken from the state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box
from layoutest.editor.marks import FLAG_PX, Flag, Held, Hold, Rubber, SheetMarks
from layoutest.editor.sheet import over
from layoutest.editor.snag_list import snag_point
from layoutest.editor.state import Boxing, Dragging, Drawing, Rising
from layoutest.editor.words import waiting_words

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.snap import Snapped
    from layoutest.editor.state import State
    from layoutest.editor.words import Words
    from layoutest.live.lit import Lit

# How far two signs stand apart, and where a sign may stand from its foot, the best first.
APART_PX = 2.4 * FLAG_PX
SIGNS_PX = tuple(
    (across, up)
    for up in (-24.0, 24.0, -51.0, 51.0)
    for across in (10.0, -10.0, 10 + APART_PX, -10 - APART_PX, 10 + 2 * APART_PX, -10 - 2 * APART_PX)
)
MOST_FLAGS = 60
MOST_HELD = 60
# Above this many notes in view each is a dot, so that the pipes can be seen.
MOST_NOTES = 12


def over_sheet(state: State, words: Words, lit: Lit, flags: tuple[Flag, ...]) -> tuple[Primitive, ...]:
    """Everything on top of the sheet, in logical pixels, the lowest first."""
    return over(state.picture, state.view, state.regions.sheet, marks_of(state, words, lit, flags), state.measure)


def marks_of(state: State, words: Words, lit: Lit, flags: tuple[Flag, ...]) -> SheetMarks:
    """What is told on top of the sheet now."""
    gesture = state.gesture
    boxed = None
    if isinstance(gesture, Boxing) and state.pointer:
        (x0, y0), (x1, y1) = gesture.from_px, state.pointer
        boxed = Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return SheetMarks(
        words=_words_beside(state, words),
        waiting=_waiting(state, words),
        flags=flags,
        lit=lit.pieces,
        picked=state.picked,
        held=_held(state, gesture) if isinstance(gesture, Dragging) else None,
        rubber=_rubber(state),
        boxed=boxed,
        pointer=state.pointer,
        depth_mm=state.usual_depth_mm,
        empty=_empty(state),
    )


def _words_beside(state: State, words: Words) -> tuple[tuple[Primitive, ...], ...]:
    """The words; those of a leg that grows give way to its dimension."""
    grown = state.gesture.grown if isinstance(state.gesture, Dragging) else ""
    key = state.live.covering.network.straight_of.get(grown) if grown else None
    return tuple(parts for name, parts in words.placed.items() if name != key)


def flags_of(state: State) -> tuple[Flag, ...]:
    """The flags in view; none covers another, as long as there is room."""
    sheet, layout = state.regions.sheet, state.layout
    feet = []
    for number, snag in enumerate(state.live.snags[:MOST_FLAGS], start=1):
        point = snag_point(layout, snag)
        if point is None:
            continue
        x, y = state.view.to_px(point)
        if sheet.low_x <= x <= sheet.high_x and sheet.low_y <= y <= sheet.high_y:
            feet.append(Flag((x, y), (x, y), snag.severity, number))
    many = sum(flag.severity == "note" for flag in feet) > MOST_NOTES
    found: list[Flag] = []
    for flag in feet:
        if many and flag.severity == "note" and not _is_picked(state, flag):
            found.append(flag._replace(told=False))
        else:
            found.append(flag._replace(sign=_sign(flag.foot, [one.sign for one in found if one.told], sheet)))
    return tuple(found)


def _sign(foot: Point, stand: list[Point], sheet: Box) -> Point:
    """Where a flag's sign is clear of those that stand: near its foot, else farther off."""
    for across, up in SIGNS_PX:
        x, y = foot[0] + across, foot[1] + up
        inside = sheet.low_x + APART_PX / 2 <= x <= sheet.high_x - APART_PX / 2
        inside = inside and sheet.low_y + APART_PX / 2 <= y <= sheet.high_y - APART_PX / 2
        if inside and all(abs(x - one[0]) >= APART_PX or abs(y - one[1]) >= APART_PX for one in stand):
            return x, y
    return foot[0] + SIGNS_PX[0][0], foot[1] + SIGNS_PX[0][1]


def _is_picked(state: State, flag: Flag) -> bool:
    where = state.live.snags[flag.number - 1].where
    return bool(state.picked) and state.picked <= set(where)


def _held(state: State, gesture: Dragging) -> Held | None:
    if gesture.layout is state.document:
        return None
    return Held(gesture.moved[:MOST_HELD], state.committed.covering, gesture.by, gesture.grown)


def _rubber(state: State) -> Rubber | None:
    gesture = state.gesture
    if isinstance(gesture, Rising):
        return Rubber(_hold(gesture.start))
    if not isinstance(gesture, Drawing):
        return None
    return Rubber(_hold(gesture.start), _hold(gesture.end) if gesture.end else None)


def _hold(snapped: Snapped) -> Hold:
    return Hold((snapped.spot.u_mm, snapped.spot.v_mm), snapped.holds)


def _waiting(state: State, words: Words) -> tuple[Primitive, ...]:
    """The words of what the pointer is at, where they found no place."""
    if state.gesture is not None or state.pointer is None or state.hit is None or state.hit.kind != "leg":
        return ()
    return waiting_words(words, state.hit.id, state.pointer, state.measure)


def _empty(state: State) -> str:
    if state.picture.groups or isinstance(state.gesture, Drawing):
        return ""
    return "Press L and draw a leg, or drop a file" if state.tool != "leg" else "Press where the first leg begins"
