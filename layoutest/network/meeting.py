"""What happens where legs meet at one node, told by their directions and specs alone."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from layoutest.layout.geometry import Vector, angle_deg, reverse
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
    if turn <= tolerance_deg:
        return 0.0
    return 90.0 if abs(turn - 90) <= tolerance_deg else turn


def branch_angle(branch: ChosenLeg, main: ChosenLeg, node: str, tolerance_deg: float) -> float:
    """The acute angle between a branch and its main, 90 within the tolerance of it."""
    turn = turn_between(branch, main, node, tolerance_deg)
    return min(turn, 180 - turn)


def meeting_at(node: str, legs: Sequence[ChosenLeg], tolerance_deg: float) -> Meeting:
    """Read the derivation table from the top for the legs at one node (at least one)."""
    legs = tuple(sorted(legs, key=lambda leg: natural_key(leg.id)))
    pairs = _collinear_pairs(node, legs, tolerance_deg)
    by_id = {leg.id: leg for leg in legs}
    alike = tuple(pair for pair in pairs if by_id[pair[0]].spec is by_id[pair[1]].spec)
    turn_deg = turn_between(legs[0], legs[1], node, tolerance_deg) if len(legs) == 2 else 0.0
    return Meeting(node, _kind(len(legs), pairs, alike), legs, pairs, alike, turn_deg)


def _kind(degree: int, pairs: tuple[Pair, ...], alike: tuple[Pair, ...]) -> MeetingKind:
    if degree == 1:
        return "end"
    if degree == 2:
        if not pairs:
            return "bend"
        return "on" if alike else "step"
    if degree > 4 or not pairs:
        return "unresolved"
    if len(alike) == 2:
        return "cross"
    return "tee" if alike else "reducing-tee"


def _collinear_pairs(node: str, legs: Sequence[ChosenLeg], tolerance_deg: float) -> tuple[Pair, ...]:
    """Pairs that run straight on, the straightest first where a leg could belong to two."""
    found = []
    for first, second in combinations(legs, 2):
        off = 180 - angle_deg(away(first, node), away(second, node))
        if off <= tolerance_deg:
            found.append((off, natural_key(first.id), natural_key(second.id), (first.id, second.id)))
    taken: set[str] = set()
    pairs: list[Pair] = []
    for *_, pair in sorted(found):
        if not taken.intersection(pair):
            taken.update(pair)
            pairs.append(pair)
    return tuple(sorted(pairs, key=lambda pair: natural_key(pair[0])))
