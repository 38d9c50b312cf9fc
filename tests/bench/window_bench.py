"""How quick the window is, against yardsticks timed in the same run. Run it by hand:

    python tests/bench/window_bench.py            (no screen)
    DISPLAY=:77 python tests/bench/window_bench.py --screen

B is one full-window opaque blit and flip, F 10,000 `Surface.fill` of 9 × 14 px, in a window of 1600 × 1000.
"""

from __future__ import annotations

import gc
import os
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

ON_SCREEN = "--screen" in sys.argv
if not ON_SCREEN:
    os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
sys.path.insert(0, str(Path(__file__).parent))

import pygame  # noqa: E402
from tile import tiled  # noqa: E402

from layoutest.book.reader import example_book_folder, read_book  # noqa: E402
from layoutest.drawing.pipes import sheet_groups  # noqa: E402
from layoutest.edit.move import move_nodes  # noqa: E402
from layoutest.editor import events as ev  # noqa: E402
from layoutest.editor.commands import pen_of  # noqa: E402
from layoutest.editor.scene import Scenes  # noqa: E402
from layoutest.editor.state import first_state, fitted  # noqa: E402
from layoutest.editor.update import update  # noqa: E402
from layoutest.editor.window.paint import Painter  # noqa: E402
from layoutest.editor.window.type import Type  # noqa: E402
from layoutest.files.layout_read import read_layout  # noqa: E402
from layoutest.tables.shipped import demo_folder  # noqa: E402

SIZE = (1600, 1000)
MOVES = 24


def median_ms(action, times=15):
    spent = []
    for number in range(times):
        begin = time.perf_counter()
        action(number)
        spent.append(1000 * (time.perf_counter() - begin))
    return statistics.median(spent)


class Bench:
    """One window, and its yardsticks."""

    def __init__(self):
        pygame.display.init()
        pygame.font.init()
        self.window = pygame.Window("bench", SIZE)
        self.surface = self.window.get_surface()
        self.type = Type(1.0)
        picture = pygame.Surface(SIZE, 0, self.surface)
        self.b = median_ms(lambda _: (self.surface.blit(picture, (0, 0)), self.window.flip()), 40)
        fill = self.surface.fill
        self.f = median_ms(lambda _: [fill((90, 120, 80), (i % 1500, i % 900, 9, 14)) for i in range(10_000)])

    def tell(self, name, ms, unit, wanted):
        yard = {"B": self.b, "F": self.f, "ms": 1.0}[unit]
        verdict = "met" if ms / yard <= wanted else "MISSED"
        print(f"{name:54}{ms:9.2f} ms {ms / yard:8.2f} {unit:2}  wanted {wanted:g} {unit}  {verdict}", flush=True)
        return ms

    def state(self, legs):
        layout = tiled(read_layout(demo_folder() / "plant-room.layout.json").layout, legs)
        return first_state(*SIZE, read_book(example_book_folder()), self.type.measure, layout, pen_of(layout))

    def measure(self, legs):
        state = self.state(legs)
        gc.collect()
        gc.freeze()
        gc.disable()
        count = len(state.layout.legs)
        painter, scenes = Painter(self.surface, "light", self.type), Scenes()

        def show(state):
            painter.paint(scenes(state))
            self.window.flip()

        show(state)
        begun = self.held(state)
        drag = self.drag_frames(begun, painter, scenes)
        cold = self.cold(state)
        pan = self.panned(state, painter, scenes)
        edit = self.scene_after_edit(state)
        whole = self.to_painted(begun, show)
        gc.enable()
        return count, drag, cold, pan, edit, whole

    @staticmethod
    def held(state):
        """A state in which a leg near the middle of the sheet is dragged, seen at a scale to work at."""
        near = replace(state, view=state.view._replace(scale=0.1))
        names = list(state.layout.legs)
        leg = state.layout.legs[names[len(names) // 2]]
        node = state.layout.nodes[leg.start]
        far = state.layout.nodes[leg.end]
        u, v = (node.x_mm + far.x_mm) / 2, (node.y_mm + far.y_mm) / 2
        view = near.view._replace(left_mm=u - 6000, top_mm=v + 3500)
        near = replace(near, view=view)
        x, y = view.to_px((u, v))
        for event in (ev.PointerMoved(x, y), ev.PointerPressed(x, y), ev.PointerMoved(x + 8, y + 8)):
            near, _ = update(near, event)
        return near, (x, y)

    def drag_frames(self, begun, painter, scenes):
        """Painting and flipping of frames in which one leg is at another place, its scene ready."""
        state, (x, y) = begun
        states = []
        for number in range(MOVES):
            state, _ = update(state, ev.PointerMoved(x + 10 + 5 * (number % 7), y + 10 + 5 * (number % 5)))
            states.append(state)
        pictures = [scenes(one) for one in states]
        painter.paint(pictures[0])

        def frame(number):
            painter.paint(pictures[1 + number % (MOVES - 1)])
            self.window.flip()

        return median_ms(frame, MOVES - 1)

    def cold(self, state):
        """The sheet painted anew with everything in view, as after a zoom: nothing of it is at hand but its groups."""
        scene = Scenes()(fitted(state))
        painter = Painter(self.surface, "light", self.type)

        def frame(_):
            painter.layer.forget()
            painter.layer.update(scene.sheet, self.surface, (0, 44, 1280, 696))

        return median_ms(frame, 9)

    def panned(self, state, painter, scenes):
        state = fitted(state)
        pictures = [
            scenes(replace(state, view=state.view._replace(left_mm=state.view.left_mm + 12 * n / state.view.scale)))
            for n in range(20)
        ]
        painter.paint(pictures[0])

        def frame(number):
            painter.paint(pictures[number + 1])
            self.window.flip()

        return median_ms(frame, 18)

    @staticmethod
    def scene_after_edit(state):
        """The groups of the sheet after one leg was moved, its covering ready."""
        from layoutest.live.live import live_of

        names = list(state.layout.nodes)
        lives = []
        live = state.live
        for number in range(9):
            layout = move_nodes(live.layout, (names[len(names) // 2 + number],), (50, 0, 0))
            live = live_of(layout, state.book, live)
            lives.append(live)
        picture = [state.picture]

        def made(number):
            picture[0] = sheet_groups(lives[number].covering, lives[number].joints, picture[0])

        return median_ms(made, 9)

    @staticmethod
    def to_painted(begun, show):
        """From a move of the pointer to new totals on the screen."""
        held = [begun[0]]
        x, y = begun[1]

        def move(number):
            event = ev.PointerMoved(x + 10 + 5 * (number % 7), y + 10 + 5 * (number % 5))
            held[0], _ = update(held[0], event)
            show(held[0])

        return median_ms(move, MOVES)


def main():
    bench = Bench()
    driver = pygame.display.get_driver()
    print(f"{driver}, {SIZE[0]} x {SIZE[1]}: B {bench.b:.3f} ms, F {bench.f:.2f} ms")
    small = bench.measure(500)
    print(f"{small[0]} legs")
    drag = bench.tell("drag frame", small[1], "B", 30)
    bench.tell("cold sheet", small[2], "F", 3)
    bench.tell("from pointer to painted totals", small[5], "ms", 16)
    large = bench.measure(10_000)
    print(f"{large[0]} legs")
    ratio = bench.tell("drag frame", large[1], "B", 30) / drag
    print(f"{'drag frame, times that at 500':54}{ratio:12.2f}    wanted 1.2  {'met' if ratio <= 1.2 else 'MISSED'}")
    bench.tell("all in view, from nothing", large[2], "F", 6)
    bench.tell("pan, all in view", large[3], "B", 20)
    bench.tell("sheet after a one-leg edit", large[4], "F", 0.5)
    bench.tell("from pointer to painted totals", large[5], "ms", 100)


if __name__ == "__main__":
    main()
