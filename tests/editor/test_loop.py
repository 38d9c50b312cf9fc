"""The shell round update and scene, on the driver without a screen, with an editor that only notes what it is told."""

import errno
import gc
import io
import os
import subprocess
import sys
from dataclasses import dataclass, replace

import pygame
import pytest

from layoutest.drawing.boxes import Boxes
from layoutest.drawing.primitives import Box, Rect
from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.picture import Panel, Scene, SheetScene, View
from layoutest.editor.recording import read_events
from layoutest.editor.window.ground import prepare
from layoutest.editor.window.loop import Editor, run
from layoutest.editor.window.outside import Places
from layoutest.errors import UsageError
from layoutest.files.layout_write import save_layout
from layoutest.layout.document import Layout
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Problem


@dataclass(frozen=True)
class State:
    width: float
    height: float
    theme: str = "light"
    scale: float = 1.0


class Noting:
    """An editor that notes every event, and does what its script says for it.

    The script goes from (kind of event, how many of it there were) to (what to post, changes, requests); the window
    closes when nothing is left of it.
    """

    def __init__(self, script):
        self.script = dict(script)
        self.events, self.scenes = [], []

    def first(self, width, height, measure):
        self.width_px = measure("legs", "base", False)
        return State(width, height)

    def update(self, state, event):
        self.events.append(event)
        number = sum(type(before) is type(event) for before in self.events)
        posts, changes, requests = self.script.pop((type(event), number), ((), {}, ()))
        for post in posts:
            pygame.event.post(post)
        if isinstance(event, ev.Resized):
            changes = {"width": event.width, "height": event.height, **changes}
        state = replace(state, **changes) if changes else state
        return state, requests if self.script else (*requests, rq.Close())

    def scene(self, state):
        box = Box(0, 0, state.width, state.height)
        panel = Panel("all", box, "panel", (Rect(10, 10, 20, 20, "accent"),))
        sheet = SheetScene(box, View(0.1, 0, 0), 100, {}, Boxes.of({}, ()), ())
        scene = Scene(state.width, state.height, sheet, (panel,), (), f"{state.theme} {state.scale:g}", "cross")
        self.scenes.append((scene, gc.isenabled()))
        return scene


@pytest.fixture
def places(tmp_path):
    return Places(tmp_path / "journal", tmp_path / "settings.json")


@pytest.fixture
def sit(places):
    """Let a scripted editor run until its window closes."""

    def sit(script, path="", **streams):
        noting = Noting(script)
        run(Editor(noting.first, noting.update, noting.scene), places, path, **streams)
        return noting

    return sit


def motion(x, y):
    return pygame.event.Event(pygame.MOUSEMOTION, pos=(x, y), rel=(0, 0), buttons=(0, 0, 0))


def button(kind, x=0, y=0):
    return pygame.event.Event(kind, pos=(x, y), button=1)


QUIT = pygame.event.Event(pygame.QUIT)
FIRST = (ev.Resized, 1)
END = {(ev.CloseAsked, 1): ((), {}, ())}


def kinds(noting):
    return [type(event).__name__ for event in noting.events if not isinstance(event, ev.Resized)]


def test_events_come_in_order_and_the_window_closes(sit):
    key = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_l, mod=0)
    posts = (motion(1, 2), motion(3, 4), button(pygame.MOUSEBUTTONDOWN, 3, 4), key, QUIT)
    noting = sit({FIRST: (posts, {}, ()), **END})
    assert isinstance(noting.events[0], ev.Resized)
    assert [event for event in noting.events if not isinstance(event, ev.Resized)] == [
        ev.PointerMoved(3, 4),
        ev.PointerPressed(3, 4),
        ev.KeyPressed("l"),
        ev.CloseAsked(),
    ]
    assert noting.width_px > 0


def test_a_rested_pointer_is_told_once_and_nothing_is_painted_while_nothing_changes(sit):
    log = io.StringIO()
    rest = {(ev.PointerRested, 1): ((motion(2, 2),), {}, ()), (ev.PointerRested, 2): ((QUIT,), {}, ())}
    noting = sit({FIRST: ((motion(1, 1),), {}, ()), **rest, **END}, log=log)
    assert kinds(noting) == ["PointerMoved", "PointerRested", "PointerMoved", "PointerRested", "CloseAsked"]
    # Shown at the start and for what the driver itself signals while the window opens, but not for the moves.
    lines = log.getvalue().splitlines()
    assert lines[-1] == "closed"
    assert lines.count("ready") == 1
    assert len(noting.scenes) == lines.count("shown") <= 2


def test_a_press_ends_the_waiting_for_a_rest(sit):
    posts = (motion(1, 1), button(pygame.MOUSEBUTTONDOWN, 1, 1), button(pygame.MOUSEBUTTONUP, 1, 1))
    script = {
        FIRST: (posts, {}, ()),
        (ev.PointerReleased, 1): ((), {}, (rq.ReadClipboard(),)),
        (ev.ClipboardRead, 1): ((QUIT,), {}, ()),
    }
    assert kinds(sit({**script, **END})) == [
        *("PointerMoved", "PointerPressed", "PointerReleased", "ClipboardRead", "CloseAsked")
    ]


def test_another_scale_gives_another_size_and_all_is_painted_anew(sit):
    key = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_l, mod=0)
    script = {
        FIRST: ((key,), {}, ()),
        (ev.KeyPressed, 1): ((), {"scale": 2.0, "theme": "dark"}, ()),
        (ev.WorkerFailed, 1): ((motion(40, 60), QUIT), {}, ()),
    }
    wrong = Problem("wool", 1000, 55.0, (PackRun("a", 1500, one_piece=True),))
    script[ev.KeyPressed, 1] = ((), {"scale": 2.0, "theme": "dark"}, (rq.Pack((wrong,)),))
    noting = sit({**script, **END})
    first, *_, last = (event for event in noting.events if isinstance(event, ev.Resized))
    assert (last.width, last.height) == (first.width / 2, first.height / 2)
    assert ev.PointerMoved(20, 30) in noting.events
    assert noting.scenes[-1][0].title == "dark 2"


def test_a_window_begins_at_the_scale_that_was_kept(places):
    sizes = []

    class Large(Noting):
        def first(self, width, height, measure):
            sizes.append((width, height))
            return replace(super().first(width, height, measure), scale=2.0)

    large = Large({FIRST: ((QUIT,), {}, ()), **END})
    run(Editor(large.first, large.update, large.scene), places)
    (width, height), half = sizes
    assert half == (width / 2, height / 2)
    assert large.events[0] == ev.Resized(*half)


def test_a_resized_window_is_told(sit, monkeypatch):
    class Window(pygame.Window):
        def flip(self):
            super().flip()
            self.size = (900, 700)

    monkeypatch.setattr(pygame, "Window", Window)
    noting = sit({(ev.Resized, 2): ((QUIT,), {}, ()), **END})
    assert ev.Resized(900, 700) in noting.events
    assert noting.events[0] != ev.Resized(900, 700)


def test_the_worker_wakes_the_window(sit):
    problem = Problem("wool", 1000, 55.0, (PackRun("a", 600),))
    script = {FIRST: ((), {}, (rq.Pack((problem,)),)), (ev.Packed, 1): ((QUIT,), {}, ())}
    noting = sit({**script, **END})
    assert ev.Packed(pack(problem)) in noting.events


def test_nothing_is_collected_while_the_hand_holds_something(sit):
    posts = (button(pygame.MOUSEBUTTONDOWN),)
    script = {
        FIRST: (posts, {}, ()),
        (ev.PointerPressed, 1): ((motion(5, 5),), {"width": 700}, ()),
        (ev.PointerMoved, 1): ((button(pygame.MOUSEBUTTONUP, 5, 5),), {"width": 701}, ()),
        (ev.PointerReleased, 1): ((QUIT,), {"width": 702}, ()),
    }
    noting = sit({**script, **END})
    by_width = {scene.width: enabled for scene, enabled in noting.scenes}
    assert by_width[700] is False
    assert gc.isenabled()
    assert gc.get_freeze_count() == 0


def test_a_sitting_is_recorded(sit, tmp_path):
    path = tmp_path / "attic.layout.json"
    save_layout(Layout(title="Attic"), path)
    record = io.StringIO()
    noting = sit({(ev.LayoutOpened, 1): ((motion(1, 1), QUIT), {}, ()), **END}, str(path), record=record)
    assert list(read_events(record.getvalue())) == noting.events
    assert noting.events[1] == ev.LayoutOpened(str(path), Layout(title="Attic"))


def test_a_recording_that_cannot_be_written_ends_and_is_told(sit):
    class Full(io.StringIO):
        def write(self, text):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    noting = sit({(ev.Told, 1): ((motion(1, 1), QUIT), {}, ()), **END}, record=Full())
    told = ev.Told("The recording ends here: it cannot be written: no space left on device.")
    assert noting.events.count(told) == 1
    assert ev.PointerMoved(1, 1) in noting.events


def test_an_error_of_the_editor_leaves_the_journal(sit, places):
    def broken(state, event):
        if event == ev.CloseAsked():
            raise RuntimeError("broken")
        return state, (rq.KeepInJournal("", Layout(title="kept")),)

    noting = Noting({FIRST: ((), {}, ())})

    def scene(state):
        pygame.event.post(QUIT)
        return noting.scene(state)

    with pytest.raises(RuntimeError, match="broken"):
        run(Editor(noting.first, broken, scene), places)
    assert len(list(places.journal.iterdir())) == 1
    assert not pygame.display.get_init()


def test_the_older_distribution_is_refused(monkeypatch):
    monkeypatch.delattr(pygame, "IS_CE")
    with pytest.raises(UsageError) as told:
        prepare()
    assert str(told.value) == (
        "The window needs pygame-ce, but the older distribution 'pygame' is installed in its place; to mend it: "
        "pip uninstall pygame pygame-ce, then pip install pygame-ce."
    )


def test_a_missing_library_is_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "pygame", None)
    with pytest.raises(UsageError, match="The window needs pygame-ce, which cannot be loaded here: "):
        prepare()


def test_no_screen_is_told():
    script = (
        "from layoutest.editor.window.ground import prepare\nprepare()\n"
        "from layoutest.editor.window.loop import run\n"
        "from layoutest.errors import UsageError\n"
        "try: run(None, None)\nexcept UsageError as error: print(error)"
    )
    screens = ("SDL_VIDEODRIVER", "DISPLAY", "WAYLAND_DISPLAY", "XDG_RUNTIME_DIR")
    kept = {name: value for name, value in os.environ.items() if name not in screens}
    done = subprocess.run([sys.executable, "-c", script], env=kept, capture_output=True, text=True, check=True)
    assert done.stdout == "The window cannot be opened: there is no screen here (on Linux: DISPLAY is not set).\n"
