"""The public one-dimensional packing instances and their best known values; sources in the heads of the files."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import NamedTuple

from layoutest.pack.problem import PackRun, Problem

SHARED = Path(__file__).parents[2] / "shared" / "packing"
FILES = {
    "uniform": "falkenauer_uniform.csv",
    "triplets": "falkenauer_triplets.csv",
    "scholl_1": "scholl_1.csv",
    "scholl_2": "scholl_2.csv",
    "scholl_3": "scholl_3.csv",
}
# How many of 55 are drawn from each class.
_SHARES = {"uniform": 8, "triplets": 16, "scholl_1": 14, "scholl_2": 12, "scholl_3": 5}
_SEED = 55


class Instance(NamedTuple):
    """Square pieces, as (length, count), and the best known bounds of the sections they need."""

    name: str
    group: str
    size: str
    section_mm: int
    lower: int
    upper: int
    items: tuple[tuple[int, int], ...]

    @property
    def least(self) -> int:
        """Total length over the section's, rounded up."""
        return -(-sum(length * count for length, count in self.items) // self.section_mm)


class Answer(NamedTuple):
    """What a solver said of an instance."""

    seconds: float
    proven: bool
    bought: int | None
    at_least: int


def instances(group: str) -> list[Instance]:
    """All of a class, in the order of its file."""
    lines = (SHARED / FILES[group]).read_text(encoding="utf-8").splitlines()
    return [_instance(group, row) for row in csv.DictReader(line for line in lines if not line.startswith("#"))]


def _instance(group: str, row: dict[str, str]) -> Instance:
    size = re.match(r"[ut]\d+|N\d|HARD", row["name"])
    items = tuple((int(length), int(count or 1)) for length, count in re.findall(r"(\d+)(?:x(\d+))?", row["items"]))
    section_mm, lower, upper = (int(row[key]) for key in ("capacity", "lower", "upper"))
    return Instance(row["name"], group, size[0] if size else "", section_mm, lower, upper, items)


def sampled(groups: Sequence[str], count: int) -> list[Instance]:
    """A sample that is always the same: of each class its share, evenly from its small to its large instances."""
    chance, found = Random(_SEED), list[Instance]()
    for group, share in _SHARES.items():
        ordered = sorted(instances(group), key=lambda one: (sum(number for _, number in one.items), one.name))
        wanted, start = min(max(round(count * share / 55), 1), len(ordered)), chance.random()
        if group in groups:
            found += [ordered[int((place + start) * len(ordered) / wanted)] for place in range(wanted)]
    return found


def first_fit_decreasing(one: Instance) -> list[Counter[int]]:
    """The lengths in each section, the longest first into the first section that has room."""
    rooms, held = list[int](), list[Counter[int]]()
    for length in (length for length, count in sorted(one.items, reverse=True) for _ in range(count)):
        place = next((place for place, room in enumerate(rooms) if room >= length), len(rooms))
        if place == len(rooms):
            rooms.append(one.section_mm)
            held.append(Counter())
        rooms[place] -= length
        held[place][length] += 1
    return held


def problem_of(one: Instance) -> Problem:
    """The instance as the packer sees it."""
    lengths = [length for length, count in one.items for _ in range(count)]
    runs = tuple(PackRun(f"{one.name} {number}", length) for number, length in enumerate(lengths))
    return Problem(stock=one.name, section_mm=one.section_mm, radius_mm=0, runs=runs, least_mm=0, rule="fewest")
