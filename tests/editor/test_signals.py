"""From the system's signals to the window's events."""

import pygame
import pytest

from layoutest.editor import events as ev
from layoutest.editor.window.signals import CLICK_MS, CLICK_PX, Signals, mods_of


class Clock:
    ms = 0

    def __call__(self):
        return self.ms


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def signals(clock):
    pygame.display.init()
    yield Signals(clock)
    pygame.display.quit()


def signal(kind, **values):
    return pygame.event.Event(kind, **values)


def motion(x, y):
    return signal(pygame.MOUSEMOTION, pos=(x, y), rel=(0, 0), buttons=(0, 0, 0))


def button(kind, number, x=0, y=0):
    return signal(kind, pos=(x, y), button=number)


def key(code, mod=0, kind=pygame.KEYDOWN):
    return signal(kind, key=code, mod=mod)


def test_places_are_logical_pixels(signals):
    assert signals.events([motion(300, 150)], 1.5) == [ev.PointerMoved(200, 100)]
    assert signals.events([button(pygame.MOUSEBUTTONUP, 1, 4, 6)], 2) == [ev.PointerReleased(2, 3)]


def test_of_several_moves_the_last_counts(signals):
    got = signals.events(
        [
            motion(1, 1),
            motion(2, 2),
            button(pygame.MOUSEBUTTONDOWN, 1, 2, 2),
            motion(3, 3),
            signal(pygame.ACTIVEEVENT, gain=1, state=1),
            motion(4, 4),
        ],
        1,
    )
    assert got == [ev.PointerMoved(2, 2), ev.PointerPressed(2, 2), ev.PointerMoved(4, 4)]


def test_clicks_are_counted(signals, clock):
    def clicks(number=1, x=10, y=10):
        (event,) = signals.events([button(pygame.MOUSEBUTTONDOWN, number, x, y)], 1)
        return event.clicks

    assert [clicks(), clicks(), clicks()] == [1, 2, 3]
    assert clicks(x=10 + CLICK_PX + 1) == 1
    assert clicks(number=3, x=10) == 1
    clock.ms += CLICK_MS
    assert clicks(number=3, x=10 - CLICK_PX) == 2
    clock.ms += CLICK_MS + 1
    assert clicks(number=3) == 1


def test_the_wheel_is_no_button(signals):
    wheel = signal(pygame.MOUSEWHEEL, x=0, y=1, precise_x=0.25, precise_y=1.5, flipped=False)
    assert signals.events([wheel], 1) == []  # nobody knows where the pointer is
    got = signals.events([motion(5, 6), button(pygame.MOUSEBUTTONDOWN, 4, 5, 6), wheel], 1)
    assert got == [ev.PointerMoved(5, 6), ev.WheelTurned(5, 6, 1.5, 0.25)]
    assert signals.events([signal(pygame.WINDOWLEAVE), wheel], 1) == [ev.PointerLeft()]


@pytest.mark.parametrize(
    ("code", "mod", "name"),
    [
        (pygame.K_a, 0, "a"),
        (pygame.K_1, 0, "1"),
        (pygame.K_COMMA, 0, ","),
        (pygame.K_EQUALS, 0, "="),
        (pygame.K_RETURN, 0, "return"),
        (pygame.K_KP_ENTER, 0, "return"),
        (pygame.K_ESCAPE, 0, "escape"),
        (pygame.K_TAB, 0, "tab"),
        (pygame.K_SPACE, 0, "space"),
        (pygame.K_BACKSPACE, 0, "backspace"),
        (pygame.K_DELETE, 0, "delete"),
        (pygame.K_LEFT, 0, "left"),
        (pygame.K_HOME, 0, "home"),
        (pygame.K_PAGEUP, 0, "pageup"),
        (pygame.K_PAGEDOWN, 0, "pagedown"),
        (pygame.K_F1, 0, "f1"),
        (pygame.K_KP_PLUS, 0, "+"),
        (pygame.K_KP_7, 0, "home"),
        (pygame.K_KP_7, pygame.KMOD_NUM, "7"),
    ],
)
def test_keys_go_by_name(signals, code, mod, name):
    assert signals.events([key(code, mod), key(code, mod, pygame.KEYUP)], 1) == [
        ev.KeyPressed(name),
        ev.KeyReleased(name),
    ]


def test_a_key_without_a_name_is_left_out(signals):
    assert signals.events([key(pygame.K_UNKNOWN)], 1) == []


@pytest.mark.parametrize(
    ("held", "mods"),
    [
        (pygame.KMOD_LCTRL, "ctrl"),
        (pygame.KMOD_RMETA, "ctrl"),
        (pygame.KMOD_LSHIFT | pygame.KMOD_LALT | pygame.KMOD_RCTRL, "ctrl+alt+shift"),
        (pygame.KMOD_NUM | pygame.KMOD_CAPS, ""),
        (pygame.KMOD_MODE, ""),
        (pygame.KMOD_LCTRL | pygame.KMOD_RALT, ""),
        (pygame.KMOD_RALT | pygame.KMOD_LSHIFT, "alt+shift"),
    ],
)
def test_held_keys_go_by_name(held, mods):
    assert mods_of(held) == mods


def test_a_held_key_counts_at_once_for_the_pointer(signals):
    assert signals.events([key(pygame.K_LALT, pygame.KMOD_LALT), key(pygame.K_LALT, 0, pygame.KEYUP)], 1) == []
    got = signals.events([motion(1, 2), key(pygame.K_LALT, pygame.KMOD_LALT)], 1)
    assert got == [ev.PointerMoved(1, 2, "alt")]
    assert signals.events([button(pygame.MOUSEBUTTONDOWN, 1)], 1) == [ev.PointerPressed(0, 0, mods="alt")]
    assert signals.events([key(pygame.K_LALT, 0, pygame.KEYUP)], 1) == [ev.PointerMoved(0, 0)]


def test_characters_come_from_text_alone(signals):
    typed = signal(pygame.TEXTINPUT, text="é")
    assert signals.events([typed, signal(pygame.TEXTINPUT, text="\x01")], 1) == [ev.TextTyped("é")]
    composed = [signal(pygame.TEXTEDITING, text="か", start=0, length=1)]
    assert signals.events(composed, 1) == [ev.TextComposed("か")]
    got = signals.events([key(pygame.K_c, pygame.KMOD_LCTRL), signal(pygame.TEXTINPUT, text="c")], 1)
    assert got == [ev.KeyPressed("c", "ctrl")]


def test_files_and_the_end(signals):
    got = signals.events([signal(pygame.DROPFILE, file="/job/a"), signal(pygame.QUIT)], 1)
    assert got == [ev.FileDropped("/job/a"), ev.CloseAsked()]
