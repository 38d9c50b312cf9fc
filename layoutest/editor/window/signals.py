"""From what the system signals to the window's events: places in logical pixels, keys by name, clicks counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from layoutest.editor import events as ev
from layoutest.editor.window.clock import now_ms

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

# Presses at one place within this time count as one click more; about what systems have as their default.
CLICK_MS, CLICK_PX = 500, 4
_BUTTONS = (pygame.BUTTON_LEFT, pygame.BUTTON_MIDDLE, pygame.BUTTON_RIGHT)
_NAMES = {
    "enter": "return",
    "page up": "pageup",
    "page down": "pagedown",
    "[/]": "/",
    "[*]": "*",
    "[-]": "-",
    "[+]": "+",
    "equals": "=",
}
# The number pad: figures, or what stands below them when Num Lock is off.
_PAD = {
    "[0]": "insert",
    "[1]": "end",
    "[2]": "down",
    "[3]": "pagedown",
    "[4]": "left",
    "[5]": "clear",
    "[6]": "right",
    "[7]": "home",
    "[8]": "up",
    "[9]": "pageup",
    "[.]": "delete",
}
_MODIFIERS = frozenset(
    {
        *("left ctrl", "right ctrl", "left alt", "right alt", "left shift", "right shift", "left meta", "right meta"),
        *("alt gr", "caps lock", "numlock", "scroll lock"),
    }
)


class Signals:
    """Turns signals into events; it knows where the pointer was and what was pressed last."""

    def __init__(self, clock: Callable[[], int] = now_ms) -> None:
        self._clock = clock
        self._at: tuple[float, float] | None = None
        self._mods = ""
        self._press = (0, 0.0, 0.0, 0)  # button, place and time of the last press
        self._clicks = 0

    def events(self, signals: Iterable[pygame.Event], scale: float) -> list[ev.Event]:
        """The events that signals make, in their order.

        Args:
            signals: as they stood in the queue; of several moves in a row the last alone counts.
            scale: units of the pointer's places to one logical pixel.
        """
        made: list[ev.Event] = []
        for signal in signals:
            for event in self._event(signal, scale):
                if isinstance(event, ev.PointerMoved) and made and isinstance(made[-1], ev.PointerMoved):
                    made.pop()
                made.append(event)
        return made

    def _event(self, signal: pygame.Event, scale: float) -> tuple[ev.Event, ...]:
        kind = signal.type
        if kind in _POINTING:
            return self._pointing(signal, scale)
        if kind in (pygame.KEYDOWN, pygame.KEYUP):
            return self._key(signal)
        if kind == pygame.TEXTINPUT:
            # With Ctrl held some systems send characters too; they are no text.
            text = "" if "ctrl" in self._mods else "".join(filter(str.isprintable, signal.text))
            return (ev.TextTyped(text),) if text else ()
        if kind == pygame.TEXTEDITING:
            return (ev.TextComposed(signal.text),)
        if kind == pygame.WINDOWLEAVE:
            self._at = None
            return (ev.PointerLeft(),)
        if kind == pygame.DROPFILE:
            return (ev.FileDropped(signal.file),)
        return (ev.CloseAsked(),) if kind == pygame.QUIT else ()

    def _pointing(self, signal: pygame.Event, scale: float) -> tuple[ev.Event, ...]:
        if signal.type == pygame.MOUSEWHEEL:
            x, y = self._at or (0.0, 0.0)
            return (ev.WheelTurned(x, y, signal.precise_y, signal.precise_x, self._mods),) if self._at else ()
        x, y = self._at = signal.pos[0] / scale, signal.pos[1] / scale
        if signal.type == pygame.MOUSEMOTION:
            return (ev.PointerMoved(x, y, self._mods),)
        if signal.button not in _BUTTONS:
            return ()  # the wheel as buttons 4 and 5, and others
        if signal.type == pygame.MOUSEBUTTONUP:
            return (ev.PointerReleased(x, y, signal.button, self._mods),)
        return (ev.PointerPressed(x, y, signal.button, self._counted(signal.button, x, y), self._mods),)

    def _counted(self, button: int, x: float, y: float) -> int:
        """How many quick presses of a button there were at a place, this one with them."""
        before, at_x, at_y, at_ms = self._press
        at = self._clock()
        again = button == before and at - at_ms <= CLICK_MS and abs(x - at_x) + abs(y - at_y) <= CLICK_PX
        self._clicks = self._clicks + 1 if again else 1
        self._press = (button, x, y, at)
        return self._clicks

    def _key(self, signal: pygame.Event) -> tuple[ev.Event, ...]:
        held, self._mods = self._mods, mods_of(signal.mod)
        name = pygame.key.name(signal.key)
        if name in _MODIFIERS:
            # What the hand does may hang on what is held: as if the pointer had moved.
            return (ev.PointerMoved(*self._at, self._mods),) if self._at and held != self._mods else ()
        if name in _PAD:
            name = name[1] if signal.mod & pygame.KMOD_NUM else _PAD[name]
        name = _NAMES.get(name, name).lower()
        if not name:
            return ()
        return (ev.KeyPressed(name, self._mods) if signal.type == pygame.KEYDOWN else ev.KeyReleased(name),)


_POINTING = (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEWHEEL)


def mods_of(held: int) -> str:
    """The held keys of a signal by name. AltGr is none of them: it makes characters."""
    gr = held & pygame.KMOD_MODE or (held & pygame.KMOD_RALT and held & pygame.KMOD_LCTRL)
    ctrl = not gr and held & (pygame.KMOD_CTRL | pygame.KMOD_META)
    alt = not gr and held & pygame.KMOD_ALT
    pairs = (("ctrl", ctrl), ("alt", alt), ("shift", held & pygame.KMOD_SHIFT))
    return "+".join(name for name, is_held in pairs if is_held)
