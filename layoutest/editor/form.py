"""A column of labelled fields in the panel: where the next one goes, and what was changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Text
from layoutest.editor.wrapping import wrapped

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.editor.commit import Outcome
    from layoutest.editor.state import State
    from layoutest.editor.ui import Option, Ui

    Change = Callable[[State], Outcome]

INSET_PX = 16
LABEL_PX = 88
FIELD_PX = 28
HALF_PX = 76
PITCH_PX = 32
WORKING_PX = 18


class Form:
    """A column of labelled fields; it remembers where the next one goes and what was changed."""

    def __init__(self, ui: Ui, state: State, box: Box, top: float) -> None:
        self.ui, self.state, self.left, self.right, self.y = ui, state, box.low_x + INSET_PX, box.high_x - INSET_PX, top
        self.bottom = box.high_y
        # A draft belongs to what is picked: another thing has fields of its own.
        self.of = "+".join(sorted(state.picked)[:3])
        self.change: Change | None = None

    def label(self, words: str) -> None:
        """The name of the next field."""
        self.ui.parts.append(Text((self.left, self.y + FIELD_PX / 2), words, colour="dim"))

    def field(
        self, name: str, words: str, value: str, unit: str, accept: Callable[[str], object], *, half: int = 0
    ) -> str | None:
        """A labelled field over the whole width, or over the left (1) or right (2) half."""
        left, right = self.left + LABEL_PX, self.right
        if half == 1:
            right = left + HALF_PX
        if half == 2:
            left = self.right - HALF_PX
            self.ui.parts.append(Text((left - 8, self.y + FIELD_PX / 2), words, colour="dim", align="right"))
        else:
            self.label(words)
        return self.ui.field(
            f"particulars.{self.of}.{name}", Box(left, self.y, right, self.y + FIELD_PX), value, unit, accept
        )

    def dropdown(self, name: str, words: str, options: list[Option], chosen: str) -> str | None:
        """A labelled drop-down."""
        self.label(words)
        box = Box(self.left + LABEL_PX, self.y, self.right, self.y + FIELD_PX)
        return self.ui.dropdown(f"particulars.{self.of}.{name}", box, options, chosen)

    def next(self) -> None:
        """Go to the next row."""
        self.y += PITCH_PX

    def note(self, words: str) -> None:
        """A small line of words that wraps."""
        for line in wrapped(words, self.right - self.left, self.state.measure):
            self.ui.parts.append(Text((self.left, self.y + 9), line, colour="dim"))
            self.y += WORKING_PX
