"""One section as the bench shows it: its pieces with their names, what is lost and what is left over."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.problem import SQUARE

if TYPE_CHECKING:
    from layoutest.live.stock import LiveStock


class CutPiece(NamedTuple):
    """A piece as it lies in its section, with the angles from square of its left and right end."""

    run: str
    label: str
    service: str
    length_mm: int
    from_mm: int
    left_deg: float
    right_deg: float


class Cut(NamedTuple):
    """A section, or an offcut from the van. `whole_mm` is the length of a section of its stock.

    `nests` says whether slanted ends that meet lie side by side; they do not where the slit has to stay in line.
    """

    whole_mm: int
    length_mm: int
    radius_mm: float
    nests: bool
    pieces: tuple[CutPiece, ...]
    wedge_mm: int
    kerf_mm: int
    offcut_mm: int
    scrap_mm: int

    @property
    def left_over_mm(self) -> int:
        """What is right of the last cut: the offcut, or the scrap."""
        return self.offcut_mm + self.scrap_mm


def cut_of(stock: LiveStock, number: int) -> Cut:
    """A section of a stock by its number from 0, in cutting order."""
    plan = stock.plan
    cut, problem = plan.sections[number], plan.problem
    pieces = []
    for place, piece in enumerate(cut.pieces):
        placed, labelled = stock.by_place[number, place]
        first, last = problem.runs[piece.run].ends_deg
        left, right = (first if piece.at_start else SQUARE), (last if piece.at_end else SQUARE)
        if piece.turned:
            left, right = right, left
        named = placed.named
        service = named.run.spec.service
        pieces.append(CutPiece(named.name, labelled.label, service, piece.length_mm, piece.from_mm, left, right))
    return Cut(
        problem.section_mm,
        cut.length_mm,
        problem.radius_mm,
        not problem.slit_in_line,
        tuple(pieces),
        cut.wedge_mm,
        cut.kerf_mm,
        cut.offcut_mm,
        cut.scrap_mm,
    )
