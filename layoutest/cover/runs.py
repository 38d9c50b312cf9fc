"""Runs of covering: what is left of each straight between its two ends and the gaps for items."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, radians, sqrt, tan
from typing import TYPE_CHECKING, Literal

from layoutest.cover.ends import Cut, EndCut, long_side_deg
from layoutest.cover.items import TOUCH_MM, PlacedItem, gaps_of
from layoutest.layout.geometry import clock_deg
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.choose import Spec
    from layoutest.network.straights import Straight

# What became of the covering at an end of a straight: it reaches the joint there, a gap keeps it away, or its run was
# too short to be made.
Reach = Literal["made", "gapped", "too-short"]


@dataclass(frozen=True, slots=True)
class RunEnd:
    """One end of a run, at a node or at an item; `long_side_deg` is where a mitred end is longest, from the top."""

    cut: Cut
    angle_deg: float = 0.0
    node: str | None = None
    item: str | None = None
    long_side_deg: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """A length of covering from end to end.

    `of` is the key of its straight or, for a bend piece, the node of its bend; `number` counts along it from 1.
    `from_mm` is where it begins along its straight. `covered_mm` is exact, `packed_mm` rounded up for the knife.
    """

    of: str
    is_bend_piece: bool
    number: int
    spec: Spec
    from_mm: float
    covered_mm: float
    ends: tuple[RunEnd, RunEnd]
    twist_deg: float | None
    one_piece: bool

    @property
    def packed_mm(self) -> int:
        """The length in whole millimetres that is cut for it."""
        return ceil(self.covered_mm - TOUCH_MM)


@dataclass(frozen=True, slots=True)
class Laid:
    """The covering of one straight: its runs, its items and what became of its two ends."""

    straight: Straight
    runs: tuple[Run, ...]
    items: tuple[PlacedItem, ...]
    reach: tuple[Reach, Reach]
    snags: tuple[Snag, ...]

    def reach_at(self, node: str) -> Reach:
        """What became of its covering at one of its end nodes."""
        return self.reach[0 if node == self.straight.nodes[0] else 1]

    def covers(self, place_mm: float) -> bool:
        """Whether the pipe is covered at a place along the straight."""
        return any(run.from_mm - TOUCH_MM <= place_mm <= run.from_mm + run.covered_mm + TOUCH_MM for run in self.runs)


@dataclass(frozen=True, slots=True)
class _Edge:
    """Where covering may begin or end: at a junction (`end` set) or at an item."""

    place_mm: float
    end: EndCut | None
    node: str | None
    item: str | None


def lay(straight: Straight, ends: tuple[EndCut, EndCut], items: Sequence[PlacedItem]) -> Laid:
    """Lay the covering of a covered straight between its two ends, with gaps for its items."""
    low = ends[0].take_mm
    high = straight.centre_line_mm - ends[1].take_mm
    first = _Edge(low, ends[0], straight.nodes[0], None)
    last = _Edge(high, ends[1], straight.nodes[-1], None)
    edges = [first]
    for from_mm, to_mm, item in gaps_of(items):
        # A gap wholly inside the part that an elbow or a saddle takes away changes nothing.
        if to_mm > low and from_mm < high:
            edges += [_Edge(from_mm, None, None, item.id), _Edge(to_mm, None, None, item.id)]
    edges.append(last)
    runs: list[Run] = []
    snags: list[Snag] = []
    reach: list[Reach] = ["gapped", "gapped"]
    for left, right in zip(edges[::2], edges[1::2], strict=True):
        length_mm = right.place_mm - left.place_mm
        if length_mm <= TOUCH_MM and not (left.end and right.end):
            continue
        state: Reach = "made" if length_mm > TOUCH_MM else "too-short"
        reach = [state if left.end else reach[0], state if right.end else reach[1]]
        if state == "too-short":
            snags.append(_too_short(straight, length_mm))
            continue
        run = _run(straight, left, right, len(runs) + 1)
        runs.append(run)
        snags += _too_near(run, straight)
    return Laid(straight, tuple(runs), tuple(items), (reach[0], reach[1]), tuple(snags))


def _run(straight: Straight, left: _Edge, right: _Edge, number: int) -> Run:
    covered_mm = right.place_mm - left.place_mm
    twist = None
    if left.end and right.end and left.end.inward and right.end.inward:
        twist = clock_deg(straight.heading, left.end.inward, right.end.inward)
    ends = (_run_end(straight, left), _run_end(straight, right))
    wedges = straight.spec.covered_diameter_mm / 2 * (_tan(ends[0]) + _tan(ends[1]))
    one_piece = twist is not None and covered_mm <= wedges
    return Run(straight.key, False, number, straight.spec, left.place_mm, covered_mm, ends, twist, one_piece)


def _run_end(straight: Straight, edge: _Edge) -> RunEnd:
    if edge.end is None:
        return RunEnd("square", item=edge.item)
    return RunEnd(edge.end.cut, edge.end.angle_deg, edge.node, None, long_side_deg(straight, edge.end))


def _tan(end: RunEnd) -> float:
    return tan(radians(end.angle_deg))


def least_length_mm(radius_mm: float, ends: tuple[RunEnd, RunEnd], twist_deg: float | None) -> float:
    """What a run must exceed, so that its two cuts do not meet: R·√(tan²a + tan²b + 2·tan a·tan b·cos twist)."""
    a, b = _tan(ends[0]), _tan(ends[1])
    return radius_mm * sqrt(max(0.0, a * a + b * b + 2 * a * b * cos(radians(twist_deg or 0.0))))


def _too_near(run: Run, straight: Straight) -> list[Snag]:
    least_mm = least_length_mm(run.spec.covered_diameter_mm / 2, run.ends, run.twist_deg)
    if run.covered_mm > least_mm + 1e-9:
        return []
    says = f"A run of {run.covered_mm:.0f} mm is too short for its mitres, which need over {least_mm:.0f} mm."
    where = (*(leg.id for leg in straight.legs), *(end.node for end in run.ends if end.node and end.cut == "mitre"))
    return [Snag("bends-too-near", where, says, "Move the bends apart, or use pre-formed covers.", run.spec.text)]


def _too_short(straight: Straight, length_mm: float) -> Snag:
    says = f"Its fittings take up the whole straight: {length_mm:.1f} mm would be left to cover."
    where = (*(leg.id for leg in straight.legs), straight.nodes[0], straight.nodes[-1])
    return Snag("run-too-short", where, says, "Move the fittings apart, or check the length.", straight.spec.text)
