"""The system's file dialog, in a process of its own: beside the window's library it would crash on some systems."""

from __future__ import annotations

import json
import sys
import threading
from collections import deque
from pathlib import Path
from typing import TYPE_CHECKING

from layoutest.editor.events import ChooserMissing, PathChosen
from layoutest.editor.window.child import end_child, end_with_parent, start_child

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Callable

Answer = PathChosen | ChooserMissing

_TITLES = {"open": "Open a layout", "save": "Save the layout as"}
_TYPES = [("Layouts", "*.layout.json"), ("JSON files", "*.json"), ("All files", "*")]


class Chooser:
    """Asks for one path at a time; nothing waits for it but a thread of its own, which calls `wake` with the answer."""

    def __init__(self, wake: Callable[[], None] = lambda: None) -> None:
        self._wake = wake
        self._answers: deque[Answer] = deque()
        self._child: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None

    def ask(self, purpose: str, start: str) -> None:
        """Show the dialog to `open` or `save`, beginning at a path. While one is open no other is shown."""
        if self._thread and self._thread.is_alive():
            return
        try:
            self._child = start_child("layoutest.editor.window.chooser", purpose, start)
        except (OSError, ValueError) as error:
            self._answered(ChooserMissing(purpose, start, f"The system's file dialog cannot be shown: {error}."))
            return
        self._thread = threading.Thread(target=self._wait, args=(self._child, purpose, start), daemon=True)
        self._thread.start()

    def answers(self) -> list[Answer]:
        """Take what has come back since the last call."""
        taken = []
        while self._answers:
            taken.append(self._answers.popleft())
        return taken

    def close(self) -> None:
        """Close the dialog, should it be open."""
        if self._child and self._thread:
            self._child.kill()
            self._thread.join()

    def _wait(self, child: subprocess.Popen[bytes], purpose: str, start: str) -> None:
        assert child.stdout  # noqa: S101 - for the type checker
        said = child.stdout.read()
        end_child(child)
        self._answered(_answer(said, purpose, start))

    def _answered(self, answer: Answer) -> None:
        self._answers.append(answer)
        self._wake()


def _answer(said: bytes, purpose: str, start: str) -> Answer:
    try:
        path, fault = json.loads(said)
    except ValueError:
        path, fault = None, "it ended without an answer"
    if fault:
        return ChooserMissing(purpose, start, f"The system's file dialog cannot be shown: {fault}.")
    return PathChosen(purpose, path)


def chosen(purpose: str, start: str) -> tuple[str | None, str]:
    """Show the dialog and wait for a path, None when it was closed; or why there is no dialog."""
    try:
        import tkinter as tk  # noqa: PLC0415 - not every Python has it
        from tkinter import filedialog  # noqa: PLC0415
    except ImportError:
        return None, "this Python comes without tkinter"
    try:
        root = tk.Tk()
    except tk.TclError as error:
        return None, str(error)
    root.withdraw()
    place = Path(start)
    name = place.name if purpose == "save" else ""
    folder = str(place.parent) if start else ""
    shown = filedialog.asksaveasfilename if purpose == "save" else filedialog.askopenfilename
    path = shown(parent=root, title=_TITLES[purpose], initialdir=folder, initialfile=name, filetypes=_TYPES)
    root.destroy()
    return str(path) if path else None, ""


if __name__ == "__main__":
    end_with_parent()
    sys.stdout.write(json.dumps(chosen(*sys.argv[1:3])))
