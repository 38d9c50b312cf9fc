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
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.snap import Snapped
    from layoutest.editor.state import State
    from layoutest.editor.words import Words
    from layoutest.live.lit import Lit

POLE_PX = 24.0
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
        words=(*_words_beside(state, words), *_waiting(state, words)),
        flags=flags,
        lit=lit.pieces,
        picked=state.picked,
        held=_held(state, gesture) if isinstance(gesture, Dragging) else None,
        rubber=_rubber(state),
        boxed=boxed,
        pointer=state.pointer,
        depth_mm=state.depth_mm,
        empty=_empty(state),
    )


def _words_beside(state: State, words: Words) -> tuple[Primitive, ...]:
    """The words; those of a leg that grows give way to its dimension."""
    grown = state.gesture.grown if isinstance(state.gesture, Dragging) else ""
    key = state.live.covering.network.straight_of.get(grown) if grown else None
    return (
        words.parts if key is None else tuple(p for name, parts in words.placed.items() if name != key for p in parts)
    )


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
    if sum(flag.severity == "note" for flag in found) <= MOST_NOTES:
        return tuple(found)
    return tuple(flag._replace(told=flag.severity != "note" or _is_picked(state, flag)) for flag in found)


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
