"""The quick plan told by kinds: like pieces are packed in one step, so that it costs what is unlike, not what is many.

It is best fit, heaviest first: what one section takes of a kind, the next like section takes too.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.pieces import fixed_lengths_mm, kind_of, parts_of
from layoutest.pack.problem import SQUARE, CutSection, PackRun, Piece, Problem
from layoutest.pack.row import Part, cut_section
from layoutest.pack.shape import EMPTY, Shapes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from layoutest.pack.order import PiecePlace

RunKind = tuple[int, tuple[float, float], bool]
"""Length, ends in degrees and whether it is of one piece: all that the packer sees of a run."""


class PieceKind(NamedTuple):
    """All that a section sees of a piece."""

    length_mm: int
    first_deg: float
    last_deg: float


class Batch(NamedTuple):
    """So many sections cut alike, or van offcuts of one value, with what lies in each from left to right.

    The pieces of `cut` belong to no run in particular.
    """

    sections: int
    cut: CutSection
    pieces: tuple[PieceKind, ...]
    van_value: Decimal | None


def batches_of(problem: Problem, kinds: Mapping[RunKind, int]) -> tuple[Batch, ...]:
    """Pack so many runs of each kind, all of which sections can make; `problem` says what from, its runs do not count.

    The answer hangs on the kinds and their numbers alone. Bought sections come first, full ones before others.
    """
    sample = replace(problem, runs=tuple(PackRun("", *kind) for kind in sorted(kinds)))
    counts: defaultdict[PieceKind, int] = defaultdict(int)
    samples: dict[PieceKind, Part] = {}
    for index, run in enumerate(sample.runs):
        for part in parts_of(index, fixed_lengths_mm(sample, run) or ()):
            kind = piece_kind(run, part)
            counts[kind] += kinds[kind_of(run)]
            samples.setdefault(kind, part)
    fit = _Fit(sample, Shapes(sample), samples)
    whole = [kind for kind in sorted(counts) if kind.length_mm == problem.section_mm]
    full = [_Like(counts[kind], problem.section_mm, None, pieces=((kind, 1),)) for kind in whole]
    rest = {kind: count for kind, count in counts.items() if kind.length_mm < problem.section_mm}
    found = fit.packed(rest, ())
    van = sorted(
        (offcut for offcut in problem.van if offcut.value < problem.section_price),
        key=lambda offcut: (offcut.value / offcut.length_mm, -offcut.length_mm),
    )
    if van:
        likes = [_Like(offcut.count, offcut.length_mm, offcut.value) for offcut in van]
        found = min(found, fit.packed(rest, likes), key=lambda packed: _cost(problem, packed))
    batches = [fit.batch(like) for like in (*full, *found)]
    return tuple(sorted(batches, key=lambda batch: batch.cut.from_van))


@dataclass(slots=True)
class _Like:
    """Sections that hold the same; room is in half-millimetres, as weights are."""

    count: int
    length_mm: int
    value: Decimal | None
    room2: int = 0
    state: int = EMPTY
    pieces: tuple[tuple[PieceKind, int], ...] = ()


def _cost(problem: Problem, likes: Iterable[_Like]) -> Decimal:
    """What sections and offcuts cost; the joints are the same in all these plans."""
    prices = (like.count * (problem.section_price if like.value is None else like.value) for like in likes)
    return sum(prices, Decimal(0))


def piece_kind(run: PackRun, part: Part) -> PieceKind:
    """What a section sees of a part of a run."""
    first, last = run.ends_deg
    return PieceKind(part.length_mm, first if part.at_start else SQUARE, last if part.at_end else SQUARE)


class _Fit:
    """Best fit of pieces by kind; `samples` has one part of each kind."""

    def __init__(self, problem: Problem, shapes: Shapes, samples: Mapping[PieceKind, Part]) -> None:
        self._problem, self._shapes, self._samples = problem, shapes, samples

    def packed(self, counts: Mapping[PieceKind, int], van: Sequence[_Like]) -> list[_Like]:
        """Pack pieces, the heaviest first, into what is open or else into new sections."""
        likes = [replace(like, room2=2 * like.length_mm) for like in van]
        opened: dict[int, list[tuple[int, int]]] = {}
        for number, like in enumerate(likes):
            insort(opened.setdefault(like.state, []), (like.room2, number))
        measured = [(*self._shapes.measure(self._samples[kind]), kind) for kind in counts]
        for weight2, levels, kind in sorted(measured, key=lambda item: (-item[0], item[1:])):
            left = counts[kind]
            while left:
                best = self._best(opened, weight2, levels)
                if best is None:
                    source = _Like(left, self._problem.section_mm, None, 2 * self._problem.section_mm)
                else:
                    source = likes[best[1]]
                filled = self._filled(source, kind, left, weight2, levels, forced=best is None)
                left -= filled.count * filled.pieces[-1][1]
                source.count -= filled.count
                if best is not None and not source.count:
                    opened[source.state].remove(best)
                insort(opened.setdefault(filled.state, []), (filled.room2, len(likes)))
                likes.append(filled)
        return [like for like in likes if like.count and like.pieces]

    def _best(
        self, opened: Mapping[int, list[tuple[int, int]]], weight2: int, levels: tuple[int, int]
    ) -> tuple[int, int] | None:
        """Of what takes a piece, the sections with the least room: that room and their number."""
        best: tuple[int, int] | None = None
        for state, keys in opened.items():
            need = weight2 - self._shapes.slack2[self._shapes.after(state, levels)]
            place = bisect_left(keys, (need, 0))
            if place < len(keys) and (best is None or keys[place] < best):
                best = keys[place]
        return best

    def _filled(
        self, source: _Like, kind: PieceKind, left: int, weight2: int, levels: tuple[int, int], *, forced: bool
    ) -> _Like:
        """Like sections that take as many pieces of a kind as each can hold, or as are left."""
        room2, state, times = source.room2, source.state, 0
        while times < left:
            then = self._shapes.after(state, levels)
            if room2 < weight2 - self._shapes.slack2[then] and not (forced and not times):
                break
            room2, state, times = room2 - weight2, then, times + 1
        count = min(source.count, left // times)
        return _Like(count, source.length_mm, source.value, room2, state, (*source.pieces, (kind, times)))

    def batch(self, like: _Like) -> Batch:
        """Lay one of some like sections."""
        parts = [self._samples[kind] for kind, times in like.pieces for _ in range(times)]
        row = self._shapes.lay(parts)
        cut = cut_section(self._problem, like.length_mm, row, from_van=like.value is not None)
        runs = self._problem.runs
        return Batch(like.count, cut, tuple(piece_kind(runs[part.run], part) for part, _ in row), like.value)


def sections_of(
    problem: Problem, batches: Sequence[Batch]
) -> tuple[tuple[CutSection, ...], list[list[tuple[Piece, PiecePlace]]]]:
    """Give the pieces of batches to the runs of a problem, whose kinds they were made for.

    Returns:
        the sections; and for each run its pieces, in order along it, with their places.
    """
    found: list[list[tuple[Piece, PiecePlace]]] = []
    waiting: defaultdict[PieceKind, list[Part]] = defaultdict(list)
    lengths = {kind_of(run): fixed_lengths_mm(problem, run) or () for run in problem.runs}
    for index, run in enumerate(problem.runs):
        found.append([])
        for part in parts_of(index, lengths[kind_of(run)]):
            waiting[piece_kind(run, part)].append(part)
    supply = {kind: iter(parts) for kind, parts in waiting.items()}
    sections = tuple(_cuts(batches, supply))
    for number, section in enumerate(sections):
        for place, piece in enumerate(section.pieces):
            found[piece.run].append((piece, (number, place)))
    for index, run in enumerate(problem.runs):
        if len(found[index]) > 2:
            found[index] = _along(found[index], lengths[kind_of(run)])
        else:
            found[index].sort(key=lambda entry: entry[0].at_end)
    return sections, found


def _cuts(batches: Sequence[Batch], supply: Mapping[PieceKind, Iterator[Part]]) -> Iterator[CutSection]:
    for batch in batches:
        for _ in range(batch.sections):
            parts = [next(supply[kind]) for kind in batch.pieces]
            pieces = (
                Piece(part.run, part.at_start, part.at_end, part.length_mm, laid.turned, laid.from_mm)
                for laid, part in zip(batch.cut.pieces, parts, strict=True)
            )
            yield replace(batch.cut, pieces=tuple(pieces))


def _along(found: list[tuple[Piece, PiecePlace]], lengths_mm: Sequence[int]) -> list[tuple[Piece, PiecePlace]]:
    """The pieces of a run in the order of its lengths."""
    last = len(lengths_mm) - 1
    by_place: defaultdict[tuple[bool, bool, int], list[tuple[Piece, PiecePlace]]] = defaultdict(list)
    for entry in reversed(found):
        by_place[entry[0].at_start, entry[0].at_end, entry[0].length_mm].append(entry)
    return [by_place[place == 0, place == last, length].pop() for place, length in enumerate(lengths_mm)]
