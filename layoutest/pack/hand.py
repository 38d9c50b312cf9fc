"""What careful cutting by hand would take.

Runs in drawing order, each cut into whole sections and one remainder; a remainder comes from the first offcut that
fits, in the order in which offcuts came to be (those in the van before all), else from a new section. Both halves of a
mitre come from one cut where the offcut's end has that angle already.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.draft import Draft, Share
from layoutest.pack.problem import SQUARE
from layoutest.pack.row import ends_of, kerf_at_mm, shared_gap_mm, wedge_mm

if TYPE_CHECKING:
    from decimal import Decimal

    from layoutest.pack.problem import Problem
    from layoutest.pack.row import Part, Row
    from layoutest.pack.shape import Shapes

_NONE = -1
_UNCUT = -1


class _FirstFit:
    """The first of many numbered rooms that is at least so large: a tree of maxima, O(log n) a question."""

    def __init__(self, size: int) -> None:
        self._leaves = 1 << max(0, size - 1).bit_length()
        self._most = [_NONE] * (2 * self._leaves)

    def put(self, number: int, room_mm: int) -> None:
        most, node = self._most, self._leaves + number
        most[node] = room_mm
        while node > 1:
            larger = max(most[node], most[node ^ 1])
            node >>= 1
            if most[node] == larger:
                return
            most[node] = larger

    def first(self, need_mm: int) -> int | None:
        if self._most[1] < need_mm:
            return None
        node = 1
        while node < self._leaves:
            node *= 2
            node += self._most[node] < need_mm
        return node - self._leaves

    def room(self, number: int) -> int:
        return self._most[self._leaves + number]


def by_hand(problem: Problem, shapes: Shapes, parts: list[Part], van: tuple[tuple[int, Decimal], ...] = ()) -> Draft:
    """Cut the fixed pieces of all runs, in drawing order, as a careful hand would.

    Args:
        problem: the stock and its runs.
        shapes: its levels.
        parts: the fixed pieces, run after run in drawing order.
        van: length and value of every offcut that may be used.
    """
    bench = _Bench(problem, shapes, [length for length, _ in van], len(parts))
    for part in parts:
        if part.length_mm == problem.section_mm:
            bench.rows.append([(part, False)])
        else:
            bench.cut(part)
    lengths: list[tuple[int, Decimal | None]] = [*van, *[(problem.section_mm, None)] * (len(bench.rows) - len(van))]
    return [
        Share(length, value, tuple(part for part, _ in row), tuple(row))
        for (length, value), row in zip(lengths, bench.rows, strict=True)
        if row
    ]


class _Way(NamedTuple):
    """How a part may lie at an open end of a level: its left angle, and what is lost there and at both of its ends."""

    level: int
    turned: bool
    left_deg: float
    lost_mm: int
    waste_mm: int


class _Bench:
    """The open offcuts, by the level of their open end; one from the van is uncut."""

    def __init__(self, problem: Problem, shapes: Shapes, van_mm: list[int], most_new: int) -> None:
        self._problem, self._shapes, self._size = problem, shapes, len(van_mm) + most_new
        self._open: dict[int, _FirstFit] = {}
        self._ways: dict[tuple[float, float], list[_Way]] = {}
        self.rows: list[Row] = [[] for _ in van_mm]
        for number, length in enumerate(van_mm):
            self._put(_UNCUT, number, length)

    def cut(self, part: Part) -> None:
        """Cut one part from the first offcut that takes it, else from a new section."""
        ends = ends_of(self._problem.runs[part.run], part, turned=False)
        found = self._first(part.length_mm, ends)
        if found:
            number, _, _, turned, level = found
            room = self._open[level].room(number)
        else:
            # The squarer end first: it wastes least at the end of a new section.
            number, room, turned, level = len(self.rows), self._problem.section_mm, ends[1] < ends[0], _UNCUT
            self.rows.append([])
        self.rows[number].append((part, turned))
        left, right = ends[turned], ends[not turned]
        behind, room = self._behind(room - self._lost_mm(level, left) - part.length_mm, right)
        if found and behind != level:
            self._put(level, number, _NONE)
        self._put(behind, number, room)

    def _first(self, length_mm: int, ends: tuple[float, float]) -> tuple[int, int, float, bool, int] | None:
        """The first offcut that takes a part: its number, what is lost, the left angle, if turned, and its level."""
        if ends not in self._ways:
            self._ways[ends] = self._ways_of(ends)
        found = [
            (number, way.lost_mm, way.left_deg, way.turned, way.level)
            for way in self._ways[ends]
            if way.level in self._open and (number := self._open[way.level].first(length_mm + way.waste_mm)) is not None
        ]
        return min(found, default=None)

    def _ways_of(self, ends: tuple[float, float]) -> list[_Way]:
        ways = []
        for level in (_UNCUT, *range(self._shapes.levels)):
            for turned in (False, True) if ends[0] != ends[1] else (False,):
                left, right = ends[turned], ends[not turned]
                lost = self._lost_mm(level, left)
                ways.append(_Way(level, turned, left, lost, lost + wedge_mm(self._problem.radius_mm, right)))
        return ways

    def _lost_mm(self, level: int, left_deg: float) -> int:
        problem, own = self._problem, kerf_at_mm(self._problem.kerf_mm, left_deg)
        if level == _UNCUT:
            return wedge_mm(problem.radius_mm, left_deg)
        if level == 0:
            return wedge_mm(problem.radius_mm, left_deg) + own
        kerf = max(self._shapes.kerf_mm(level), own)
        if self._shapes.end(left_deg)[0] == level:
            return kerf
        return kerf + max(shared_gap_mm(problem.radius_mm, deg, left_deg) for deg in self._shapes.angles(level))

    def _behind(self, room_mm: int, open_deg: float) -> tuple[int, int]:
        """Level of the offcut behind an end, and its room, which may be none."""
        level = self._shapes.end(open_deg)[0]
        if level == 0 and open_deg > SQUARE:
            kerf = kerf_at_mm(self._problem.kerf_mm, open_deg) - self._problem.kerf_mm
            room_mm -= wedge_mm(self._problem.radius_mm, open_deg) + kerf
        return level, room_mm

    def _put(self, level: int, number: int, room_mm: int) -> None:
        if level not in self._open:
            self._open[level] = _FirstFit(self._size)
        self._open[level].put(number, room_mm)
