"""Bounds and plans against published one-dimensional packing instances and two published exercises.

Sources: Falkenauer (1996) and Scholl, Klein and Jürgens (1997) as named in the first lines of the files, with best
known values (those of data set 1 all proven optimal); the exercises D17 and D18 as named in their table.
"""

from __future__ import annotations

import csv
import re
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


def planned(file, every):
    """Every so-many-th instance of a file with its plan."""
    return [
        (row, pack(square_problem(row["name"], int(row["capacity"]), counted_items(row["items"]))))
        for row in rows(SHARED / "packing" / file)[::every]
    ]


@pytest.mark.parametrize(
    ("file", "every", "instances"),
    [
        ("falkenauer_uniform.csv", 1, 60),
        ("scholl_1.csv", 1, 360),
        ("scholl_2.csv", 4, 60),
        ("scholl_3.csv", 4, 2),
    ],
)
def test_the_best_known_value_is_reached_and_proven(file, every, instances):
    found = planned(file, every)
    assert len(found) == instances
    for row, plan in found:
        assert int(row["lower"]) == int(row["upper"]) == plan.bought == plan.at_least, row["name"]
        assert plan.proven


def test_triplets_are_at_most_one_section_above_the_best_known_value():
    """Every optimum fills every section exactly: the hardest for a search, and the bound is known at once."""
    found = planned("falkenauer_triplets.csv", 8)
    assert len(found) == 10
    for row, plan in found:
        assert plan.at_least == int(row["lower"]) <= plan.bought <= int(row["upper"]) + 1, row["name"]
    assert sum(plan.proven for _, plan in found) >= 5


def test_thirteen_widths_from_5600_mm():
    """D17: 73 stock pieces are least."""
    row = exercise("D17")
    section, items = 5600, counted_items(row["given"])
    assert str(section) in row["drawing"]
    assert sum(length * count for length, count in items) == 407160  # printed with the answer
    plan = pack(square_problem("D17", section, items))
    assert row["published_answer"].startswith("73;")
    assert plan.at_least == 73 == plan.bought
    assert plan.proven


def test_nineteen_pieces_of_3_ft_from_10_ft():
    """D18: 7 stock lengths of 10 ft; in inches."""
    row = exercise("D18")
    assert row["exact_value"] == "7"
    assert row["given"] == "19 pieces of 3 ft from 10 ft"
    plan = pack(square_problem("D18", 120, [(36, 19)]))
    assert plan.bought == plan.at_least == 7
    assert plan.proven
