"""Run by hand: what the quick packings cost that are shown while somebody drags, for 200 runs of one stock.

    python tests/bench/quick_pack_bench.py [--runs 200] [--seeds 1 2 3 4 5]

Milliseconds depend on the machine.
"""

from __future__ import annotations

import argparse
import statistics
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from time import perf_counter
from typing import get_args

from plant_rooms import DIAMETERS_MM, plant_room

from layoutest.pack.batches import batches_of
from layoutest.pack.draft import cost_of
from layoutest.pack.hand import by_hand
from layoutest.pack.pieces import fixed_parts, kind_of
from layoutest.pack.problem import Problem, Rule
from layoutest.pack.quick import quick_draft
from layoutest.pack.shape import Shapes

WANTED_MS = 5.0
_JOINT_PRICE = Decimal("1.42")
_REPEATS = 5


def by_batches(problem: Problem) -> Callable[[], Decimal]:
    """Packs kinds that are counted already, as they are while somebody draws."""
    kinds = Counter(map(kind_of, problem.runs))

    def packed() -> Decimal:
        batches = batches_of(problem, kinds)
        pieces = sum(batch.sections * len(batch.pieces) for batch in batches)
        bought = sum(batch.sections for batch in batches)
        return bought * problem.section_price + (pieces - len(problem.runs)) * problem.joint_price

    return packed


def by_draft(problem: Problem) -> Callable[[], Decimal]:
    """Packs runs from the list, with all that has to be found out about them."""
    return lambda: quick_draft(problem, Shapes(problem), fixed_parts(problem), tilts=())[0]


def hand_cost(problem: Problem) -> Decimal:
    """What careful cutting by hand, in drawing order, costs."""
    parts = sorted(fixed_parts(problem), key=lambda part: (part.run, part.length_mm != problem.section_mm))
    return cost_of(problem, by_hand(problem, Shapes(problem), parts))


def _median_ms(packed: Callable[[], Decimal]) -> float:
    times = []
    for _ in range(_REPEATS):
        start = perf_counter()
        packed()
        times.append(1000 * (perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    """Print the medians over all stocks and seeds, and what is dearer than by hand."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=200)
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3, 4, 5])
    asked = parser.parse_args()
    print(f"quick: {asked.runs} runs   rule     median ms   slowest ms   dearer than by hand   wanted {WANTED_MS:g} ms")
    for name, packing in (("batches_of", by_batches), ("quick_draft", by_draft)):
        for rule in get_args(Rule):
            rooms = [
                plant_room(seed, asked.runs, diameter_mm, _JOINT_PRICE, rule)
                for seed in asked.seeds
                for diameter_mm in DIAMETERS_MM
            ]
            times = [_median_ms(packing(room)) for room in rooms]
            dearer = sum(packing(room)() > hand_cost(room) for room in rooms)
            middle = statistics.median(times)
            met = "met" if middle <= WANTED_MS and not dearer else "NOT MET"
            row = f"{name:18}{rule:8}{middle:11.2f}{max(times):13.2f}{dearer:15} of {len(rooms)}"
            print(f"{row}   {met:>13}", flush=True)


if __name__ == "__main__":
    main()
