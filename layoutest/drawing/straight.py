"""A straight as it is seen on the sheet: places along it, its sides and how far its covering reaches."""

from __future__ import annotations

from bisect import bisect_right
from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point
    from layoutest.layout.document import Layout
    from layoutest.network.straights import Straight


class Seen(NamedTuple):
    """A straight on the sheet. `points` are its nodes; `upright` says that it is seen as a point."""

    points: tuple[Point, ...]
    depths_mm: tuple[int, ...]
    offsets_mm: tuple[float, ...]
    upright: bool

    def at(self, place_mm: float) -> Point:
        """Where a place along the straight is seen; beyond its ends the line goes on."""
        number = min(max(bisect_right(self.offsets_mm, place_mm) - 1, 0), len(self.points) - 2)
        low, high = self.offsets_mm[number], self.offsets_mm[number + 1]
        (u0, v0), (u1, v1) = self.points[number], self.points[number + 1]
        share = (place_mm - low) / (high - low) if high > low else 0.0
        return u0 + (u1 - u0) * share, v0 + (v1 - v0) * share

    def way(self, *, last: bool) -> Point:
        """The direction along it at its first or last leg, as a unit vector; nothing for an upright one."""
        (u0, v0), (u1, v1) = self.points[-2:] if last else self.points[:2]
        length = hypot(u1 - u0, v1 - v0)
        return ((u1 - u0) / length, (v1 - v0) / length) if length else (0.0, 0.0)

    def along(self, mm: float, *, last: bool) -> float:
        """How much of a length along the straight is used up by one millimetre on the sheet at an end: their ratio."""
        number = len(self.points) - 2 if last else 0
        (u0, v0), (u1, v1) = self.points[number : number + 2]
        drawn = hypot(u1 - u0, v1 - v0)
        length = self.offsets_mm[number + 1] - self.offsets_mm[number]
        return mm * length / drawn if drawn else mm


def seen(layout: Layout, straight: Straight) -> Seen:
    """See a straight on the sheet."""
    spots = [spot_of(layout.view, layout.nodes[node]) for node in straight.nodes]
    points = tuple((float(spot.u_mm), float(spot.v_mm)) for spot in spots)
    upright = points[0] == points[-1]
    return Seen(points, tuple(spot.depth_mm for spot in spots), straight.offsets_mm, upright)
