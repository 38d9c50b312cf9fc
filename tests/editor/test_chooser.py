"""The system's file dialog: what is asked of it, what it answers, and what is told where there is none."""

import sys
import threading
from pathlib import Path

import pytest

from layoutest.editor.events import ChooserMissing, PathChosen
from layoutest.editor.window.chooser import Chooser, chosen

# A dialog that answers at once with what it was asked, in place of the system's.
TKINTER = """
class TclError(Exception): pass
class Tk:
    def withdraw(self): pass
    def destroy(self): pass
"""
DIALOG = """
def answer(kind, asked):
    return f"/{kind}/{asked['initialdir']}/{asked['initialfile']}" if asked["initialdir"] else ""
def askopenfilename(**asked): return answer("open", asked)
def asksaveasfilename(**asked): return answer("save", asked)
"""
WAITING = """
import time
def askopenfilename(**asked): time.sleep(600)
"""


@pytest.fixture
def chooser():
    answered = threading.Event()
    chooser = Chooser(wake=answered.set)
    chooser.answered = answered
    yield chooser
    chooser.close()


@pytest.fixture
def dialog(tmp_path, monkeypatch):
    """Put code in the place of the system's dialogs."""

    def make(filedialog, tkinter=TKINTER):
        place = tmp_path / "tkinter"
        place.mkdir()
        (place / "__init__.py").write_text(tkinter)
        (place / "filedialog.py").write_text(filedialog)
        monkeypatch.setenv("PYTHONPATH", str(tmp_path))

    return make


def asked(chooser, purpose, start):
    chooser.ask(purpose, start)
    assert chooser.answered.wait(30)
    chooser.answered.clear()
    return chooser.answers()


def test_a_path_is_chosen(chooser, dialog):
    dialog(DIALOG)
    here = str(Path("jobs/attic.layout.json"))
    assert asked(chooser, "save", here) == [PathChosen("save", "/save/jobs/attic.layout.json")]
    assert chooser.answers() == []
    chooser._thread.join()
    assert asked(chooser, "open", here) == [PathChosen("open", "/open/jobs/")]


def test_closed_without_a_path(chooser, dialog):
    dialog(DIALOG)
    assert asked(chooser, "open", "") == [PathChosen("open", None)]


def test_no_display_is_told(chooser, dialog):
    dialog(
        DIALOG, TKINTER.replace("def withdraw", "def __init__(self): raise TclError('no display')\n    def withdraw")
    )
    says = "The system's file dialog cannot be shown: no display."
    assert asked(chooser, "open", "here") == [ChooserMissing("open", "here", says)]


def test_no_tkinter_is_told(chooser, dialog):
    dialog(DIALOG, "raise ImportError")
    says = "The system's file dialog cannot be shown: this Python comes without tkinter."
    assert asked(chooser, "save", "") == [ChooserMissing("save", "", says)]


def test_a_crash_is_told(chooser, dialog):
    dialog("import os\nos._exit(11)")
    says = "The system's file dialog cannot be shown: it ended without an answer."
    assert asked(chooser, "save", "") == [ChooserMissing("save", "", says)]


def test_one_at_a_time_and_closed_with_the_window(chooser, dialog):
    dialog(WAITING)
    chooser.ask("open", "")
    child = chooser._child
    chooser.ask("open", "")
    assert chooser._child is child
    chooser.close()
    assert child.returncode is not None


def test_a_path_that_no_process_can_be_given_is_told(chooser):
    (answer,) = asked(chooser, "open", "half\0")
    assert answer.says == "The system's file dialog cannot be shown: embedded null byte."


def test_what_the_dialog_is_asked(dialog, tmp_path, monkeypatch):
    dialog("asked = []\ndef askopenfilename(**values): return asked.append(values) or ()")
    monkeypatch.syspath_prepend(tmp_path)
    for name in [name for name in sys.modules if name.partition(".")[0] == "tkinter"]:
        monkeypatch.delitem(sys.modules, name)
    try:
        assert chosen("open", "/job/attic.layout.json") == (None, "")
        (values,) = sys.modules["tkinter.filedialog"].asked
    finally:
        for name in ("tkinter", "tkinter.filedialog"):
            sys.modules.pop(name, None)
    assert (values["initialdir"], values["initialfile"], values["title"]) == ("/job", "", "Open a layout")
    assert values["filetypes"][0] == ("Layouts", "*.layout.json")
