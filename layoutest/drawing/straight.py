"""A straight as it is seen on the sheet: places along it, its sides and how far its covering reaches."""

from __future__ import annotations

from bisect import bisect_right
from math import hypot
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point
    from layoutest.layout.document import Layout, View
    from layoutest.layout.plane import Spot
    from layoutest.network.straights import Straight


class Seen(NamedTuple):
    """A straight on the sheet. `points` are its nodes, at their `depths_mm`; `upright` says that it is seen as a point.

    `height_mm` tells how near its nearest node is to the eye.
    """

    points: tuple[Point, ...]
    depths_mm: tuple[int, ...]
    offsets_mm: tuple[float, ...]
    height_mm: float
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


def seen(layout: Layout, straight: Straight) -> Seen:
    """See a straight on the sheet."""
    nodes, plan = layout.nodes, layout.view == "plan"
    points: list[Point] = []
    depths: list[int] = []
    for name in straight.nodes:
        x_mm, y_mm, level_mm = nodes[name]
        points.append((float(x_mm), float(y_mm if plan else level_mm)))
        depths.append(level_mm if plan else y_mm)
    height = max(depths) if plan else -min(depths)
    return Seen(tuple(points), tuple(depths), straight.offsets_mm, float(height), points[0] == points[-1])


def height_mm(view: View, spot: Spot) -> int:
    """How near to the eye a spot is: a plan is seen from above, an elevation from where y is least."""
    return spot.depth_mm if view == "plan" else -spot.depth_mm
