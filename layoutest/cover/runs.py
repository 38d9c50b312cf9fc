"""Runs of covering: what is left of each straight between its two ends and the gaps for items."""

from __future__ import annotations

from bisect import bisect_right
from math import ceil, cos, radians, sqrt
from operator import attrgetter
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.cover.ends import Cut, EndCut, side_deg, twist_deg
from layoutest.cover.items import TOUCH_MM, PlacedItem, gaps_of
from layoutest.layout.geometry import reverse
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.choose import Spec
    from layoutest.layout.geometry import Vector
    from layoutest.network.straights import Straight

# What became of the covering at an end of a straight: it reaches the joint there, a gap keeps it away, or its run was
# too short to be made.
Reach = Literal["made", "gapped", "too-short"]
_MADE: tuple[Reach, Reach] = ("made", "made")
_TOO_SHORT: tuple[Reach, Reach] = ("too-short", "too-short")
_HAIR_MM = 1e-9


class RunEnd(NamedTuple):
    """One end of a run, at a node or at an item.

    A slanted or shaped cut reaches `depth_mm` into the run; `long_side_deg` is where a mitred end is longest, from the
    top.
    """

    cut: Cut
    angle_deg: float = 0.0
    node: str | None = None
    item: str | None = None
    long_side_deg: float | None = None
    depth_mm: float = 0.0


class Run(NamedTuple):
    """A length of covering from end to end.

    `of` is the key of its straight or, for a bend piece, the node of its bend; `number` counts along it from 1.
    `from_mm` is where it begins along its straight. `covered_mm` is exact, `packed_mm` rounded up for the knife.
    """

    of: str
    number: int
    spec: Spec
    from_mm: float
    covered_mm: float
    ends: tuple[RunEnd, RunEnd]
    twist_deg: float | None
    one_piece: bool
    is_bend_piece: bool = False

    @property
    def packed_mm(self) -> int:
        """The length in whole millimetres that is cut for it."""
        return ceil(self.covered_mm - TOUCH_MM)


class Laid(NamedTuple):
    """The covering of one straight: its runs, its items and what became of its two ends.

    Between `low_mm` and `high_mm` along the straight its own covering lies, but for gaps; what is beyond is covered by
    the fittings at its ends.
    """

    straight: Straight
    runs: tuple[Run, ...]
    items: tuple[PlacedItem, ...]
    reach: tuple[Reach, Reach]
    low_mm: float
    high_mm: float
    snags: tuple[Snag, ...]

    def reach_at(self, node: str) -> Reach:
        """What became of its covering at one of its end nodes."""
        return self.reach[0 if node == self.straight.nodes[0] else 1]

    def covers(self, place_mm: float) -> bool:
        """Whether the pipe is covered at a place along the straight, by a run or by the fitting at its end."""
        if "too-short" in self.reach:
            return False
        if not self.low_mm <= place_mm <= self.high_mm:
            return True
        begun = bisect_right(self.runs, place_mm + TOUCH_MM, key=attrgetter("from_mm"))
        run = self.runs[begun - 1] if begun else None
        return run is not None and place_mm <= run.from_mm + run.covered_mm + TOUCH_MM


class _Edge(NamedTuple):
    """Where covering may begin or end: at a junction (`end` set) or at an item."""

    place_mm: float
    end: EndCut | None
    node: str | None
    item: str | None


def lay(straight: Straight, ends: tuple[EndCut, EndCut], items: tuple[PlacedItem, ...]) -> Laid:
    """Lay the covering of a covered straight between its two ends, with gaps for its items."""
    low, high = ends[0].take_mm, straight.centre_line_mm - ends[1].take_mm
    if high - low <= TOUCH_MM:
        return Laid(straight, (), items, _TOO_SHORT, low, high, (_too_short(straight, high - low),))
    edges = [_Edge(low, ends[0], straight.nodes[0], None), _Edge(high, ends[1], straight.nodes[-1], None)]
    if items:
        edges[1:1] = _gap_edges(items, low, high)
    runs: list[Run] = []
    heading = straight.heading
    for left, right in zip(edges[::2], edges[1::2], strict=True):
        if right.place_mm - left.place_mm > TOUCH_MM:
            runs.append(_run(straight, heading, left, right, len(runs) + 1))
    reach = (_reach(runs and runs[0].ends[0]), _reach(runs and runs[-1].ends[1])) if items else _MADE
    return Laid(straight, tuple(runs), items, reach, low, high, _near_snags(straight, runs))


def _gap_edges(items: tuple[PlacedItem, ...], low: float, high: float) -> Iterator[_Edge]:
    for from_mm, to_mm, item in gaps_of(items):
        # A gap wholly inside the part that an elbow or a saddle takes away changes nothing.
        if to_mm > low + TOUCH_MM and from_mm < high - TOUCH_MM:
            yield _Edge(from_mm, None, None, item.id)
            yield _Edge(to_mm, None, None, item.id)


def _reach(end: RunEnd | Sequence[Run]) -> Reach:
    return "made" if isinstance(end, RunEnd) and end.node else "gapped"


def _run(straight: Straight, heading: Vector, left: _Edge, right: _Edge, number: int) -> Run:
    covered_mm = right.place_mm - left.place_mm
    twist = None
    if left.end and right.end and left.end.inward and right.end.inward:
        twist = twist_deg(heading, left.end.inward, right.end.inward)
    ends = (_run_end(heading, left), _run_end(heading, right))
    wedges_mm = _wedges_mm(ends)
    one_piece = covered_mm <= wedges_mm[0] + wedges_mm[1] + _HAIR_MM
    return Run(straight.key, number, straight.spec, left.place_mm, covered_mm, ends, twist, one_piece)


def _run_end(heading: Vector, edge: _Edge) -> RunEnd:
    end = edge.end
    if end is None:
        return RunEnd("square", 0.0, None, edge.item)
    # A mitred end is longest away from its throat.
    long_deg = None if end.inward is None else side_deg(heading, reverse(end.inward))
    return RunEnd(end.cut, end.angle_deg, edge.node, None, long_deg, end.depth_mm)


def _wedges_mm(ends: tuple[RunEnd, RunEnd]) -> tuple[float, float]:
    """R·tan a at both ends; a square or shaped end has tan 0."""
    return ends[0].depth_mm if ends[0].cut == "mitre" else 0.0, ends[1].depth_mm if ends[1].cut == "mitre" else 0.0


def least_length_mm(ends: tuple[RunEnd, RunEnd], twist_deg: float | None) -> float:
    """What a run must exceed, so that its two mitres do not meet: R·√(tan²a + tan²b + 2·tan a·tan b·cos twist)."""
    a, b = _wedges_mm(ends)
    return sqrt(max(0.0, a * a + b * b + 2 * a * b * cos(radians(twist_deg or 0.0))))


def _near_snags(straight: Straight, runs: Sequence[Run]) -> tuple[Snag, ...]:
    near = [run for run in runs if run.covered_mm <= run.ends[0].depth_mm + run.ends[1].depth_mm + _HAIR_MM]
    return tuple(snag for run in near for snag in _too_near(run, straight)) if near else ()


def _too_near(run: Run, straight: Straight) -> list[Snag]:
    legs = tuple(leg.id for leg in straight.legs)
    least_mm = least_length_mm(run.ends, run.twist_deg)
    if run.covered_mm <= least_mm + _HAIR_MM:
        says = f"A run of {run.covered_mm:.0f} mm is too short for its mitres, which need over {least_mm:.0f} mm."
        where = (*legs, *(end.node for end in run.ends if end.node and end.cut == "mitre"))
        return [Snag("bends-too-near", where, says, "Move the bends apart, or use pre-formed covers.", run.spec.text)]
    if run.ends[0].cut == run.ends[1].cut == "mitre":
        return []
    places = [end.node for end in run.ends if end.node] + [end.item for end in run.ends if end.item]
    says = f"The cuts of a run of {run.covered_mm:.0f} mm at {places[0]} and {places[1]} run into each other."
    return [Snag("fittings-too-near", (*legs, *places), says, "Shape the covering on site.", run.spec.text)]


def _too_short(straight: Straight, length_mm: float) -> Snag:
    says = f"Its fittings take up the whole straight: {length_mm:.1f} mm would be left to cover."
    where = (*(leg.id for leg in straight.legs), straight.nodes[0], straight.nodes[-1])
    return Snag("run-too-short", where, says, "Move the fittings apart, or check the length.", straight.spec.text)
