"""Which piece of which run lies where in a few sections of a quick plan, without making the whole plan.

A quick plan is told by kinds: so many sections cut alike, whose pieces are dealt to the runs in their order. At ten
thousand legs a whole plan takes longer than a frame of a drag, but only some sections are in view.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.batches import PieceKind
from layoutest.pack.pieces import fixed_lengths_mm, parts_of
from layoutest.pack.problem import SQUARE, PackRun, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layoutest.cover.copies import NamedRun
    from layoutest.live.stock import LiveStock
    from layoutest.live.strip import Strip
    from layoutest.pack.batches import RunKind
    from layoutest.pack.order import PiecePlace

    Pieces = tuple[tuple[PieceKind, tuple[int, ...]], ...]


class Dealt(NamedTuple):
    """A piece of a run with its label."""

    named: NamedRun
    label: str


def dealt(stock: LiveStock, numbers: Iterable[int]) -> dict[PiecePlace, Dealt]:
    """The pieces of some sections of a stock that is packed quickly, by section and place, both from 0."""
    wanted = _wanted(stock, sorted(numbers))
    # What is asked for next of each kind of piece stands last.
    waiting = {kind: sorted(places.items(), reverse=True) for kind, places in wanted.items()}
    passed = dict.fromkeys(waiting, 0)
    made_of = _MadeOf(stock, frozenset(waiting))
    found: dict[PiecePlace, Dealt] = {}
    for prefix, name, strip in _strips(stock) if waiting else ():
        for at, kind in enumerate(strip.kinds):
            for piece, places in made_of[kind]:
                begin = passed[piece]
                end = passed[piece] = begin + len(places)
                left = waiting.get(piece, ())
                while left and left[-1][0] < end:
                    ordinal, place = left.pop()
                    found[place] = _labelled(strip, prefix, name, at, places[ordinal - begin])
                    if not left:
                        del waiting[piece]
        if not waiting:
            break
    return found


class _MadeOf(dict["RunKind", "Pieces"]):
    """The pieces that runs are made of, as far as they are of some kinds; found out once for each kind of run."""

    def __init__(self, stock: LiveStock, wanted: frozenset[PieceKind]) -> None:
        super().__init__(dict.fromkeys(stock.refused, ()))
        self._blank, self._wanted = stock.blank, wanted

    def __missing__(self, kind: RunKind) -> Pieces:
        pieces = tuple(piece for piece in _pieces(self._blank, kind) if piece[0] in self._wanted)
        self[kind] = pieces
        return pieces


def _wanted(stock: LiveStock, numbers: list[int]) -> dict[PieceKind, dict[int, PiecePlace]]:
    """Of each kind of piece which ones lie in some sections, counted from 0 as they are dealt."""
    found: defaultdict[PieceKind, dict[int, PiecePlace]] = defaultdict(dict)
    before: Counter[PieceKind] = Counter()
    begin, left = 0, list(reversed(numbers))
    for batch in stock.batches:
        if not left:
            break
        end, each = begin + batch.sections, Counter(batch.pieces)
        while left and left[-1] < end:
            number = left.pop()
            here = Counter({kind: before[kind] + (number - begin) * count for kind, count in each.items()})
            for place, kind in enumerate(batch.pieces):
                found[kind][here[kind]] = number, place
                here[kind] += 1
        for kind, count in each.items():
            before[kind] += batch.sections * count
        begin = end
    return found


def _strips(stock: LiveStock) -> Iterator[tuple[str, str, Strip]]:
    """The strips of a stock in the order of its runs, with the prefix and the name of each."""
    strung, lot = stock.strung, stock.lot
    for prefix in strung.prefixes:
        for key in lot.straights:
            yield prefix, strung.names[key], strung.straights[key]
        for node in lot.bends:
            yield prefix, "", strung.nodes[node]


def _labelled(strip: Strip, prefix: str, name: str, at: int, piece: int) -> Dealt:
    """A piece by its place among the fixed lengths of its run; labels count along the run."""
    named, order = strip.named(prefix, name)[at], strip.orders[at]
    number = order.pieces.index(piece) + 1 if order else 1
    return Dealt(named, f"{named.name}-{number}")


def _pieces(blank: Problem, kind: RunKind) -> Pieces:
    """The kinds of pieces a run is made of, each with its places among the fixed lengths of the run."""
    known = _known(blank)
    if kind not in known:
        run = PackRun("", *kind)
        places: defaultdict[PieceKind, list[int]] = defaultdict(list)
        for number, part in enumerate(parts_of(0, fixed_lengths_mm(blank, run) or ())):
            first, last = run.ends_deg
            piece = PieceKind(part.length_mm, first if part.at_start else SQUARE, last if part.at_end else SQUARE)
            places[piece].append(number)
        known[kind] = tuple((piece, tuple(numbers)) for piece, numbers in places.items())
    return known[kind]


@lru_cache(maxsize=32)
def _known(blank: Problem) -> dict[RunKind, Pieces]:
    """What is known of the runs of a stock; it grows as runs are asked for."""
    del blank
    return {}
