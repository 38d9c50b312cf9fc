"""What the window asks of the world outside, and what comes back."""

import threading
from dataclasses import replace
from types import MappingProxyType

import pygame
import pytest

from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.window.outside import Outside, Places
from layoutest.editor.window.settings import read_settings
from layoutest.files.journal import recover, recoverable
from layoutest.files.layout_read import read_layout
from layoutest.files.layout_write import save_layout
from layoutest.layout.document import Layout, Leg, Node
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Problem

START = Layout(
    title="Attic",
    nodes=MappingProxyType({"n1": Node(0, 0, 0), "n2": Node(4000, 0, 0)}),
    legs=MappingProxyType({"l1": Leg("n1", "n2", "HF", "copper 35")}),
)
EDITED = replace(START, title="Loft")


@pytest.fixture
def places(tmp_path):
    return Places(tmp_path / "state" / "journal", tmp_path / "config" / "settings.json")


@pytest.fixture
def window(places):
    """Make windows; each ends with the test, or when it crashes."""
    made = []

    def make():
        woken = threading.Event()
        outside = Outside(places, woken.set)
        outside.woken = woken
        made.append(outside)
        return outside

    yield make
    for outside in made:
        outside.close()
        outside._drop()


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "attic.layout.json"
    save_layout(START, path)
    return path


def crashed(outside):
    """What the end of a process does to a journal."""
    outside._journal.leave()
    outside._journal = None


def opened(outside, layout, path=""):
    """What update asks for when a layout was opened or begun."""
    return [*outside.do(rq.DropJournal()), *outside.do(rq.KeepInJournal(str(path), layout))]


def test_a_file_is_read_or_all_its_faults_are_told(window, file, tmp_path):
    outside = window()
    assert outside.do(rq.OpenLayout(str(file))) == (ev.LayoutOpened(str(file), START),)
    wrong = tmp_path / "wrong.json"
    wrong.write_text(file.read_text().replace("4000", '"x"').replace('"l1"', '"n1"'))
    (event,) = outside.do(rq.OpenLayout(str(wrong)))
    assert (event.layout, len(event.faults)) == (None, 2)


def test_a_layout_is_saved_or_the_fault_is_told(window, tmp_path):
    outside = window()
    path = str(tmp_path / "new.layout.json")
    assert outside.do(rq.SaveLayout(path, EDITED)) == (ev.LayoutSaved(path, EDITED),)
    assert read_layout(tmp_path / "new.layout.json").layout == EDITED
    (event,) = outside.do(rq.SaveLayout(str(tmp_path / "no" / "x"), EDITED))
    assert "cannot be saved" in event.fault


def test_after_a_crash_the_file_opens_with_what_was_done(window, file):
    outside = window()
    opened(outside, START, file)
    outside.do(rq.KeepInJournal(str(file), EDITED))
    crashed(outside)
    for event in (window().opening(str(file)), window().opening(""), window().do(rq.OpenLayout(str(file)))):
        assert event == (ev.LayoutOpened(str(file), EDITED, saved=START, recovered=True),)


def test_what_is_recovered_stays_recoverable_until_it_is_saved(window, file, places):
    outside = window()
    outside.do(rq.KeepInJournal("", EDITED))
    crashed(outside)
    for _ in range(3):
        outside = window()
        (event,) = outside.opening("")
        assert event == ev.LayoutOpened("", EDITED, recovered=True)
        assert opened(outside, EDITED) == []
        assert len(list(places.journal.iterdir())) == 1
        crashed(outside)
    outside = window()
    outside.opening("")
    opened(outside, EDITED)
    outside.do(rq.SaveLayout(str(file), EDITED))
    outside.do(rq.KeepInJournal(str(file), EDITED))
    crashed(outside)
    assert window().opening("") == ()
    assert list(places.journal.iterdir()) == []


def test_a_crash_with_nothing_to_lose_opens_the_file(window, file, places):
    outside = window()
    opened(outside, START, file)
    crashed(outside)
    assert window().opening(str(file)) == (ev.LayoutOpened(str(file), START),)
    assert list(places.journal.iterdir()) == []


def test_a_journal_of_another_file_is_kept_for_it(window, file, tmp_path):
    outside = window()
    outside.do(rq.KeepInJournal(str(file), EDITED))
    crashed(outside)
    other = tmp_path / "other.layout.json"
    save_layout(START, other)
    assert window().opening(str(other)) == (ev.LayoutOpened(str(other), START),)
    (event,) = window().opening(str(file))
    assert event.recovered


def test_a_file_that_is_gone_is_recovered_all_the_same(window, file):
    outside = window()
    opened(outside, START, file)
    outside.do(rq.KeepInJournal(str(file), EDITED))
    crashed(outside)
    file.unlink()
    assert window().opening("") == (ev.LayoutOpened(str(file), EDITED, recovered=True),)


def test_given_up_is_given_up(window, places):
    outside = window()
    opened(outside, START)
    outside.do(rq.KeepInJournal("", EDITED))
    outside.do(rq.DropJournal())
    outside.do(rq.Close())
    assert outside.closing
    assert list(places.journal.iterdir()) == []


def test_two_windows(window, places):
    one, two = window(), window()
    opened(one, START)
    opened(two, START)
    one.do(rq.KeepInJournal("", EDITED))
    two.do(rq.KeepInJournal("", replace(EDITED, times=2)))
    assert window().opening("") == ()
    crashed(two)
    (recovery,) = recoverable(places.journal)
    assert recover(recovery.journal).times == 2


def test_a_journal_that_cannot_be_is_told_once_and_tried_again(window, places):
    places.journal.parent.mkdir()
    places.journal.write_text("in the way")
    outside = window()
    opened(outside, START)
    (told,) = opened(window(), START)
    assert "the journal cannot be written" in told.says
    assert outside.do(rq.KeepInJournal("", EDITED)) == ()
    places.journal.unlink()
    assert outside.do(rq.KeepInJournal("", EDITED)) == ()
    crashed(outside)
    (event,) = window().opening("")
    assert event.layout == EDITED


def test_problems_are_packed_elsewhere(window):
    problem = Problem("wool", 1000, 55.0, (PackRun("a", 600), PackRun("b", 300)))
    outside = window()
    assert outside.do(rq.Pack((problem,))) == ()
    assert outside.woken.wait(30)
    assert outside.answers() == [ev.Packed(pack(problem))]


def test_the_dialogs_answer(window, monkeypatch):
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setattr("sys.executable", "/no/such/python")
    outside = window()
    assert outside.do(rq.ChoosePath("open", "here")) == ()
    (event,) = outside.answers()
    assert isinstance(event, ev.ChooserMissing)
    assert (event.purpose, event.start) == ("open", "here")


def test_the_clipboard(window):
    pygame.display.init()
    outside = window()
    try:
        assert outside.do(rq.WriteClipboard("5.2 m é")) == ()
        assert outside.do(rq.ReadClipboard()) == (ev.ClipboardRead("5.2 m é"),)
    finally:
        pygame.display.quit()
    # Where the system has none, what was copied can still be pasted.
    outside.do(rq.WriteClipboard("legs"))
    assert outside.do(rq.ReadClipboard()) == (ev.ClipboardRead("legs"),)


def test_settings_are_kept(window, places, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    outside = window()
    assert outside.do(rq.KeepSettings("dark", 1.25)) == ()
    assert outside.do(rq.RememberRecent("attic.layout.json")) == ()
    settings = read_settings(places.settings)
    assert settings == ("dark", 1.25, (str(tmp_path / "attic.layout.json"),))
