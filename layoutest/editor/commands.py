"""What each action of the table does."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.edit.clip import copy, paste
from layoutest.edit.draw import Pen
from layoutest.edit.join import join_nodes, join_on_leg
from layoutest.edit.remove import delete
from layoutest.edit.shape import mirror, rotate
from layoutest.edit.start import empty_layout
from layoutest.editor.actions import TOOLS
from layoutest.editor.bench_state import toggle, toggle_order
from layoutest.editor.commit import done, ended, packing, redone, undone
from layoutest.editor.hand import ZOOM_STEP, let_go, zoomed
from layoutest.editor.regions import inside
from layoutest.editor.requests import (
    ChoosePath,
    Close,
    DropJournal,
    KeepInJournal,
    KeepSettings,
    OpenLayout,
    ReadClipboard,
    SaveLayout,
    WriteClipboard,
)
from layoutest.editor.snap import at_spot, step_mm
from layoutest.editor.state import Dialog, Drawing, Pinned, State, fitted, opened
from layoutest.errors import UnreadableError
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_write import layout_text
from layoutest.layout.ids import natural_key
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.editor.commit import Outcome
    from layoutest.layout.document import Layout

SUFFIX = ".layout.json"
SCALES = (1.0, 1.25, 1.5, 1.75, 2.0)


def do(state: State, action: str) -> Outcome:
    """Do an action by its id."""
    if action in _TOOL_IDS:
        message = "" if action == "pick" else _HOW[action]
        return ended(replace(state, tool=action, message=message))
    return _DOING[action](state)


def pen_of(layout: Layout, pen: Pen | None = None) -> Pen:
    """What the next leg is made of: as the last leg of the layout, or as before, or a usual heating pipe."""
    if layout.legs:
        leg = layout.legs[max(layout.legs, key=natural_key)]
        return Pen(leg.service, leg.pipe, leg.covered, leg.covering, leg.thickness_mm, leg.area, leg.access)
    if pen is not None:
        return pen
    return Pen("HF", "copper 35", True, None, None, "", "")


def ask_first(state: State, then: str, opening: str = "") -> Outcome | None:
    """Ask before what is not saved is left, and go on with `then`; None when nothing has to be asked."""
    if not state.is_dirty:
        return None
    count = f"{state.actions} edit{'s' if state.actions != 1 else ''}"
    words = (f"{count} since it was opened. What is not saved is lost if you go on.",)
    going_on = "Close without saving" if then == "close" else "Go on without saving"
    buttons = (
        ("save-and-go-on", "Save and close" if then == "close" else "Save first"),
        ("go-on", going_on),
        ("stay", "Stay here"),
    )
    dialog = Dialog(
        "unsaved", f"{state.document.title or 'This layout'} has changes that are not saved", words, buttons
    )
    return ended(replace(state, dialog=dialog, after_saving=then, opening=opening))


def answered(state: State, answer: str) -> Outcome:
    """What a dialog's button does."""
    dialog, then = state.dialog, state.after_saving
    state = replace(state, dialog=None)
    if dialog is None or dialog.id != "unsaved" or answer == "stay":
        return replace(state, after_saving="", opening=""), ()
    if answer == "save-and-go-on":
        return _save(state)
    return go_on(replace(state, given_up=state.document), then)


def go_on(state: State, then: str) -> Outcome:
    """Go on with what was asked before something had to be saved."""
    opening = state.opening
    state = replace(state, after_saving="", opening="")
    if then == "close":
        return state, (DropJournal(), Close())
    if then == "new":
        return begin(state, empty_layout())
    if then == "open" and opening:
        return state, (OpenLayout(opening),)
    if then == "open":
        return state, (ChoosePath("open", state.path),)
    return state, ()


def begin(state: State, layout: Layout) -> Outcome:
    """Begin with another layout, which is in no file yet."""
    fresh = opened(state, layout, pen_of(layout, None if state.sample else state.pen))
    return fresh, (DropJournal(), KeepInJournal("", layout), *packing(fresh))


def _save(state: State) -> Outcome:
    if not state.path:
        return _save_as(state)
    return state, (SaveLayout(state.path, state.document),)


def _save_as(state: State) -> Outcome:
    name = state.path or f"{_file_name(state.document.title)}.layout.json"
    return state, (ChoosePath("save", name),)


def _file_name(title: str) -> str:
    kept = "".join(char if char.isalnum() else "-" for char in title.split("(", 1)[0].strip().lower())
    return "-".join(filter(None, kept.split("-"))) or "layout"


def path_chosen(state: State, purpose: str, path: str | None) -> Outcome:
    """Open or save what was chosen; nothing where nothing was."""
    path = path.strip() if path else ""
    if not path:
        return replace(state, after_saving="", path_asked=""), ()
    if purpose == "open":
        # The dialog is a process of its own: meanwhile somebody may have gone on drawing.
        asked = ask_first(state, "open", path) if state.document is not state.given_up else None
        return asked or (replace(state, path_asked=""), (OpenLayout(path),))
    whole = path if path.endswith(".json") else path.removesuffix(".layout") + SUFFIX
    return replace(state, path_asked=""), (SaveLayout(whole, state.document),)


def _undo(state: State) -> Outcome:
    """Take back the last action; while legs are drawn, drawing goes on where the leg taken back began."""
    before, gesture = state.document, state.gesture
    state, requests = undone(state)
    lost = [leg for name, leg in before.legs.items() if name not in state.document.legs]
    if not isinstance(gesture, Drawing) or len(lost) != 1:
        return state, requests
    start = at_spot(state.document, spot_of(before.view, before.nodes[lost[0].start]))
    return replace(state, gesture=Drawing(start), depth_mm=start.spot.depth_mm), requests


def _new(state: State) -> Outcome:
    return ask_first(state, "new") or begin(state, empty_layout())


def _open(state: State) -> Outcome:
    return ask_first(state, "open") or (state, (ChoosePath("open", state.path),))


def _close(state: State) -> Outcome:
    return ask_first(state, "close") or (state, (DropJournal(), Close()))


def _copy(state: State) -> Outcome:
    if not state.picked:
        return replace(state, message="Nothing is picked to copy."), ()
    count = len(state.picked)
    text = layout_text(copy(state.document, state.picked))
    return replace(state, message=f"Copied {count} part{'s' if count > 1 else ''}."), (WriteClipboard(text),)


def _cut(state: State) -> Outcome:
    if not state.picked:
        return replace(state, message="Nothing is picked to cut."), ()
    text = layout_text(copy(state.document, state.picked))
    after, requests = done(state, delete(state.document, state.picked), "Cut", picked=frozenset())
    return after, (WriteClipboard(text), *requests)


def pasted(state: State, text: str) -> Outcome:
    """Paste a clip so that its lower left corner comes to the pointer, on the grid."""
    try:
        clip = parse_layout(text.encode(errors="replace"), "clipboard").layout
    except UnreadableError:
        clip = None
    if clip is None or not (clip.legs or clip.structure):
        return replace(state, message="The clipboard holds no part of a layout."), ()
    layout, ids = paste(state.document, clip, _offset(state, clip))
    return done(state, layout, "Paste", picked=frozenset(ids))


def _offset(state: State, clip: Layout) -> tuple[int, int, int]:
    nodes = list(clip.nodes.values()) + [(x, y, 0) for outline in clip.structure.values() for x, y in outline.outline]
    plan = state.document.view == "plan"
    up = 1 if plan else 2
    low = (min((node[0] for node in nodes), default=0), min((node[up] for node in nodes), default=0))
    step = step_mm(state.document)
    sheet = state.regions.sheet
    inner = state.pointer if state.pointer and inside(sheet, state.pointer) else None
    at = inner or ((sheet.low_x + sheet.high_x) / 2, (sheet.low_y + sheet.high_y) / 2)
    u, v = state.view.to_mm(at)
    by = [round((place - here) / step) * step for place, here in zip((u, v), low, strict=True)]
    if by == [0, 0]:
        by = [2 * step, -2 * step]
    return (by[0], by[1], 0) if plan else (by[0], 0, by[1])


def _delete(state: State) -> Outcome:
    if not state.picked:
        return replace(state, message="Nothing is picked to delete."), ()
    count = len(state.picked)
    name = f"Delete {count} part{'s' if count > 1 else ''}"
    return done(replace(state, gesture=None), delete(state.document, state.picked), name, picked=frozenset())


def _pick_all(state: State) -> Outcome:
    layout = state.document
    return replace(state, picked=frozenset({*layout.legs, *layout.items, *layout.structure})), ()


def _turn(state: State, quarters: int) -> Outcome:
    if not state.picked:
        return replace(state, message="Nothing is picked to turn."), ()
    return done(state, rotate(state.document, state.picked, quarters), "Turn a quarter")


def _mirror(state: State, axis: str) -> Outcome:
    if not state.picked:
        return replace(state, message="Nothing is picked to mirror."), ()
    return done(state, mirror(state.document, state.picked, axis), "Mirror")  # type: ignore[arg-type]


def _join(state: State) -> Outcome:
    """Join what the snags say lies together without being joined, among what is picked."""
    layout = state.document
    ends = {
        node for leg in state.picked & layout.legs.keys() for node in (layout.legs[leg].start, layout.legs[leg].end)
    }
    ends |= state.picked & layout.nodes.keys()
    for snag in state.committed.snags:
        nodes = [place for place in snag.where if place in layout.nodes]
        legs = [place for place in snag.where if place in layout.legs]
        if not ends.intersection(nodes):
            continue
        if snag.code == "nodes-in-one-place" and len(nodes) > 1:
            return done(state, join_nodes(layout, nodes[0], nodes[1]), "Join ends", picked=frozenset({nodes[0]}))
        if snag.code == "node-on-leg" and nodes:
            met = next((leg for leg in legs if nodes[0] not in (layout.legs[leg].start, layout.legs[leg].end)), None)
            if met:
                return done(state, join_on_leg(layout, nodes[0], met), "Join to a leg", picked=frozenset({nodes[0]}))
    return replace(state, message="Nothing that is picked lies on another leg or end without being joined."), ()


def _zoom(state: State, factor: float) -> Outcome:
    sheet = state.regions.sheet
    return zoomed(state, ((sheet.low_x + sheet.high_x) / 2, (sheet.low_y + sheet.high_y) / 2), factor), ()


def _pin(state: State) -> Outcome:
    if state.pinned:
        return replace(state, pinned=None, message="The pinned routing is let go."), ()
    pinned = Pinned(state.committed)
    return replace(state, pinned=pinned, message="Pinned: the tally now also shows the change since this routing."), ()


def _theme(state: State) -> Outcome:
    theme = "dark" if state.theme == "light" else "light"
    return replace(state, theme=theme), (KeepSettings(theme, state.scale),)


def _scale(state: State, steps: int) -> Outcome:
    nearest = min(range(len(SCALES)), key=lambda number: abs(SCALES[number] - state.scale))
    scale = SCALES[min(max(nearest + steps, 0), len(SCALES) - 1)]
    if scale == state.scale:
        return replace(state, message=f"The interface is at {scale * 100:.0f} %, between 100 % and 200 %."), ()
    factor = state.scale / scale
    sized = replace(state, scale=scale, width=state.width * factor, height=state.height * factor)
    return replace(sized, message=f"Interface at {scale * 100:.0f} %."), (KeepSettings(state.theme, scale),)


_TOOL_IDS = {tool.id for tool in TOOLS}
_HOW = {
    "leg": "Press where the leg begins; on a leg it makes a tee.",
    "rise": "Press where the pipe rises or drops, then type the level.",
    "item": "Press a leg where the item stands.",
    "support": "Press a leg where the support stands.",
}
_DOING: dict[str, Callable[[State], Outcome]] = {
    "new": _new,
    "open": _open,
    "save": _save,
    "save-as": _save_as,
    "close": _close,
    "undo": _undo,
    "redo": redone,
    "cut": _cut,
    "copy": _copy,
    "paste": lambda state: (state, (ReadClipboard(),)),
    "delete": _delete,
    "pick-all": _pick_all,
    "turn": lambda state: _turn(state, 1),
    "turn-back": lambda state: _turn(state, -1),
    "mirror": lambda state: _mirror(state, "upright"),
    "mirror-over": lambda state: _mirror(state, "level"),
    "join": _join,
    "free-angle": lambda state: (
        replace(
            state,
            free_angle=not state.free_angle,
            message="Right angles and 45° again." if state.free_angle else "Free angles: legs go anywhere.",
        ),
        (),
    ),
    "fit": lambda state: (fitted(state), ()),
    "zoom-in": lambda state: _zoom(state, ZOOM_STEP),
    "zoom-out": lambda state: _zoom(state, 1 / ZOOM_STEP),
    "bench": lambda state: (replace(state, bench=toggle(state.bench)), ()),
    "bench-order": lambda state: (replace(state, bench=toggle_order(state.bench)), ()),
    "pin": _pin,
    "panel": lambda state: (replace(state, panel_open=not state.panel_open), ()),
    "theme": _theme,
    "larger": lambda state: _scale(state, 1),
    "smaller": lambda state: _scale(state, -1),
    "help": lambda state: (replace(state, help_open=not state.help_open), ()),
    "let-go": let_go,
}
