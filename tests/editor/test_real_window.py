"""The program in a real window on a virtual screen, with a window manager, a real mouse and real keys."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from first_five_minutes import branch, draw
from real_window import RealWindow, screen

from layoutest.book.reader import example_book_folder, read_book
from layoutest.files.layout_read import read_layout
from layoutest.job import Source, estimate_job

DEMO = Path(__file__).parents[2] / "demo_layouts" / "first-five-minutes.layout.json"
UNDOS = 12


@pytest.fixture(scope="module")
def display():
    with screen(91) as name:
        yield name


@pytest.fixture
def windows(display, tmp_path):
    opened = []

    def open_window(*arguments):
        opened.append(RealWindow(display, tmp_path / "home", *arguments))
        return opened[-1]

    yield open_window
    for window in opened:
        if window.process.poll() is None:
            window.kill()


def money_of(layout):
    return estimate_job([Source("drawn", "", layout)], read_book(example_book_folder())).cost


def test_the_first_five_minutes_are_drawn_by_hand_and_saved(windows, tmp_path):
    path = tmp_path / "five.layout.json"
    window = windows(str(path))
    draw(window)
    window.key("ctrl+s")
    drawn = read_layout(path).layout
    demo = read_layout(DEMO).layout
    assert drawn.nodes == demo.nodes
    assert [(leg.start, leg.end, leg.service, leg.pipe) for leg in drawn.legs.values()] == [
        (leg.start, leg.end, leg.service, leg.pipe) for leg in demo.legs.values()
    ]
    assert drawn.items == demo.items
    # The service of an empty sheet has a starting thickness of its own; with the demo's the money is the demo's.
    alike = replace(drawn, services=MappingProxyType({**drawn.services, "HF": demo.services["HF"]}))
    assert money_of(alike).net == money_of(demo).net

    branch(window)
    window.key("ctrl+s")
    branched = path.read_bytes()
    assert len(read_layout(path).layout.legs) == 5

    for _ in range(UNDOS):
        window.key("ctrl+z")
    window.key("ctrl+s")
    assert not read_layout(path).layout.legs
    for _ in range(UNDOS):
        window.key("ctrl+y")
    window.key("ctrl+s")
    assert path.read_bytes() == branched

    assert window.leave() == 0
    again = windows(str(path))
    again.key("ctrl+s")
    assert path.read_bytes() == branched
    assert again.leave() == 0


def test_closing_with_unsaved_work_asks_and_a_kill_loses_nothing(windows, tmp_path):
    path = tmp_path / "kept.layout.json"
    window = windows(str(path))
    draw(window)
    window.key("ctrl+q")
    window.key("Escape")
    assert window.process.poll() is None
    window.kill()
    assert not path.exists()
    again = windows(str(path))
    again.key("ctrl+s")
    drawn = json.loads(path.read_text(encoding="utf-8"))
    assert len(drawn["legs"]) == 3
    assert len(drawn["items"]) == 1
