"""Lay pieces into a given number of sections one after another, split where a section ends.

A search in depth with a limited number of steps: first what wastes least, then the longest. A piece that does not fit
is split with a square cut, if both halves stay long enough, and its second half begins the next section.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.pieces import least_piece_mm
from layoutest.pack.problem import SQUARE
from layoutest.pack.row import Part, Row, between_mm, ends_of, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.pack.problem import Problem

_BRANCHES = 3
_SPARE_STEPS = 100
_MOST_PARTS = 150


class _Place(NamedTuple):
    """Where the next piece would begin: the section's number, how much of it is used, and the open end's angle."""

    section: int
    used_mm: int
    open_deg: float


class _Move(NamedTuple):
    """A piece, whole or its first half, laid at the open end; what it wastes; where it leaves off; its second half."""

    wasted_mm: int
    minus_length_mm: int
    number: int
    turned: bool
    part: Part
    place: _Place
    second: Part | None


def refilled(problem: Problem, parts: Sequence[Part], sections: int) -> list[Row] | None:
    """Rows that hold all the parts in at most so many bought sections, or None."""
    # None is also the answer for more parts than a search in depth should hold.
    if len(parts) > _MOST_PARTS:
        return None
    search = _Search(problem, sections, 3 * len(parts) + _SPARE_STEPS)
    waiting = sorted(parts, key=lambda part: (-part.length_mm, part))
    found = search.lay(_Place(0, 0, SQUARE), waiting)
    return [row for row in search.rows if row] if found else None


class _Search:
    """The rows so far, and the steps left."""

    def __init__(self, problem: Problem, sections: int, steps: int) -> None:
        self._problem, self._sections, self._steps = problem, sections, steps
        self.rows: list[Row] = [[] for _ in range(sections)]

    def lay(self, place: _Place, waiting: list[Part]) -> bool:
        """Lay what waits from a place on; True when all of it lies."""
        if not waiting:
            return True
        room = (self._sections - place.section) * self._problem.section_mm - place.used_mm
        if place.section >= self._sections or sum(part.length_mm for part in waiting) > room:
            return False
        for move in self._moves(place, waiting):
            self._steps -= 1
            if self._steps < 0:
                return False
            self.rows[place.section].append((move.part, move.turned))
            rest = waiting[: move.number] + waiting[move.number + 1 :]
            if self._after(move, rest):
                return True
            self.rows[place.section].pop()
        return bool(place.used_mm) and self.lay(_Place(place.section + 1, 0, SQUARE), waiting)

    def _after(self, move: _Move, waiting: list[Part]) -> bool:
        if move.second is None:
            return self.lay(move.place, waiting)
        if move.place.section >= self._sections:
            return False
        way = self._way(move.place, -1, move.second, move.turned)
        if way is None:
            return False
        self.rows[move.place.section].append((way.part, way.turned))
        if self._after(way, waiting):
            return True
        self.rows[move.place.section].pop()
        return False

    def _moves(self, place: _Place, waiting: list[Part]) -> list[_Move]:
        moves, seen = [], set()
        for index, part in enumerate(waiting):
            ends = ends_of(self._problem.runs[part.run], part, turned=False)
            for turned in (False, True) if ends[0] != ends[1] else (False,):
                kind = (part.length_mm, ends[turned], ends[not turned])
                if kind not in seen:
                    seen.add(kind)
                    move = self._way(place, index, part, turned)
                    if move is not None:
                        moves.append(move)
        room = self._problem.section_mm - place.used_mm
        return sorted(move for move in moves if move.wasted_mm < room)[:_BRANCHES]

    def _way(self, place: _Place, index: int, part: Part, turned: bool) -> _Move | None:  # noqa: FBT001
        problem = self._problem
        left, right = ends_of(problem.runs[part.run], part, turned)
        lost, cut = between_mm(problem, place.open_deg, left) if place.used_mm else (self._wedge(left), 0)
        start = place.used_mm + lost + cut
        room = problem.section_mm - start - part.length_mm
        if room >= self._wedge(right):
            behind = room - problem.kerf_mm
            wasted = lost + (room if behind < problem.least_mm else 0)
            there = _Place(place.section, start + part.length_mm, right)
            return _Move(wasted, -part.length_mm, index, turned, part, there, None)
        first_mm = self._first_half_mm(part, left, right, problem.section_mm - start)
        if first_mm is None:
            return None
        first, second = _halves(part, first_mm, turned)
        wasted, there = problem.section_mm - place.used_mm - cut - first_mm, _Place(place.section + 1, 0, SQUARE)
        return _Move(wasted, -part.length_mm, index, turned, first, there, second)

    def _first_half_mm(self, part: Part, left_deg: float, right_deg: float, room_mm: int) -> int | None:
        """Longest left half that the room takes, if both halves can then be long enough."""
        problem, run = self._problem, self._problem.runs[part.run]
        first_mm = min(room_mm, part.length_mm - least_piece_mm(problem, run, SQUARE, right_deg))
        legal = not run.one_piece and first_mm >= least_piece_mm(problem, run, left_deg, SQUARE)
        return first_mm if legal else None

    def _wedge(self, angle_deg: float) -> int:
        return wedge_mm(self._problem.radius_mm, angle_deg)


def _halves(part: Part, first_mm: int, turned: bool) -> tuple[Part, Part]:  # noqa: FBT001
    """The left half of a part and the right, as it lies."""
    rest_mm = part.length_mm - first_mm
    if turned:
        left = Part(part.run, first_mm, at_start=False, at_end=part.at_end)
        return left, Part(part.run, rest_mm, at_start=part.at_start, at_end=False)
    left = Part(part.run, first_mm, at_start=part.at_start, at_end=False)
    return left, Part(part.run, rest_mm, at_start=False, at_end=part.at_end)
