"""A window without a screen in which a leg is dragged to and fro without end, to be killed at any moment.

It reads names of folders. For each it starts a process of its own with a window on the layout in that folder; what the
window logs comes out. When that process was killed, `gone` comes out.
"""

import os
import sys
import threading
import time
from pathlib import Path

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

import pygame

from layoutest.book.reader import example_book_folder, read_book
from layoutest.editor.begin import first_of
from layoutest.editor.scene import Scenes
from layoutest.editor.update import update
from layoutest.editor.window import outside
from layoutest.editor.window.loop import Editor, run
from layoutest.editor.window.outside import Places

# How far the leg is dragged each time, in steps of the grid: it stays in view.
BY_MM = (100, -50)
STEPS = 6


def place_mm(number: int) -> int:
    """How far from its first place the leg is after so many drags."""
    return sum(BY_MM[drag % 2] for drag in range(number))


class NoWorker:
    """Nothing is packed: each of the many windows would start a process for it."""

    def __init__(self, wake):
        pass

    def ask(self, problems):
        pass

    def answers(self):
        return []

    def close(self):
        pass


def drag_on(sitting):
    """Move the real queue of the window as a hand does, on and on."""
    number = 0
    while sitting["state"] is None or not sitting["state"].layout.legs:
        time.sleep(0.002)
    while True:
        state = sitting["state"]
        leg = state.document.legs["l2"]
        ends = [state.document.nodes[node] for node in (leg.start, leg.end)]
        middle = [(a + b) / 2 for a, b in zip(*(end[:2] for end in ends), strict=True)]
        x, y = state.view.to_px((middle[0], middle[1]))
        by = BY_MM[number % 2] * state.view.scale
        post(pygame.MOUSEMOTION, x, y)
        post(pygame.MOUSEBUTTONDOWN, x, y, button=1)
        for step in range(1, STEPS + 1):
            post(pygame.MOUSEMOTION, x + by * step / STEPS, y + 12 * (step % 2))
            time.sleep(0.003)
        done = state.actions
        post(pygame.MOUSEBUTTONUP, x + by, y, button=1)
        number += 1
        while sitting["state"].actions == done:
            time.sleep(0.001)


def post(kind, x, y, **more):
    place = {"pos": (round(x), round(y))}
    if kind == pygame.MOUSEMOTION:
        more |= {"rel": (0, 0), "buttons": (0, 0, 0)}
    pygame.event.post(pygame.event.Event(kind, **place, **more))


def sit(folder):
    """A window on the layout in a folder, with its journal beside it."""
    sitting = {"state": None}

    def noted(state, event):
        sitting["state"], requests = update(state, event)
        return sitting["state"], requests

    outside.Worker = NoWorker
    book = read_book(example_book_folder())
    editor = Editor(lambda width, height, measure: first_of((width, height), book, measure), noted, Scenes())
    threading.Thread(target=drag_on, args=(sitting,), daemon=True).start()
    places = Places(folder / "journal", folder / "window.json")
    run(editor, places, str(folder / "drawn.layout.json"), log=sys.stdout)


def main():
    for line in sys.stdin:
        child = os.fork()
        if not child:
            sit(Path(line.strip()))
            os._exit(0)
        print(f"pid {child}", flush=True)
        os.waitpid(child, 0)
        print("gone", flush=True)


if __name__ == "__main__":
    main()
