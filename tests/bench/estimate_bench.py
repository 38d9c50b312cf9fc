"""Run by hand: how long an estimate takes, from a file to the summary's figures, and what an edit costs.

    python tests/bench/estimate_bench.py

Each size runs in a process of its own, so that its peak memory is its own. Ratios are against what the same run
measured beside them; seconds depend on the machine.
"""

import json
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from tile import tiled

import layoutest
from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.files.layout_write import layout_text
from layoutest.layout.document import Node
from layoutest.network import derive

DEMO = Path(__file__).parents[2] / "demo_layouts" / "plant-room.layout.json"
SIZES = (100, 1_000, 10_000, 30_000)


def one_size(legs: int) -> None:
    """In a process of its own: estimate so many legs and print what it took."""
    from layoutest.cli.inputs import estimate_files

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tiled.layout.json"
        path.write_text(layout_text(tiled(layoutest.load(DEMO), legs)), encoding="utf-8")
        times = []
        for _ in range(3 if legs <= 10_000 else 1):
            start = time.perf_counter()
            estimate = estimate_files([str(path)], None)
            times.append(time.perf_counter() - start)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sections = sum(stock.plan.bought for stock in estimate.stocks)
    print(json.dumps({"seconds": statistics.median(times), "peak_mb": peak_mb, "sections": sections}))


def sizes() -> None:
    """The whole estimate with the quick packing."""
    print("whole estimate:   legs   seconds   ms a leg   against 1,000 legs   peak MB   sections")
    per_leg = {}
    for legs in SIZES:
        done = subprocess.run(
            [sys.executable, __file__, str(legs)],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            check=True,
        )
        found = json.loads(done.stdout)
        per_leg[legs] = 1000 * found["seconds"] / legs
        ratio = f"{per_leg[legs] / per_leg[1_000]:.2f}" if 1_000 in per_leg else "-"
        print(
            f"{legs:22,}{found['seconds']:10.2f}{per_leg[legs]:11.3f}{ratio:>21}"
            f"{found['peak_mb']:10.0f}{found['sections']:11,}"
        )


def edits() -> None:
    """Network and covering after one leg was moved, against making them from scratch."""
    book = read_book(example_book_folder())
    print("one leg moved:    legs   edit ms   scratch ms   ratio")
    for legs in (500, 10_000):
        layout = tiled(layoutest.load(DEMO), legs)
        start = time.perf_counter()
        chosen = choose(layout, book)
        network = derive(chosen)
        covering = cover(network)
        scratch = time.perf_counter() - start
        times = []
        for leg in list(layout.legs.values())[:: max(len(layout.legs) // 25, 1)]:
            moved = {
                name: Node(layout.nodes[name].x_mm, layout.nodes[name].y_mm + 50, layout.nodes[name].level_mm)
                for name in (leg.start, leg.end)
            }
            after = replace(layout, nodes={**layout.nodes, **moved})
            start = time.perf_counter()
            chosen_after = choose(after, book, chosen)
            network_after = derive(chosen_after, network)
            cover(network_after, covering)
            times.append(time.perf_counter() - start)
        edit = statistics.median(times)
        print(f"{legs:22,}{1000 * edit:10.2f}{1000 * scratch:13.1f}{scratch / edit:8.0f} x")


def starts() -> None:
    """`layoutest --help` against a bare interpreter, in turn."""
    ours, bare = [], []
    for _ in range(15):
        for command, times in (
            ([sys.executable, "-m", "layoutest", "--help"], ours),
            ([sys.executable, "-c", ""], bare),
        ):
            start = time.perf_counter()
            subprocess.run(command, capture_output=True, check=True)
            times.append(time.perf_counter() - start)
    one, two = statistics.median(ours), statistics.median(bare)
    print(f"layoutest --help: {1000 * one:.0f} ms, bare interpreter {1000 * two:.0f} ms, ratio {one / two:.2f}")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        one_size(int(sys.argv[1]))
    else:
        starts()
        edits()
        sizes()
