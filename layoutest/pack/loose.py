"""The row rule from below: what no row of some pieces can do better than, for bounds.

Where a stock has one mitre angle this is the row rule itself. With several, wedges are rounded up one by one in a real
row, so here each step between neighbouring levels counts a little less than it may cost; mitres without a level count
as the level nearest to them, at no distance.
"""

from __future__ import annotations

from itertools import combinations_with_replacement, pairwise
from math import floor, radians, tan
from typing import TYPE_CHECKING

from layoutest.pack.problem import SQUARE
from layoutest.pack.row import ROUNDING_MM, SAME_ANGLE_DEG, both_wedges_mm, kerf_at_mm, shared_gap_mm, wedge_mm
from layoutest.pack.shape import Shapes, joined_levels

if TYPE_CHECKING:
    from layoutest.pack.problem import Problem

_State = tuple[tuple[bool, ...], tuple[int, ...]]


class LooseShapes(Shapes):
    """Levels and states as `Shapes` has them, with weights no greater and slacks no smaller than any row's.

    `slack2[state]` is for one section. `chain_slack2[state]` is for pieces of runs that share several sections with one
    joint fewer than sections: a joint can be healed without a new gap, so together they pay no less than one long row;
    a section then counts `section2`.
    """

    def __init__(self, problem: Problem) -> None:
        self.chain_slack2: list[int] = []
        self._mitres = sorted({end for run in problem.runs for end in run.ends_deg if end > SQUARE})
        super().__init__(problem)
        # Were a slanted kerf longer than its wedge, a mitre at a factory end would save something.
        self.section2 = 2 * problem.section_mm + 2 * sum(max(0, -cost) for cost in self._at_end2)

    def _steps2(self) -> list[int]:
        spans = [self._span(level) for level in range(len(self._level_deg))]
        kerf = self._problem.kerf_mm
        self._most_kerf = [kerf_at_mm(kerf, high) for _, high in spans]
        self._gap2 = [self._gap_of2(low, high) for (_, low), (high, _) in pairwise(spans)]
        grown = [after - before for before, after in pairwise(self._most_kerf)]
        self._at_end2 = [gap - more for gap, more in zip(self._gap2, grown, strict=True)]
        more = [kerf_at_mm(kerf, high) - kerf_at_mm(kerf, low) for (_, low), (high, _) in pairwise(spans)]
        return [gap + extra for gap, extra in zip(self._gap2, more, strict=True)]

    def _span(self, level: int) -> tuple[float, float]:
        """Lowest and highest of all angles that count as a level."""
        near = [angle for angle in self._mitres if self._nearest(angle) == level]
        return min(near, default=SQUARE), max(near, default=SQUARE)

    def _nearest(self, angle_deg: float) -> int:
        """The mitre level that is next to an angle; 0 for a square end and where mitres have no levels."""
        if angle_deg <= SQUARE or len(self._level_deg) == 1:
            return 0
        away = [max(low - angle_deg, angle_deg - high) for low, high in self._level_deg[1:]]
        return 1 + away.index(min(away))

    def _gap_of2(self, low_deg: float, high_deg: float) -> int:
        radius = self._problem.radius_mm
        if len(self._level_deg) == 2:
            return 2 * shared_gap_mm(radius, low_deg, high_deg)
        if high_deg - low_deg <= 2 * SAME_ANGLE_DEG:
            return 0
        return max(0, floor(2 * (radius * (tan(radians(high_deg)) - tan(radians(low_deg))) - ROUNDING_MM)))

    def _end(self, angle_deg: float) -> tuple[int, int]:
        kerf = kerf_at_mm(self._problem.kerf_mm, angle_deg)
        if not self._problem.slit_in_line:
            return self._nearest(angle_deg), kerf
        return 0, kerf + self._in_line2(angle_deg)

    def _in_line2(self, angle_deg: float) -> int:
        """What a mitre costs at least wherever it lies: its wedge, perhaps rounded together with another's."""
        radius = self._problem.radius_mm
        if len(self._mitres) == 1:
            return min(2 * wedge_mm(radius, angle_deg), both_wedges_mm(radius, angle_deg, angle_deg))
        return max(0, floor(2 * (radius * tan(radians(angle_deg)) - ROUNDING_MM)))

    def _slack2(self, key: _State) -> int:
        if self._problem.slit_in_line:
            most = max(kerf_at_mm(self._problem.kerf_mm, angle) for angle in (SQUARE, *self._mitres))
            self.chain_slack2.append(2 * most)
            return 2 * most
        self.chain_slack2.append(2 * self._most_kerf[0] - _idle2(key, [max(0, cost) for cost in self._at_end2]))
        used = [0] + [level for level, label in enumerate(key[1]) if label >= 0 and level > 0]
        gains = [kerf - sum(self._gap2[:level]) for level, kerf in enumerate(self._most_kerf)]
        return max(
            gains[one] + gains[other] - _idle2(_jumped(key, one, other), self._step2)
            for one, other in combinations_with_replacement(used, 2)
        )


def _jumped(key: _State, *levels: int) -> _State:
    """A state after idle jumps from the factory ends to some levels."""
    odd, group = key
    for level in levels:
        odd = tuple(was != (place < level) for place, was in enumerate(odd))
        for passed in range(level):
            group = joined_levels(group, passed, passed + 1)
    return odd, group


def _idle2(key: _State, cost2: list[int]) -> int:
    """Least cost of the idle steps that close a walk: once where an odd number crosses, twice to join what is apart."""
    odd, group = key
    used = [0] + [level for level, label in enumerate(group) if label >= 0 and level > 0]
    total, labels = 0, list(group)
    labels[0] = labels[0] if labels[0] >= 0 else len(labels)
    for place, crossed in enumerate(odd):
        if crossed:
            total += cost2[place]
            for level in (place, place + 1):
                labels[level] = labels[level] if labels[level] >= 0 else 2 * len(labels) + level
            _same(labels, place, place + 1)
    spans = [
        (sum(0 if odd[place] else cost2[place] for place in range(low, high)), low, high)
        for low, high in pairwise(used)
    ]
    for span2, low, high in sorted(spans):
        if labels[low] != labels[high]:
            total += 2 * span2
            _same(labels, low, high)
    return total


def _same(labels: list[int], one: int, other: int) -> None:
    old, new = labels[other], labels[one]
    labels[:] = [new if label == old else label for label in labels]
