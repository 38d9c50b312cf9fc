"""The status bar: the typed length first, then the level, a hint, and at the right where the pointer is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Rect
from layoutest.edit.assign import set_length
from layoutest.edit.places import drawn_mm
from layoutest.editor.commit import done
from layoutest.editor.hand import dragged_to, typed_length, typed_level
from layoutest.editor.snap import step_mm
from layoutest.editor.state import Dragging, Drawing, Rising
from layoutest.layout.lengths import parse_length
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.commit import Outcome
    from layoutest.editor.state import State
    from layoutest.editor.ui import Ui

    Change = Callable[[State], Outcome]

HINTS = {
    "pick": "Press a pipe to pick it, drag it to move it; a box picks what lies in it",
    "leg": "Press where the leg begins",
    "rise": "Press where the pipe rises or drops",
    "item": "Press a leg where the item stands",
    "support": "Press a leg where the support stands",
}


def status_bar(ui: Ui, state: State, box: Box) -> tuple[tuple[Primitive, ...], Change | None]:
    """The bar, and what was typed into it."""
    begin = len(ui.parts)
    ui.parts.append(Rect(box.low_x, box.low_y, box.high_x - box.low_x, 1, "border"))
    middle = (box.low_y + box.high_y) / 2 + 0.5
    ui.label(12, middle, "Length", bold=True)
    change = None
    typed = ui.field("status.length", Box(66, box.low_y + 3, 160, box.high_y - 3), _length(state), "mm", _positive)
    if typed is not None:
        change = _length_change(parse_length(typed))
    rising = isinstance(state.gesture, Rising)
    words = "To level" if rising else "Level"
    if state.document.view == "elevation":
        words = "To y" if rising else "y"
    ui.label(176, middle, words, bold=rising)
    level = "" if rising else f"{state.depth_mm}"
    given = ui.field("status.level", Box(234, box.low_y + 3, 328, box.high_y - 3), level, "mm", _signed)
    if given is not None:
        change = _level_change(given)
    right = _right(ui, state, box, middle)
    ui.label(344, middle, _hint(state), "tiny", colour="text" if state.message else "dim", width=max(right - 360, 40))
    return tuple(ui.parts[begin:]), change


def level_of(text: str, from_mm: int) -> int:
    """A typed level: `2400` is a level, `+600` and `-1200` are so much up or down, `=-500` is a level below zero."""
    text = text.strip().replace("−", "-")
    if text.startswith("="):
        return parse_length(text[1:], signed=True)
    if text[:1] in "+-" and text:
        return from_mm + parse_length(text, signed=True)
    return parse_length(text, signed=True)


def _positive(text: str) -> object:
    value = parse_length(text)
    if value <= 0:
        raise ValueError("a leg is longer than 0 mm")
    return value


def _signed(text: str) -> object:
    return level_of(text, 0)


def _length(state: State) -> str:
    """The length in hand: of the leg that is drawn, that grows, or that is picked."""
    gesture, layout = state.gesture, state.layout
    if isinstance(gesture, Drawing) and gesture.end:
        start, end = gesture.start.spot, gesture.end.spot
        return f"{((end.u_mm - start.u_mm) ** 2 + (end.v_mm - start.v_mm) ** 2) ** 0.5:.0f}"
    if isinstance(gesture, Dragging) and gesture.grown:
        return f"{drawn_mm(layout, layout.legs[gesture.grown]):.0f}"
    legs = state.picked & layout.legs.keys()
    if len(legs) == 1:
        return f"{drawn_mm(layout, layout.legs[next(iter(legs))]):.0f}"
    return ""


def _length_change(length_mm: int) -> Change:
    def change(state: State) -> Outcome:
        if isinstance(state.gesture, Drawing):
            return typed_length(state, length_mm)
        if isinstance(state.gesture, Dragging) and state.gesture.grown:
            return dragged_to(state, state.gesture.grown, length_mm)
        legs = state.picked & state.document.legs.keys()
        if len(legs) == 1:
            return done(state, set_length(state.document, next(iter(legs)), length_mm), "Type a length")
        return replace(state, message="Pick one leg, or draw one, to type its length."), ()

    return change


def _level_change(text: str) -> Change:
    def change(state: State) -> Outcome:
        begun = state.gesture.start.spot.depth_mm if isinstance(state.gesture, Rising | Drawing) else state.depth_mm
        return typed_level(state, level_of(text, begun))

    return change


def _hint(state: State) -> str:
    gesture = state.gesture
    if isinstance(gesture, Rising):
        return "Type the level and press Enter; +600 or -1200 are so much up or down. Esc lets go"
    if isinstance(gesture, Drawing):
        return "Press where it ends, or type its length and press Enter; R rises or drops from here; Esc ends"
    if isinstance(gesture, Dragging):
        return "Let go to set it, Esc puts it back"
    return state.message or HINTS[state.tool]


def _right(ui: Ui, state: State, box: Box, middle: float) -> float:
    """Pointer, snap, grid and scale, flush right; returns where they begin."""
    x = box.high_x - 12
    words = [f"1 : {_ratio(state)}"]
    if not state.regions.narrow:
        words += [f"grid {state.document.grid_mm}", f"snap {'off' if state.free_angle else step_mm(state.document)}"]
        place = _place(state)
        words += [place] if place else []
    for one in words:
        ui.label(x, middle, one, "tiny", colour="text" if one.startswith("x ") else "dim", align="right")
        x -= ui.wide(one, "tiny") + 20
        ui.parts.append(Rect(x + 10, box.low_y + 8, 1, 12, "rule"))
    return x


def _ratio(state: State) -> int:
    """The scale of the sheet on a screen of 96 px to the inch."""
    return max(round(96 / 25.4 / state.view.scale), 1)


def _place(state: State) -> str:
    if state.pointer is None or not (state.hit or state.gesture or _over_sheet(state)):
        return ""
    u, v = state.view.to_mm(state.pointer)
    step = step_mm(state.document)
    across, up = round(u / step) * step, round(v / step) * step
    depth_mm = state.depth_mm
    if state.hit and state.hit.kind == "node" and state.hit.id in state.layout.nodes:
        across, up, depth_mm = spot_of(state.layout.view, state.layout.nodes[state.hit.id])
    if state.layout.view == "plan":
        return f"x {across}  y {up}  level {depth_mm}"
    return f"x {across}  level {up}  y {depth_mm}"


def _over_sheet(state: State) -> bool:
    sheet, point = state.regions.sheet, state.pointer
    return point is not None and sheet.low_x <= point[0] < sheet.high_x and sheet.low_y <= point[1] < sheet.high_y
