"""Into which pieces a run may be cut, and the fixed pieces of the habit of the trade: whole sections, then the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.pack.problem import SQUARE, PackRun, Problem
from layoutest.pack.row import Part, both_wedges_mm, shared_gap_mm, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Sequence


def least_piece_mm(problem: Problem, run: PackRun, left_deg: float, right_deg: float) -> int:
    """Shortest length that a piece of this run with these two ends may have.

    The least piece, unless the whole run is shorter, and R·(tan a + tan b); a run of one piece is never shortened.
    """
    if run.one_piece:
        return run.length_mm
    return max(min(problem.least_mm, run.length_mm), both_wedges_mm(problem.radius_mm, left_deg, right_deg))


def wedges_mm(problem: Problem, run: PackRun) -> tuple[int, int]:
    """The wedges of a run's two ends."""
    return wedge_mm(problem.radius_mm, run.ends_deg[0]), wedge_mm(problem.radius_mm, run.ends_deg[1])


def fewest_pieces(problem: Problem, run: PackRun) -> int:
    """Number of pieces of the habit of the trade, (length + its two wedges) / section, rounded up."""
    if run.one_piece:
        return 1
    return -(-(run.length_mm + sum(wedges_mm(problem, run))) // problem.section_mm)


def fixed_lengths_mm(problem: Problem, run: PackRun) -> list[int] | None:
    """Lengths of the fixed pieces in the order of the run, or None where no section can make them.

    From the square end (with two mitres from the first) as long as a section allows, then whole sections; the last
    takes the rest, and what it lacks to its least length from the piece before it. With a wedge of 55 mm at one end,
    sections of 1000 and a least piece of 150 a run of 1960 is 1000 + 810 + 150.
    """
    count, wedges, ends = fewest_pieces(problem, run), wedges_mm(problem, run), run.ends_deg
    if count == 1:
        fits = run.length_mm + sum(wedges) <= problem.section_mm
        return [run.length_mm] if fits and run.length_mm >= least_piece_mm(problem, run, *ends) else None
    backwards = ends[0] > SQUARE and ends[1] <= SQUARE
    if backwards:
        wedges, ends = wedges[::-1], ends[::-1]
    lengths = [problem.section_mm] * count
    lengths[0] -= wedges[0]
    lengths[-1] = run.length_mm - sum(lengths[:-1])
    least = [least_piece_mm(problem, run, SQUARE, SQUARE)] * count
    least[0], least[-1] = (least_piece_mm(problem, run, end, SQUARE) for end in ends)
    for place in range(count - 1, 0, -1):
        lacks = max(0, least[place] - lengths[place])
        lengths[place] += lacks
        lengths[place - 1] -= lacks
    if lengths[0] < least[0] or lengths[-1] + wedges[1] > problem.section_mm:
        return None
    return lengths[::-1] if backwards else lengths


def can_be_cut(problem: Problem, run: PackRun) -> bool:
    """Whether sections can make this run at all: if its fixed pieces cannot be made, no others can."""
    shortest = max(1, shared_gap_mm(problem.radius_mm, *run.ends_deg))
    return run.length_mm >= shortest and fixed_lengths_mm(problem, run) is not None


def parts_of(index: int, lengths_mm: Sequence[int]) -> list[Part]:
    """The parts of a run from their lengths in the order of the run."""
    last = len(lengths_mm) - 1
    return [Part(index, length, place == 0, place == last) for place, length in enumerate(lengths_mm)]


def kind_of(run: PackRun) -> tuple[int, tuple[float, float], bool]:
    """All that the packer sees of a run: runs of one kind may change places in a plan."""
    return run.length_mm, run.ends_deg, run.one_piece


def fixed_parts(problem: Problem) -> list[Part]:
    """The fixed pieces of all runs in the order of the runs; every run must be one that sections can make."""
    kinds = {kind_of(run): run for run in problem.runs}
    lengths = {kind: fixed_lengths_mm(problem, run) or () for kind, run in kinds.items()}
    return [part for index, run in enumerate(problem.runs) for part in parts_of(index, lengths[kind_of(run)])]
