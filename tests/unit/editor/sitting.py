"""A small form that is driven by events, turn by turn, as a window does it: once with the event, once to be seen."""

from __future__ import annotations

from layoutest.drawing.primitives import Box, Clip, Text
from layoutest.editor.ui import Option, Ui, UiState
from layoutest.layout.lengths import parse_length

WINDOW = Box(0, 0, 800, 600)
SIZE_PX = {"tiny": 11, "base": 13, "lead": 15, "figure": 20, "money": 28}
SERVICES = tuple(
    Option(code, words, code, code)
    for code, words in (("HF", "Heating flow"), ("HR", "Heating return"), ("HW", "Hot water"), ("CW", "Cold water"))
)
LENGTH, LEVEL, SERVICE, GO, SHUT, COVERED = (
    Box(10, 10, 130, 38),
    Box(140, 10, 260, 38),
    Box(10, 50, 270, 78),
    Box(10, 90, 110, 118),
    Box(120, 90, 220, 118),
    Box(10, 130, 130, 154),
)


def measure(words, size, bold):
    """Every letter 0.55 of the size wide."""
    return 0.55 * len(words) * SIZE_PX[size]


def middle(box):
    return (box.low_x + box.high_x) / 2, (box.low_y + box.high_y) / 2


class Sitting:
    """The form with its values; what was done stands in `done`."""

    def __init__(self, asks=False):
        self.state, self.asks = UiState(), asks
        self.values = {"length": "5200", "level": "2400", "service": "HR", "covered": True}
        self.done, self.clipboard, self.took, self.wants_paste = [], "", False, False

    def form(self, ui):
        if self.asks:
            answer = ui.dialog(
                "ask", "Not saved", ["Some edits."], [("save", "Save"), ("go", "Go on"), ("stay", "Stay")]
            )
            if answer:
                self.done.append(answer)
                self.asks = False
        for name, box in (("length", LENGTH), ("level", LEVEL)):
            typed = ui.field(name, box, self.values[name], "mm", parse_length)
            if typed is not None:
                self.done.append((name, typed))
                self.values[name] = str(parse_length(typed))
        service = ui.dropdown("service", SERVICE, SERVICES, self.values["service"])
        if service is not None:
            self.done.append(("service", service))
            self.values["service"] = service
        if ui.button("go", GO, "Estimate", main=True):
            self.done.append("go")
        if ui.button("shut", SHUT, "Not now", enabled=False):
            self.done.append("shut")
        if ui.check("covered", COVERED, "covered", on=self.values["covered"]):
            self.values["covered"] = not self.values["covered"]
            self.done.append("covered")

    def see(self):
        """What is drawn now; drawing changes nothing."""
        before = (self.state, dict(self.values), list(self.done))
        ui = Ui(self.state, None, measure, WINDOW)
        self.form(ui)
        assert ui.end() is self.state
        assert (self.state, self.values, self.done) == before
        return ui

    def turn(self, *events):
        """Take events, and return what is done since."""
        del self.done[:]
        for event in events:
            ui = Ui(self.state, event, measure, WINDOW)
            self.form(ui)
            self.state = ui.end()
            self.took, self.wants_paste = ui.took, ui.wants_paste
            if ui.clipboard_out is not None:
                self.clipboard = ui.clipboard_out
            self.see()
        return list(self.done)

    @property
    def draft(self):
        return self.state.drafts[self.state.focus]


def words(parts):
    """All words that are drawn."""
    return [one for part in parts for one in _words(part)]


def _words(part):
    if isinstance(part, Clip):
        return words(part.parts)
    return [part.words] if isinstance(part, Text) else []
