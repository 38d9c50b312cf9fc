"""The menus, made from the table of actions, and the help page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.actions import ACTIONS, BY_ID, GESTURES, MENUS, words_of
from layoutest.editor.regions import inside
from layoutest.editor.wrapping import shortened

if TYPE_CHECKING:
    from layoutest.editor.state import State
    from layoutest.editor.ui import Ui

ROW_PX = 26
WIDE_PX = 300
NARROW_MENU = "Menu"
BUTTON_PX = {"File": 60, "Edit": 60, "Show": 68, NARROW_MENU: 76}
HELP_PX = (860, 640)


def menu_names(state: State) -> tuple[str, ...]:
    """The menus of the tool row: three, or one where the window is narrow."""
    return (NARROW_MENU,) if state.regions.narrow else MENUS


def menu_boxes(state: State) -> dict[str, Box]:
    """Where the buttons of the menus stand, flush right in the tool row."""
    x = state.regions.tool_row.high_x - 12
    boxes: dict[str, Box] = {}
    for name in reversed(menu_names(state)):
        wide = max(BUTTON_PX[name], 76)
        boxes[name] = Box(x - wide, 8, x, 36)
        x -= wide + 8
    return boxes


def open_menu(ui: Ui, state: State) -> tuple[str | None, str]:
    """The rows of the open menu; what was chosen (an action, or `recent:` and a path), and which menu stays open."""
    menu = state.menu
    box = menu_boxes(state).get(menu)
    if box is None:
        return None, ""
    # The one menu of a narrow window has a column for each of the three, so that a low one shows them whole.
    columns = [_entries(state, name) for name in (MENUS if menu == NARROW_MENU else (menu,))]
    wide = min(WIDE_PX, (state.width - 16) / len(columns))
    high = max(sum(9 if not entry[0] else ROW_PX for entry in entries) for entries in columns) + 12
    left = max(min(box.low_x, state.width - wide * len(columns) - 8), 8)
    chosen = None
    with ui.modal("menu"):
        ui.parts.append(Rect(left, box.high_y + 4, wide * len(columns), high, "field", "focus", "text", "dialog"))
        for entries in columns:
            chosen = _column(ui, Box(left, box.high_y + 4, left + wide, box.high_y + 4 + high), entries) or chosen
            left += wide
    left_by = isinstance(ui.event, ev.PointerPressed) and not ui.over.startswith("menu.")
    if chosen or left_by or ui.event == ev.KeyPressed("escape"):
        # A press on the button of another menu opens that one.
        other = [name for name, place in menu_boxes(state).items() if ui.point and inside(place, ui.point)]
        return chosen, other[0] if left_by and other and other[0] != menu else ""
    return None, menu


def _column(ui: Ui, frame: Box, entries: list[tuple[str, str, str]]) -> str | None:
    """One column of rows; what was chosen in it."""
    chosen, y = None, frame.low_y + 6
    for name, words, keys in entries:
        if not name:
            ui.parts.append(Rect(frame.low_x + 10, y + 4, frame.high_x - frame.low_x - 20, 1, "rule"))
            y += 9
            continue
        row = Box(frame.low_x + 4, y, frame.high_x - 4, y + ROW_PX)
        room = row.high_x - row.low_x - ui.wide(keys, "tiny") - 34
        if ui.row(f"menu.{name}", row, shortened(words, room, ui.measure)):
            chosen = name
        if ui.pointed(f"menu.{name}") and name in BY_ID:
            ui.tip(frame, [BY_ID[name].help])
        ui.parts.append(Text((row.high_x - 10, y + ROW_PX / 2), keys, "tiny", colour="dim", align="right"))
        y += ROW_PX
    return chosen


def _entries(state: State, menu: str) -> list[tuple[str, str, str]]:
    """(id, words, keys) of each row; an empty id is a rule."""
    entries = [
        (action.id, _words(state, action.id, action.name), words_of(action.keys))
        for action in ACTIONS
        if action.menu == menu
    ]
    if menu == "File" and state.recent:
        entries.append(("", "", ""))
        entries += [(f"recent:{path}", path.replace("\\", "/").rsplit("/", 1)[-1], "") for path in state.recent[:6]]
    return entries


def _words(state: State, action: str, name: str) -> str:
    """The name of an action as things stand."""
    if action == "undo" and state.history.undo_name:
        return f"Undo: {state.history.undo_name}"
    if action == "redo" and state.history.redo_name:
        return f"Redo: {state.history.redo_name}"
    if action == "pin" and state.pinned:
        return "Let the pinned routing go"
    if action == "free-angle" and state.free_angle:
        return "Right angles and 45°"
    if action == "theme":
        return "Dark look" if state.theme == "light" else "Light look"
    return name


def help_page(ui: Ui, state: State) -> bool:
    """Every action with its key, in two columns; says whether it was left."""
    wide, high = min(HELP_PX[0], state.width - 40), min(HELP_PX[1], state.height - 40)
    left, top = (state.width - wide) // 2, (state.height - high) // 2
    with ui.modal("help"):
        ui.parts.append(Rect(left, top, wide, high, "field", "focus", "text", "dialog"))
        ui.parts.append(Text((left + 20, top + 26), "What the hand can do", "lead", bold=True))
        column = (wide - 60) / 2
        rows = [(action.name.rstrip(" …"), words_of(action.keys)) for action in ACTIONS]
        rows += [("", ""), *((words, keys) for keys, words in GESTURES)]
        half = (len(rows) + 1) // 2
        pitch = min(22.0, (high - 120) / half)
        for number, (words, keys) in enumerate(rows):
            x = left + 20 + (column + 20) * (number // half)
            y = top + 58 + pitch * (number % half)
            ui.label(x, y, words, width=column - ui.wide(keys, "tiny") - 12)
            ui.label(x + column, y, keys, "tiny", colour="dim", align="right")
        words = "Figures are an estimating aid: local codes, the specification and a licensed practitioner decide."
        ui.label(left + 20, top + high - 28, words, "tiny", colour="dim", width=wide - 150)
        box = Box(left + wide - 96, top + high - 42, left + wide - 20, top + high - 14)
        closed = ui.button("help.close", box, "Close", main=True)
    return closed or ui.event in (ev.KeyPressed("escape"), ev.KeyPressed("f1"))
