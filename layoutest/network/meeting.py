"""What happens where legs meet at one node, told by their directions and specs alone."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from layoutest.layout.geometry import EXACT_DEG, Vector, angle_deg, dot, reverse
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.choose import ChosenLeg

MeetingKind = Literal["end", "on", "step", "bend", "tee", "cross", "reducing-tee", "unresolved"]
Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Meeting:
    """The legs at a node, in order of their ids, and how they go together.

    `pairs` are the collinear pairs, `alike` those of them whose legs are alike, `turn_deg` the turn of two legs.
    A cross is decided between its two `alike` pairs elsewhere, since that takes more than this node.
    """

    node: str
    kind: MeetingKind
    legs: tuple[ChosenLeg, ...]
    pairs: tuple[Pair, ...] = ()
    alike: tuple[Pair, ...] = ()
    turn_deg: float = 0.0


def away(leg: ChosenLeg, node: str) -> Vector:
    """The direction in which a leg leaves one of its nodes."""
    return leg.line.heading if leg.start == node else reverse(leg.line.heading)


def turn_between(first: ChosenLeg, second: ChosenLeg, node: str, tolerance_deg: float) -> float:
    """The turn from one leg into the other at their node: 0 straight on, 90 within the tolerance of it."""
    turn = 180 - angle_deg(away(first, node), away(second, node))
    if turn <= tolerance_deg + EXACT_DEG:
        return 0.0
    return 90.0 if abs(turn - 90) <= tolerance_deg + EXACT_DEG else turn


def branch_angle(branch: ChosenLeg, main: ChosenLeg, node: str, tolerance_deg: float) -> float:
    """The acute angle between a branch and its main, 90 within the tolerance of it; never 0."""
    angle = angle_deg(away(branch, node), away(main, node))
    return 90.0 if abs(angle - 90) <= tolerance_deg + EXACT_DEG else min(angle, 180 - angle)


def meeting_at(node: str, legs: Sequence[ChosenLeg], tolerance_deg: float) -> Meeting:
    """Read the derivation table from the top for the legs at one node (at least one)."""
    if len(legs) == 1:
        return Meeting(node, "end", tuple(legs))
    legs = tuple(sorted(legs, key=lambda leg: natural_key(leg.id)))
    if len(legs) == 2:
        return _two(node, legs, tolerance_deg)
    pairs = _collinear_pairs(node, legs, tolerance_deg)
    specs = {leg.id: leg.spec for leg in legs}
    alike = tuple(pair for pair in pairs if specs[pair[0]] is specs[pair[1]])
    return Meeting(node, _kind(len(legs), pairs, alike), legs, pairs, alike)


def _two(node: str, legs: tuple[ChosenLeg, ...], tolerance_deg: float) -> Meeting:
    first, second = legs
    turn_deg = turn_between(first, second, node, tolerance_deg)
    if turn_deg > 0:
        return Meeting(node, "bend", legs, turn_deg=turn_deg)
    pairs = ((first.id, second.id),)
    return Meeting(node, "on", legs, pairs, pairs) if first.spec is second.spec else Meeting(node, "step", legs, pairs)


def _kind(degree: int, pairs: tuple[Pair, ...], alike: tuple[Pair, ...]) -> MeetingKind:
    """What three legs or more make."""
    if degree > 4 or not pairs:
        return "unresolved"
    if len(alike) == 2:
        return "cross"
    return "tee" if alike else "reducing-tee"


def _collinear_pairs(node: str, legs: Sequence[ChosenLeg], tolerance_deg: float) -> tuple[Pair, ...]:
    """Pairs that run straight on; where a leg could belong to two, the alike and then the straightest first."""
    found = []
    ways = [(leg, away(leg, node)) for leg in legs]
    for (first, way), (second, other) in combinations(ways, 2):
        if dot(way, other) >= 0:
            continue
        off_deg = 180 - angle_deg(way, other)
        if off_deg <= tolerance_deg + EXACT_DEG:
            found.append((first.spec is not second.spec, round(off_deg, 9), first, second))
    taken: set[str] = set()
    pairs: list[Pair] = []
    # The legs come in order of their ids, so a stable sort leaves equals in that order.
    for _, _, first, second in sorted(found, key=lambda pair: pair[:2]):
        if not taken & {first.id, second.id}:
            taken |= {first.id, second.id}
            pairs.append((first.id, second.id))
    return tuple(sorted(pairs, key=lambda pair: natural_key(pair[0])))
