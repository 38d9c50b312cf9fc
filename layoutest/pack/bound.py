"""Costs and numbers of sections that no plan can go below, in exact arithmetic.

Whatever lies in one section of length W weighs at most 2·W plus a slack (half-millimetres; the row rule with every
wedge between pieces left out and those at the ends counted at their least). A dual feasible function f turns that into
a count: the f of the pieces of one section sum to at most f of its capacity. Functions used: the length itself,
thresholds (Martello and Toth 1990, Lower bounds and reduction procedures for the bin packing problem), rounding
(Fekete and Schepers 2001, New classes of fast lower bounds for bin packing problems) and its variant of Carlier,
Clautiaux and Moukrim (2007). All are superadditive, so an offcut from the van counts for f of its own capacity.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from functools import partial
from itertools import accumulate
from math import floor, radians, tan
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.pieces import fixed_parts, wedges_mm
from layoutest.pack.problem import SQUARE, Offcut, Problem
from layoutest.pack.row import ROUNDING_MM, both_wedges_mm, ends_of, kerf_at_mm, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from layoutest.pack.row import Part

_ROUNDINGS = 12
_THRESHOLDS = 400


class Bound(NamedTuple):
    """What no plan can go below: bought sections, and cost."""

    at_least: int
    cost: Decimal


class _Demand(NamedTuple):
    """What is to be covered under one function, and what a section and each kind of van offcut give to it."""

    need: int
    section: int
    van: tuple[tuple[int, Offcut], ...]


def bound_of(problem: Problem, parts: Sequence[Part] | None = None) -> Bound:
    """The best bound at hand for a problem under its rule.

    Args:
        problem: every run must be one that sections can make; prices and values are not negative.
        parts: the fixed pieces of `fewest`, if they are made already; unused under `priced`.
    """
    bound = _priced(problem) if problem.rule == "priced" else _fewest(problem, parts)
    return Bound(bound.at_least, _payable(problem, bound.cost))


def _payable(problem: Problem, cost: Decimal) -> Decimal:
    """The least amount from a cost on that sums of the prices can make: none has more decimals than they have."""
    prices = problem.section_price, problem.joint_price, *(offcut.value for offcut in problem.van)
    finest = min([0, *(int(price.as_tuple().exponent) for price in prices)])
    return cost.quantize(Decimal(1).scaleb(finest), rounding=ROUND_CEILING)


def _fewest(problem: Problem, parts: Sequence[Part] | None) -> Bound:
    """The pieces are fixed: the best of the functions named above."""
    fixed = fixed_parts(problem) if parts is None else parts
    at_least, cost = 0, Decimal(0)
    for demand in _demands(problem, fixed):
        low, high = _range(demand)
        at_least = max(at_least, low)
        cost = max(cost, min(_bought_cost(problem, demand, bought) for bought in range(low, high + 1)))
    joints = (len(fixed) - len(problem.runs)) * problem.joint_price
    return Bound(at_least, max(cost, at_least * problem.section_price) + joints)


def _priced(problem: Problem) -> Bound:
    """Runs may be cut anywhere: their lengths count, and the joints of long runs and of lines of runs.

    Runs that share m sections have at least m − 1 joints. What a run weighs beyond the whole sections that it needs in
    any case is its residue; runs that share m sections more than those have at most 2·m − 1 residues over a half.
    So joints and sections together are at least the residues over a half and twice the whole sections.
    """
    ends = _Ends(problem, (end for run in problem.runs for end in (SQUARE, *run.ends_deg)))
    capacity2, kerf2 = ends.capacity2(problem.section_mm), 2 * problem.kerf_mm
    longest = max([problem.section_mm, *(offcut.length_mm for offcut in problem.van)])
    need = joints = together = 0
    for run in problem.runs:
        weight = 2 * run.length_mm + sum(ends.weight2(end) for end in run.ends_deg)
        with_wedges = run.length_mm + sum(max(0, wedge - 1) for wedge in wedges_mm(problem, run))
        own = 1 if run.one_piece else _up(with_wedges, longest)
        need, joints = need + weight + (own - 1) * kerf2, joints + own - 1
        whole = min(own, _up(weight, capacity2 - kerf2)) - 1
        together += 2 * whole + (2 * (weight - whole * (capacity2 - kerf2)) > capacity2)
    demand = _Demand(need, capacity2, tuple((ends.capacity2(offcut.length_mm), offcut) for offcut in problem.van))
    low, high = _range(demand)
    if longest > problem.section_mm:
        together = 0
    together -= sum(offcut.count for offcut in problem.van)
    cost = min(
        _bought_cost(problem, demand, bought) + max(joints, together - bought) * problem.joint_price
        for bought in range(low, max(high, together - joints) + 1)
    )
    return Bound(low, cost)


class _Ends:
    """What an end weighs at least, in half-millimetres: half its kerf and, where the slit stays in line, its wedge."""

    def __init__(self, problem: Problem, ends_deg: Iterable[float]) -> None:
        self._problem, angles = problem, sorted(set(ends_deg))
        mitres = [angle for angle in angles if angle > SQUARE]
        self._alone = len(mitres) == 1
        self._slack2 = max((self._saved2(angle) for angle in angles), default=0)

    def weight2(self, angle_deg: float) -> int:
        """Least weight of an end wherever it lies but at the end of a section."""
        return kerf_at_mm(self._problem.kerf_mm, angle_deg) + self._in_line2(angle_deg)

    def capacity2(self, length_mm: int) -> int:
        """Most that lies in a section of this length."""
        return 2 * length_mm + 2 * self._slack2

    def _saved2(self, angle_deg: float) -> int:
        return self.weight2(angle_deg) - 2 * wedge_mm(self._problem.radius_mm, angle_deg)

    def _in_line2(self, angle_deg: float) -> int:
        radius = self._problem.radius_mm
        if not self._problem.slit_in_line:
            return 0
        if self._alone:
            wedge = wedge_mm(radius, angle_deg)
            return min(2 * wedge, both_wedges_mm(radius, angle_deg, angle_deg))
        return max(0, floor(2 * (radius * tan(radians(angle_deg)) - ROUNDING_MM)))


def _demands(problem: Problem, parts: Sequence[Part]) -> Iterator[_Demand]:
    """The demand of the fixed pieces under every function that is tried."""
    runs = problem.runs
    sides = [ends_of(runs[part.run], part, turned=False) for part in parts]
    ends = _Ends(problem, (end for side in sides for end in side))
    count = Counter(
        2 * part.length_mm + ends.weight2(left) + ends.weight2(right)
        for part, (left, right) in zip(parts, sides, strict=True)
    )
    section = ends.capacity2(problem.section_mm)
    van = [(ends.capacity2(offcut.length_mm), offcut) for offcut in problem.van]
    base = max([section, *(capacity for capacity, _ in van)])
    weights = sorted(count)
    for need, function in (*_thresholds(count, weights, base), *_roundings(count, base)):
        if function(section) > 0:
            yield _Demand(need, function(section), tuple((function(max(0, size)), offcut) for size, offcut in van))


def _thresholds(count: Counter[int], weights: list[int], base: int) -> Iterator[tuple[int, Callable[[int], int]]]:
    """At a threshold e, what is over base − e counts whole and what is under e nothing; e = 0 is the length itself."""
    number = [0, *accumulate(count[weight] for weight in weights)]
    total = [0, *accumulate(weight * count[weight] for weight in weights)]
    below_half = [weight for weight in weights if 2 * weight <= base]
    stride = max(1, len(below_half) // _THRESHOLDS)
    for least in (0, *below_half[::stride]):
        low, high = bisect_left(weights, least), bisect_right(weights, base - least)
        need = base * (number[-1] - number[high]) + total[high] - total[low]
        yield need, partial(_threshold, base, least)


def _threshold(base: int, least: int, size: int) -> int:
    if size > base - least:
        return base
    return size if size >= least else 0


def _roundings(count: Counter[int], base: int) -> Iterator[tuple[int, Callable[[int], int]]]:
    """Lengths rounded to parts of the base, in the two ways named above."""
    for parts in range(1, _ROUNDINGS + 1):
        for function in (partial(_rounded, base, parts), partial(_rounded_to, base, base // (parts + 2) + 1)):
            yield sum(function(weight) * number for weight, number in count.items()), function


def _rounded(base: int, parts: int, size: int) -> int:
    share, rest = divmod((parts + 1) * size, base)
    return base * share if rest else parts * size


def _rounded_to(base: int, least: int, size: int) -> int:
    whole = base // least
    if 2 * size > base:
        return 2 * (whole - (base - size) // least)
    return whole if 2 * size == base else 2 * (size // least)


def _range(demand: _Demand) -> tuple[int, int]:
    """Fewest bought sections, with all van offcuts used, and without any."""
    from_van = sum(gives * offcut.count for gives, offcut in demand.van)
    return _up(max(0, demand.need - from_van), demand.section), _up(max(0, demand.need), demand.section)


def _bought_cost(problem: Problem, demand: _Demand, bought: int) -> Decimal:
    """Least cost of so many bought sections and the van offcuts that must give the rest."""
    return bought * problem.section_price + _van_cost(demand, demand.need - bought * demand.section)


def _van_cost(demand: _Demand, need: int) -> Decimal:
    """The cheapest van offcuts that cover a need, the last in part; at least as many as cover it at the least value.

    In money to 12 decimals, rounded down.
    """
    if need <= 0:
        return Decimal(0)
    useful = [(gives, offcut) for gives, offcut in demand.van if gives > 0 and offcut.count > 0]
    cheapest, uncovered = Fraction(0), Fraction(need)
    for gives, offcut in sorted(useful, key=lambda kind: Fraction(kind[1].value) / kind[0]):
        share = min(uncovered / gives, Fraction(offcut.count))
        cheapest, uncovered = cheapest + share * Fraction(offcut.value), uncovered - share * gives
    fewest, left = 0, need
    for gives, offcut in sorted(useful, key=lambda kind: -kind[0]):
        taken = min(max(0, _up(left, gives)), offcut.count)
        fewest, left = fewest + taken, left - taken * gives
    by_number = fewest * min((offcut.value for _, offcut in useful), default=Decimal(0))
    return max(by_number, Decimal(floor(cheapest * 10**12)).scaleb(-12))


def _up(amount: int, unit: int) -> int:
    """Units that cover an amount."""
    return -(-amount // unit)
