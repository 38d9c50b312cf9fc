"""What lies in one section: pieces in a row, and the wedges, kerfs and remainder between and behind them.

Angles are degrees from square. Every waste is rounded up to a whole millimetre after 0.01 mm is taken off, so that a
length that is whole but for the last binary digit stays what it is.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, cos, radians, tan
from typing import TYPE_CHECKING, NamedTuple

from layoutest.errors import InternalError
from layoutest.pack.problem import SQUARE, CutSection, PackRun, Piece, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

SAME_ANGLE_DEG = 0.01
ROUNDING_MM = 0.01
_FLOAT_SLACK = 1e-9


class Part(NamedTuple):
    """A piece before it has a place: so much of a run, with or without the run's first and last end."""

    run: int
    length_mm: int
    at_start: bool
    at_end: bool


Row = list[tuple[Part, bool]]
"""Parts from left to right, each with whether it is turned against its run."""


def up_mm(length_mm: float) -> int:
    """Round a waste up to a whole millimetre, after taking off 0.01; never below 0."""
    return max(0, ceil(length_mm - ROUNDING_MM))


@lru_cache(maxsize=4096)
def wedge_mm(radius_mm: float, angle_deg: float) -> int:
    """Length lost where a mitre meets a square end or the end of the section, R·tan a."""
    return up_mm(radius_mm * tan(radians(angle_deg)))


@lru_cache(maxsize=4096)
def both_wedges_mm(radius_mm: float, left_deg: float, right_deg: float) -> int:
    """R·(tan a + tan b): the least length of a piece with these two ends, and a meeting of mitres that cannot share."""
    return up_mm(radius_mm * (tan(radians(left_deg)) + tan(radians(right_deg))))


@lru_cache(maxsize=4096)
def shared_gap_mm(radius_mm: float, left_deg: float, right_deg: float) -> int:
    """Length lost between two neighbouring ends, R·|tan a − tan b|: one slanted cut serves two mitres of one angle."""
    if abs(left_deg - right_deg) <= SAME_ANGLE_DEG + _FLOAT_SLACK:
        return 0
    return up_mm(radius_mm * abs(tan(radians(left_deg)) - tan(radians(right_deg))))


@lru_cache(maxsize=4096)
def kerf_at_mm(kerf_mm: int, angle_deg: float) -> int:
    """Length the blade takes along the axis at a cut of this angle, kerf / cos a, rounded up."""
    return ceil(kerf_mm / cos(radians(angle_deg)) - _FLOAT_SLACK)


def ends_of(run: PackRun, part: Part, turned: bool) -> tuple[float, float]:  # noqa: FBT001
    """Angles of a part's two ends, left and right as it lies."""
    first = run.ends_deg[0] if part.at_start else SQUARE
    last = run.ends_deg[1] if part.at_end else SQUARE
    return (last, first) if turned else (first, last)


@lru_cache(maxsize=4096)
def meeting_mm(
    radius_mm: float,
    kerf_mm: int,
    slit_in_line: bool,  # noqa: FBT001
    left_deg: float,
    right_deg: float,
) -> tuple[int, int]:
    """Wedge and kerf between two neighbouring ends; the kerf is the larger of the two ends'.

    Mitres share no cut where the slit stays in line.
    """
    kerf = max(kerf_at_mm(kerf_mm, left_deg), kerf_at_mm(kerf_mm, right_deg))
    if slit_in_line and left_deg > SQUARE and right_deg > SQUARE:
        return both_wedges_mm(radius_mm, left_deg, right_deg), kerf
    return shared_gap_mm(radius_mm, left_deg, right_deg), kerf


def row_mm(problem: Problem, row: Sequence[tuple[Part, bool]]) -> int:
    """Length of the section that a row just fills."""
    blade = problem.radius_mm, problem.kerf_mm, problem.slit_in_line
    total, open_deg = 0, SQUARE
    for number, (part, turned) in enumerate(row):
        left, right = ends_of(problem.runs[part.run], part, turned)
        total += sum(meeting_mm(*blade, open_deg, left)) if number else wedge_mm(problem.radius_mm, left)
        total, open_deg = total + part.length_mm, right
    return total + wedge_mm(problem.radius_mm, open_deg)


def cut_section(problem: Problem, length_mm: int, row: Sequence[tuple[Part, bool]], *, from_van: bool) -> CutSection:
    """Lay parts from left to right into a section and account for every millimetre of it.

    Raises:
        InternalError: the row is longer than the section.
    """
    runs, radius, blade = problem.runs, problem.radius_mm, (problem.radius_mm, problem.kerf_mm, problem.slit_in_line)
    pieces: list[Piece] = []
    wedge, kerf, at, open_deg = 0, 0, 0, SQUARE
    for part, turned in row:
        run, length, at_start, at_end = part
        left, right = ends_of(runs[run], part, turned)
        lost, cut = meeting_mm(*blade, open_deg, left) if pieces else (wedge_mm(radius, left), 0)
        at += lost + cut
        pieces.append(Piece(run, at_start, at_end, length, turned, at))
        at, wedge, kerf, open_deg = at + length, wedge + lost, kerf + cut, right
    lost = wedge_mm(problem.radius_mm, open_deg)
    rest = length_mm - at - lost
    if rest < 0:
        raise InternalError(f"A row of {at + lost} mm was laid into a section of {length_mm} mm for {problem.stock!r}.")
    cut = min(rest, kerf_at_mm(problem.kerf_mm, open_deg))
    rest -= cut
    offcut, scrap = (rest, 0) if rest >= problem.least_mm else (0, rest)
    return CutSection(length_mm, from_van, tuple(pieces), wedge + lost, kerf + cut, offcut, scrap)


def cuts_in(problem: Problem, section: CutSection) -> int:
    """How many cuts a section takes: one at a shared end, two where a wedge falls out, none at a factory end."""
    blade = problem.radius_mm, problem.kerf_mm, problem.slit_in_line
    count, end, open_deg = 0, 0, SQUARE
    for number, piece in enumerate(section.pieces):
        part = Part(piece.run, piece.length_mm, piece.at_start, piece.at_end)
        left, right = ends_of(problem.runs[piece.run], part, piece.turned)
        if number == 0:
            count += left > SQUARE
        else:
            count += 1 + (meeting_mm(*blade, open_deg, left)[0] > 0)
        end, open_deg = piece.from_mm + piece.length_mm, right
    return count + (end < section.length_mm)
