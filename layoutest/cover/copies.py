"""The coverings of a job: each layout as often as it is built, with the names that its parts bear in the results.

With several layouts, or one that is built more than once, every id gets the file's stem (and #2, #3, … for further
copies) and a colon in front.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from layoutest.choose import ChosenLeg
    from layoutest.cover.covering import Covering
    from layoutest.cover.joints import Hole
    from layoutest.cover.runs import Run
    from layoutest.network.straights import Straight


@dataclass(frozen=True, slots=True)
class NamedRun:
    """A run with its name in the results; a bend piece has no straight but the leg its bend belongs to.

    `supports` are the extents, along its straight, of the supports that the covering runs over.
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
        at = from_mm
        for leg, offset_mm in zip(self.straight.legs, self.straight.offsets_mm[1:], strict=True):
            end = to_mm if leg is self.straight.legs[-1] else min(to_mm, round(offset_mm - self.run.from_mm))
            if end > at:
                yield leg, end - at
                at = end


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
    names, holes = covering.network.names, covering.holes()
    runs = []
    for run in covering.runs():
        if run.is_bend_piece:
            leg = covering.network.junctions[run.of].legs[0]
            runs.append(NamedRun(f"{prefix}bend {run.of}.{run.number}", prefix, run, None, leg))
            continue
        straight = covering.network.straights[run.of]
        name = f"{prefix}{names[run.of]}.{run.number}"
        along = _holes_in(run, holes), _supports(covering, run)
        runs.append(NamedRun(name, prefix, run, straight, straight.legs[0], *along))
    return Copy(prefix, covering, tuple(runs))


def _holes_in(run: Run, holes: Mapping[str, Sequence[Hole]]) -> tuple[Hole, ...]:
    """The holes that reach into a run, in order along it."""
    low, high = run.from_mm, run.from_mm + run.covered_mm
    found = holes.get(run.of, ())
    inside = (hole for hole in found if hole.place_mm + hole.half_mm > low and hole.place_mm - hole.half_mm < high)
    return tuple(sorted(inside, key=lambda hole: (hole.place_mm, hole.around_deg)))


def _supports(covering: Covering, run: Run) -> tuple[tuple[float, float], ...]:
    through = (placed for placed in covering.laid[run.of].items if placed.item.covered == "through")
    return tuple((placed.from_mm, placed.to_mm) for placed in through if placed.item.kind == "support")


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
