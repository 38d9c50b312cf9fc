"""One event in, the next state out, with what it asks of the world outside. Nothing here draws or waits."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.drawing.pipes import sheet_groups
from layoutest.editor import events as ev
from layoutest.editor.actions import BY_KEYS, keys_of
from layoutest.editor.bench import BenchTarget, target_at
from layoutest.editor.bench_columns import arranged, shown_at
from layoutest.editor.bench_state import in_hand, toggle, turned
from layoutest.editor.commands import ask_first, do, go_on, pasted, path_chosen, pen_of
from layoutest.editor.commit import packing
from layoutest.editor.hand import moved, nudged, pressed, released, wheel
from layoutest.editor.over import flags_of
from layoutest.editor.panels import run_panels
from layoutest.editor.regions import inside
from layoutest.editor.requests import DropJournal, KeepInJournal, OpenLayout, RememberRecent
from layoutest.editor.snag_list import go_to
from layoutest.editor.snap import step_mm
from layoutest.editor.state import (
    PLANS_KEPT,
    Boxing,
    Dialog,
    Dragging,
    Drawing,
    Panning,
    Pressed,
    Rising,
    opened,
    told,
)
from layoutest.live.live import with_plan, with_plans

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.editor.commit import Outcome
    from layoutest.editor.events import Event
    from layoutest.editor.state import State
    from layoutest.live.live import Live

SUFFIX = ".layout.json"
_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}
_LENGTH_STARTS = set("0123456789.,")
_LEVEL_STARTS = _LENGTH_STARTS | set("+-−=")


def update(state: State, event: Event) -> Outcome:
    """Take one event."""
    handler = _OUTSIDE.get(type(event))
    if handler:
        return handler(state, event)
    if isinstance(event, ev.TextTyped) and state.key_taken and event.text.lower() == state.key_taken:
        # The letter of a shortcut comes as text too, after the key has done its work.
        return replace(state, key_taken=""), ()
    if isinstance(event, ev.KeyPressed) and state.key_taken:
        state = replace(state, key_taken="")
    if isinstance(event, ev.PointerMoved | ev.PointerPressed | ev.PointerReleased | ev.WheelTurned):
        state = replace(state, pointer=(event.x, event.y), mods=event.mods, rested=False)
    if isinstance(state.gesture, Panning | Dragging | Boxing | Pressed) and isinstance(
        event, ev.PointerMoved | ev.PointerReleased
    ):
        return _gesturing(state, event)
    state, requests, took = run_panels(state, event)
    if took:
        return replace(state, hit=None, target=None) if isinstance(event, ev.PointerMoved) else state, requests
    before = state.gesture
    state, more = _on_window(state, event)
    if isinstance(state.gesture, Rising) and not isinstance(before, Rising):
        # The level of a rise is typed at once.
        state = replace(state, ui=replace(state.ui, focus="status.level"))
    return state, (*requests, *more)


def _gesturing(state: State, event: Event) -> Outcome:
    if isinstance(event, ev.PointerMoved):
        return moved(state, (event.x, event.y)), ()
    assert isinstance(event, ev.PointerReleased)  # noqa: S101 - for the type checker
    return released(moved(state, (event.x, event.y)), (event.x, event.y))


def _on_window(state: State, event: Event) -> Outcome:
    """What no panel took."""
    match event:
        case ev.PointerMoved(x, y):
            return _pointing(state, (x, y)), ()
        case ev.PointerPressed(x, y):
            return _pressing(state, event)
        case ev.PointerReleased(x, y):
            return released(state, (x, y))
        case ev.WheelTurned():
            return _wheel(state, event), ()
        case ev.KeyPressed(key, mods):
            return _key(state, key, mods)
        case ev.KeyReleased("space"):
            return replace(state, space_held=False), ()
        case ev.TextTyped(text):
            return _typing(state, text)
    return state, ()


def _wheel(state: State, event: ev.WheelTurned) -> State:
    """The wheel turns the list of snags, the view, or the bench."""
    point = (event.x, event.y)
    if inside(state.regions.panel, point):
        last = max(len(state.live.snags) - 1, 0)
        return replace(state, snags_from=min(max(state.snags_from - round(event.up), 0), last))
    if inside(state.regions.sheet, point):
        return wheel(state, event)
    if inside(state.regions.bench, point):
        return _turned(state, -round(event.up) or round(event.right))
    return state


def _pointing(state: State, point: tuple[float, float]) -> State:
    regions = state.regions
    if inside(regions.sheet, point):
        return moved(replace(state, target=None), point)
    if inside(regions.bench, point):
        return replace(state, hit=None, target=_target(state, point))
    return state if state.hit is None and state.target is None else replace(state, hit=None, target=None)


def _pressing(state: State, event: ev.PointerPressed) -> Outcome:
    point = (event.x, event.y)
    state = replace(state, girth_mm=None)
    if inside(state.regions.sheet, point):
        flag = next((one for one in flags_of(state) if one.told and inside(one.box, point)), None)
        if flag and state.tool == "pick" and event.button == 1 and not state.gesture:
            return go_to(state.live.snags[flag.number - 1])(state)
        return pressed(replace(state, panel_open=False), event)
    if inside(state.regions.bench, point):
        return _press_bench(state, point)
    return state, ()


def _target(state: State, point: tuple[float, float]) -> BenchTarget | None:
    return target_at(state.live, state.regions.bench, state.bench, point, state.measure)


def _turned(state: State, columns: int) -> State:
    """Scroll the bench, not beyond its end."""
    view = arranged(state.live, state.regions.bench, replace(state.bench, turned=0))
    bench = turned(state.bench, columns)
    return replace(state, bench=replace(bench, turned=min(bench.turned, max(view.total - view.fits, 0))))


def _press_bench(state: State, point: tuple[float, float]) -> Outcome:
    """A press on the bench picks the legs that a piece belongs to, takes a stock in hand, or changes the height."""
    target = _target(state, point)
    if target is None:
        return state, ()
    if target.kind == "grip":
        return replace(state, bench=toggle(state.bench)), ()
    if target.key is None:
        return state, ()
    bench = in_hand(state.bench, target.key)
    if target.kind == "overview" and target.section:
        bench = shown_at(state.live, state.regions.bench, bench, target.key, target.section)
    state = replace(state, bench=bench)
    if target.piece < 0:
        return state, ()
    placed, piece = state.live.stocks[target.key].by_place[target.section - 1, target.piece]
    end_mm = (
        piece.run_from_mm
        + state.live.stocks[target.key].plan.sections[target.section - 1].pieces[target.piece].length_mm
    )
    legs = frozenset(leg.id for leg, _ in placed.named.legs_along(piece.run_from_mm, end_mm))
    return replace(state, picked=legs, message=""), ()


def _key(state: State, key: str, mods: str) -> Outcome:
    if key == "space" and not mods:
        return replace(state, space_held=True), ()
    if key in _ARROWS and mods in ("", "shift"):
        step = step_mm(state.document) * 2 * (10 if mods else 1)
        du, dv = _ARROWS[key]
        return nudged(state, du * step, dv * step)
    if key in ("pageup", "pagedown") and not mods:
        return _turned(state, -1 if key == "pageup" else 1), ()
    if key == "return" and not mods and isinstance(state.gesture, Drawing):
        return replace(state, gesture=None), ()
    action = BY_KEYS.get(keys_of(key, mods))
    if action is None:
        return state, ()
    if len(key) == 1 and mods in ("", "shift"):
        state = replace(state, key_taken=key)
    if action.id == "rise" and isinstance(state.gesture, Drawing):
        # From the end of what is drawn: the level is typed at once.
        return replace(state, gesture=Rising(state.gesture.start, drawing=True), message=""), ()
    return do(state, action.id)


def _typing(state: State, text: str) -> Outcome:
    """Figures typed with no field in hand go to the length, or to the level of a rise."""
    field, starts = (
        ("status.level", _LEVEL_STARTS) if isinstance(state.gesture, Rising) else ("status.length", _LENGTH_STARTS)
    )
    if not text or text[0] not in starts or not (state.gesture or state.picked):
        return state, ()
    focused = replace(state, ui=replace(state.ui, focus=field))
    state, requests, _ = run_panels(focused, ev.TextTyped(text))
    return state, requests


def _resized(state: State, event: ev.Resized) -> Outcome:
    # A window begins with its size: what it shows first is packed then.
    if (event.width, event.height) == (state.width, state.height):
        return state, packing(state)
    return replace(state, width=event.width, height=event.height), packing(state)


def _opened(state: State, event: ev.LayoutOpened) -> Outcome:
    if event.layout is None:
        dialog = Dialog("told", "The file cannot be opened", _shortened(event.faults), (("stay", "Go back"),))
        return replace(state, dialog=dialog), ()
    fresh = opened(state, event.layout, pen_of(event.layout, state.pen), path=event.path)
    if event.recovered:
        fresh = replace(
            fresh, saved=event.saved or event.layout, actions=1, message="Recovered: what was not saved last time."
        )
        if event.saved is None:
            # It was in no file: it stays unsaved until it is written to one.
            fresh = replace(fresh, saved=replace(event.layout))
    recent = (RememberRecent(event.path),) if event.path and not event.recovered else ()
    return fresh, (DropJournal(), KeepInJournal(event.path, event.layout), *recent, *packing(fresh))


def _shortened(faults: tuple[str, ...]) -> tuple[str, ...]:
    shown = faults[:6]
    return (*shown, f"and {len(faults) - 6} more") if len(faults) > len(shown) else shown


def _saved(state: State, event: ev.LayoutSaved) -> Outcome:
    if event.fault:
        words = (event.fault, "What is drawn is kept here and in the journal.")
        dialog = Dialog("told", "The layout is not saved", words, (("stay", "Go back"),))
        return replace(state, dialog=dialog, after_saving=""), ()
    then = state.after_saving
    name = event.path.replace("\\", "/").rsplit("/", 1)[-1]
    # Edits made while the file was written stay unsaved: what is saved is what was written.
    state = replace(state, saved=event.layout, path=event.path, sample=False, message=f"Saved as {name}.", begun=False)
    after, requests = go_on(state, then) if then else (state, ())
    return after, (KeepInJournal(event.path, state.document), RememberRecent(event.path), *requests)


def _path_chosen(state: State, event: ev.PathChosen) -> Outcome:
    return path_chosen(state, event.purpose, event.path)


def _no_chooser(state: State, event: ev.ChooserMissing) -> Outcome:
    return replace(state, path_asked=event.purpose, path_start=event.start, message=event.says), ()


def _told(state: State, event: ev.Told) -> Outcome:
    return replace(state, message=event.says), ()


def _dropped(state: State, event: ev.FileDropped) -> Outcome:
    return ask_first(state, "open", event.path) or (state, (OpenLayout(event.path),))


def _packed(state: State, event: ev.Packed) -> Outcome:
    plans = (event.plan, *state.plans)[:PLANS_KEPT]
    live = with_plan(state.live, event.plan)
    committed = live if state.committed is state.live else with_plans(state.committed, plans[:1])
    state = replace(state, plans=plans, committed=committed)
    if not state.actions:
        # Nothing was edited yet: better plans of what was opened are no change.
        state = replace(state, basis=committed)
    return told(_repictured(state, live)), ()


def _repictured(state: State, live: Live) -> State:
    if live is state.live:
        return state
    picture = sheet_groups(live.covering, live.joints, state.picture)
    return replace(state, live=live, picture=picture)


def _failed(state: State, event: ev.WorkerFailed) -> Outcome:
    return replace(state, message=f"{event.stock}: {event.says} The quick figures stand."), ()


def _close_asked(state: State, event: ev.CloseAsked) -> Outcome:
    # What is typed in a field is taken first.
    state, requests, _ = run_panels(state, event)
    state, more = do(state, "close")
    return state, (*requests, *more)


def _rested(state: State, event: ev.PointerRested) -> Outcome:
    state, requests, _ = run_panels(state, event)
    return replace(state, rested=True), requests


def _left(state: State, event: ev.PointerLeft) -> Outcome:
    state, requests, _ = run_panels(state, event)
    if isinstance(state.gesture, Panning | Dragging | Boxing | Pressed):
        return state, requests
    return replace(state, pointer=None, hit=None, target=None, rested=False), requests


def _clipboard(state: State, event: ev.ClipboardRead) -> Outcome:
    """Into the field that has the focus, else onto the sheet."""
    state, requests, took = run_panels(state, event)
    return (state, requests) if took else pasted(state, event.text)


_OUTSIDE: dict[type, Callable[..., Outcome]] = {
    ev.Resized: _resized,
    ev.LayoutOpened: _opened,
    ev.LayoutSaved: _saved,
    ev.PathChosen: _path_chosen,
    ev.ChooserMissing: _no_chooser,
    ev.Told: _told,
    ev.FileDropped: _dropped,
    ev.Packed: _packed,
    ev.WorkerFailed: _failed,
    ev.CloseAsked: _close_asked,
    ev.PointerRested: _rested,
    ev.PointerLeft: _left,
    ev.ClipboardRead: _clipboard,
}
