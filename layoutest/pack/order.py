"""Which piece lies where in its run: joints keep off branches and supports where they can."""

from __future__ import annotations

from collections import defaultdict
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.problem import SQUARE, PackRun, Piece, Plan

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Zone = tuple[int, int]
"""From and to along a run in whole millimetres; a joint may lie at either, but not between."""

PiecePlace = tuple[int, int]
"""Index of a section in its plan, and of a piece in that section."""

_STEPS = 20_000
_DEEPEST = 40


class Order(NamedTuple):
    """Pieces of one run as indices, in the order of the run; where each begins; and the joints left in a zone."""

    pieces: tuple[int, ...]
    from_mm: tuple[int, ...]
    missed_mm: tuple[int, ...]


def order_along(run: PackRun, pieces: Sequence[Piece], zones: Sequence[Zone] = ()) -> Order:
    """Order the pieces of a run so that as few joints as may be lie in a zone.

    A mitred end stays with its piece. A square end is like any square cut, so the piece there may change places with
    the others; without zones it does not. The search is exact for about seven pieces; beyond that it stops after a
    fixed number of steps with the best found, and beyond 40 takes what fits next.

    Args:
        run: its ends say which pieces are fixed.
        pieces: all pieces of the run, in any order.
        zones: keep-out zones for joints in whole millimetres along the run.
    """
    natural = sorted(range(len(pieces)), key=lambda index: (not pieces[index].at_start, pieces[index].at_end, index))
    lengths = [pieces[index].length_mm for index in natural]
    if _missed(lengths, zones):
        free = range(int(run.ends_deg[0] > SQUARE), len(natural) - int(run.ends_deg[1] > SQUARE))
        chosen = _Search(lengths, zones, free).best if len(free) <= _DEEPEST else _greedy(lengths, zones, free)
        natural, lengths = [natural[place] for place in chosen], [lengths[place] for place in chosen]
    return Order(tuple(natural), tuple(accumulate(lengths[:-1], initial=0)), _missed(lengths, zones))


def places_along(
    plan: Plan, zones: Mapping[int, Sequence[Zone]] | None = None
) -> tuple[dict[PiecePlace, int], dict[int, tuple[int, ...]]]:
    """Where every piece of a plan begins along its run, and by run the joints that could not keep off its zones.

    Args:
        plan: a plan whose runs are covered end to end.
        zones: keep-out zones by index of the run; runs not named have none.
    """
    by_run: defaultdict[int, list[tuple[PiecePlace, Piece]]] = defaultdict(list)
    for number, section in enumerate(plan.sections):
        for index, piece in enumerate(section.pieces):
            by_run[piece.run].append(((number, index), piece))
    from_mm: dict[PiecePlace, int] = {}
    missed: dict[int, tuple[int, ...]] = {}
    for run, found in sorted(by_run.items()):
        order = order_along(plan.problem.runs[run], [piece for _, piece in found], (zones or {}).get(run, ()))
        from_mm |= {found[index][0]: at for index, at in zip(order.pieces, order.from_mm, strict=True)}
        if order.missed_mm:
            missed[run] = order.missed_mm
    return from_mm, missed


def _missed(lengths: Sequence[int], zones: Sequence[Zone]) -> tuple[int, ...]:
    return tuple(at for at in accumulate(lengths[:-1]) if _in_zone(at, zones))


def _in_zone(at_mm: int, zones: Sequence[Zone]) -> bool:
    return any(low < at_mm < high for low, high in zones)


def _greedy(lengths: Sequence[int], zones: Sequence[Zone], free: range) -> list[int]:
    """An order in which each free place takes the first piece left whose joint keeps off the zones, if there is one."""
    order, waiting, at = list(range(free.start)), list(free), sum(lengths[: free.start])
    while waiting:
        first_of = {lengths[place]: place for place in reversed(waiting)}
        clear = [place for length, place in first_of.items() if not _in_zone(at + length, zones)]
        order.append(min(clear or waiting))
        waiting.remove(order[-1])
        at += lengths[order[-1]]
    order += range(free.stop, len(lengths))
    reordered = [lengths[place] for place in order]
    return order if len(_missed(reordered, zones)) < len(_missed(lengths, zones)) else list(range(len(lengths)))


class _Search:
    """Depth first over the orders of the free places; of equal lengths only the first is tried."""

    def __init__(self, lengths: Sequence[int], zones: Sequence[Zone], free: range) -> None:
        self._lengths, self._zones, self._free, self._steps = lengths, zones, free, _STEPS
        self.best = list(range(len(lengths)))
        self._least = len(_missed(lengths, zones))
        self._lay(list(range(free.start)), sum(lengths[: free.start]), 0, list(free))

    def _lay(self, laid: list[int], at: int, missed: int, waiting: list[int]) -> None:
        missed += bool(laid) and _in_zone(at, self._zones) and len(laid) < len(self._lengths)
        self._steps -= 1
        if missed >= self._least or self._steps < 0:
            return
        if not waiting:
            self._least, self.best = missed, [*laid, *range(self._free.stop, len(self._lengths))]
            return
        tried: set[int] = set()
        for place in sorted(waiting, key=lambda place: _in_zone(at + self._lengths[place], self._zones)):
            length = self._lengths[place]
            if length not in tried and self._least > 0:
                tried.add(length)
                self._lay([*laid, place], at + length, missed, [other for other in waiting if other != place])
