"""The drop-down: what is chosen of several, and the list that opens under it, or over it where there is no room."""

from __future__ import annotations

from itertools import cycle
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.pictograms import chevron
from layoutest.editor.regions import inside
from layoutest.editor.wrapping import shortened

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.turn import Turn

ROW_PX = 24
RIM_PX = 4
GAP_PX = 3
DASH_PX = 54


class Option(NamedTuple):
    """An entry of a list. `code` is letters on a swatch; `dash` names the service whose tint and dash are shown."""

    value: str
    words: str
    code: str = ""
    dash: str = ""


class Listed(NamedTuple):
    """A drop-down as it is declared, with the place of its list and how many entries are seen in it."""

    name: str
    control: Box
    options: Sequence[Option]
    chosen: str
    box: Box
    seen: int


def run_dropdown(
    turn: Turn, name: str, box: Box, options: Sequence[Option], chosen: str, *, enabled: bool
) -> str | None:
    """Declare a drop-down, draw it, and return the value that was chosen in this turn, where it is another."""
    enabled = enabled and bool(options)
    picked = None
    if turn.declare(name, box, enabled=enabled):
        listed = _listed(turn, name, box, options, chosen)
        picked = _in_list(turn, listed) if turn.before.open == name else _closed(turn, listed)
    turn.parts += _control(
        turn, name, box, next((one for one in options if one.value == chosen), None), enabled=enabled
    )
    turn.ring(name, box)
    if turn.open == name and enabled and not turn.shut:
        turn.top += _list_parts(turn, _listed(turn, name, box, options, chosen))
    return picked if picked != chosen else None


def _listed(turn: Turn, name: str, control: Box, options: Sequence[Option], chosen: str) -> Listed:
    """Place the list below where it fits, else where there is more room, inside the window."""
    window = turn.window
    below, above = window.high_y - control.high_y - GAP_PX, control.low_y - GAP_PX - window.low_y
    wanted = len(options) * ROW_PX + 2 * RIM_PX
    down = wanted <= below or below >= above
    seen = min(len(options), max(int(((below if down else above) - 2 * RIM_PX) // ROW_PX), 1))
    high = seen * ROW_PX + 2 * RIM_PX
    top = control.high_y + GAP_PX if down else control.low_y - GAP_PX - high
    extra = (46 if any(one.code for one in options) else 10) + (
        DASH_PX + 20 if any(one.dash for one in options) else 10
    )
    widest = max((turn.wide(one.words, bold=True) for one in options), default=0) + extra
    width = min(max(control.high_x - control.low_x, widest), window.high_x - window.low_x)
    left = max(min(control.low_x, window.high_x - width - 4), window.low_x)
    return Listed(name, control, options, chosen, Box(left, top, left + width, top + high), seen)


def _closed(turn: Turn, listed: Listed) -> str | None:
    if isinstance(turn.event, ev.PointerPressed) and turn.pressed == listed.name:
        _open(turn, listed)
    elif turn.held == listed.name:
        match turn.event:
            case ev.KeyPressed("return" | "space" | "up" | "down", "" | "alt"):
                turn.took = True
                _open(turn, listed)
            case ev.KeyPressed("escape", ""):
                turn.took, turn.focus = True, ""
            case ev.KeyPressed(key, "" | "shift") if len(key) == 1:
                turn.took = True  # Its letter follows.
            case ev.TextTyped(text) if text.strip():
                _open(turn, listed)
                _jump(turn, listed, text)
    return None


def _open(turn: Turn, listed: Listed) -> None:
    turn.open = turn.focus = turn.place = listed.name
    values = [one.value for one in listed.options]
    turn.list_typed, turn.list_from = "", 0
    _hold(turn, listed, values.index(listed.chosen) if listed.chosen in values else 0)


def _in_list(turn: Turn, listed: Listed) -> str | None:
    turn.list_at = min(turn.list_at, len(listed.options) - 1)
    if turn.point:
        return _pointed(turn, listed)
    match turn.event:
        case ev.KeyPressed(key, mods):
            return _key(turn, listed, key, mods)
        case ev.TextTyped(text):
            turn.took = True
            _jump(turn, listed, text)
    return None


def _pointed(turn: Turn, listed: Listed) -> str | None:
    row = _row_at(turn, listed)
    turn.over, turn.focus = listed.name if row is not None else "", listed.name
    match turn.event:
        case ev.PointerMoved() if row is not None:
            turn.list_at = row
        case ev.WheelTurned(up=up):
            most = len(listed.options) - listed.seen
            turn.list_from = min(max(turn.list_from - round(up), 0), most)
        case ev.PointerPressed(x, y):
            if row is None and not inside(listed.box, (x, y)):
                turn.open, turn.focus = "", ""
        case ev.PointerReleased(button=1) if row is not None:
            turn.open, turn.focus = "", ""
            return listed.options[row].value
    return None


def _row_at(turn: Turn, listed: Listed) -> int | None:
    assert turn.point  # noqa: S101 - for the type checker
    row = int((turn.point[1] - listed.box.low_y - RIM_PX) // ROW_PX)
    return turn.list_from + row if inside(listed.box, turn.point) and 0 <= row < listed.seen else None


def _key(turn: Turn, listed: Listed, key: str, mods: str) -> str | None:
    steps = {"up": -1, "down": 1, "pageup": -listed.seen, "pagedown": listed.seen, "home": -(1 << 30), "end": 1 << 30}
    turn.took = True
    if key in steps:
        _hold(turn, listed, turn.list_at + steps[key])
    elif key == "return" or (key == "space" and not turn.list_typed):
        turn.open = ""
        return listed.options[turn.list_at].value
    elif key in ("escape", "tab"):
        turn.open = ""
    elif "ctrl" in mods:
        turn.open, turn.took = "", False  # A shortcut of the window.
    return None


def _hold(turn: Turn, listed: Listed, at: int) -> None:
    """Take an entry in hand, and scroll until it is seen."""
    turn.list_at = min(max(at, 0), len(listed.options) - 1)
    turn.list_from = min(max(turn.list_from, turn.list_at - listed.seen + 1), turn.list_at)


def _jump(turn: Turn, listed: Listed, text: str) -> None:
    """Go to the entry that begins with what was typed so far, or else to the next that begins with this letter.

    One that is what was typed comes before one that only begins so: `copper 15` is not `copper 159`.
    """
    count = len(listed.options)
    for letters, first in ((turn.list_typed + text, turn.list_at), (text, turn.list_at + 1)):
        places = [place % count for place in range(first, first + count)]
        for at in sorted(places, key=lambda at: listed.options[at].words.casefold() != letters.casefold()):
            if letters.strip() and listed.options[at].words.casefold().startswith(letters.casefold()):
                turn.list_typed = letters
                _hold(turn, listed, at)
                return


def _control(turn: Turn, name: str, box: Box, option: Option | None, *, enabled: bool) -> list[Primitive]:
    middle = (box.low_y + box.high_y) / 2
    edge = ("text" if turn.over == name else "border") if enabled else "rule"
    fill, ink = ("field", "text") if enabled else ("panel", "dim")
    parts: list[Primitive] = [
        Rect(box.low_x, box.low_y, box.high_x - box.low_x, box.high_y - box.low_y, fill, "field", edge, "field"),
        *chevron(box.high_x - 13, middle, ink),
    ]
    if option is None:
        return parts
    left = box.low_x + 8
    if option.code:
        parts += swatch(left, middle, option)
        left += 34
    words = shortened(option.words, box.high_x - 24 - left, turn.measure)
    if words != option.words and turn.pointed(name):
        turn.tip(box, [option.words])
    return [*parts, Text((left, middle), words, colour=ink)]


def swatch(x: float, middle: float, option: Option) -> list[Primitive]:
    """The letters of a service on its tint, 26 × 16."""
    tint = f"tint:{option.dash or option.code}"
    letters = Text((x + 13, middle), option.code, "tiny", bold=True, colour="piece_text", align="middle")
    return [Rect(x, middle - 8, 26, 16, tint, "rule", "edge"), letters]


def _dashed(left: float, middle: float, dash: str) -> list[Primitive]:
    """A service's dash at the weight of 1 px, so that the longest is seen whole."""
    parts: list[Primitive] = []
    lengths = cycle(load_look().dashes[dash] or (DASH_PX,))
    right = left + DASH_PX
    while left < right:
        parts.append(Rect(left, middle - 1, min(drawn := next(lengths), right - left), 1.5, "centre"))
        left += drawn + next(lengths)
    return parts


def _list_parts(turn: Turn, listed: Listed) -> list[Primitive]:
    box, first = listed.box, turn.list_from
    width, high = box.high_x - box.low_x, box.high_y - box.low_y
    parts: list[Primitive] = [Rect(box.low_x, box.low_y, width, high, "field", "field", "border", "field")]
    for row in range(first, min(first + listed.seen, len(listed.options))):
        parts += _row_parts(turn, listed, row, box.low_y + RIM_PX + (row - first) * ROW_PX)
    if listed.seen < len(listed.options):
        each = (high - 2 * RIM_PX) / len(listed.options)
        parts.append(Rect(box.high_x - 5, box.low_y + RIM_PX + first * each, 3, listed.seen * each, "border"))
    return parts


def _row_parts(turn: Turn, listed: Listed, row: int, top: float) -> list[Primitive]:
    option, box, middle = listed.options[row], listed.box, top + ROW_PX / 2
    parts: list[Primitive] = []
    if row == turn.list_at:
        parts.append(Rect(box.low_x + 1, top, box.high_x - box.low_x - 2, ROW_PX, "live_fill"))
        parts.append(Rect(box.low_x + 1, top, 3, ROW_PX, "accent"))
    left, right = box.low_x + 10, box.high_x - 10
    if option.code:
        parts += swatch(left, middle, option)
    if any(one.code for one in listed.options):
        left += 36
    if option.dash:
        parts += _dashed(right - DASH_PX, middle, option.dash)
        right -= DASH_PX + 8
    bold = option.value == listed.chosen
    words = shortened(option.words, right - left, turn.measure, bold=bold)
    return [*parts, Text((left, middle), words, bold=bold)]
