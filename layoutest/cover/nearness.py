"""Cuts of one straight that come so near that they meet, and have to be shaped on site."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from math import inf
from operator import itemgetter
from typing import TYPE_CHECKING

from layoutest.cover.items import TOUCH_MM
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.cover.joints import Hole
    from layoutest.cover.runs import Laid

_PLACE = itemgetter(0)


def too_near(laid: Laid, holes: Sequence[Hole]) -> Iterator[Snag]:
    """Holes of a straight, in order along it, that run into each other, into a cut at its end or into an item's gap."""
    widest_mm = max(hole.half_mm for hole in holes)
    for index, hole in enumerate(holes):
        for after in range(index + 1, len(holes)):
            other = holes[after]
            if other.place_mm - hole.place_mm >= hole.half_mm + widest_mm:
                break
            if _holes_meet(hole, other):
                yield _snag(laid, hole, other.node)
    nodes, faces = laid.straight.nodes, _item_faces(laid)
    first_mm, last_mm = _between_end_cuts(laid)
    for hole in holes:
        low, high = hole.place_mm - hole.half_mm + TOUCH_MM, hole.place_mm + hole.half_mm - TOUCH_MM
        met = faces[bisect_right(faces, low, key=_PLACE) : bisect_left(faces, high, key=_PLACE)]
        names = [item for _, item in met]
        names += nodes[:1] if low < first_mm else ()
        names += nodes[-1:] if high > last_mm else ()
        for name in dict.fromkeys(names):
            yield _snag(laid, hole, name)


def _holes_meet(hole: Hole, other: Hole) -> bool:
    along = other.place_mm - hole.place_mm < hole.half_mm + other.half_mm - TOUCH_MM
    apart_deg = abs((hole.around_deg - other.around_deg + 180) % 360 - 180)
    return along and apart_deg < hole.around_half_deg + other.around_half_deg - 0.5


def _item_faces(laid: Laid) -> list[tuple[float, str]]:
    """Where runs end at items, in order along the straight."""
    faces = []
    for run in laid.runs:
        for end, place_mm in zip(run.ends, (run.from_mm, run.from_mm + run.covered_mm), strict=True):
            if end.item:
                faces.append((place_mm, end.item))
    return faces


def _between_end_cuts(laid: Laid) -> tuple[float, float]:
    """From where to where a straight is free of the fittings and cuts at its ends."""
    first_mm, last_mm = laid.low_mm, laid.high_mm
    if laid.runs:
        start, end = laid.runs[0].ends[0], laid.runs[-1].ends[1]
        first_mm += start.depth_mm if start.node else 0.0
        last_mm -= end.depth_mm if end.node else 0.0
    # A plain square end takes nothing, and the main of a reducing tee runs on past the branches at its end.
    return (
        first_mm if first_mm > TOUCH_MM else -inf,
        last_mm if last_mm < laid.straight.centre_line_mm - TOUCH_MM else inf,
    )


def _snag(laid: Laid, hole: Hole, other: str) -> Snag:
    straight = laid.straight
    leg = straight.leg_at(straight.offset_mm(hole.node)).id
    what = "two branches" if other == hole.node else f"the branch at {hole.node} and the cut at {other}"
    where = tuple(dict.fromkeys((leg, hole.node, other)))
    says = f"The cuts for {what} run into each other."
    return Snag("fittings-too-near", where, says, "Shape the covering on site.", straight.spec.text)
