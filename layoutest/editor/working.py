"""The working: how the length of covering on a leg's straight comes about, in words and figures."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.cover.covering import Covering
    from layoutest.cover.joints import Joint
    from layoutest.cover.runs import Laid, Run
    from layoutest.live.live import Live

MOST_GAPS = 4


class Step(NamedTuple):
    """One row: what it is, its sign (−, = or none) and its figure; a sum is told bold under a rule."""

    words: str
    sign: str
    figure: str
    total: bool = False


def working_of(live: Live, leg: str) -> tuple[Step, ...]:
    """The working of the straight that holds a leg; empty for a leg that is left out or bare."""
    covering = live.covering
    key = covering.network.straight_of.get(leg)
    laid = covering.laid.get(key) if key is not None else None
    if key is None or laid is None or not laid.straight.spec.covered:
        return ()
    name = covering.network.names[key]
    return (*_length(name, laid), *_ends(covering, laid), *_gaps(laid), *_covered(name, laid), *_cut(live, laid))


def _length(name: str, laid: Laid) -> Iterator[Step]:
    legs = laid.straight.legs
    of = f"leg {legs[0].id}" if len(legs) == 1 else f"straight {name} of {len(legs)} legs"
    taped = any(leg.leg.measured_mm is not None for leg in legs)
    yield Step(f"{of}, {'as taped' if taped else 'corner to corner'}", "", f"{laid.straight.centre_line_mm:.1f}")


def _ends(covering: Covering, laid: Laid) -> Iterator[Step]:
    """What the fittings at both ends take."""
    takes = laid.low_mm, laid.straight.centre_line_mm - laid.high_mm
    for node, take_mm in zip((laid.straight.nodes[0], laid.straight.nodes[-1]), takes, strict=True):
        what = _end_words(covering, laid, node)
        if what:
            yield Step(what, "−" if take_mm >= 0 else "+", f"{abs(take_mm):.1f}")


def _end_words(covering: Covering, laid: Laid, node: str) -> str:
    junction = covering.network.junctions[node]
    for branch in junction.branches:
        if branch.straight == laid.straight.key:
            joined = covering.joined.get(node)
            cuts = {joint.kind for joint in joined.joints} if joined else set()
            return f"tee at {node}, {'notch' if 'notch' in cuts else 'saddle'}"
    bend = covering.bends.get(node)
    if bend:
        if bend.preformed:
            return f"pre-formed elbow at {node}"
        mitres = "mitre" if bend.mitres == 1 else f"{bend.mitres} mitres"
        return f"bend at {node}, {mitres} of {bend.angle_deg:g}°"
    return {"reducer": f"reducer at {node}", "change": f"change at {node}", "bend": f"bend at {node}"}.get(
        junction.kind, ""
    )


def _gaps(laid: Laid) -> Iterator[Step]:
    """What lies between the runs: the gaps for items."""
    runs = laid.runs
    if not runs:
        yield from _nothing_left(laid)
    edges: list[tuple[float, float, str]] = []
    for left, right in pairwise(runs):
        edges.append((left.from_mm + left.covered_mm, right.from_mm, left.ends[1].item or right.ends[0].item or ""))
    if runs and runs[0].from_mm > laid.low_mm:
        edges.insert(0, (laid.low_mm, runs[0].from_mm, runs[0].ends[0].item or ""))
    if runs and runs[-1].from_mm + runs[-1].covered_mm < laid.high_mm:
        edges.append((runs[-1].from_mm + runs[-1].covered_mm, laid.high_mm, runs[-1].ends[1].item or ""))
    if len(edges) > MOST_GAPS:
        yield Step(f"gaps for {len(edges)} items", "−", f"{sum(high - low for low, high, _ in edges):.1f}")
        return
    for low, high, item in edges:
        yield Step(f"gap for {item}", "−", f"{high - low:.1f}")


def _nothing_left(laid: Laid) -> Iterator[Step]:
    """What a straight on which no covering lies lacks, or gives to its items."""
    left_mm = laid.high_mm - laid.low_mm
    if left_mm < 0:
        yield Step("too short by", "+", f"{-left_mm:.1f}")
    elif laid.items:
        yield Step(f"gap for {', '.join(placed.id for placed in laid.items)}", "−", f"{left_mm:.1f}")


def _covered(name: str, laid: Laid) -> Iterator[Step]:
    covered_mm = sum(run.covered_mm for run in laid.runs)
    words = "run" if len(laid.runs) == 1 else f"{len(laid.runs)} runs"
    yield Step(f"{words} of covering on {name}", "=", f"{covered_mm:.1f}", total=True)


def _cut(live: Live, laid: Laid) -> Iterator[Step]:
    """What is cut for it, and the tape of its joints."""
    for run in laid.runs:
        yield from _mitre(run)
    square = len(live.joints.get(laid.straight.key, ()))
    pieces = len(laid.runs) + square
    yield Step("pieces", "", f"{pieces}")
    overlap_mm = live.layout.settings.joint_overlap_mm
    round_mm = pi * laid.straight.spec.covered_diameter_mm
    tape_mm = square * (round_mm + overlap_mm)
    if square:
        yield Step(f"joints between them, {square} × ({round_mm:.1f} + {overlap_mm:g})", "", f"{tape_mm:.1f}")
    for joint in _end_joints(live.covering, laid):
        made_mm = joint.count * (joint.length_mm + overlap_mm)
        times = f"{joint.count} × " if joint.count > 1 else ""
        yield Step(
            f"{joint.kind} at {joint.place}, {times}({joint.length_mm:.1f} + {overlap_mm:g})", "", f"{made_mm:.1f}"
        )
        tape_mm += made_mm
    yield Step("tape", "=", f"{tape_mm:.1f}", total=True)


def _mitre(run: Run) -> Iterator[Step]:
    longer_mm = sum(end.depth_mm for end in run.ends if end.cut == "mitre")
    if longer_mm:
        yield Step("longest side: R · tan a more", "", f"{run.covered_mm + longer_mm:.1f}")


def _end_joints(covering: Covering, laid: Laid) -> Iterator[Joint]:
    """The joints at its ends and items that belong to it: each joint of the whole belongs to one leg."""
    legs = {leg.id for leg in laid.straight.legs}
    ends = dict.fromkeys((laid.straight.nodes[0], laid.straight.nodes[-1]))
    parts = [covering.joined[node] for node in ends if node in covering.joined]
    if laid.straight.key in covering.faces:
        parts.append(covering.faces[laid.straight.key])
    for part in parts:
        yield from (joint for joint in part.joints if joint.leg.id in legs)
