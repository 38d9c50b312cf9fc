"""Run by hand: what `priced` and `fewest` save in invented plant rooms and a real one, and how near their bounds are.

    python tests/bench/plant_rooms_bench.py [--runs 10 50 ...] [--joints 0.40 ...] [--stocks 6] [--seeds 1 2] [--jobs 1]

Sections and joints are sums over stocks and seeds; saving and gap are percent of money. The real room is that of
shared/real (see NOTICE.md there): its straights by diameter, under 30 mm, with mitres drawn five times.
"""

from __future__ import annotations

import argparse
import csv
import statistics
from collections import defaultdict
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from plant_rooms import DIAMETERS_MM, mitred_room, plant_room

from layoutest.pack.plan import pack
from layoutest.pack.problem import Problem

SEGMENTS = Path(__file__).parents[2] / "shared" / "real" / "b03_segments.csv"
THICKNESS_MM = 30.0
RUNS = (10, 50, 200, 1000, 5000)
JOINTS = (Decimal("0.40"), Decimal("1.42"), Decimal("6.00"))
# Largest mean gap of `priced` by the number of runs.
WANTED_GAP_PERCENT = {10: 0.2, 50: 0.6, 200: 1.0, 1000: 2.0}
_DRAWS = range(1, 6)


class Told(NamedTuple):
    """What is told of a plan."""

    bought: int
    joints: int
    cost: Decimal
    cost_at_least: Decimal
    hand_sections: int
    hand_cost: Decimal
    proven: bool
    seconds: float

    @property
    def gap_percent(self) -> float:
        """What it costs above its bound."""
        return float(100 * (self.cost - self.cost_at_least) / self.cost)


class Row(NamedTuple):
    """What is judged at the end."""

    runs: int
    joint_price: Decimal
    gap_percent: float
    unproven: int
    dearer: int


def told(problem: Problem) -> Told:
    """Pack at the default effort."""
    start = perf_counter()
    plan = pack(problem)
    took = perf_counter() - start
    costs = plan.cost, plan.cost_at_least, plan.by_hand_sections, plan.by_hand_cost
    return Told(plan.bought, plan.joints, *costs, plan.proven, took)


def rows_of(name: str, rooms: Sequence[Problem], joints: Sequence[Decimal], pool: ProcessPoolExecutor) -> list[Row]:
    """Pack the rooms by `fewest` once, whose plans hang on no price, and by `priced` for each price of a joint."""
    found = []
    fewest = list(pool.map(told, (replace(room, rule="fewest", joint_price=Decimal(0)) for room in rooms)))
    for joint_price in joints:
        asked = [replace(room, rule="priced", joint_price=joint_price) for room in rooms]
        priced = list(pool.map(told, asked))
        found.append(_row(rooms, joint_price, fewest, priced))
        print(f"{name:>8}{_printed(found[-1], fewest, priced)}", flush=True)
    return found


def _row(rooms: Sequence[Problem], joint_price: Decimal, fewest: Sequence[Told], priced: Sequence[Told]) -> Row:
    dearer = sum(
        free.cost > fixed.cost + fixed.joints * joint_price for fixed, free in zip(fewest, priced, strict=True)
    )
    unproven = sum(not plan.proven for plan in fewest)
    gap = statistics.mean(plan.gap_percent for plan in priced)
    return Row(len(rooms[0].runs), joint_price, gap, unproven, dearer)


def _printed(row: Row, fewest: Sequence[Told], priced: Sequence[Told]) -> str:
    # By hand the pieces are those of `fewest`, and so are the joints.
    joints = sum(plan.joints for plan in fewest)
    counts = (
        f"{sum(plan.hand_sections for plan in priced)} / {joints}",
        f"{sum(plan.bought for plan in fewest)} / {joints}",
        f"{sum(plan.bought for plan in priced)} / {sum(plan.joints for plan in priced)}",
    )
    saved = [float(100 * (1 - plan.cost / plan.hand_cost)) for plan in priced]
    saving = f"{statistics.mean(saved):7.2f} ({min(saved):.1f} to {max(saved):.1f})"
    gap = f"{row.gap_percent:8.2f}{max(plan.gap_percent for plan in priced):7.2f}"
    proven = f"{len(fewest) - row.unproven} of {len(fewest)}"
    took = "".join(f"{statistics.mean(plan.seconds for plan in plans):9.2f}" for plans in (fewest, priced))
    return (
        f"{row.joint_price:7}" + "".join(f"{count:>15}" for count in counts) + f"{saving:>24}{gap}{proven:>10}"
        f"{sum(plan.proven for plan in priced):8}{row.dearer:8}{took}"
    )


def real_lengths_mm() -> dict[float, list[int]]:
    """Lengths of the straights of the real room by outside diameter."""
    found = defaultdict[float, list[int]](list)
    with SEGMENTS.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found[float(row["od_profile"])].append(round(float(row["len_solid"])))
    return dict(sorted(found.items()))


def real_rooms() -> list[Problem]:
    """Each stock of the real room, once for each draw of its mitres."""
    return [
        mitred_room(draw, lengths_mm, outside_mm + 2 * THICKNESS_MM, Decimal(0), "priced")
        for draw in _DRAWS
        for outside_mm, lengths_mm in real_lengths_mm().items()
    ]


def verdicts(rows: Sequence[Row]) -> list[str]:
    """Whether what was wanted is met."""
    judged = [row for row in rows if row.runs in WANTED_GAP_PERCENT]
    unproven, dearer = sum(row.unproven for row in judged), sum(row.dearer for row in rows)
    says = [
        f"wanted: fewest proven in every stock up to 1,000 runs: {_met(not unproven)}",
        f"wanted: priced never dearer than fewest: {_met(not dearer)}",
    ]
    limits = " / ".join(f"{limit:g}" for limit in WANTED_GAP_PERCENT.values())
    for joint_price in dict.fromkeys(row.joint_price for row in judged):
        met = all(row.gap_percent <= WANTED_GAP_PERCENT[row.runs] for row in judged if row.joint_price == joint_price)
        says.append(f"wanted: mean gap of priced at {joint_price} a joint at most {limits} %: {_met(met)}")
    return says


def _met(met: bool) -> str:
    return "met" if met else "NOT MET"


def main() -> None:
    """Read the options and run."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, nargs="*", default=list(RUNS))
    parser.add_argument("--joints", type=Decimal, nargs="+", default=list(JOINTS))
    parser.add_argument("--stocks", type=int, choices=range(1, len(DIAMETERS_MM) + 1), default=len(DIAMETERS_MM))
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--jobs", type=int, default=1)
    asked = parser.parse_args()
    print("rooms:         sections / joints by:                              priced saves     priced gap      proven")
    print(
        f"{'runs':>8}{'joint':>7}{'hand':>15}{'fewest':>15}{'priced':>15}{'% of hand':>24}{'mean':>8}{'worst':>7}"
        f"{'fewest':>10}{'priced':>8}{'dearer':>8}{'fewest s':>9}{'priced s':>9}",
        flush=True,
    )
    rows = []
    with ProcessPoolExecutor(asked.jobs) as pool:
        for runs in asked.runs:
            rooms = [
                plant_room(seed, runs, diameter_mm, Decimal(0), "priced")
                for seed in asked.seeds
                for diameter_mm in DIAMETERS_MM[: asked.stocks]
            ]
            rows += rows_of(f"{runs:,}", rooms, asked.joints, pool)
        rows_of("real", real_rooms(), asked.joints, pool)
    print(*verdicts(rows), sep="\n")


if __name__ == "__main__":
    main()
