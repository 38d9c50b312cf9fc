"""The table of actions: each has its words, a shortcut of its own and a place where it is found, and does something."""

from __future__ import annotations

import re
import sys
from collections import Counter
from dataclasses import fields, replace
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, demo, words_of

from layoutest.editor import events as ev
from layoutest.editor.actions import ACTIONS, BY_ID, BY_KEYS, GESTURES, MENUS, TOOLS
from layoutest.editor.actions import words_of as shown_keys
from layoutest.editor.commands import do
from layoutest.layout.document import Leg, Node

# Keys that the hand and the fields use themselves, with no key held and with Shift.
OF_THE_HAND = {
    *(f"{mods}{key}" for key in ("left", "right", "up", "down", "tab") for mods in ("", "shift+")),
    *("space", "pageup", "pagedown", "return"),
}
# A shortcut without Ctrl is typed where no figure is begun: these begin a length or a level.
OF_FIGURES = set("0123456789.,+-−=")
EVERY = [pytest.param(action, id=action.id) for action in ACTIONS]


@pytest.mark.parametrize("action", EVERY)
def test_every_action_is_named_and_told_in_a_sentence(action):
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", action.id)
    assert action.name[0].isupper()
    assert not action.name.endswith(".")
    assert action.help[0].isupper()
    assert action.help.endswith(".")
    assert action.help.rstrip(".") != action.name
    assert action.keys


def test_names_and_ids_are_told_apart():
    for field in ("id", "name", "help"):
        assert max(Counter(getattr(action, field) for action in ACTIONS).values()) == 1
    assert list(BY_ID.values()) == list(ACTIONS)


def test_no_shortcut_is_bound_twice():
    bound = Counter(keys for action in ACTIONS for keys in (action.keys, *action.more))
    assert [keys for keys, count in bound.items() if count > 1] == []
    assert BY_KEYS.keys() == bound.keys()


def test_no_shortcut_is_one_of_the_hand_or_begins_a_figure():
    assert BY_KEYS.keys() & OF_THE_HAND == set()
    assert BY_KEYS.keys() & OF_FIGURES == set()


def test_shortcuts_are_written_as_key_presses_name_them():
    for keys in BY_KEYS:
        *mods, key = [*keys[:-1].split("+"), "+"] if keys.endswith("+") else keys.split("+")
        held = [mod for mod in mods if mod]
        assert held == [mod for mod in ("ctrl", "alt", "shift") if mod in held]
        assert key == key.lower()


def test_shortcuts_are_shown_in_words_and_each_in_its_own():
    shown = [shown_keys(keys) for keys in BY_KEYS]
    assert len(set(shown)) == len(shown)
    assert shown_keys("ctrl+shift+s") == "Ctrl Shift S"
    assert shown_keys("ctrl++") == "Ctrl +"
    assert shown_keys("ctrl+shift++") == "Ctrl Shift +"
    assert shown_keys("delete") == "Del"
    assert shown_keys("f1") == "F1"


@pytest.mark.parametrize("action", EVERY)
def test_every_action_is_a_tool_or_stands_in_one_menu_or_lets_go(action):
    places = [action in TOOLS, action.menu in MENUS, action.id == "let-go"]
    assert places.count(True) == 1
    assert bool(action.picture) == (action in TOOLS)


def test_every_tool_is_in_the_tool_row_at_once_and_underlines_its_key():
    desk = Desk()
    (row,) = [panel for panel in desk.scene.panels if panel.name == "tools"]
    shown = words_of(row.parts)
    for tool in TOOLS:
        assert tool.name in shown
        assert tool.keys in tool.name.lower()
        assert any(name == f"tool.{tool.id}" for name in desk.boxes())


@pytest.mark.parametrize(("size", "menus"), [((1280, 800), MENUS), ((1000, 700), ("Menu",))])
def test_every_other_action_is_in_a_menu_with_its_key(size, menus):
    found = {}
    for menu in menus:
        desk = Desk(size=size).push(f"menu-button.{menu}")
        shown = words_of(desk.scene.top)
        rows = [name.removeprefix("menu.") for name in desk.boxes() if name.startswith("menu.")]
        for row in rows:
            assert row not in found
            found[row] = menu
            assert shown_keys(BY_ID[row].keys) in shown
            assert BY_ID[row].menu in (menu, *(MENUS if menu == "Menu" else ()))
    assert list(found) == [action.id for menu in MENUS for action in ACTIONS if action.menu == menu]


def test_the_help_page_tells_every_action_with_its_key_and_every_gesture():
    shown = words_of(Desk(size=(1600, 1000)).key("f1").scene.top)
    for action in ACTIONS:
        assert action.name.removesuffix(" …") in shown
        assert shown_keys(action.keys) in shown
    for keys, words in GESTURES:
        assert keys in shown
        assert words in shown


def test_the_help_line_of_an_action_is_told_where_the_pointer_rests():
    desk = Desk("first-five-minutes")
    for name, box in [*desk.boxes().items(), *desk.push("menu-button.Show").boxes().items()]:
        kind, _, action = name.partition(".")
        if kind not in ("tool", "menu"):
            continue
        desk.state = replace(desk.state, menu="Show" if kind == "menu" else "")
        desk.do(ev.PointerMoved(box.low_x + 4, box.low_y + 4), ev.PointerRested())
        told = " ".join(words_of(desk.scene.top))
        assert BY_ID[action].help in told


# In the middle of work every action has something to do: there is something to undo, to do again, picked and copied.
@pytest.mark.parametrize("action", [action for action in EVERY if action.id != "join"])
def test_every_action_does_something_by_each_of_its_keys(action):
    desk = Desk("teaching-short", size=(1600, 1000), scale=1.25).key("ctrl+a", "t", "shift+t", "ctrl+z")
    if action.id == "pick":
        desk.key("l")
    elif action.id == "fit":
        desk.do(ev.WheelTurned(400, 300, 2))
    elif action.id == "pick-all":
        desk.key("escape")
    before = desk.state
    for keys in (action.keys, *action.more):
        *mods, key = [*keys[:-1].split("+"), "+"] if keys.endswith("+") else keys.split("+")
        desk.state, desk.asked = before, []
        desk.do(ev.KeyPressed(key, "+".join(filter(None, mods))))
        assert desk.asked or _what_changed(before, desk.state), keys


def _what_changed(before, after):
    """The fields of the state that are others, but for what is said and what keeps a letter from being typed."""
    return [
        field.name
        for field in fields(before)
        if field.name not in ("message", "key_taken") and getattr(before, field.name) is not getattr(after, field.name)
    ]


def test_joining_joins_two_ends_in_one_place():
    first = demo("first-five-minutes")
    nodes = {**first.nodes, "n5": Node(0, 0, 2400), "n6": Node(0, 1500, 2400)}
    legs = {**first.legs, "l4": Leg("n5", "n6", "HF", "copper 35")}
    loose = replace(first, nodes=MappingProxyType(nodes), legs=MappingProxyType(legs))
    desk = Desk(loose)
    desk.state = replace(desk.state, picked=frozenset({"l4"}))
    assert len(desk.key("j").document.nodes) == 5


def test_an_action_that_is_not_in_the_table_does_not_exist():
    with pytest.raises(KeyError):
        do(Desk().state, "fly")
    assert Desk().do(ev.KeyPressed("f9")).state.message == ""
