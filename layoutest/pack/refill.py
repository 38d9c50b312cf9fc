"""Lay pieces into a given number of sections one after another, split where a section ends.

A search in depth with a limited number of steps: first what wastes least, then the longest. A piece that does not fit
is split with a square cut, if both halves stay long enough, and its second half begins the next section.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.pieces import least_piece_mm
from layoutest.pack.problem import SQUARE
from layoutest.pack.row import Part, Row, ends_of, meeting_mm, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.pack.problem import Problem

_BRANCHES = 3
_SPARE_STEPS = 60
_MOST_PARTS = 150
_AS_RUN, _TURNED = False, True


class _Place(NamedTuple):
    """Where the next piece would begin: the section's number, how much of it is used, and the open end's angle."""

    section: int
    used_mm: int
    open_deg: float


class _Way(NamedTuple):
    """How parts that are alike lie: their ends, the wedge of the right one, and what halves of them must have.

    `kind` numbers the likes, longest first. `least_mm` is for a first half, a middle and a last; None forbids halves.
    """

    kind: int
    turned: bool
    length_mm: int
    left_deg: float
    right_deg: float
    wedge_mm: int
    least_mm: tuple[int, int, int] | None


_Move = tuple[int, int, int, int, int]
"""What is wasted, minus the length, the number of the way, where it begins, and how long its first half is, or 0."""


def refilled(problem: Problem, parts: Sequence[Part], sections: int) -> list[Row] | None:
    """Rows that hold all the parts in at most so many bought sections, or None."""
    # None is also the answer for more parts than a search in depth should hold.
    if len(parts) > _MOST_PARTS:
        return None
    search = _Search(problem, parts, sections)
    return [row for row in search.rows if row] if search.found else None


class _Search:
    """The rows so far, the parts that wait, by kind, and the steps left."""

    def __init__(self, problem: Problem, parts: Sequence[Part], sections: int) -> None:
        self._problem, self._sections, self._steps = problem, sections, len(parts) + _SPARE_STEPS
        self._blade = problem.radius_mm, problem.kerf_mm, problem.slit_in_line
        self._seen: set[tuple[_Place, tuple[int, ...]]] = set()
        self.rows: list[Row] = [[] for _ in range(sections)]
        self._waiting: list[list[Part]] = []
        self._ways: list[_Way] = []
        likes: defaultdict[tuple[int, float, float, tuple[int, int, int] | None], list[Part]] = defaultdict(list)
        for part in sorted(parts, reverse=True):
            ends = ends_of(problem.runs[part.run], part, turned=False)
            likes[-part.length_mm, *ends, _least_mm(problem, part, ends)].append(part)
        for minus_mm, left, right, least in sorted(likes, key=lambda like: like[:3]):
            kind = len(self._waiting)
            self._waiting.append(likes[minus_mm, left, right, least])
            self._ways.append(_Way(kind, _AS_RUN, -minus_mm, left, right, self._wedge(right), least))
            if left != right:
                turned = least and least[::-1]
                self._ways.append(_Way(kind, _TURNED, -minus_mm, right, left, self._wedge(left), turned))
        needed_mm = sum(part.length_mm + problem.kerf_mm for part in parts)
        self.found = self._lay(_Place(0, 0, SQUARE), needed_mm)

    def _lay(self, place: _Place, needed_mm: int) -> bool:
        """Lay what waits, which needs so much with a kerf each, from a place on; True when all of it lies."""
        if not needed_mm:
            return True
        section_mm, kerf_mm, left = self._problem.section_mm, self._problem.kerf_mm, self._sections - place.section
        # The first piece of a section needs no kerf.
        if needed_mm > left * (section_mm + kerf_mm) - place.used_mm - (kerf_mm if place.used_mm else 0):
            return False
        state = (place, tuple(map(len, self._waiting)))
        if state in self._seen:
            return False
        self._seen.add(state)
        for _, minus_mm, number, start, first in self._moves(place):
            self._steps -= 1
            if self._steps < 0:
                return False
            way = self._ways[number]
            part = self._waiting[way.kind].pop()
            if self._put(place.section, way, part, (start, first), needed_mm + minus_mm - kerf_mm):
                return True
            self._waiting[way.kind].append(part)
        return place.used_mm > 0 and self._lay(_Place(place.section + 1, 0, SQUARE), needed_mm)

    def _put(self, section: int, way: _Way, part: Part, at_mm: tuple[int, int], needed_mm: int) -> bool:
        """Lay a part at its start, or its first half and then the second in the next section; then what waits."""
        start, first_mm = at_mm
        if not first_mm:
            self.rows[section].append((part, way.turned))
            found = self._lay(_Place(section, start + way.length_mm, way.right_deg), needed_mm)
        else:
            first, second = _halves(part, first_mm, way.turned)
            self.rows[section].append((first, way.turned))
            found = section + 1 < self._sections and self._put_second(section + 1, way, second, needed_mm)
        if not found:
            self.rows[section].pop()
        return found

    def _put_second(self, section: int, way: _Way, part: Part, needed_mm: int) -> bool:
        least = way.least_mm and (way.least_mm[1], *way.least_mm[1:])
        rest = way._replace(length_mm=part.length_mm, left_deg=SQUARE, least_mm=least)
        move = self._move(_Place(section, 0, SQUARE), 0, rest)
        return move is not None and self._put(section, rest, part, move[3:], needed_mm)

    def _moves(self, place: _Place) -> list[_Move]:
        moves = [self._move(place, number, way) for number, way in enumerate(self._ways) if self._waiting[way.kind]]
        room = self._problem.section_mm - place.used_mm
        return sorted(move for move in moves if move and move[0] < room)[:_BRANCHES]

    def _move(self, place: _Place, number: int, way: _Way) -> _Move | None:
        problem = self._problem
        if place.used_mm:
            lost, cut = meeting_mm(*self._blade, place.open_deg, way.left_deg)
        else:
            lost, cut = self._wedge(way.left_deg), 0
        start = place.used_mm + lost + cut
        room = problem.section_mm - start - way.length_mm
        if room >= way.wedge_mm:
            wasted = lost + (room if room - problem.kerf_mm < problem.least_mm else 0)
            return wasted, -way.length_mm, number, start, 0
        if way.least_mm is None:
            return None
        # The longest left half that the room takes, if both halves can then be long enough.
        first_mm = min(problem.section_mm - start, way.length_mm - way.least_mm[2])
        if first_mm < max(1, way.least_mm[0]):
            return None
        return problem.section_mm - place.used_mm - cut - first_mm, -way.length_mm, number, start, first_mm

    def _wedge(self, angle_deg: float) -> int:
        return wedge_mm(self._problem.radius_mm, angle_deg)


def _least_mm(problem: Problem, part: Part, ends: tuple[float, float]) -> tuple[int, int, int] | None:
    """Least lengths of a first half, a middle and a last of a part; None where it may not be split."""
    run = problem.runs[part.run]
    if run.one_piece:
        return None
    sides = (ends[0], SQUARE), (SQUARE, SQUARE), (SQUARE, ends[1])
    first, middle, last = (max(1, least_piece_mm(problem, run, *side)) for side in sides)
    return first, middle, last


def _halves(part: Part, first_mm: int, turned: bool) -> tuple[Part, Part]:  # noqa: FBT001
    """The left half of a part and the right, as it lies."""
    rest_mm = part.length_mm - first_mm
    if turned:
        left = Part(part.run, first_mm, at_start=False, at_end=part.at_end)
        return left, Part(part.run, rest_mm, at_start=part.at_start, at_end=False)
    left = Part(part.run, first_mm, at_start=part.at_start, at_end=False)
    return left, Part(part.run, rest_mm, at_start=False, at_end=part.at_end)
