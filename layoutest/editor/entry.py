"""The text field of the panels: a draft while it is in focus, else its value, or what was refused and why."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.drawing.primitives import Box, Clip, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.field import Draft, draft_of, erased, keyed, moved, typed, word_marked
from layoutest.editor.flags import flag_parts
from layoutest.editor.wrapping import shortened

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.turn import Turn

INSET_PX = 8


class Entry(NamedTuple):
    """A field as it is declared. `accept` raises ValueError with a sentence for a text that is no value."""

    name: str
    box: Box
    value: str
    unit: str
    accept: Callable[[str], object]
    align: Literal["left", "right"]
    enabled: bool


class Line(NamedTuple):
    """Where a field's text stands: its left end, and from where to where it can be seen."""

    text: str
    bold: bool
    x: float
    low_x: float
    high_x: float


def run_entry(turn: Turn, entry: Entry) -> str | None:
    """Declare a field, draw it, and return the text that was committed in this turn."""
    reached = turn.declare(entry.name, entry.box, enabled=entry.enabled)
    held = turn.held == entry.name and not turn.shut
    _settle(turn, entry, held=held)
    committed = _take(turn, entry, held=held) if reached else None
    _scroll(turn, entry)
    turn.parts += _parts(turn, entry, held=held)
    return committed


def _settle(turn: Turn, entry: Entry, *, held: bool) -> None:
    """Begin a draft where there is none, and drop one whose value is another by now."""
    draft = turn.drafts.get(entry.name)
    stale = draft and draft.kept != entry.value and not (held and draft.is_edited)
    if stale or not (held or entry.name in turn.refused):
        _drop(turn, entry)
    if held and entry.name not in turn.drafts:
        turn.drafts[entry.name] = draft_of(entry.value)


def _take(turn: Turn, entry: Entry, *, held: bool) -> str | None:
    name, event = entry.name, turn.event
    if isinstance(event, ev.PointerPressed) and turn.over == name:
        _press(turn, entry, event, held=held)
        return None
    draft = turn.drafts.get(name)
    if draft is None or not held:
        return None
    match event:
        case ev.PointerPressed(button=1 | 3) | ev.CloseAsked():
            return _leave(turn, entry, draft)
        case ev.PointerMoved(x) if turn.before.pressed == name:
            turn.drafts[name] = moved(draft, _place_at(turn, _line(turn, entry, held=True), x), marking=True)
        case ev.TextTyped(text):
            _change(turn, entry, typed(draft, text))
        case ev.ClipboardRead(text):
            _change(turn, entry, typed(draft, text, ""))
        case ev.TextComposed(text):
            turn.drafts[name], turn.took = replace(draft, composing=text), True
        case ev.KeyPressed(key, mods):
            return _key(turn, entry, draft, key, mods)
    return None


def _press(turn: Turn, entry: Entry, event: ev.PointerPressed, *, held: bool) -> None:
    if event.button != 1 or not entry.enabled:
        return
    at = _place_at(turn, _line(turn, entry, held=held), event.x)
    draft = turn.drafts.get(entry.name) or draft_of(entry.value, at)
    draft = replace(draft, composing="")
    if event.clicks == 2:
        draft = word_marked(draft, at)
    elif event.clicks > 2:
        draft = replace(draft, anchor=0, caret=len(draft.text))
    else:
        draft = moved(draft, at, marking="shift" in event.mods)
    turn.drafts[entry.name] = draft
    turn.focus = turn.place = entry.name


def _key(turn: Turn, entry: Entry, draft: Draft, key: str, mods: str) -> str | None:
    command = "ctrl" in mods and "alt" not in mods
    if draft.composing:
        turn.took = True  # The keys belong to the input method.
    elif key == "tab":
        return _leave(turn, entry, draft)
    elif key == "return" and not command:
        return _enter(turn, entry, draft)
    elif key == "escape":
        turn.took, turn.focus = draft.is_edited or entry.name in turn.refused, ""
        _drop(turn, entry)
    elif command and key in ("c", "x", "v"):
        _clipboard(turn, entry, draft, key)
    elif (changed := keyed(draft, key, mods)) is not None:
        _change(turn, entry, changed)
    elif command or (key[0] == "f" and key[1:].isdigit()):
        return _leave(turn, entry, draft)  # A shortcut of the window must find what was typed.
    else:
        turn.took = True
    return None


def _enter(turn: Turn, entry: Entry, draft: Draft) -> str | None:
    turn.took = True
    committed = _leave(turn, entry, draft, again=draft.is_edited)
    if entry.name not in turn.refused:
        turn.focus = ""
    return committed


def _leave(turn: Turn, entry: Entry, draft: Draft, *, again: bool = False) -> str | None:
    """Commit a draft where it is another text than the value (or `again`), and is accepted."""
    if draft.text == draft.kept and not again:
        _drop(turn, entry)
        return None
    try:
        entry.accept(draft.text)
    except ValueError as error:
        kept = f"; {entry.value} was kept" if entry.value else ""
        turn.refused[entry.name] = f"{error}{kept}"
        turn.drafts[entry.name] = replace(draft, composing="")
        return None
    _drop(turn, entry)
    return draft.text


def _clipboard(turn: Turn, entry: Entry, draft: Draft, key: str) -> None:
    turn.took = True
    if key == "v":
        turn.wants_paste = True
    elif draft.marked_text:
        turn.clipboard_out = draft.marked_text
        if key == "x":
            _change(turn, entry, erased(draft, 1))


def _change(turn: Turn, entry: Entry, draft: Draft) -> None:
    turn.took = True
    if draft.text != turn.drafts[entry.name].text:
        turn.refused.pop(entry.name, None)
    turn.drafts[entry.name] = draft


def _drop(turn: Turn, entry: Entry) -> None:
    turn.drafts.pop(entry.name, None)
    turn.refused.pop(entry.name, None)


def _line(turn: Turn, entry: Entry, *, held: bool) -> Line:
    draft, box = turn.drafts.get(entry.name), entry.box
    low = box.low_x + (26 if entry.name in turn.refused else INSET_PX)
    high = box.high_x - INSET_PX - (turn.wide(entry.unit, "tiny") + 6 if entry.unit else 0)
    text = draft.text if draft else entry.value
    if draft and draft.composing:
        text = text[: draft.caret] + draft.composing + text[draft.caret :]
    width = turn.wide(text, bold=held)
    if width > high - low:
        x = low - draft.from_px if draft and held else low
    else:
        x = high - width if entry.align == "right" else low
    return Line(text, held, x, low, high)


def _place_at(turn: Turn, line: Line, x: float) -> int:
    """Before which character the caret comes nearest to a place."""
    places = range(len(line.text) + 1)
    return min(places, key=lambda at: abs(line.x + turn.wide(line.text[:at], bold=line.bold) - x))


def _scroll(turn: Turn, entry: Entry) -> None:
    """Scroll a text that is longer than its field so that the caret is seen."""
    draft = turn.drafts.get(entry.name)
    if draft is None:
        return
    line = _line(turn, entry, held=True)
    room = line.high_x - line.low_x
    caret = turn.wide(line.text[: draft.caret + len(draft.composing)], bold=True)
    most = max(turn.wide(line.text, bold=True) - room, 0.0)
    from_px = min(max(draft.from_px, caret - room), caret, most)
    if from_px != draft.from_px:
        turn.drafts[entry.name] = replace(draft, from_px=from_px)


def _parts(turn: Turn, entry: Entry, *, held: bool) -> list[Primitive]:
    x, y, high_x, high_y = entry.box
    middle, refused = (y + high_y) / 2, entry.name in turn.refused
    edge = ("snag_error" if refused else "accent") if refused or held else "border" if entry.enabled else "rule"
    weight = "focus" if refused or held else "field"
    fill = "field" if entry.enabled else "panel"
    parts: list[Primitive] = [Rect(x, y, high_x - x, high_y - y, fill, weight, edge, "field")]
    if refused:
        parts += flag_parts("error", "!", (x + 12, middle), 8.5)
    if entry.unit:
        parts.append(Text((high_x - INSET_PX, middle), entry.unit, "tiny", colour="dim", align="right"))
    draft, line = turn.drafts.get(entry.name), _line(turn, entry, held=held)
    if held and draft:
        inner = _marks(turn, draft, line, middle)
        return [*parts, Clip(Box(line.low_x - 2, y + 2, line.high_x + 3, high_y - 2), tuple(inner))]
    words = shortened(line.text, line.high_x - line.low_x, turn.measure)
    if words != line.text and turn.pointed(entry.name):
        turn.tip(entry.box, [line.text])
    colour = "text" if entry.enabled else "dim"
    at_x = line.high_x if entry.align == "right" else line.low_x
    return [*parts, Text((at_x, middle), words, colour=colour, align=entry.align)]


def _marks(turn: Turn, draft: Draft, line: Line, middle: float) -> list[Primitive]:
    """A draft's text with what is marked, what is composed, and the caret."""

    def at(place: int) -> float:
        return line.x + turn.wide(line.text[:place], bold=line.bold)

    (low, high), composed = draft.marked, len(draft.composing)
    parts: list[Primitive] = []
    if low != high and not composed:
        parts.append(Rect(at(low), middle - 9, at(high) - at(low), 18, "live_fill"))
    parts.append(Text((line.x, middle), line.text, bold=line.bold))
    if composed:
        left = at(draft.caret)
        parts.append(Rect(left, middle + 8, at(draft.caret + composed) - left, 1, "text"))
    caret = draft.caret + composed
    last = caret == len(line.text)
    return [*parts, Rect(at(caret) + (0.75 if last else -0.75), middle - 7, 1.5, 14, "accent")]
