"""Menus, help and the list of snags: whole in every window, and what they lead to."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, demo, words_of

from layoutest.edit.assign import set_legs
from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.menus import menu_names
from layoutest.editor.snag_list import snag_point
from layoutest.layout.document import Leg, Node
from layoutest.layout.snags import Snag

RECENT = tuple(f"C:\\job\\a rather long name of a plant room {number}.layout.json" for number in range(8))


# The least of them is a screen of 1280 × 1024 at 200 %.
@pytest.mark.parametrize("size", [(1600, 1000), (1280, 620), (1024, 640), (960, 540), (640, 512)])
def test_every_row_of_every_menu_is_seen_and_words_keep_clear_of_keys(size):
    desk = Desk(size=size, recent=RECENT).click(800, 0).key("t", "ctrl+z")
    for name in menu_names(desk.state):
        desk.push(f"menu-button.{name}")
        rows = {row: box for row, box in desk.boxes().items() if row.startswith("menu.")}
        assert len(rows) >= 10
        for box in rows.values():
            assert box.low_x >= 0
            assert box.high_x <= size[0]
            assert box.high_y <= size[1]
        texts = [part for part in desk.scene.top if hasattr(part, "words")]
        for box in rows.values():
            inside = [
                text for text in texts if box.low_y < text.at[1] < box.high_y and box.low_x <= text.at[0] <= box.high_x
            ]
            left = [text for text in inside if text.align == "left"]
            right = [text for text in inside if text.align == "right" and text.words]
            for one, other in zip(left, right, strict=False):
                ends = one.at[0] + desk.state.measure(one.words, one.size, one.bold)
                assert ends <= other.at[0] - desk.state.measure(other.words, other.size, other.bold)
        desk.key("escape")
        assert not desk.state.menu


def test_rows_are_named_as_things_stand():
    desk = Desk().click(800, 0).key("delete", "k", "f")
    assert "Undo: Delete 1 part" in words_of(desk.push("menu-button.Edit").scene.top)
    assert "Right angles and 45°" in words_of(desk.scene.top)
    desk.key("escape", "ctrl+z")
    assert "Redo: Delete 1 part" in words_of(desk.push("menu-button.Edit").scene.top)
    desk.key("escape")
    shown = words_of(desk.push("menu-button.Show").scene.top)
    assert {"Let the pinned routing go", "Dark look"} <= set(shown)


def test_a_menu_of_a_window_that_grows_closes():
    desk = Desk(size=(1000, 700)).push("menu-button.Menu")
    assert desk.state.menu == "Menu"
    desk.do(ev.Resized(1600, 1000))
    desk.key("down")
    assert desk.state.menu == ""


def test_a_menu_is_walked_by_keys():
    desk = Desk().push("menu-button.File")
    desk.key("down", "down", "up", "return")
    assert desk.requests(rq.ChoosePath)
    assert desk.state.menu == ""


def many_snags():
    first = demo("first-five-minutes")
    nodes, legs = dict(first.nodes), dict(first.legs)
    for number in range(10, 40):
        nodes[f"n{number}"] = Node(300 * number, 5000, 2400)
        nodes[f"m{number}"] = Node(300 * number, 6000, 2400)
        legs[f"l{number}"] = Leg(f"n{number}", f"m{number}", "HF", "no such pipe")
    return replace(first, nodes=MappingProxyType(nodes), legs=MappingProxyType(legs))


def rows(desk):
    return [name for name in desk.boxes() if name.startswith("snag.")]


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900), (1600, 1000), (2900, 1400)])
def test_a_list_of_snags_longer_than_its_room_is_turned(size):
    desk = Desk(many_snags(), size=size)
    first = rows(desk)
    assert first[0] == "snag.0"
    seen = set(first)
    for _ in range(40 if "snags.down" in desk.boxes() else 0):
        desk.push("snags.down")
        seen |= set(rows(desk))
        assert all(
            box.high_y <= desk.state.regions.panel.high_y for name, box in desk.boxes().items() if "snag" in name
        )
    assert len(seen) == len(desk.state.live.snags)
    for _ in range(40 if "snags.up" in desk.boxes() else 0):
        desk.push("snags.up")
    assert rows(desk) == first


def test_a_chosen_snag_is_in_the_middle_of_the_sheet_and_says_what_to_do():
    desk = Desk(many_snags()).push("snags.down")
    row = rows(desk)[0]
    desk.push(row)
    snag = desk.state.live.snags[int(row.removeprefix("snag."))]
    sheet = desk.state.regions.sheet
    x, y = desk.state.view.to_px(snag_point(desk.document, snag))
    assert x == pytest.approx((sheet.low_x + sheet.high_x) / 2)
    assert y == pytest.approx((sheet.low_y + sheet.high_y) / 2)
    assert snag.do in desk.state.message


def test_a_snag_without_a_place_is_told_and_moves_nothing():
    layout = demo("first-five-minutes")
    nowhere = Snag("unknown-pipe", (), "It is so.", "Do so.", "x")
    assert snag_point(layout, nowhere) is None
    assert snag_point(layout, replace(nowhere, where=("v1",))) == (2000, 0)
    assert snag_point(layout, replace(nowhere, where=("l1",))) == (1700, 0)
    assert snag_point(layout, replace(nowhere, where=("l1", "n3"))) == (3400, 2200)
    assert snag_point(layout, replace(nowhere, where=("gone",))) is None


def test_a_service_that_nobody_knows_is_told_where_it_is():
    desk = Desk(set_legs(demo("first-five-minutes"), ("l2",), service="XX"), size=(1280, 1000))
    assert any("XX" in snag.says for snag in desk.state.live.snags)
    desk.push("snag.0")
    assert desk.state.picked == {"l2"}
