"""Cuts of one straight that come so near that they meet, and have to be shaped on site."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.cover.items import TOUCH_MM
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.cover.joints import Hole
    from layoutest.cover.runs import Laid


def too_near(laid: Laid, holes: Sequence[Hole]) -> Iterator[Snag]:
    """Holes of a straight that run into each other, into the cut at its end or into the gap for an item."""
    holes = sorted(holes, key=lambda hole: (hole.place_mm, hole.around_deg))
    widest_mm = max(hole.half_mm for hole in holes)
    for index, hole in enumerate(holes):
        for other in holes[index + 1 :]:
            if other.place_mm - hole.place_mm >= hole.half_mm + widest_mm:
                break
            if _holes_meet(hole, other):
                yield _snag(laid, hole, other.node)
    for hole in holes:
        for name in dict.fromkeys(_cuts_met(laid, hole)):
            yield _snag(laid, hole, name)


def _holes_meet(hole: Hole, other: Hole) -> bool:
    along = other.place_mm - hole.place_mm < hole.half_mm + other.half_mm - TOUCH_MM
    apart_deg = abs((hole.around_deg - other.around_deg + 180) % 360 - 180)
    return along and apart_deg < hole.around_half_deg + other.around_half_deg - 0.5


def _cuts_met(laid: Laid, hole: Hole) -> Iterator[str]:
    """The nodes of the straight whose fitting or cut a hole reaches, and the items whose gap it reaches."""
    low, high = hole.place_mm - hole.half_mm, hole.place_mm + hole.half_mm
    first_mm, last_mm = laid.low_mm, laid.high_mm
    for run in laid.runs:
        start, end = run.ends
        first_mm += start.depth_mm if start.node else 0.0
        last_mm -= end.depth_mm if end.node else 0.0
        for face, place_mm in ((start, run.from_mm), (end, run.from_mm + run.covered_mm)):
            if face.item and low < place_mm - TOUCH_MM and high > place_mm + TOUCH_MM:
                yield face.item
    straight = laid.straight
    # A plain square end takes nothing, and the main of a reducing tee runs on past the branches at its end.
    if first_mm > TOUCH_MM and low < first_mm - TOUCH_MM:
        yield straight.nodes[0]
    if last_mm < straight.centre_line_mm - TOUCH_MM and high > last_mm + TOUCH_MM:
        yield straight.nodes[-1]


def _snag(laid: Laid, hole: Hole, other: str) -> Snag:
    leg = laid.straight.leg_at(hole.place_mm).id
    what = "two branches" if other == hole.node else f"the branch at {hole.node} and the cut at {other}"
    where = tuple(dict.fromkeys((leg, hole.node, other)))
    says = f"The cuts for {what} run into each other."
    return Snag("fittings-too-near", where, says, "Shape the covering on site.", laid.straight.spec.text)
