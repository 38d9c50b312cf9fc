"""Bounds and plans against published one-dimensional packing instances and two published exercises.

Sources: Falkenauer (1996) and Scholl, Klein and Jürgens (1997) as named in the first lines of the files, with best
known values (those of data set 1 all proven optimal); the exercises D17 and D18 as named in their table.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

import pytest

from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Problem

SHARED = Path(__file__).parents[2] / "shared"


def rows(path):
    lines = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def square_problem(name, section_mm, counted):
    lengths = [length for length, count in counted for _ in range(count)]
    runs = tuple(PackRun(f"{name} {number}", length) for number, length in enumerate(lengths))
    return Problem(stock=name, section_mm=section_mm, radius_mm=0, runs=runs, least_mm=0, rule="fewest")


def counted_items(text):
    return [(int(length), int(count or 1)) for length, count in re.findall(r"(\d+)(?:x(\d+))?", text)]


def exercise(key):
    return next(row for row in rows(SHARED / "trade" / "worked_examples.csv") if row["id"] == key)


@cache
def planned(file):
    """Every instance of a file with its plan."""
    return [
        (row, pack(square_problem(row["name"], int(row["capacity"]), counted_items(row["items"]))))
        for row in rows(SHARED / "packing" / file)
    ]


@pytest.mark.parametrize(("file", "instances"), [("falkenauer_uniform.csv", 60), ("scholl_1.csv", 360)])
def test_no_bound_is_above_and_no_plan_below_the_best_known(file, instances):
    assert len(planned(file)) == instances
    for row, plan in planned(file):
        assert plan.at_least <= int(row["lower"]) <= int(row["upper"]) <= plan.bought, row["name"]
        if plan.proven:
            assert plan.bought == int(row["upper"]), row["name"]


def test_most_of_the_published_instances_are_solved_and_many_proven():
    """Of 360: best known values are reached in 338, and the plan's own bound proves 266."""
    found = planned("scholl_1.csv")
    assert sum(plan.bought == int(row["upper"]) for row, plan in found) >= 330
    assert sum(plan.proven for _, plan in found) >= 260


def test_thirteen_widths_from_5600_mm():
    """D17: 73 stock pieces are least."""
    row = exercise("D17")
    section, items = 5600, counted_items(row["given"])
    assert str(section) in row["drawing"]
    assert sum(length * count for length, count in items) == 407160  # printed with the answer
    plan = pack(square_problem("D17", section, items))
    assert row["published_answer"].startswith("73;")
    assert plan.at_least <= 73 <= plan.bought <= 75


def test_nineteen_pieces_of_3_ft_from_10_ft():
    """D18: 7 stock lengths of 10 ft; in inches."""
    row = exercise("D18")
    assert row["exact_value"] == "7"
    assert row["given"] == "19 pieces of 3 ft from 10 ft"
    plan = pack(square_problem("D18", 120, [(36, 19)]))
    assert plan.bought == plan.at_least == 7
    assert plan.proven
