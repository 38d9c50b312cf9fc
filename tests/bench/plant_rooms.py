"""Invented plant rooms for benchmarks: the runs of one stock, drawn by a seed.

Lengths are lognormal with a median of 1.1 m, cut to 0.1-8 m, and 60 % of all ends are mitred at 45 degrees, as between
two halves of a bend. The same seed, number and diameter give the same runs, whatever is asked of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from math import exp, log
from random import Random

from layoutest.pack.pieces import can_be_cut
from layoutest.pack.problem import SQUARE, PackRun, Problem, Rule

DIAMETERS_MM = (72.0, 88.0, 98.0, 116.0, 140.0, 168.3)
_SECTION_PRICE = Decimal("11.85")
_MITRE_DEG = 45.0
_MITRED = 0.6
_MEDIAN_MM, _SIGMA = 1100.0, 0.95
_SHORTEST_MM, _LONGEST_MM = 100, 8000


def plant_room(seed: int, runs: int, diameter_mm: float, joint_price: Decimal, rule: Rule) -> Problem:
    """So many runs of a stock of this covered diameter; what no section can make is drawn again."""
    chance, blank = Random(f"{seed} {runs} {diameter_mm}"), _blank(seed, diameter_mm, joint_price, rule)
    drawn: list[PackRun] = []
    while len(drawn) < runs:
        length_mm = round(exp(chance.gauss(log(_MEDIAN_MM), _SIGMA)))
        run = PackRun(f"R{len(drawn) + 1}", min(max(length_mm, _SHORTEST_MM), _LONGEST_MM), _ends_deg(chance))
        if can_be_cut(blank, run):
            drawn.append(run)
    return replace(blank, runs=tuple(drawn))


def mitred_room(seed: int, lengths_mm: Sequence[int], diameter_mm: float, joint_price: Decimal, rule: Rule) -> Problem:
    """Runs of given lengths with ends drawn like those of a plant room, again where no section can make a run."""
    chance, blank = Random(f"{seed} {diameter_mm}"), _blank(seed, diameter_mm, joint_price, rule)
    drawn: list[PackRun] = []
    while len(drawn) < len(lengths_mm):
        run = PackRun(f"R{len(drawn) + 1}", lengths_mm[len(drawn)], _ends_deg(chance))
        if can_be_cut(blank, run):
            drawn.append(run)
    return replace(blank, runs=tuple(drawn))


def _blank(seed: int, diameter_mm: float, joint_price: Decimal, rule: Rule) -> Problem:
    return Problem(
        stock=f"{diameter_mm:g} mm, seed {seed}",
        section_mm=1000,
        radius_mm=diameter_mm / 2,
        runs=(),
        kerf_mm=2,
        rule=rule,
        section_price=_SECTION_PRICE,
        joint_price=joint_price,
    )


def _ends_deg(chance: Random) -> tuple[float, float]:
    first, last = (_MITRE_DEG if chance.random() < _MITRED else SQUARE for _ in range(2))
    return first, last
