"""What a window begins with, and what it tells while things change under a pointer that rests."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, book, demo, measure, words_of

from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.begin import first_of
from layoutest.editor.bench import BenchTarget, tip_of


def test_a_first_launch_shows_the_sample_room_which_is_nobodys_work():
    state = first_of((1600, 1000), book(), measure, sample=True)
    assert state.sample
    assert state.document == demo("plant-room")
    assert not state.is_dirty


def test_later_launches_begin_with_an_empty_sheet_or_a_file_that_is_not_there_yet():
    state = first_of((1600, 1000), book(), measure, theme="dark", recent=("a",))
    assert (state.theme, state.recent, state.document.title) == ("dark", ("a",), "Untitled")
    assert not state.document.legs
    state = first_of((1600, 1000), book(), measure, path="/job/attic.layout.json")
    assert (state.document.title, state.path) == ("attic", "/job/attic.layout.json")


def test_the_sample_room_gives_three_hints_and_becomes_ones_own_with_the_first_edit():
    desk = Desk("plant-room", size=(1600, 1000), sample=True)
    hints = words_of(desk.scene.top)
    assert [words for words in hints if words in ("1", "2", "3")] == ["1", "2", "3"]
    desk.do(ev.CloseAsked())
    assert desk.requests(rq.Close), "nothing of the user's is lost with it"
    desk.key("ctrl+a", "right")
    assert not desk.state.sample
    assert desk.state.is_dirty
    assert "1" not in words_of(desk.scene.top)


@pytest.mark.parametrize("change", ["packed", "emptied", "opened", "low", "ordered"])
@pytest.mark.parametrize("x", [60, 200, 330, 480, 700])
def test_what_changes_under_a_pointer_that_rests_on_a_piece_stops_nothing(change, x):
    desk = Desk("plant-room", size=(1280, 800))
    bench = desk.state.regions.bench
    desk.do(ev.PointerMoved(x, bench.low_y + 44), ev.PointerRested())
    desk = {
        "packed": desk.packed,
        "emptied": lambda: desk.key("ctrl+a", "delete"),
        "opened": lambda: desk.opens(demo("first-five-minutes")),
        "low": lambda: desk.do(ev.Resized(900, 500)),
        "ordered": lambda: desk.key("o", "b"),
    }[change]()
    assert desk.scene.top is not None


def test_a_piece_that_is_gone_has_no_tip():
    live = Desk().state.live
    (key,) = live.stocks
    target = BenchTarget("piece", key, 1, 0)
    assert tip_of(live, target)
    assert tip_of(live, target._replace(piece=9)) == ()
    assert tip_of(live, target._replace(section=99)) == ()
