"""The world outside the window: carries out what the state asks for and brings back the events that answer."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pygame

from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.window.chooser import Chooser
from layoutest.editor.window.settings import keep_look, remember_recent
from layoutest.editor.window.worker import Worker
from layoutest.errors import LayoutestError, UnreadableError
from layoutest.files.journal import Journal, forget, recover, recoverable
from layoutest.files.layout_read import read_layout
from layoutest.files.layout_write import save_layout

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from layoutest.files.journal import Recovery
    from layoutest.layout.document import Layout


class Places(NamedTuple):
    """Where the user's things are kept: the folder of the journals and the file of the settings."""

    journal: Path
    settings: Path


class Outside:
    """What one window has outside: its journal, worker, file dialog and the clipboard."""

    def __init__(self, places: Places, wake: Callable[[], None] = lambda: None) -> None:
        self._places = places
        self._worker, self._chooser = Worker(wake), Chooser(wake)
        self._journal: Journal | None = None
        self._path = ""
        # Whether the next layout for the journal is one that needs no recovery: just opened, begun or saved.
        self._clean = False
        self._recovery: Recovery | None = None
        self._told = ""
        self._clip = ""
        self.closing = False

    def opening(self, path: str) -> tuple[ev.Event, ...]:
        """What a window begins with: a file (empty: none), or what a window that is gone left unsaved of it.

        A file that is not there yet is begun: nothing is to be read.
        """
        recovered = self._recovered(path)
        if recovered:
            return (recovered,)
        return (_opened(path),) if path and os.path.lexists(path) else ()

    def do(self, request: rq.Request) -> tuple[ev.Event, ...]:  # noqa: C901 - one case a request
        """Carry out a request; the events that are known at once. The others come with `answers`."""
        match request:
            case rq.OpenLayout(path):
                self._recovery = None
                return (self._recovered(path) or _opened(path),)
            case rq.SaveLayout(path, layout):
                return (self._saved(path, layout),)
            case rq.KeepInJournal(path, layout):
                return self._trying(lambda: self._keep(path, layout))
            case rq.DropJournal():
                self._drop()
            case rq.ChoosePath(purpose, start):
                self._chooser.ask(purpose, start)
            case rq.Pack(problems):
                self._worker.ask(problems)
            case rq.WriteClipboard(text):
                self._write_clipboard(text)
            case rq.ReadClipboard():
                return (ev.ClipboardRead(self._read_clipboard()),)
            case rq.RememberRecent(path):
                return self._trying(lambda: remember_recent(self._places.settings, _whole_path(path)))
            case rq.KeepSettings(theme, scale):
                return self._trying(lambda: keep_look(self._places.settings, theme, scale))
            case rq.Close():
                self.closing = True
        return ()

    def answers(self) -> list[ev.Event]:
        """Take what has come back since the last call; nothing waits for it."""
        return [*self._worker.answers(), *self._chooser.answers()]

    def close(self) -> None:
        """End the processes. A journal that was not dropped is left, to be recovered."""
        if self._journal:
            self._journal.leave()
        self._worker.close()
        self._chooser.close()

    def _trying(self, action: Callable[[], None]) -> tuple[ev.Event, ...]:
        """Do something that may fail without harm; the same failure is told once in a row."""
        try:
            action()
        except LayoutestError as error:
            if str(error) == self._told:
                return ()
            self._told = str(error)
            return (ev.Told(self._told),)
        self._told = ""
        return ()

    def _saved(self, path: str, layout: Layout) -> ev.LayoutSaved:
        try:
            save_layout(layout, Path(path))
        except LayoutestError as error:
            return ev.LayoutSaved(path, layout, str(error))
        self._clean = True
        return ev.LayoutSaved(path, layout)

    def _keep(self, path: str, layout: Layout) -> None:
        clean, self._clean = self._clean and self._recovery is None, False
        if self._journal is not None and path == self._path and not clean:
            self._journal.keep(layout)
            return
        fresh = Journal.start(self._places.journal, path, layout, edited=not clean)
        self._drop()
        self._journal, self._path, self._clean = fresh, path, False
        if self._recovery:
            # What it held is in the journal of this window now.
            forget(self._recovery.journal)
            self._recovery = None

    def _drop(self) -> None:
        if self._journal:
            self._journal.drop()
        self._journal, self._clean = None, True

    def _recovered(self, path: str) -> ev.LayoutOpened | None:
        """The newest unsaved layout of windows that are gone; with a path, of that file."""
        for recovery in self._orphans(path):
            layout = recover(recovery.journal)
            saved = _opened(recovery.path).layout if recovery.path else None
            if layout is None:
                continue
            if not recovery.edited or layout == saved:
                forget(recovery.journal)
                continue
            self._recovery = recovery
            return ev.LayoutOpened(recovery.path, layout, saved=saved, recovered=True)
        return None

    def _orphans(self, path: str) -> Iterator[Recovery]:
        asked = _whole_path(path) if path else ""
        for recovery in recoverable(self._places.journal):
            if not path or recovery.path == asked:
                yield recovery

    def _write_clipboard(self, text: str) -> None:
        # Kept here too: where the system has no clipboard, what was copied can still be pasted in this window.
        self._clip = text
        with suppress(pygame.error, ValueError):
            pygame.scrap.put_text(text)

    def _read_clipboard(self) -> str:
        with suppress(pygame.error, ValueError):
            return pygame.scrap.get_text() or self._clip
        return self._clip


def _opened(path: str) -> ev.LayoutOpened:
    try:
        return ev.LayoutOpened(path, read_layout(Path(path)).layout)
    except UnreadableError as error:
        return ev.LayoutOpened(path, None, error.faults)


def _whole_path(path: str) -> str:
    return os.path.abspath(path) if path else ""  # noqa: PTH100 - Path.absolute keeps `..`
