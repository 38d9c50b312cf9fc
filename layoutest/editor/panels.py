"""All panels of the window, run once with an event to learn what was done, and once without to be seen."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Rect
from layoutest.editor import events as ev
from layoutest.editor.actions import BY_ID, TOOLS, words_of
from layoutest.editor.commands import answered, ask_first, do, path_chosen
from layoutest.editor.menus import help_page, menu_boxes, open_menu
from layoutest.editor.particulars import particulars
from layoutest.editor.picture import Panel
from layoutest.editor.rail import rail_parts
from layoutest.editor.regions import inside
from layoutest.editor.requests import OpenLayout, ReadClipboard, WriteClipboard
from layoutest.editor.snag_list import snag_list
from layoutest.editor.status import status_bar
from layoutest.editor.tally import tally_height, tally_parts
from layoutest.editor.ui import Ui

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.commit import Outcome
    from layoutest.editor.events import Event
    from layoutest.editor.requests import Request
    from layoutest.editor.state import State

    Change = Callable[[State], Outcome]


class Faces(NamedTuple):
    """The panels as they look, what floats above them, and what was done: changes in their order."""

    panels: tuple[Panel, ...]
    top: tuple[Primitive, ...]
    ui: Ui
    changes: tuple[Change, ...]


def run_panels(state: State, event: Event) -> tuple[State, tuple[Request, ...], bool]:
    """Give an event to the panels: the next state, what it asks for, and whether a panel took the event."""
    faces = faces_of(state, event)
    after, took = faces.ui.end(), faces.ui.took or _on_open_panel(state, event)
    requests: list[Request] = []
    if faces.ui.clipboard_out is not None:
        requests.append(WriteClipboard(faces.ui.clipboard_out))
    if faces.ui.wants_paste:
        requests.append(ReadClipboard())
    state = state if after is state.ui else replace(state, ui=after)
    for change in faces.changes:
        state, more = change(state)
        requests += more
    return state, tuple(requests), took


def _on_open_panel(state: State, event: Event) -> bool:
    """Whether the pointer is on the panel that lies over the sheet, which nothing below it is to feel."""
    regions = state.regions
    if not (regions.narrow and state.panel_open) or state.gesture is not None:
        return False
    if not isinstance(event, ev.PointerMoved | ev.PointerPressed | ev.WheelTurned):
        return False
    return inside(regions.panel, (event.x, event.y))


def faces_of(state: State, event: Event | None = None) -> Faces:
    """Run every panel over one turn."""
    ui = Ui(state.ui, event, state.measure, Box(0, 0, state.width, state.height))
    changes: list[Change] = []
    _floating(ui, state, changes)
    regions = state.regions
    panels = [Panel("tools", regions.tool_row, "panel", _tool_row(ui, state, changes))]
    status, change = status_bar(ui, state, regions.status)
    changes += [change] if change else []
    panels.append(Panel("status", regions.status, "panel", status))
    if regions.narrow and not state.panel_open:
        panels.append(Panel("rail", regions.panel, "panel", _rail(ui, state, changes)))
    elif regions.second_panel:
        panels.append(
            Panel("panel", regions.second_panel, "panel", _side(ui, state, regions.second_panel, changes, snags=False))
        )
        panels.append(Panel("second", regions.panel, "panel", _snags_only(ui, state, changes)))
    else:
        panels.append(Panel("panel", regions.panel, "panel", _side(ui, state, regions.panel, changes, snags=True)))
    return Faces(tuple(panels), tuple(ui.top), ui, tuple(changes))


def _taken(ui: Ui, begin: int) -> tuple[Primitive, ...]:
    """The parts drawn since a place in the list."""
    return tuple(ui.parts[begin:])


def _floating(ui: Ui, state: State, changes: list[Change]) -> None:
    """Dialogs, the help page and open menus come first: they take every event."""
    if state.dialog:
        answer = ui.dialog("dialog", state.dialog.title, state.dialog.words, state.dialog.buttons)
        if answer:
            changes.append(lambda state: answered(state, answer))
    elif state.help_open:
        if help_page(ui, state):
            changes.append(lambda state: (replace(state, help_open=False), ()))
    elif state.path_asked:
        _path_dialog(ui, state, changes)
    elif state.menu:
        chosen, left = open_menu(ui, state)
        if chosen or left != state.menu:
            changes.append(lambda state: (replace(state, menu=left), ()))
        if chosen:
            changes.append(_chosen(chosen))


def _chosen(name: str) -> Change:
    if name.startswith("recent:"):
        path = name.removeprefix("recent:")
        return lambda state: ask_first(state, "open", path) or (state, (OpenLayout(path),))
    return lambda state: do(state, name)


def _path_dialog(ui: Ui, state: State, changes: list[Change]) -> None:
    """Our own way to ask for a path, where the system has none to offer."""
    wide, left, top = 560, (state.width - 560) / 2, state.height / 2 - 80
    with ui.modal("path"):
        path, go, stay = _path_fields(ui, state, left, top, wide)
    draft = ui.drafts.get("path.text")
    if path or go:
        text = path or (draft.text if draft else state.path_start)
        changes.append(lambda state: path_chosen(state, state.path_asked, text))
    elif stay or ui.event == ev.KeyPressed("escape"):
        changes.append(lambda state: path_chosen(state, state.path_asked, None))


def _path_fields(ui: Ui, state: State, left: float, top: float, wide: float) -> tuple[str | None, bool, bool]:
    ui.parts.append(Rect(left, top, wide, 150, "field", "focus", "text", "dialog"))
    words = "Open a layout" if state.path_asked == "open" else "Save the layout as"
    ui.label(left + 20, top + 27, words, "lead", bold=True)
    ui.label(
        left + 20, top + 52, "Type the path of the file, or drop the file on the window.", colour="dim", width=wide - 40
    )
    box = Box(left + 20, top + 66, left + wide - 20, top + 94)
    path = ui.field("path.text", box, state.path_start, align="left")
    go = ui.button("path.go", Box(left + wide - 216, top + 108, left + wide - 120, top + 136), "Go on", main=True)
    stay = ui.button("path.stay", Box(left + wide - 112, top + 108, left + wide - 20, top + 136), "Stay here")
    return path, go, stay


def _tool_row(ui: Ui, state: State, changes: list[Change]) -> tuple[Primitive, ...]:
    begin, box, narrow = len(ui.parts), state.regions.tool_row, state.regions.narrow
    ui.parts.append(Rect(0, box.high_y - 1, box.high_x, 1, "border"))
    boxes = menu_boxes(state)
    x = 12.0
    if not narrow:
        title = state.document.title or "Untitled"
        ui.label(12, 15, "Sample room" if state.sample else title, bold=True, width=150)
        ui.label(12, 31, _standing(state), "tiny", colour="dim", width=150)
        x = 168.0
    for tool in TOOLS:
        wide = 32 if narrow else ui.tool_width(tool.name)
        if ui.tool(
            f"tool.{tool.id}",
            Box(x, 6, x + wide, 38),
            tool.name,
            tool.keys.upper(),
            tool.picture,
            chosen=state.tool == tool.id,
            tip=tool.help,
        ):
            changes.append(_chosen(tool.id))
        x += wide + 4
    ui.parts.append(Rect(x + 6, 12, 1, 20, "border"))
    x += 14
    for name, enabled in (("undo", state.history.past is not None), ("redo", state.history.future is not None)):
        keys = words_of(BY_ID[name].keys)
        words, tip = BY_ID[name].name, BY_ID[name].help
        if ui.tool(f"tool.{name}", Box(x, 6, x + 32, 38), words, keys, name, enabled=enabled, tip=tip):
            changes.append(_chosen(name))
        x += 36
    if narrow:
        ui.label(
            x + 12,
            22,
            state.document.title or "Untitled",
            bold=True,
            width=max(min(b.low_x for b in boxes.values()) - x - 24, 40),
        )
    for name, place in boxes.items():
        if ui.button(f"menu-button.{name}", place, name):
            changes.append(_opening(name))
    return _taken(ui, begin)


def _opening(name: str) -> Change:
    return lambda state: (replace(state, menu=name), ())


def _standing(state: State) -> str:
    if state.sample:
        return "Nothing of yours is open"
    parts = [f"Revision {state.document.revision}"] if state.document.revision else []
    if state.is_dirty:
        parts.append("edited")
    elif state.path and not state.begun:
        parts.append("saved")
    else:
        parts.append("not in a file yet")
    return " · ".join(parts)


def _rail(ui: Ui, state: State, changes: list[Change]) -> tuple[Primitive, ...]:
    begin, box = len(ui.parts), state.regions.panel
    ui.parts.append(Rect(box.low_x, box.low_y, 1, box.high_y - box.low_y, "border"))
    ui.parts += rail_parts(state, box)
    if ui.pushed("rail", box):
        changes.append(_chosen("panel"))
    ui.ring("rail", Box(box.low_x + 6, box.low_y + 6, box.high_x - 6, box.high_y - 6))
    return _taken(ui, begin)


def _side(ui: Ui, state: State, box: Box, changes: list[Change], *, snags: bool) -> tuple[Primitive, ...]:
    """Tally, then how to start or particulars, then snags."""
    begin = len(ui.parts)
    ui.parts.append(Rect(box.low_x, box.low_y, 1, box.high_y - box.low_y, "border"))
    ui.parts += tally_parts(state, box)
    y = box.low_y + tally_height(state)
    if state.sample:
        y = _start(ui, box, y, changes)
    room = Box(box.low_x, y, box.high_x, box.high_y)
    if snags:
        # The snags keep two rows, or their heading alone while the working of a leg needs the room.
        told = not state.picked or any(state.message.startswith(snag.says) for snag in state.live.snags)
        rows = min(len(state.live.snags), 2) if told else 0
        room = room._replace(high_y=max(box.high_y - 44 - 42 * rows - 14, y + 60))
    change, y = particulars(ui, state, room)
    changes += [change] if change else []
    if snags and y < box.high_y - 44:
        change = snag_list(ui, state, Box(box.low_x, y, box.high_x, box.high_y))
        changes += [change] if change else []
    return _taken(ui, begin)


def _snags_only(ui: Ui, state: State, changes: list[Change]) -> tuple[Primitive, ...]:
    begin, box = len(ui.parts), state.regions.panel
    ui.parts.append(Rect(box.low_x, box.low_y, 1, box.high_y - box.low_y, "border"))
    change = snag_list(ui, state, box)
    changes += [change] if change else []
    return _taken(ui, begin)


def _start(ui: Ui, box: Box, y: float, changes: list[Change]) -> float:
    """What a first launch offers."""
    left, right = box.low_x + 16, box.high_x - 16
    y = ui.heading(left, y, right - left, "Start") + 12
    for number, (action, words) in enumerate(
        (("new", "Empty sheet"), ("open", "Open a layout"), ("save", "Keep this room and change it"))
    ):
        keys = words_of(BY_ID[action].keys)
        if ui.button(f"start.{action}", Box(left, y, right, y + 28), words, keys, main=number == 0):
            changes.append(_chosen(action))
        y += 36
    return y + 4
