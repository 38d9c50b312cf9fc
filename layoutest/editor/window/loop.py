"""The window: a thin shell round `update` and `scene` that waits, passes events in and paints what comes out."""

from __future__ import annotations

import gc
import sys
import time
from collections import deque
from contextlib import suppress
from typing import TYPE_CHECKING, Generic, NamedTuple, Protocol, TypeVar

import pygame

from layoutest.drawing.look import load_look
from layoutest.editor import events as ev
from layoutest.editor.recording import event_text
from layoutest.editor.window.clock import now_ms
from layoutest.editor.window.icon import icon
from layoutest.editor.window.outside import Outside
from layoutest.editor.window.paint import Painter
from layoutest.editor.window.signals import Signals
from layoutest.editor.window.type import Type
from layoutest.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import TextIO

    from layoutest.editor.picture import Measure, Scene
    from layoutest.editor.requests import Request
    from layoutest.editor.window.outside import Places

# How long the window waits closely for the next thing the hand does, and how long it sleeps at a time after that.
BRISK_MS, DROWSY_S = 250, 0.008
SIZE_PX, SHARE_OF_SCREEN, LEAST_PX = (1600, 1000), 0.9, (640, 480)
# What can change the size of the window or the scale of its screen, and what leaves it to be painted again.
_SIZING = frozenset({pygame.WINDOWSIZECHANGED, pygame.WINDOWDISPLAYCHANGED})
_EXPOSING = _SIZING | {pygame.WINDOWEXPOSED, pygame.WINDOWRESTORED}
_CURSORS = {
    "arrow": pygame.SYSTEM_CURSOR_ARROW,
    "hand": pygame.SYSTEM_CURSOR_HAND,
    "text": pygame.SYSTEM_CURSOR_IBEAM,
    "cross": pygame.SYSTEM_CURSOR_CROSSHAIR,
    "move": pygame.SYSTEM_CURSOR_SIZEALL,
    "left-right": pygame.SYSTEM_CURSOR_SIZEWE,
    "up-down": pygame.SYSTEM_CURSOR_SIZENS,
}


class Shown(Protocol):
    """What the shell has to know of a state."""

    @property
    def theme(self) -> str:
        """The look: light or dark."""

    @property
    def scale(self) -> float:
        """The interface scale, 1 to 2."""


S = TypeVar("S", bound=Shown)


class Editor(NamedTuple, Generic[S]):
    """The pure part: the first state (from width, height and a measure of words), `update` and `scene`."""

    first: Callable[[float, float, Measure], S]
    update: Callable[[S, ev.Event], tuple[S, Sequence[Request]]]
    scene: Callable[[S], Scene]


def run(
    editor: Editor[S], places: Places, path: str = "", *, record: TextIO | None = None, log: TextIO | None = None
) -> None:
    """Open the window and stay until it is closed.

    Args:
        editor: what the window shows and does.
        places: where journals and settings are kept.
        path: the layout to open; empty for none. What a window that is gone left unsaved of it comes first.
        record: takes every event as a line.
        log: takes a line for each thing that happens, so that a test can wait for it.

    Raises:
        UsageError: there is no screen to open it on.
    """
    _open_display()
    wake = pygame.event.custom_type()
    outside = Outside(places, lambda: _post(wake))
    try:
        _Sitting(editor, outside, record, log).stay(path)
    finally:
        outside.close()
        gc.enable()
        gc.unfreeze()
        pygame.font.quit()
        pygame.display.quit()


def _open_display() -> None:
    try:
        pygame.display.init()
    except pygame.error as error:
        raise UsageError(f"The window cannot be opened: {str(error).lower()}.") from error
    # The library makes do with a picture that nobody sees where it finds no screen.
    if pygame.display.get_driver() == "offscreen":
        pygame.display.quit()
        raise UsageError("The window cannot be opened: there is no screen here (on Linux: DISPLAY is not set).")
    pygame.font.init()


def _post(kind: int) -> None:
    with suppress(pygame.error):  # the window is closed already
        pygame.event.post(pygame.event.Event(kind))


class _Sitting(Generic[S]):
    """One window from its opening to its end."""

    def __init__(self, editor: Editor[S], outside: Outside, record: TextIO | None, log: TextIO | None) -> None:
        self._editor, self._outside, self._record, self._log = editor, outside, record, log
        self._signals = Signals()
        self._window = pygame.Window("layoutest", _first_size(), allow_high_dpi=True, resizable=True)
        self._window.minimum_size = LEAST_PX
        self._window.set_icon(icon())
        pygame.key.start_text_input()
        self._type = Type(self._dpi_scale())
        self._painter: Painter | None = None
        self._painted_as = ("", 0.0)
        self._cursor = ""
        self._rests_at: int | None = None
        self._state = editor.first(*self._logical_size(1.0), self._measure)
        if self._state.scale != 1.0:
            # Only now is it known how large a logical pixel is.
            self._type = Type(self._scale())
            self._state = editor.first(*self._logical_size(), self._measure)

    def stay(self, path: str) -> None:
        """Show the window until it is closed."""
        for event in (ev.Resized(*self._logical_size()), *self._outside.opening(path)):
            self._take(event)
        self._show()
        self._settle_memory()
        self._say("ready")
        while not self._outside.closing:
            before = self._state
            exposed = self._turn(self._waited())
            if (self._state is not before or exposed) and not self._outside.closing:
                self._show()
        self._say("closed")

    def _waited(self) -> list[pygame.Event]:
        """Sleep until something happens or the pointer has rested; then all that stands in the queue."""
        due = self._rests_at
        first = pygame.event.wait(BRISK_MS if due is None else min(BRISK_MS, max(due - now_ms(), 1)))
        if first.type != pygame.NOEVENT:
            return [first, *pygame.event.get()]
        # The library looks into the queue every millisecond while it waits; when nothing goes on, that is too often.
        while due is None or now_ms() < due:
            signals = pygame.event.get()
            if signals:
                return signals
            time.sleep(DROWSY_S)
        return []

    def _turn(self, signals: list[pygame.Event]) -> bool:
        """Take what happened; whether the window has to be painted anew whatever the state says."""
        scale = self._scale() / self._density()
        for event in self._signals.events(signals, scale):
            self._take(event)
        for event in self._outside.answers():
            self._take(event)
        if self._rests_at is not None and now_ms() >= self._rests_at:
            self._rests_at = None
            self._take(ev.PointerRested())
        kinds = {signal.type for signal in signals}
        if kinds & _SIZING:
            self._take(ev.Resized(*self._logical_size()))
        return bool(kinds & _EXPOSING)

    def _take(self, first: ev.Event) -> None:
        """Take one event, and all that answers what the state then asks for."""
        events = deque([first])
        while events and not self._outside.closing:
            event = events.popleft()
            self._keep_record(event)
            self._minded(event)
            scale = self._state.scale
            self._state, requests = self._editor.update(self._state, event)
            for request in requests:
                self._say(f"asked {type(request).__name__}")
                events.extend(self._outside.do(request))
            if self._state.scale != scale:
                events.append(ev.Resized(*self._logical_size()))

    def _minded(self, event: ev.Event) -> None:
        """Keep what follows from an event for the shell: the rest of the pointer, the memory, the log."""
        moved = isinstance(event, ev.PointerMoved)
        if moved:
            self._rests_at = now_ms() + load_look().tooltip_delay_ms
        elif not isinstance(event, ev.PointerRested):
            self._say(f"took {type(event).__name__}")
        if isinstance(event, ev.PointerPressed | ev.PointerLeft):
            self._rests_at = None
        # A gesture is many short frames: nothing is collected until the hand lets go.
        if isinstance(event, ev.PointerPressed):
            gc.disable()
        elif isinstance(event, ev.PointerReleased | ev.PointerLeft):
            gc.enable()

    def _show(self) -> None:
        scale, surface = self._scale(), self._window.get_surface()
        painter = self._painter
        if painter is None or painter.surface is not surface or self._painted_as != (self._state.theme, scale):
            if self._type.scale != scale:
                self._type = Type(scale)
            painter = self._painter = Painter(surface, self._state.theme, self._type)
            self._painted_as = (self._state.theme, scale)
        scene = self._editor.scene(self._state)
        painter.paint(scene)
        self._window.flip()
        if self._window.title != scene.title:
            self._window.title = scene.title
        if self._cursor != scene.cursor:
            self._cursor = scene.cursor
            with suppress(pygame.error):  # not every system has every cursor
                pygame.mouse.set_cursor(_CURSORS.get(scene.cursor, pygame.SYSTEM_CURSOR_ARROW))
        self._say("shown")

    def _measure(self, words: str, size: str, bold: bool) -> float:  # noqa: FBT001 - as `Measure` is called
        return self._type.measure(words, size, bold)

    def _density(self) -> float:
        """Device pixels to one of the units in which the system tells places."""
        return self._window.get_surface().get_width() / max(self._window.size[0], 1)

    def _dpi_scale(self) -> float:
        """Device pixels to one logical pixel at an interface scale of 1."""
        if sys.platform == "win32":
            import ctypes  # noqa: PLC0415 - only there

            return float(ctypes.windll.user32.GetDpiForWindow(self._window.handle)) / 96 or 1.0
        return self._density()

    def _scale(self) -> float:
        return self._dpi_scale() * self._state.scale

    def _logical_size(self, scale: float | None = None) -> tuple[float, float]:
        width, height = self._window.get_surface().get_size()
        px = self._scale() if scale is None else scale * self._dpi_scale()
        return width / px, height / px

    def _keep_record(self, event: ev.Event) -> None:
        if self._record:
            try:
                self._record.write(event_text(event))
                self._record.flush()
            except OSError as error:
                self._record = None
                reason = (error.strerror or str(error)).lower()
                self._take(ev.Told(f"The recording ends here: it cannot be written: {reason}."))

    def _say(self, line: str) -> None:
        if self._log:
            self._log.write(line + "\n")
            self._log.flush()

    @staticmethod
    def _settle_memory() -> None:
        """Keep the collector from walking again and again over what was read at the start."""
        gc.collect()
        gc.freeze()


def _first_size() -> tuple[int, int]:
    """The size of a fresh window, in the system's units: most of the screen, but no more than is of use."""
    screen = (pygame.display.get_desktop_sizes() or [SIZE_PX])[0]
    width, height = (min(most, int(SHARE_OF_SCREEN * side)) for most, side in zip(SIZE_PX, screen, strict=True))
    return max(width, LEAST_PX[0]), max(height, LEAST_PX[1])
