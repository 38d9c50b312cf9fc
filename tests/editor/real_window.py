"""A real window for tests: a virtual screen, a window manager, and a hand that moves a real mouse and presses keys."""

from __future__ import annotations

import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path

SCREEN = (1920, 1200)
QUIET_S = 0.15
LONGEST_S = 30.0
TOOLS = ("Xvfb", "openbox", "xdotool")


@contextmanager
def screen(number: int):
    """A virtual screen with a window manager; yields the value of DISPLAY."""
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    assert not missing, f"install {', '.join(missing)}: the window is tested on a virtual screen"
    display = f":{number}"
    size = f"{SCREEN[0]}x{SCREEN[1]}x24"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    server = subprocess.Popen(["Xvfb", display, "-screen", "0", size, "-nolisten", "tcp"], **quiet)
    environment = {**os.environ, "DISPLAY": display}
    try:
        _until(lambda: Path(f"/tmp/.X11-unix/X{number}").exists())
        manager = subprocess.Popen(["openbox"], env=environment, **quiet)
        try:
            yield display
        finally:
            manager.terminate()
            manager.wait(10)
    finally:
        server.terminate()
        server.wait(10)


def _until(true) -> None:
    for _ in range(int(LONGEST_S / 0.05)):
        if true():
            return
        time.sleep(0.05)
    raise AssertionError("what the window waits for did not come")


class RealWindow:
    """The program in a window of its own; `pace_s` is how long the hand rests after each thing it does."""

    def __init__(self, display: str, home: Path, *arguments: str, pace_s: float = 0.0) -> None:
        self.pace_s = pace_s
        env = {key: value for key, value in os.environ.items() if key != "SDL_VIDEODRIVER"}
        env |= {"DISPLAY": display, "HOME": str(home), "XDG_STATE_HOME": str(home / "state")}
        env |= {"XDG_CONFIG_HOME": str(home / "config"), "SDL_VIDEODRIVER": "x11", "PYTHONUNBUFFERED": "1"}
        self.env = env
        command = [sys.executable, "-m", "layoutest", "draw", "--log", *arguments]
        self.process = subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.lines: queue.Queue[str] = queue.Queue()
        self.said: list[str] = []
        self.listener = threading.Thread(target=self._listen, daemon=True)
        self.listener.start()
        self.wait_for("ready")
        found = self._xdotool("search", "--sync", "--pid", str(self.process.pid), "--onlyvisible", "--name", ".")
        self.id = found.split()[-1]
        self._xdotool("windowactivate", "--sync", self.id)
        self.settle()

    def _listen(self) -> None:
        for line in self.process.stdout:
            self.lines.put(line.rstrip("\n"))

    def wait_for(self, word: str) -> None:
        """Wait until the program says a line that begins with a word."""
        end = time.monotonic() + LONGEST_S
        while time.monotonic() < end:
            try:
                line = self.lines.get(timeout=0.2)
            except queue.Empty:
                assert self.process.poll() is None, self.process.stderr.read()
                continue
            self.said.append(line)
            if line.startswith(word):
                return
        raise AssertionError(f"the window never said {word!r}; it said {self.said[-12:]}")

    def settle(self) -> None:
        """Wait until the program says nothing more."""
        while True:
            try:
                self.said.append(self.lines.get(timeout=QUIET_S))
            except queue.Empty:
                break
        assert self.process.poll() is None, self.process.stderr.read()
        time.sleep(self.pace_s)

    def _xdotool(self, *words: str) -> str:
        return subprocess.run(
            ["timeout", "20", "xdotool", *words], env=self.env, check=True, capture_output=True, text=True
        ).stdout

    def move(self, x: float, y: float) -> None:
        """Move the pointer to a place of the window, in two steps, as a hand does."""
        self._xdotool("mousemove", "--window", self.id, str(round(x) - 3), str(round(y) - 2))
        self._xdotool("mousemove", "--window", self.id, str(round(x)), str(round(y)))
        self.settle()

    def click(self, x: float, y: float, button: int = 1) -> None:
        """Move there and press a button."""
        self.move(x, y)
        self._xdotool("click", str(button))
        self.settle()

    def drag(self, start: tuple[float, float], end: tuple[float, float], *, let_go: bool = True) -> None:
        """Press at one place and move to another in ten steps."""
        self.move(*start)
        self._xdotool("mousedown", "1")
        for step in range(1, 11):
            at = [round(a + (b - a) * step / 10) for a, b in zip(start, end, strict=True)]
            self._xdotool("mousemove", "--window", self.id, *map(str, at))
        self.settle()
        if let_go:
            self._xdotool("mouseup", "1")
            self.settle()

    def key(self, *keys: str) -> None:
        """Press keys, such as `l`, `Return`, `ctrl+z`."""
        for key in keys:
            self._xdotool("key", "--clearmodifiers", key)
            self.settle()

    def type(self, text: str) -> None:
        """Type characters."""
        self._xdotool("type", "--delay", "30", "--", text)
        self.settle()

    def leave(self) -> int:
        """Ask the program to close and wait until it has ended; its exit status."""
        self._xdotool("key", "--clearmodifiers", "ctrl+q")
        status = self.process.wait(20)
        self._done()
        return status

    def kill(self) -> None:
        """End the program as a power cut would."""
        self.process.kill()
        self.process.wait(10)
        self._done()

    def _done(self) -> None:
        self.listener.join(10)
        self.process.stdout.close()
        self.process.stderr.close()
