"""Junctions: what stands at a node, told in straights: bend, tee, reducer, change, end, or nothing that makes sense."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.layout.ids import natural_key
from layoutest.network.meeting import branch_angle

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.choose import ChosenLeg
    from layoutest.layout.ids import IdKey
    from layoutest.network.meeting import Meeting, Pair

JunctionKind = Literal["end", "on", "bend", "reducer", "change", "tee", "unresolved"]


class Branch(NamedTuple):
    """A straight that leaves a main at an angle of at most 90 degrees."""

    straight: str
    leg: ChosenLeg
    angle_deg: float


@dataclass(frozen=True, slots=True)
class Junction:
    """What stands at a node.

    `legs` and `straights` are those that end or run there and are not branches, the larger first: one for an end or
    a plain tee, two for a bend, a reducer or a change. A reducer or change that has branches is a reducing tee.
    """

    node: str
    kind: JunctionKind
    straights: tuple[str, ...]
    legs: tuple[ChosenLeg, ...]
    branches: tuple[Branch, ...] = ()
    turn_deg: float = 0.0


def junction_at(
    meeting: Meeting, through: tuple[Pair, ...], straight_of: Mapping[str, str], tolerance_deg: float
) -> Junction:
    """Tell a meeting in straights; `through` are the pairs that run on at its node."""
    node, legs = meeting.node, meeting.legs
    if meeting.kind == "unresolved":
        return Junction(node, "unresolved", tuple(straight_of[leg.id] for leg in legs), legs)
    if meeting.kind in ("end", "on"):
        return Junction(node, "on" if meeting.kind == "on" else "end", (straight_of[legs[0].id],), legs[:1])
    if meeting.kind in ("bend", "step"):
        return _two(meeting, legs, straight_of, ())
    by_id = {leg.id: leg for leg in legs}
    pair = through[0] if through else _reducing_pair(meeting, by_id, straight_of)
    main = by_id[pair[0]]
    if not through:
        main = min((by_id[leg] for leg in pair), key=lambda leg: _rank(leg, straight_of))
    rest = [leg for leg in legs if leg.id not in pair]
    branches = tuple(Branch(straight_of[leg.id], leg, branch_angle(leg, main, node, tolerance_deg)) for leg in rest)
    if through:
        return Junction(node, "tee", (straight_of[main.id],), (main,), branches)
    return _two(meeting, [by_id[leg] for leg in pair], straight_of, branches)


def _two(
    meeting: Meeting, legs: Iterable[ChosenLeg], straight_of: Mapping[str, str], branches: tuple[Branch, ...]
) -> Junction:
    larger, smaller = sorted(legs, key=lambda leg: _rank(leg, straight_of))
    kind: JunctionKind = "bend"
    if meeting.kind != "bend":
        kind = "reducer" if larger.spec.pipe != smaller.spec.pipe else "change"
    straights = (straight_of[larger.id], straight_of[smaller.id])
    return Junction(meeting.node, kind, straights, (larger, smaller), branches, meeting.turn_deg)


def _rank(leg: ChosenLeg, straight_of: Mapping[str, str]) -> tuple[tuple[bool, float, float], IdKey]:
    """Sorts the larger first; between equals, the straight with the smaller id."""
    return leg.spec.size_rank, natural_key(straight_of[leg.id])


def _reducing_pair(meeting: Meeting, legs: Mapping[str, ChosenLeg], straight_of: Mapping[str, str]) -> Pair:
    """Of the collinear pairs, the one that holds the larger leg."""
    return min(meeting.pairs, key=lambda pair: min(_rank(legs[leg], straight_of) for leg in pair))
