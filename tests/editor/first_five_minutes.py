"""The sitting of the first five minutes, by a real hand: the demo layout of that name is drawn from an empty sheet."""

from __future__ import annotations

from layoutest.editor.regions import regions_of
from layoutest.editor.state import fit_view

WIDTH, HEIGHT, BENCH_PX, GRID_MM = 1600, 1000, 232, 100


class _Nothing:
    groups = ()


def empty_view():
    """The view in which an empty sheet is shown first."""
    return fit_view(_Nothing(), regions_of(WIDTH, HEIGHT, BENCH_PX), GRID_MM)


def draw(window) -> None:
    """Draw three legs with typed lengths, a drop of 1200 mm and a valve; nothing is typed twice."""
    view = empty_view()
    start = view.to_px((0, 0))
    window.key("l")
    window.click(*start)
    window.move(start[0] + 400, start[1])
    window.type("3400")
    window.key("Return")
    corner = view.to_px((3400, 0))
    window.move(corner[0], corner[1] - 200)
    window.type("2.2 m")
    window.key("Return")
    window.key("r")
    window.type("-1200")
    window.key("Return")
    window.key("Escape", "Escape", "Escape", "i")
    window.click(*view.to_px((2000, 0)))
    window.key("Escape", "Escape")


def branch(window) -> None:
    """Make a tee: a leg of 900 mm that begins on the first one."""
    view = empty_view()
    x, y = view.to_px((1000, 0))
    window.key("l")
    window.click(x, y)
    window.move(x, y - 150)
    window.type("900")
    window.key("Return")
    window.key("Escape", "Escape", "Escape")
