"""Run by hand: what an edit costs while somebody draws, against making everything from scratch.

    python tests/bench/live_bench.py

The garbage collector is frozen, as the window does it. Seconds depend on the machine; the ratio is of one run.
"""

import gc
import statistics
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from tile import tiled

import layoutest
from layoutest.book.reader import example_book_folder, read_book
from layoutest.layout.document import Layout, Node
from layoutest.live.live import Live, live_of

DEMO = Path(__file__).parents[2] / "demo_layouts" / "plant-room.layout.json"
SIZES = (500, 10_000)
STEP_MM = 50
EDITS = 41


def nodes_moved(layout: Layout) -> Iterator[Layout]:
    """One node after another goes 50 mm aside."""
    names = list(layout.nodes)
    for name in names[:: max(len(names) // EDITS, 1)]:
        yield _with_moved(layout, name)


def legs_moved(layout: Layout) -> Iterator[Layout]:
    """One leg after another goes 50 mm aside, with both its nodes."""
    legs = list(layout.legs.values())
    for leg in legs[:: max(len(legs) // EDITS, 1)]:
        yield _with_moved(layout, leg.start, leg.end)


def _with_moved(layout: Layout, *names: str) -> Layout:
    moved = {
        name: Node(x_mm, y_mm + STEP_MM, level_mm) for name in names for x_mm, y_mm, level_mm in [layout.nodes[name]]
    }
    return replace(layout, nodes=MappingProxyType({**layout.nodes, **moved}))


def dragged(layouts: Iterator[Layout], live: Live) -> float:
    """Median seconds of an edit."""
    times = []
    for layout in layouts:
        start = time.perf_counter()
        live_of(layout, live.book, live)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the medians."""
    book = read_book(example_book_folder())
    print("live:    legs   node moved ms   leg moved ms   scratch ms   ratio")
    for legs in SIZES:
        layout = tiled(layoutest.load(DEMO), legs)
        scratch = []
        for _ in range(3):
            start = time.perf_counter()
            live = live_of(layout, book)
            scratch.append(time.perf_counter() - start)
        gc.collect()
        gc.freeze()
        node, leg = dragged(nodes_moved(layout), live), dragged(legs_moved(layout), live)
        whole = statistics.median(scratch)
        print(f"{legs:13,}{1000 * node:16.1f}{1000 * leg:15.1f}{1000 * whole:13.0f}{whole / leg:8.0f} x")


if __name__ == "__main__":
    main()
