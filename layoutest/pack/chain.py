"""Cut a few runs from some sections: one run after another along a line, split where a section ends.

Runs and sections form a chain, with one joint fewer than sections, or a ring, where the last run also gives a piece to
the first section. Every run goes where it ends earliest; orders and turnings are all tried for a few runs, and the
best few hundred lines of each length beyond. Pieces keep their least length: a piece gives up what the next one lacks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.pieces import fixed_lengths_mm, least_piece_mm, parts_of
from layoutest.pack.problem import SQUARE
from layoutest.pack.row import Part, Row, meeting_mm, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.pack.problem import Problem
    from layoutest.pack.shape import Shapes

_WIDTH = 120
_RING_WIDTH = 8
_RING_STARTS = 12
_MOST_RINGED = 5


class _Spot(NamedTuple):
    """How far a line has come: the section's number, how much of it is used, and the angle of the open end."""

    section: int
    used_mm: int
    open_deg: float


class _Way(NamedTuple):
    """A run as it lies: its ends and the wedge of the right one.

    `least_mm` is for a first, a middle and a last piece; None forbids pieces.
    """

    run: int
    turned: bool
    length_mm: int
    left_deg: float
    right_deg: float
    wedge_mm: int
    least_mm: tuple[int, int, int] | None


class _Line(NamedTuple):
    spot: _Spot
    mask: int
    before: _Line | None
    way: _Way | None
    pieces: tuple[tuple[int, int], ...]
    """Section and length of each piece of the way, from left to right."""
    needed_mm: int = 0
    """Length of all that is still to be laid."""


def star(problem: Problem, shapes: Shapes, runs: Sequence[int]) -> list[Row] | None:
    """The fixed pieces of runs, whole sections alone and the remainders together in one section, or None."""
    rows: list[Row] = []
    rests: list[Part] = []
    for run in runs:
        for part in parts_of(run, fixed_lengths_mm(problem, problem.runs[run]) or ()):
            if part.length_mm == problem.section_mm:
                rows.append([(part, False)])
            else:
                rests.append(part)
    if not rests:
        return rows
    state, weight2 = shapes.state_of(rests)
    if weight2 - shapes.slack2[state] > 2 * problem.section_mm:
        return None
    return [*rows, shapes.lay(rests)]


def chained(problem: Problem, runs: Sequence[int], lengths_mm: Sequence[int]) -> list[Row] | None:
    """Rows for sections of these lengths, in this order, that hold all of the runs as a chain, or None."""
    search = _Search(problem, runs, lengths_mm)
    line = search.best([_Line(_Spot(0, 0, SQUARE), 0, None, None, ())], _WIDTH)
    return search.rows(line) if line else None


def ringed(problem: Problem, runs: Sequence[int], lengths_mm: Sequence[int]) -> list[Row] | None:
    """The same as a ring: one run begins in the last section and ends in the first."""
    if len(runs) > _MOST_RINGED:
        return None
    for at, run in enumerate(runs):
        others = [*runs[:at], *runs[at + 1 :]]
        search = _Search(problem, others, lengths_mm)
        for way in search.ways_of(run):
            if way.least_mm is None:
                continue
            for end_mm in _ring_starts(way, lengths_mm[0]):
                first = _Line(_Spot(0, end_mm, way.right_deg), 0, None, None, ())
                rest = way._replace(
                    length_mm=way.length_mm - end_mm,
                    right_deg=SQUARE,
                    wedge_mm=0,
                    least_mm=(way.least_mm[0], way.least_mm[1], way.least_mm[1]),
                )
                line = search.best([first], _RING_WIDTH, rest)
                if line:
                    rows = search.rows(line)
                    # The last piece of the ring's run lies first in the first section.
                    rows[0].insert(0, (Part(run, end_mm, at_start=way.turned, at_end=not way.turned), way.turned))
                    return rows
    return None


def _ring_starts(way: _Way, section_mm: int) -> Iterator[int]:
    if way.least_mm is None:
        return
    least, most = way.least_mm[2], min(section_mm - way.wedge_mm, way.length_mm - way.least_mm[0])
    if least > most:
        return
    step = max(1, (most - least) // _RING_STARTS)
    yield from range(least, most + 1, step)


class _Search:
    def __init__(self, problem: Problem, runs: Sequence[int], lengths_mm: Sequence[int]) -> None:
        self._problem, self._lengths = problem, lengths_mm
        self._blade = problem.radius_mm, problem.kerf_mm, problem.slit_in_line
        self._ways = [list(self.ways_of(run)) for run in runs]
        # From each section on, all that the sections hold.
        self._room = [sum(lengths_mm[number:]) for number in range(len(lengths_mm))]
        # Of runs alike the first that waits goes first.
        alike = [(way[0].length_mm, way[0].left_deg, way[0].right_deg, way[0].least_mm is None) for way in self._ways]
        self._twin = [max((e for e in range(n) if alike[e] == alike[n]), default=-1) for n in range(len(alike))]

    def ways_of(self, run: int) -> Iterator[_Way]:
        """A run as drawn, and turned where that makes a difference."""
        problem, one = self._problem, self._problem.runs[run]
        first, last = one.ends_deg
        for turned in (False, True) if first != last else (False,):
            left, right = (last, first) if turned else (first, last)
            sides = (left, SQUARE), (SQUARE, SQUARE), (SQUARE, right)
            least = None if one.one_piece else tuple(max(1, least_piece_mm(problem, one, *side)) for side in sides)
            wedge = wedge_mm(problem.radius_mm, right)
            yield _Way(run, turned, one.length_mm, left, right, wedge, least)  # type: ignore[arg-type]

    def best(self, lines: list[_Line], width: int, last: _Way | None = None) -> _Line | None:
        """The line of all runs that ends earliest, with one more way at its end; None if none fits."""
        needed = sum(ways[0].length_mm for ways in self._ways) + (last.length_mm if last else 0)
        lines = [line._replace(needed_mm=needed) for line in lines]
        for _ in self._ways:
            reached: dict[tuple[int, float], _Line] = {}
            for line in lines:
                for number, ways in enumerate(self._ways):
                    twin = self._twin[number]
                    if line.mask >> number & 1 or (twin >= 0 and not line.mask >> twin & 1):
                        continue
                    for way in ways:
                        self._extend(reached, line, number, way)
            lines = sorted(reached.values(), key=lambda line: line.spot)[:width]
        if last is not None:
            ended = (self._put(line.spot, last) for line in lines)
            found = [
                _Line(put[0], -1, line, last, put[1]) for line, put in zip(lines, ended, strict=True) if put is not None
            ]
            return min(found, key=lambda line: line.spot, default=None)
        return lines[0] if lines else None

    def _extend(self, reached: dict[tuple[int, float], _Line], line: _Line, number: int, way: _Way) -> None:
        put = self._put(line.spot, way)
        if put is None:
            return
        spot, needed = put[0], line.needed_mm - way.length_mm
        if self._room[spot.section] - spot.used_mm < needed:
            return
        key = line.mask | 1 << number, way.right_deg
        known = reached.get(key)
        if known is None or spot[:2] < known.spot[:2]:
            reached[key] = _Line(spot, key[0], line, way, put[1], needed)

    def _put(self, spot: _Spot, way: _Way) -> tuple[_Spot, tuple[tuple[int, int], ...]] | None:
        """Where a way ends earliest from a spot on, and its pieces; None where the sections do not hold it."""
        section, used, open_deg = spot
        if used:
            lost, cut = meeting_mm(*self._blade, open_deg, way.left_deg)
            start = used + lost + cut
            if start + way.length_mm + way.wedge_mm <= self._lengths[section]:
                return _Spot(section, start + way.length_mm, way.right_deg), ((section, way.length_mm),)
            split = self._split(section, start, way)
            if split is not None:
                return split
            section += 1
        if section >= len(self._lengths):
            return None
        start = wedge_mm(self._problem.radius_mm, way.left_deg)
        if start + way.length_mm + way.wedge_mm <= self._lengths[section]:
            return _Spot(section, start + way.length_mm, way.right_deg), ((section, way.length_mm),)
        return self._split(section, start, way)

    def _split(self, section: int, start: int, way: _Way) -> tuple[_Spot, tuple[tuple[int, int], ...]] | None:
        if way.least_mm is None:
            return None
        first_least, middle_least, last_least = way.least_mm
        first = min(self._lengths[section] - start, way.length_mm - last_least)
        if first < first_least:
            return None
        pieces, left = [(section, first)], way.length_mm - first
        while True:
            section += 1
            if section >= len(self._lengths):
                return None
            if left + way.wedge_mm <= self._lengths[section]:
                break
            middle = min(self._lengths[section], left - last_least)
            if middle < middle_least:
                return None
            pieces.append((section, middle))
            left -= middle
        lacks = max(0, last_least - left)
        if lacks:
            number, length = pieces[-1]
            if length - lacks < (first_least if len(pieces) == 1 else middle_least):
                return None
            pieces[-1] = number, length - lacks
            left += lacks
        pieces.append((section, left))
        return _Spot(section, left, way.right_deg), tuple(pieces)

    def rows(self, line: _Line) -> list[Row]:
        """The rows of a line, one for each section."""
        rows: list[Row] = [[] for _ in self._lengths]
        lines = []
        at: _Line | None = line
        while at is not None:
            if at.way is not None:
                lines.append(at)
            at = at.before
        for one in reversed(lines):
            way, last = one.way, len(one.pieces) - 1
            if way is None:
                continue
            whole = sum(length for _, length in one.pieces) == self._problem.runs[way.run].length_mm
            for place, (section, length) in enumerate(one.pieces):
                left, right = place == 0, place == last and whole
                at_start, at_end = (right, left) if way.turned else (left, right)
                rows[section].append((Part(way.run, length, at_start, at_end), way.turned))
        return rows
