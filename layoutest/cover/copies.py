"""The coverings of a job: each layout as often as it is built, with the names that its parts bear in the results.

With several layouts, or one that is built more than once, every id gets the file's stem (and #2, #3, … for further
copies) and a colon in front.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.choose import ChosenLeg
    from layoutest.cover.covering import Covering
    from layoutest.cover.joints import Hole
    from layoutest.cover.runs import Laid, Run
    from layoutest.network.straights import Straight


@dataclass(frozen=True, slots=True)
class NamedRun:
    """A run with its name in the results; a bend piece has no straight but the leg its bend belongs to.

    `supports` are the extents, along its straight, of the supports that it runs over.
    """

    name: str
    prefix: str
    run: Run
    straight: Straight | None
    leg: ChosenLeg
    holes: tuple[Hole, ...] = ()
    supports: tuple[tuple[float, float], ...] = ()

    @property
    def source(self) -> str:
        """The name it is told by where a quantity comes from: itself, or its bend."""
        return self.name if self.straight else self.prefix + self.run.of

    def legs_along(self, from_mm: int, to_mm: int) -> Iterator[tuple[ChosenLeg, int]]:
        """The legs that a part of the run lies on, each with its whole millimetres; these add up to the part."""
        if self.straight is None or len(self.straight.legs) == 1:
            yield self.leg, to_mm - from_mm
            return
        at, legs, ends = from_mm, self.straight.legs, self.straight.offsets_mm[1:]
        number = bisect_right(ends, from_mm, hi=len(legs) - 1, key=lambda end_mm: round(end_mm - self.run.from_mm))
        while at < to_mm:
            end = to_mm if number == len(legs) - 1 else min(to_mm, round(ends[number] - self.run.from_mm))
            if end > at:
                yield legs[number], end - at
            at, number = max(at, end), number + 1


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a layout in a job."""

    prefix: str
    covering: Covering
    runs: tuple[NamedRun, ...]

    def straight(self, key: str) -> str:
        """The name of a straight in the results."""
        return self.prefix + self.covering.network.names[key]


def copy_of(prefix: str, covering: Covering) -> Copy:
    """Name the runs of one copy: s1.1 along straight s1, bend n3.1 round the bend at node n3."""
    network, holes = covering.network, covering.holes()
    runs: list[NamedRun] = []
    for key, name in network.names.items():
        runs += runs_along(prefix, name, covering.laid[key], holes.get(key, ()))
    for piece in covering.bend_pieces():
        runs.append(run_round(prefix, piece, network.junctions[piece.of].legs[0]))
    return Copy(prefix, covering, tuple(runs))


def run_round(prefix: str, piece: Run, leg: ChosenLeg) -> NamedRun:
    """A piece of a bend; the leg is the larger one at the bend."""
    return NamedRun(f"{prefix}bend {piece.of}.{piece.number}", prefix, piece, None, leg)


def runs_along(prefix: str, name: str, laid: Laid, holes: Sequence[Hole]) -> Iterator[NamedRun]:
    """The runs of one straight with what they carry."""
    through = [placed for placed in laid.items if placed.item.covered == "through"] if laid.items else ()
    supports = [(placed.from_mm, placed.to_mm) for placed in through if placed.item.kind == "support"]
    its_holes = _by_run(laid.runs, [(hole.place_mm - hole.half_mm, hole.place_mm + hole.half_mm) for hole in holes])
    its_supports = _by_run(laid.runs, supports)
    for run, cut, held in zip(laid.runs, its_holes, its_supports, strict=True):
        carried = tuple(holes[number] for number in cut), tuple(supports[number] for number in held)
        yield NamedRun(f"{prefix}{name}.{run.number}", prefix, run, laid.straight, laid.straight.legs[0], *carried)


def _by_run(runs: Sequence[Run], extents: Sequence[tuple[float, float]]) -> list[list[int]]:
    """For each run of a straight the numbers of the extents along the straight that reach into it."""
    found: list[list[int]] = [[] for _ in runs]
    for number, (low, high) in enumerate(extents):
        first = bisect_right(runs, low, key=lambda run: run.from_mm + run.covered_mm)
        for run in range(first, bisect_left(runs, high, lo=first, key=lambda run: run.from_mm)):
            found[run].append(number)
    return found


def prefixes(stems: Sequence[str], times: Sequence[int]) -> list[list[str]]:
    """The prefixes of the copies of each layout; empty for a single layout that is built once.

    Layouts whose files bear the same name are told apart by a number in brackets.
    """
    if len(stems) == 1 and times[0] == 1:
        return [[""]]
    found: list[list[str]] = []
    seen: dict[str, int] = {}
    for stem, count in zip(stems, times, strict=True):
        seen[stem] = seen.get(stem, 0) + 1
        unique = stem if seen[stem] == 1 else f"{stem}({seen[stem]})"
        found.append([f"{unique}:" if number == 1 else f"{unique}#{number}:" for number in range(1, count + 1)])
    return found
