"""Processes of the window's own: the same Python with one module of the package, talked to through pipes."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path

_PACKAGE = Path(__file__).parents[2]
_NO_CONSOLE = getattr(subprocess, "CREATE_NO_WINDOW", 0)


def start_child(module: str, *arguments: str) -> subprocess.Popen[bytes]:
    """Start a module of the package in a process of its own; it ends with us when it calls `end_with_parent`.

    Raises:
        OSError: the process cannot be started.
    """
    # -P keeps files of the user's folder from being taken for modules; the package is found where it was found here.
    package = str(_PACKAGE.parent)
    path = os.pathsep.join(filter(None, (package, os.environ.get("PYTHONPATH", ""))))
    return subprocess.Popen(  # noqa: S603 - our own Python and module
        [sys.executable, "-P", "-m", module, *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": path},
        creationflags=_NO_CONSOLE,
    )


def end_child(child: subprocess.Popen[bytes]) -> None:
    """End a process at once, whatever it is doing, and close its pipes."""
    child.kill()
    child.wait()
    for pipe in (child.stdin, child.stdout):
        if pipe:
            with suppress(OSError):  # what was still to be written to it is of no use any more
                pipe.close()


def end_with_parent() -> None:
    """In a child that reads nothing: end this process when the parent is gone, by its pipe that then closes."""

    def wait() -> None:
        # Not through sys.stdin, whose buffer must not be in use when Python ends.
        while os.read(0, 4096):
            pass
        os._exit(0)

    threading.Thread(target=wait, daemon=True).start()
