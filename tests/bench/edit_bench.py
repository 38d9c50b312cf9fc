"""Run by hand: what one edit of a layout costs, against copying every record of its tables once.

    python tests/bench/edit_bench.py

The garbage collector is frozen, as the window does it. Seconds depend on the machine; the ratio is of one run.
"""

import gc
import statistics
import time
from collections.abc import Callable
from types import MappingProxyType

from layoutest.edit.assign import set_legs, set_length
from layoutest.edit.clip import copy, paste
from layoutest.edit.draw import Pen, draw_leg, rise
from layoutest.edit.items import slide_item
from layoutest.edit.join import join_nodes
from layoutest.edit.move import move_nodes, move_selection, stretch
from layoutest.edit.places import AtNode, Free, OnLeg, split_leg
from layoutest.edit.remove import delete
from layoutest.edit.shape import rotate
from layoutest.layout.document import Item, Layout, Leg, Node

ROWS = LEGS_A_ROW = 100
PEN = Pen("HF", "steel DN50")


def rows() -> Layout:
    """10,000 legs in lines of a hundred, an item in every tenth."""
    nodes, legs = {}, {}
    for row in range(ROWS):
        for place in range(LEGS_A_ROW + 1):
            nodes[f"n{len(nodes) + 1}"] = Node(1000 * place, 1000 * row, 0)
            if place:
                legs[f"l{len(legs) + 1}"] = Leg(f"n{len(nodes) - 1}", f"n{len(nodes)}", PEN.service, PEN.pipe)
    items = {f"v{number}": Item(f"l{10 * number}", 500) for number in range(1, len(legs) // 10)}
    return Layout(nodes=MappingProxyType(nodes), legs=MappingProxyType(legs), items=MappingProxyType(items))


def median_s(edit: Callable[[], object]) -> float:
    """Median seconds of an edit."""
    times = []
    for _ in range(25):
        start = time.perf_counter()
        edit()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print one line an edit."""
    layout = rows()
    clip = copy(layout, ["l5050", "l5051"])
    edits: dict[str, Callable[[], object]] = {
        "move a node": lambda: move_nodes(layout, ["n5050"], (0, 50, 0)),
        "move a leg": lambda: move_selection(layout, ["l5050"], (0, 50, 0)),
        "stretch a line of 100": lambda: stretch(layout, "l5050", (0, 50)),
        "draw from a node": lambda: draw_leg(layout, AtNode("n5050"), Free(1, 1, 1), PEN),
        "draw from a leg": lambda: draw_leg(layout, OnLeg("l5050", 300), Free(1, 1, 1), PEN),
        "rise": lambda: rise(layout, AtNode("n5050"), 700, PEN),
        "split": lambda: split_leg(layout, "l5050", 300),
        "join two nodes": lambda: join_nodes(layout, "n5050", "n6050"),
        "delete a leg": lambda: delete(layout, ["l5050"]),
        "slide an item": lambda: slide_item(layout, "v50", 300),
        "change a size": lambda: set_legs(layout, ["l5050"], pipe="copper 28"),
        "type a length": lambda: set_length(layout, "l5050", 700),
        "turn a leg": lambda: rotate(layout, ["l5050"], 1),
        "paste two legs": lambda: paste(layout, clip, (50, 50, 0)),
    }
    gc.collect()
    gc.freeze()
    whole = median_s(lambda: [Node(*node) for node in layout.nodes.values()] + [*map(_copied, layout.legs.values())])
    print(f"{len(layout.legs)} legs; every record copied: {whole * 1000:.2f} ms")
    for name, edit in edits.items():
        taken = median_s(edit)
        print(f"{name:24}{taken * 1000:7.2f} ms{taken / whole:8.3f} x")


def _copied(leg: Leg) -> Leg:
    return Leg(leg.start, leg.end, leg.service, leg.pipe, leg.measured_mm, leg.covered)


if __name__ == "__main__":
    main()
