"""The widgets of the panels: each draws itself from what it is given, and returns what the user did with it.

A panel is one function. It runs once with an event, to learn what was done, and once without, to be seen. A dialog is
declared before everything else, so that what stands behind it is shut.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layoutest.drawing.primitives import Box, Circle, Polyline, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.dropdown import Option, run_dropdown
from layoutest.editor.entry import Entry, run_entry
from layoutest.editor.flags import flag_parts
from layoutest.editor.pictograms import pictogram
from layoutest.editor.turn import Turn, UiState
from layoutest.editor.wrapping import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layoutest.drawing.primitives import Align, Point, Size

__all__ = ["Option", "Ui", "UiState"]

BUTTON_PX = 28
LEAST_BUTTON_PX = 76
DIALOG_PX = 436
LINE_PX: dict[str, float] = {"tiny": 14, "base": 18, "lead": 20, "figure": 24, "money": 32}


class Ui(Turn):
    """The widgets over one turn; boxes and places are in logical pixels, `y` of words is half-way up their capitals."""

    def label(
        self,
        x: float,
        y: float,
        words: str,
        size: Size = "base",
        *,
        bold: bool = False,
        colour: str = "text",
        align: Align = "left",
        width: float = 0.0,
    ) -> None:
        """Words; where they are wider than a `width` that is given, they are cut short and a tooltip has them whole."""
        shown = shortened(words, width, self.measure, size, bold=bold) if width else words
        self.parts.append(Text((x, y), shown, size, bold, colour, align))
        if shown != words:
            left = x - {"left": 0.0, "middle": width / 2, "right": width}[align]
            self._whole(f"words:{words}", Box(left, y - 9, left + width, y + 9), shown, words)

    def paragraph(
        self,
        x: float,
        y: float,
        width: float,
        words: str,
        size: Size = "base",
        *,
        bold: bool = False,
        colour: str = "dim",
    ) -> float:
        """Words broken into lines from an upper edge `y` down; returns their lower edge."""
        for line in wrapped(words, width, self.measure, size, bold=bold):
            self.parts.append(Text((x, y + LINE_PX[size] / 2), line, size, bold, colour))
            y += LINE_PX[size]
        return y

    def heading(self, x: float, y: float, width: float, words: str, note: str = "") -> float:
        """A heading from an upper edge `y` down, a note at its right and a rule below; returns the rule's place."""
        self.parts.append(Text((x, y + 19), words, "lead", bold=True))
        room = width - self.wide(words, "lead", bold=True) - 12
        if note:
            self.label(x + width, y + 20, note, "tiny", colour="dim", align="right", width=room)
        self.parts.append(Rect(x, y + 34, width, 1, "rule"))
        return y + 34

    def button(
        self,
        name: str,
        box: Box,
        words: str,
        hint: str = "",
        *,
        main: bool = False,
        picture: str = "",
        enabled: bool = True,
        tip: str = "",
    ) -> bool:
        """A button, never under 76 wide; with a hint (its shortcut) the words stand at the left, else in the middle."""
        box = box._replace(high_x=max(box.high_x, box.low_x + LEAST_BUTTON_PX))
        pushed = self.pushed(name, box, enabled=enabled)
        fill, ink = _button_colours(main=main, enabled=enabled, down=self.pressed == name and self.over == name)
        edge = ("text" if self.over == name else "accent" if main else "border") if enabled else "rule"
        middle, high_x = (box.low_y + box.high_y) / 2, box.high_x - 12
        self.parts.append(Rect(*_sized(box), fill, "field", edge, "field"))
        if hint:
            self.parts.append(Text((high_x, middle), hint, "tiny", colour=ink if main else "dim", align="right"))
            high_x -= self.wide(hint, "tiny") + 8
        x = box.low_x + 12 + (24 if picture else 0)
        shown = shortened(words, high_x - x, self.measure, bold=main)
        if not hint:
            x += max((high_x - x - self.wide(shown, "base", bold=main)) / 2, 0)
        self.parts += pictogram(picture, (x - 16, middle), ink)
        self.parts.append(Text((x, middle), shown, bold=main, colour=ink))
        self.ring(name, box)
        self._whole(name, box, shown, words, tip)
        return pushed

    def button_width(self, words: str) -> float:
        """How wide a button of these words wants to be."""
        return max(LEAST_BUTTON_PX, self.wide(words, "base", bold=True) + 32)

    def tool(
        self,
        name: str,
        box: Box,
        words: str,
        key: str,
        picture: str,
        *,
        chosen: bool = False,
        enabled: bool = True,
        tip: str = "",
    ) -> bool:
        """A tool: its picture, and its word with the letter of its key underlined; in a narrow box only the picture."""
        pushed = self.pushed(name, box, enabled=enabled)
        ink = "accent_text" if chosen else "text" if enabled else "dim"
        middle, narrow = (box.low_y + box.high_y) / 2, box.high_x - box.low_x < self.tool_width(words) - 1
        if chosen or (enabled and self.over == name):
            fill = "accent" if chosen else "live_fill" if self.pressed == name else "field"
            self.parts.append(Rect(*_sized(box), fill, radius="field"))
        self.parts += pictogram(picture, ((box.low_x + box.high_x) / 2 if narrow else box.low_x + 16, middle), ink)
        if not narrow:
            self._keyed_word(box.low_x + 30, middle, words, key, ink, bold=chosen)
        self.ring(name, box)
        if self.pointed(name) and (narrow or tip):
            self.tip(box, [f"{words}   {key}" if key else words, *([tip] if tip else [])])
        return pushed

    def tool_width(self, words: str) -> float:
        """How wide a tool with its word is; the same whether it is chosen or not."""
        return 38 + self.wide(words, "base", bold=True)

    def _keyed_word(self, x: float, middle: float, words: str, key: str, ink: str, *, bold: bool) -> None:
        self.parts.append(Text((x, middle), words, bold=bold, colour=ink))
        at = words.casefold().find(key.casefold()) if len(key) == 1 else -1
        if at >= 0:
            left, right = (self.wide(words[:end], "base", bold=bold) for end in (at, at + 1))
            self.parts.append(Rect(x + left, middle + 8, right - left, 1, ink))

    def check(self, name: str, box: Box, words: str, *, on: bool, enabled: bool = True) -> bool:
        """A box with a tick; says whether it was turned over."""
        pushed = self.pushed(name, box, enabled=enabled)
        x, middle = box.low_x, (box.low_y + box.high_y) / 2
        edge = ("text" if self.over == name else "accent" if on else "border") if enabled else "rule"
        fill = "field" if enabled and not on else "accent" if enabled else "panel"
        self.parts.append(Rect(x, middle - 8, 16, 16, fill, "field", edge, "field"))
        if on:
            tick = ((x + 3.5, middle + 0.5), (x + 6.5, middle + 3.5), (x + 12.5, middle - 3.5))
            self.parts.append(Polyline(tick, "mitre", "accent_text" if enabled else "dim"))
        self.label(x + 24, middle, words, colour="text" if enabled else "dim", width=box.high_x - x - 24)
        self.ring(name, Box(x, middle - 8, x + 16, middle + 8))
        return pushed

    def row(
        self,
        name: str,
        box: Box,
        head: str,
        hint: str = "",
        *,
        flag: Literal["", "error", "warning", "note"] = "",
        number: str = "",
        chosen: bool = False,
        enabled: bool = True,
    ) -> bool:
        """A row of a list, 40 high with a hint below its head and 24 without, with a snag's flag where it has one."""
        pushed = self.pushed(name, box, enabled=enabled)
        left, middle = box.low_x + (38 if flag else 12), (box.low_y + box.high_y) / 2
        if chosen or self.over == name:
            self.parts.append(Rect(*_sized(box), "field", "field", "border" if chosen else "rule", "field"))
        if flag:
            self.parts += flag_parts(flag, number, (box.low_x + 18, middle), 10.5)
        room = box.high_x - 8 - left
        lines = [shortened(head, room, self.measure, bold=chosen), shortened(hint, room, self.measure, "tiny")]
        ink = "text" if enabled else "dim"
        self.parts.append(Text((left, middle - 7.5 if hint else middle), lines[0], bold=chosen, colour=ink))
        if hint:
            self.parts.append(Text((left, middle + 9), lines[1], "tiny", colour="dim"))
        self.ring(name, box)
        self._whole(name, box, "\n".join(lines), f"{head}\n{hint}")
        return pushed

    def field(
        self,
        name: str,
        box: Box,
        value: str,
        unit: str = "",
        accept: Callable[[str], object] = str,
        *,
        align: Literal["left", "right"] = "right",
        enabled: bool = True,
        says: Literal["below", "over"] = "over",
    ) -> str | None:
        """A text field; returns the text that was committed and that `accept` took without a ValueError.

        A text that is refused stays in it, and the sentence stands `below` it, 14 px high and for whoever leaves room
        for that, or on a plate `over` what is near while the field is in focus or pointed at.
        """
        committed = run_entry(self, Entry(name, box, value, unit, accept, align, enabled))
        sentence = self.refused.get(name, "")
        if sentence and says == "below":
            self.paragraph(
                box.low_x, box.high_y + 7, self.window.high_x - box.low_x, sentence, "tiny", colour="snag_error"
            )
        elif sentence and name in (self.held, self.over):
            self._plate_of(box, sentence)
        return committed

    def dropdown(
        self, name: str, box: Box, options: Sequence[Option], chosen: str, *, enabled: bool = True
    ) -> str | None:
        """A drop-down; returns the value chosen in this turn, where it is another than before."""
        return run_dropdown(self, name, box, options, chosen, enabled=enabled)

    def dialog(self, name: str, title: str, words: Sequence[str], buttons: Sequence[tuple[str, str]]) -> str | None:
        """A question in the middle of the window; returns the id of the button that answers it.

        Buttons are (id, words), the safe one first; Escape is the last. Declare it before all panels: it takes every
        event, and what is declared after it is shut.
        """
        with self.modal(name):
            answer = self._asked(name, title, words, buttons)
        return buttons[-1][0] if self.event == ev.KeyPressed("escape") else answer

    def _asked(self, name: str, title: str, words: Sequence[str], buttons: Sequence[tuple[str, str]]) -> str | None:
        inner = DIALOG_PX - 40
        titles = wrapped(title, inner, self.measure, "lead", bold=True)
        lines = [line for paragraph in words for line in wrapped(paragraph, inner, self.measure)]
        widths = [self.button_width(label) for _, label in buttons]
        if sum(widths) + 8 * (len(widths) - 1) > inner:
            widths = [(inner + 8) / len(widths) - 8] * len(widths)
        high = 88 + 20 * len(titles) + 18 * len(lines)
        x = (self.window.low_x + self.window.high_x - DIALOG_PX) // 2
        y = max((self.window.low_y + self.window.high_y - high) // 2, self.window.low_y)
        self.parts.append(Rect(x, y, DIALOG_PX, high, "field", "focus", "text", "dialog"))
        self.parts += [Text((x + 20, y + 27 + 20 * at), line, "lead", bold=True) for at, line in enumerate(titles)]
        y += 31 + 20 * len(titles)
        self.parts += [Text((x + 20, y + 18 * at), line) for at, line in enumerate(lines)]
        y += 18 * len(lines) + 11
        answer, left = None, x + 20
        for (button, label), wide in zip(buttons, widths, strict=True):
            box = Box(left, y, left + wide, y + BUTTON_PX)
            if self.button(f"{name}.{button}", box, label, main=button == buttons[0][0]):
                answer = button
            left += wide + 8
        return answer

    def plate(self, box: Box, number: str, lines: Sequence[str], to: Point) -> None:
        """A hint of the first run, with a leader from the nearest place of its edge to what it tells of."""
        start = min(max(to[0], box.low_x), box.high_x), min(max(to[1], box.low_y), box.high_y)
        self.top += [Polyline((start, to), "edge", "text"), Circle(to, 3, "text")]
        self.top.append(Rect(*_sized(box), "field", "focus", "text", "field"))
        self.top.append(Text((box.low_x + 16, box.low_y + 20.5), number, "money", bold=True, colour="accent"))
        for at, line in enumerate(lines):
            self.top.append(Text((box.low_x + 46, box.low_y + 18.5 + 18 * at), line, bold=at == 0))

    def _plate_of(self, box: Box, sentence: str) -> None:
        """Why a field refused, on a plate under it, or over it where there is no room."""
        wide, window = self.wide(sentence, "tiny") + 16, self.window
        x = max(min(box.low_x, window.high_x - wide), window.low_x)
        y = box.high_y + 3 if box.high_y + 23 <= window.high_y else box.low_y - 23
        self.top.append(Rect(x, y, wide, 20, "field", "field", "snag_error", "field"))
        self.top.append(Text((x + 8, y + 10), sentence, "tiny", colour="snag_error"))

    def _whole(self, name: str, box: Box, shown: str, words: str, tip: str = "") -> None:
        """Say in a tooltip what was cut short, or what is to be said anyway."""
        if shown == words and not tip:
            return
        self.notice(name, box)
        if self.pointed(name):
            self.tip(box, [*(words.strip().split("\n") if shown != words else []), *([tip] if tip else [])])


def _sized(box: Box) -> tuple[float, float, float, float]:
    return box.low_x, box.low_y, box.high_x - box.low_x, box.high_y - box.low_y


def _button_colours(*, main: bool, enabled: bool, down: bool) -> tuple[str, str]:
    if not enabled:
        return "panel", "dim"
    if main:
        return "accent", "accent_text"
    return ("live_fill" if down else "field"), "text"
