"""Cuts of one straight that come so near that they meet, and have to be shaped on site."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING

from layoutest.cover.items import TOUCH_MM
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.cover.joints import Hole
    from layoutest.cover.runs import Laid


def too_near(laid: Laid, holes: Sequence[Hole]) -> Iterator[Snag]:
    """Holes of a straight that run into each other, into a mitre or into the gap for an item."""
    holes = sorted(holes, key=lambda hole: (hole.place_mm, hole.around_deg))
    for index, hole in enumerate(holes):
        for other in holes[index + 1 :]:
            if _holes_meet(hole, other):
                yield _snag(laid, hole, other.node)
    for hole in holes:
        for name in dict.fromkeys(_ends_met(laid, hole)):
            yield _snag(laid, hole, name)


def _holes_meet(hole: Hole, other: Hole) -> bool:
    along = other.place_mm - hole.place_mm < hole.half_mm + other.half_mm - TOUCH_MM
    apart_deg = abs((hole.around_deg - other.around_deg + 180) % 360 - 180)
    return along and apart_deg < hole.around_half_deg + other.around_half_deg - 0.5


def _ends_met(laid: Laid, hole: Hole) -> Iterator[str]:
    """The nodes of mitres and the items whose cut a hole reaches."""
    low, high = hole.place_mm - hole.half_mm, hole.place_mm + hole.half_mm
    for run in laid.runs:
        radius_mm = run.spec.covered_diameter_mm / 2
        for end, place_mm, inwards in zip(run.ends, (run.from_mm, run.from_mm + run.covered_mm), (1, -1), strict=True):
            if end.cut != "mitre" and end.item is None:
                continue
            zone = sorted((place_mm, place_mm + inwards * radius_mm * tan(radians(end.angle_deg))))
            if low < zone[1] - TOUCH_MM and high > zone[0] + TOUCH_MM:
                yield end.node or end.item or ""


def _snag(laid: Laid, hole: Hole, other: str) -> Snag:
    leg = laid.straight.leg_at(hole.place_mm).id
    what = "two branches" if other == hole.node else f"the branch at {hole.node} and the cut at {other}"
    where = tuple(dict.fromkeys((leg, hole.node, other)))
    says = f"The cuts for {what} run into each other."
    return Snag("fittings-too-near", where, says, "Shape the covering on site.", laid.straight.spec.text)
