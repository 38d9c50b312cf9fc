"""Run by hand: what the picture of a sheet costs, at once and after an edit, and what finding a place in it costs.

    python tests/bench/sheet_bench.py

Seconds depend on the machine; the ratio is of one run. The garbage collector is frozen, as the window does it.
"""

import gc
import statistics
import time
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from tile import tiled

import layoutest
from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.drawing.pipes import sheet_groups
from layoutest.editor.hit import hit
from layoutest.editor.picture import View
from layoutest.layout.document import Node
from layoutest.network import derive

DEMO = Path(__file__).parents[2] / "demo_layouts" / "plant-room.layout.json"
SIZES = (500, 10_000)
EDITS = 41


def timed(step):
    """What a step gives, and the milliseconds that it took."""
    start = time.perf_counter()
    made = step()
    return made, 1000 * (time.perf_counter() - start)


def one_size(legs):
    """Milliseconds for the picture at once, after one leg moved 50 mm (middle of many), and for a hit."""
    book, layout = read_book(example_book_folder()), tiled(layoutest.load(DEMO), legs)
    chosen = choose(layout, book)
    network = derive(chosen)
    covering = cover(network)
    joints = {key: (500.0,) for key, laid in covering.laid.items() if laid.runs and laid.runs[0].covered_mm > 1000}
    picture, scratch = timed(lambda: sheet_groups(covering, joints))
    gc.collect()
    gc.freeze()
    edits, hits, kept = [], [], []
    for leg in list(layout.legs.values())[:: max(legs // EDITS, 1)]:
        moved = {
            name: node._replace(y_mm=node.y_mm + 50)
            for name, node in ((name, layout.nodes[name]) for name in (leg.start, leg.end))
        }
        after = replace(layout, nodes=MappingProxyType({**layout.nodes, **moved}))
        edited = cover(derive(choose(after, book, chosen), network), covering)
        made, took = timed(lambda edited=edited: sheet_groups(edited, dict(joints), picture))
        kept.append(made)  # so that putting an old picture away is not counted
        edits.append(took)
        at: Node = after.nodes[leg.start]
        view = View(0.1, at.x_mm - 5000, at.y_mm + 3000)
        hits.append(timed(lambda after=after, made=made, view=view: hit(made, after, view, (503, 300)))[1])
    gc.unfreeze()
    return scratch, statistics.median(edits), statistics.median(hits)


if __name__ == "__main__":
    print("sheet:      legs   at once ms   edit ms    ratio   hit ms")
    for size in SIZES:
        at_once, edit, found = one_size(size)
        print(f"{size:16,}{at_once:13.1f}{edit:10.2f}{at_once / edit:8.0f} x{found:9.3f}")
