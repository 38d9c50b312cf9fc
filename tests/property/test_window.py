"""What must hold whatever the hand does: nothing raises, nothing is lost that was not deleted, all can be undone."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.book.reader import example_book_folder, read_book
from layoutest.editor import events as ev
from layoutest.editor.actions import BY_KEYS
from layoutest.editor.commands import pen_of
from layoutest.editor.requests import Pack, ReadClipboard, SaveLayout, WriteClipboard
from layoutest.editor.scene import Scenes
from layoutest.editor.state import first_state
from layoutest.editor.update import update
from layoutest.files.layout_read import parse_layout, read_layout
from layoutest.files.layout_write import layout_text
from layoutest.pack.effort import Effort
from layoutest.pack.plan import pack as pack_with_effort

QUICKLY = Effort(level=0)  # a sitting packs hundreds of times; what the packer finds is tested elsewhere


def pack(problem):
    return pack_with_effort(problem, QUICKLY)


DEMOS = Path(__file__).parents[2] / "demo_layouts"
WIDTH, HEIGHT = 1280, 800
# What is pasted again and again grows: of large stocks the quick plan has to do, as while the packer is at work.
MOST_PACKED = 25
# What takes legs away: everything else must keep them.
TAKES_LEGS = ("Delete", "Cut", "Join")
TEXTS = ("5", "2400", "-600", "+", "1.5 m", "17'", "x", "l", "0", "é", "=-300", "1/2 in")
# Actions that begin another document, or end the window.
LEAVES = {"new", "open", "close"}


def measure(words: str, size: str, bold: bool) -> float:
    px = {"tiny": 11, "base": 13, "lead": 15, "figure": 20, "money": 28}[size]
    return len(words) * px * (0.56 if bold else 0.52)


def pressed_as(keys):
    *mods, key = [*keys[:-1].split("+"), "+"] if keys.endswith("+") else keys.split("+")
    return ev.KeyPressed(key, "+".join(filter(None, mods)))


KEYS = [pressed_as(keys) for keys, action in BY_KEYS.items() if action.id not in LEAVES]
KEYS += [
    pressed_as(keys) for keys in ("tab", "shift+tab", "return", "space", "left", "right", "up", "down", "shift+up")
]
KEYS += [pressed_as(keys) for keys in ("pageup", "pagedown", "ctrl+l")]

# Mostly on the sheet, where the drawing is.
xs = st.one_of(st.integers(150, 800), st.integers(0, WIDTH - 1))
ys = st.one_of(st.integers(100, 500), st.integers(0, HEIGHT - 1))
mods = st.sampled_from(["", "", "", "", "shift", "alt", "ctrl"])
presses = st.builds(
    ev.PointerPressed, xs, ys, st.sampled_from([1, 1, 1, 1, 1, 1, 2, 3]), st.sampled_from([1, 1, 1, 2]), mods
)
events = st.one_of(
    st.builds(ev.PointerMoved, xs, ys, mods),
    presses,
    st.builds(ev.PointerReleased, xs, ys, st.sampled_from([1, 1, 1, 2, 3]), mods),
    st.sampled_from(KEYS),
    st.builds(ev.TextTyped, st.sampled_from(TEXTS)),
    st.builds(ev.WheelTurned, xs, ys, st.integers(-3, 3), st.integers(-1, 1), mods),
    st.sampled_from(
        [ev.PointerRested(), ev.PointerLeft(), ev.KeyReleased("space"), ev.TextComposed("か"), ev.TextComposed("")]
    ),
    st.builds(ev.Resized, st.integers(640, 2900), st.integers(480, 1400)),
)


@cache
def book():
    return read_book(example_book_folder())


@cache
def room(name):
    return read_layout(DEMOS / f"{name}.layout.json").layout


def answered(state, requests, clip):
    """Answer what the state asks for, as the world outside would, with no file and no process."""
    for request in requests:
        if isinstance(request, Pack) and len(request.problems[0].runs) <= MOST_PACKED:
            state, _ = update(state, ev.Packed(pack(request.problems[0])))
        elif isinstance(request, WriteClipboard):
            clip.append(request.text)
        elif isinstance(request, ReadClipboard):
            state, more = update(state, ev.ClipboardRead(clip[-1] if clip else ""))
            state = answered(state, more, clip)
        elif isinstance(request, SaveLayout):
            state, _ = update(state, ev.LayoutSaved(request.path, request.layout))
    return state


def sit(first, listed):
    """Take events one after the other and hold every step to what must hold; the state at the end."""
    state = first_state(WIDTH, HEIGHT, book(), measure, first, pen_of(first))
    scenes, clip = Scenes(), []
    for number, event in enumerate(listed):
        before = state.history
        state, requests = update(state, event)
        state = answered(state, requests, clip)
        if state.history is not before:
            _no_leg_is_lost(before, state.history)
        if number % 10 == 0:
            scenes(state)
    assert parse_layout(layout_text(state.document).encode(), "drawn").layout == state.document
    history = state.history
    while history.past is not None:
        history = history.undo()
    assert history.now is first
    return state


def thousand(seed):
    """A thousand events from a seed, of the same kinds as `events`; hypothesis cannot hold lists as long as that."""
    pick = random.Random(seed)
    pressed = [one for one in KEYS for _ in range(2)]
    listed = []
    while len(listed) < 1000:
        x = pick.choice([pick.randrange(150, 800), pick.randrange(WIDTH)])
        y = pick.choice([pick.randrange(100, 500), pick.randrange(HEIGHT)])
        held = pick.choice(["", "", "", "shift", "alt", "ctrl"])
        button = pick.choice([1, 1, 1, 1, 1, 2, 3])
        listed += pick.choice(
            (
                [ev.PointerMoved(x, y, held)],
                [ev.PointerMoved(x, y, held), ev.PointerPressed(x, y, button, pick.choice([1, 1, 2]), held)],
                [ev.PointerMoved(x, y, held), ev.PointerReleased(x, y, button, held)],
                [
                    ev.PointerPressed(x, y, 1, 1, held),
                    ev.PointerMoved(x + 40, y - 30),
                    ev.PointerReleased(x + 40, y - 30),
                ],
                [pick.choice(pressed)],
                [ev.KeyPressed("l"), ev.PointerPressed(x, y), ev.PointerReleased(x, y)],
                [ev.TextTyped(pick.choice(TEXTS)), ev.KeyPressed("return")],
                [ev.WheelTurned(x, y, pick.randrange(-3, 4), 0, held)],
                [ev.PointerRested()],
                [ev.Resized(pick.randrange(640, 2900), pick.randrange(480, 1400))],
            )
        )
    return listed[:1000]


@pytest.mark.parametrize("name", ["teaching-many-bends", "first-five-minutes"])
@given(st.integers(0, 2**32))
@settings(max_examples=8, deadline=None)
def test_a_thousand_events_never_raise_and_lose_nothing(name, seed):
    state = sit(room(name), thousand(seed))
    assert state.actions > 0


@given(st.lists(events, max_size=60))
@settings(max_examples=40, deadline=None)
def test_any_events_never_raise_and_lose_nothing(listed):
    sit(room("first-five-minutes"), listed)


def _no_leg_is_lost(before, after):
    if after.past is None or after.past.value is not before.now:
        return  # undone or done again: both documents were held to it when they were made
    lost = before.now.legs.keys() - after.now.legs.keys()
    assert not lost or after.past.name.startswith(TAKES_LEGS), (after.past.name, lost)
    for leg in after.now.legs.values():
        assert leg.start in after.now.nodes
        assert leg.end in after.now.nodes
    assert all(item.leg in after.now.legs for item in after.now.items.values())


def test_everything_is_undone_and_done_again_as_the_same_objects():
    first = room("first-five-minutes")
    state = first_state(WIDTH, HEIGHT, book(), measure, first, pen_of(first))
    state = replace(state, picked=frozenset({"l1", "l2"}))
    made = [first]
    for event in (ev.KeyPressed("t"), ev.KeyPressed("m"), ev.KeyPressed("right"), ev.KeyPressed("delete")):
        state, _ = update(state, event)
        made.append(state.document)
    for document in reversed(made[:-1]):
        state, _ = update(state, ev.KeyPressed("z", "ctrl"))
        assert state.document is document
    for document in made[1:]:
        state, _ = update(state, ev.KeyPressed("y", "ctrl"))
        assert state.document is document
