"""Sections of a stock as they are seen: only those asked for, so that a drag does not lay out all the others."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.batches import piece_kind
from layoutest.pack.pieces import fixed_lengths_mm, parts_of
from layoutest.pack.problem import PackRun

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.live.stock import LiveStock
    from layoutest.pack.batches import Batch, PieceKind, RunKind
    from layoutest.pack.problem import CutSection, Piece


class SeenPiece(NamedTuple):
    """A piece in its section: its service, label and run, its ends as it lies (degrees from square), its length."""

    service: str
    label: str
    run: str
    left_deg: float
    right_deg: float
    from_mm: int
    length_mm: int


class SeenSection(NamedTuple):
    """A section with its pieces from left to right."""

    cut: CutSection
    pieces: tuple[SeenPiece, ...]


def see(stock: LiveStock, numbers: Iterable[int]) -> Mapping[int, SeenSection]:
    """The sections of these numbers, from 0, and all that were asked for before."""
    missing = [number for number in numbers if number not in stock.seen]
    if missing:
        stock.seen.update(_of_plan(stock, missing) if stock.exact else _of_batches(stock, missing))
    return stock.seen


def _of_plan(stock: LiveStock, numbers: Iterable[int]) -> dict[int, SeenSection]:
    found = {}
    for number in numbers:
        cut = stock.plan.sections[number]
        pieces = []
        for place, piece in enumerate(cut.pieces):
            placed, labelled = stock.by_place[number, place]
            run = placed.named.run
            ends = stock.plan.problem.runs[piece.run].ends_deg
            pieces.append(_seen(piece, ends, run.spec.service, labelled.label, placed.named.name))
        found[number] = SeenSection(cut, tuple(pieces))
    return found


def _seen(piece: Piece, ends: tuple[float, float], service: str, label: str, run: str) -> SeenPiece:
    angles = (ends[0] if piece.at_start else 0.0, ends[1] if piece.at_end else 0.0)
    left, right = angles[::-1] if piece.turned else angles
    return SeenPiece(service, label, run, left, right, piece.from_mm, piece.length_mm)


def _of_batches(stock: LiveStock, numbers: list[int]) -> dict[int, SeenSection]:
    """Sections of a quick plan: the pieces of each kind go to the runs in their order, as in the whole plan."""
    ends = list(accumulate(batch.sections for batch in stock.batches))
    wanted: dict[int, tuple[Batch, list[tuple[PieceKind, int]]]] = {}
    for number in numbers:
        at = bisect_right(ends, number)
        batch = stock.batches[at]
        before = number - (ends[at] - batch.sections)
        used: defaultdict[PieceKind, int] = defaultdict(int)
        for earlier in stock.batches[:at]:
            for kind in earlier.pieces:
                used[kind] += earlier.sections
        for kind in batch.pieces:
            used[kind] += before
        places = []
        for kind in batch.pieces:
            places.append((kind, used[kind]))
            used[kind] += 1
        wanted[number] = (batch, places)
    asked = {place for _, places in wanted.values() for place in places}
    owners = _owners(stock, asked)
    return {number: _section(batch, places, owners) for number, (batch, places) in wanted.items()}


class _Owner(NamedTuple):
    service: str
    label: str
    run: str


def _owners(stock: LiveStock, asked: set[tuple[PieceKind, int]]) -> dict[tuple[PieceKind, int], _Owner]:
    """Whose the n-th piece of a kind is; runs are gone through only until all that is asked is found."""
    patterns: dict[RunKind, tuple[PieceKind, ...]] = {}
    counts: defaultdict[PieceKind, int] = defaultdict(int)
    last: defaultdict[PieceKind, int] = defaultdict(lambda: -1)
    for kind, place in asked:
        last[kind] = max(last[kind], place)
    owners: dict[tuple[PieceKind, int], _Owner] = {}
    left = len(asked)
    for prefix in stock.strung.prefixes:
        for strip, name in stock.strung.strips(stock.lot):
            for at, run_kind in enumerate(strip.kinds):
                if run_kind in stock.refused:
                    continue
                pattern = patterns.get(run_kind)
                if pattern is None:
                    pattern = patterns[run_kind] = _pattern(stock, run_kind)
                for part, kind in enumerate(pattern):
                    place = counts[kind]
                    counts[kind] = place + 1
                    if place > last[kind] or (kind, place) not in asked:
                        continue
                    named, order = strip.named(prefix, name)[at], strip.orders[at]
                    along = order.pieces.index(part) + 1 if order else 1
                    owners[kind, place] = _Owner(named.run.spec.service, f"{named.name}-{along}", named.name)
                    left -= 1
                    if not left:
                        return owners
    return owners


def _pattern(stock: LiveStock, kind: RunKind) -> tuple[PieceKind, ...]:
    run = PackRun("", *kind)
    return tuple(piece_kind(run, part) for part in parts_of(0, fixed_lengths_mm(stock.blank, run) or ()))


def _section(
    batch: Batch, places: list[tuple[PieceKind, int]], owners: Mapping[tuple[PieceKind, int], _Owner]
) -> SeenSection:
    pieces = []
    for piece, place in zip(batch.cut.pieces, places, strict=True):
        kind, owner = place[0], owners[place]
        ends = (kind.first_deg, kind.last_deg)
        left, right = ends[::-1] if piece.turned else ends
        pieces.append(SeenPiece(*owner, left, right, piece.from_mm, piece.length_mm))
    return SeenSection(batch.cut, tuple(pieces))
