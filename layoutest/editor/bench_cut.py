"""One section as the bench shows it: its pieces with their names, what is lost and what is left over."""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from layoutest.editor.bench_dealt import dealt
from layoutest.pack.problem import SQUARE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.cover.copies import NamedRun
    from layoutest.live.stock import LiveStock
    from layoutest.pack.problem import CutSection, Piece

    Made = tuple[CutSection, tuple["CutPiece", ...]]


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


def cuts_of(stock: LiveStock, numbers: Sequence[int]) -> list[Cut]:
    """Some sections of a stock by their numbers from 0, in cutting order; only these are made."""
    blank, whole_mm = stock.blank, stock.section.length_mm
    cuts = []
    for cut, pieces in _quick(stock, numbers) if stock.exact is None else _exact(stock, numbers):
        lost = cut.wedge_mm, cut.kerf_mm, cut.offcut_mm, cut.scrap_mm
        cuts.append(Cut(whole_mm, cut.length_mm, blank.radius_mm, not blank.slit_in_line, pieces, *lost))
    return cuts


def _quick(stock: LiveStock, numbers: Sequence[int]) -> Iterator[Made]:
    pieces = dealt(stock, numbers)
    ends = list(accumulate(batch.sections for batch in stock.batches))
    for number in numbers:
        batch = stock.batches[bisect_right(ends, number)]
        found = []
        for place, (piece, kind) in enumerate(zip(batch.cut.pieces, batch.pieces, strict=True)):
            named, label = pieces[number, place]
            found.append(_piece(piece, named, label, kind.first_deg, kind.last_deg))
        yield batch.cut, tuple(found)


def _exact(stock: LiveStock, numbers: Sequence[int]) -> Iterator[Made]:
    plan, placed = stock.plan, stock.placed
    for number in numbers:
        cut = plan.sections[number]
        found = []
        for place, piece in enumerate(cut.pieces):
            run = placed[piece.run]
            label = next(one.label for one in run.pieces if one.place == (number, place))
            first, last = plan.problem.runs[piece.run].ends_deg
            ends = (first if piece.at_start else SQUARE), (last if piece.at_end else SQUARE)
            found.append(_piece(piece, run.named, label, *ends))
        yield cut, tuple(found)


def _piece(piece: Piece, named: NamedRun, label: str, first_deg: float, last_deg: float) -> CutPiece:
    """A piece with the angles of its first and last end in the direction of its run."""
    left, right = (last_deg, first_deg) if piece.turned else (first_deg, last_deg)
    return CutPiece(named.name, label, named.run.spec.service, piece.length_mm, piece.from_mm, left, right)
