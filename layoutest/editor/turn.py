"""One turn of the panels: what is pointed at, pressed and in focus, before an event and after it.

Nothing is kept between turns but a UiState. A widget is whatever is declared in a turn, under an id that stays the same
from turn to turn; Tab walks the widgets in the order in which they are declared. A turn without an event only draws.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Rect
from layoutest.editor import events as ev
from layoutest.editor.regions import inside
from layoutest.editor.tips import tip_parts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from layoutest.drawing.primitives import Point, Primitive, Size
    from layoutest.editor.events import Event
    from layoutest.editor.field import Draft
    from layoutest.editor.picture import Measure


@dataclass(frozen=True, slots=True)
class UiState:
    """What the panels remember. Widgets go by id; empty for none.

    `place` is where Tab goes on from when nothing is in focus, `back` what was in focus before a dialog. `open` is the
    drop-down whose list is open, with the entry in hand, the first one seen and the letters typed so far.
    """

    focus: str = ""
    place: str = ""
    back: str = ""
    hot: str = ""
    rested: bool = False
    pressed: str = ""
    open: str = ""
    list_at: int = 0
    list_from: int = 0
    list_typed: str = ""
    drafts: Mapping[str, Draft] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)


class Turn:
    """A turn. `parts` is what the widgets draw, `top` what floats above all panels; read `took` after `end`.

    `over` is the id pointed at; `took` says that the event was for a widget; `clipboard_out` is text to put on the
    clipboard, and `wants_paste` asks for a ClipboardRead event.
    """

    def __init__(self, state: UiState, event: Event | None, measure: Measure, window: Box) -> None:
        self.before, self.event, self.measure, self.window = state, event, measure, window
        self.parts: list[Primitive] = []
        self.top: list[Primitive] = []
        self.took, self.wants_paste = False, False
        self.clipboard_out: str | None = None
        # With no dialog up any more, what was in focus before it is in focus again.
        self.held = self.focus = state.back or state.focus
        self.place, self.back = self.held or state.place, ""
        self.over, self.pressed, self.rested = state.hot, state.pressed, state.rested
        self.open, self.list_at, self.list_from, self.list_typed = (
            state.open,
            state.list_at,
            state.list_from,
            state.list_typed,
        )
        self.drafts, self.refused = dict(state.drafts), dict(state.refused)
        self.point: Point | None = None
        self.shut, self._modal = False, ""
        self._order: list[str] = []
        self._known: set[str] = set()
        self._begin()

    def _begin(self) -> None:
        event = self.event
        if isinstance(event, ev.PointerMoved | ev.PointerPressed | ev.PointerReleased | ev.WheelTurned):
            self.point, self.over, self.rested = (event.x, event.y), "", False
        elif isinstance(event, ev.PointerLeft):
            self.over, self.rested = "", False
        elif isinstance(event, ev.PointerRested):
            self.rested = True
        elif isinstance(event, ev.KeyPressed | ev.TextTyped):
            self.rested = False
        if isinstance(event, ev.PointerPressed):
            # The middle button drags the view, and leaves what is typed alone.
            self.pressed, self.focus = "", self.focus if event.button == 2 else ""
        # A list that is open has the pointer to itself; so has a widget that is pressed, until it is let go.
        held_down = self.before.pressed and isinstance(event, ev.PointerMoved | ev.PointerReleased)
        self.took = bool(held_down or (self.point and self.before.open))

    def declare(self, name: str, box: Box, *, enabled: bool = True) -> bool:
        """Declare a widget; says whether it can take part in this turn."""
        self._known.add(name)
        if self.shut:
            return False
        if enabled:
            self._order.append(name)
            if self._modal and not self.held:
                self.held = self.focus = name
        if self.notice(name, box) and isinstance(self.event, ev.PointerMoved | ev.PointerPressed):
            self.took = True
            if isinstance(self.event, ev.PointerPressed) and self.event.button == 1:
                self.pressed = name
        return enabled and self.event is not None

    def notice(self, name: str, box: Box) -> bool:
        """Say what is pointed at, without taking the event; says whether the pointer came to it in this turn."""
        if self.shut or self.before.open or self.point is None or not inside(box, self.point):
            return False
        self.over = name
        return True

    @contextmanager
    def modal(self, name: str) -> Iterator[None]:
        """What stands before all panels and is declared before them: it takes every event, and they are shut.

        Its widgets are called `name` or `name.` and more; one of them is always in focus, at first the first, and the
        arrows walk them too. When it is gone, what was in focus before is in focus again.
        """
        self.took, self._modal = self.event is not None, name
        self.place = self.before.place
        if self.before.focus == name or self.before.focus.startswith(f"{name}."):
            self.held, self.focus, self.back = self.before.focus, self.before.focus, self.before.back
        else:
            self.held, self.open, self.back = "", "", self.held
        behind, self.parts = self.parts, []
        below, self.top = self.top, []
        yield
        self.top = [*below, *self.parts, *self.top]
        self.parts, self.shut = behind, True
        if self.focus not in self._order:
            self.focus = self.held

    def pushed(self, name: str, box: Box, *, enabled: bool = True) -> bool:
        """Declare a button of any kind; says whether it was pushed: by the pointer, or by Enter or Space.

        The pointer gives it no focus, so that Enter and Space stay with what the hand does on the sheet.
        """
        if not self.declare(name, box, enabled=enabled):
            return False
        match self.event:
            case ev.PointerPressed(button=1) if self.over == name:
                self.place = name
            case ev.PointerReleased(button=1) if self.before.pressed == name:
                return self.over == name
            case ev.KeyPressed("return" | "space", "") if self.held == name:
                self.took = True
                return True
            case ev.KeyPressed("escape", "") if self.held == name:
                self.took, self.focus = True, ""
        return False

    def pointed(self, name: str) -> bool:
        """Whether the pointer has rested on something long enough for a tooltip."""
        return self.rested and self.over == name and not self.open

    def wide(self, words: str, size: Size = "base", *, bold: bool = False) -> float:
        """How wide words are."""
        return self.measure(words, size, bold)

    def tip(self, about: Box, lines: Sequence[str], small: str = "") -> None:
        """A tooltip near what it tells of; of several lines the first is SemiBold."""
        self.top += tip_parts(about, lines, small, self.window, self.measure)

    def ring(self, name: str, box: Box) -> None:
        """Draw the ring of a widget in focus, 2 px wide and 2 px off."""
        if self.held == name and not self.shut and self.open != name:
            wide, high = box.high_x - box.low_x, box.high_y - box.low_y
            rim = Rect(box.low_x - 4, box.low_y - 4, wide + 8, high + 8, "", "focus", "accent", "dialog")
            self.parts.append(rim)

    def end(self) -> UiState:
        """What is remembered after the turn; the same object where nothing changed."""
        if self.event is None:
            return self.before
        self._walk()
        if isinstance(self.event, ev.PointerReleased):
            self.pressed = ""
        after = UiState(
            self.focus if self.focus in self._order else "",
            self.place,
            self.back,
            self.over,
            self.rested,
            self.pressed if self.pressed in self._known else "",
            self.open if self.open in self._order else "",
            self.list_at,
            self.list_from,
            self.list_typed,
            {name: draft for name, draft in self.drafts.items() if name in self._known},
            {name: says for name, says in self.refused.items() if name in self._known},
        )
        return self.before if after == self.before else after

    def _walk(self) -> None:
        steps = {ev.KeyPressed("tab"): 1, ev.KeyPressed("tab", "shift"): -1}
        if self._modal and self.held not in self.drafts and not self.before.open:
            steps |= {ev.KeyPressed("down"): 1, ev.KeyPressed("up"): -1}
        step = steps.get(self.event) if isinstance(self.event, ev.KeyPressed) else None
        if not step or not self._order:
            return
        start = self.held or self.place
        at = self._order.index(start) + step if start in self._order else min(step, 0)
        self.focus = self._order[at % len(self._order)]
        self.took = True
