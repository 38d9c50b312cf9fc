"""How the end of a run is seen on the sheet: square, slanted or hollowed, as points across the covering."""

from __future__ import annotations

from math import hypot, radians, sqrt, tan
from typing import TYPE_CHECKING, NamedTuple

from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.cover.runs import Laid, RunEnd
    from layoutest.drawing.primitives import Point
    from layoutest.drawing.straight import Seen
    from layoutest.layout.document import Layout
    from layoutest.network import Network
    from layoutest.network.junction import Junction

SADDLE_STEPS = 8
# A branch that is seen along its main, because it leaves it upwards, shows no curve.
LEAST_SINE = 0.1


class EndShape(NamedTuple):
    """Points across the end from the left side to the right, and the style of the line that joins them."""

    points: tuple[Point, ...]
    style: str


def end_shape(
    layout: Layout, network: Network, laid: Laid, view: Seen, end: RunEnd, place_mm: float, *, last: bool
) -> EndShape:
    """See one end of a run, at a place along its straight."""
    way = view.way(last=last)
    radius = laid.straight.spec.covered_diameter_mm / 2
    across: tuple[tuple[float, float], ...] = ((radius, 0.0), (-radius, 0.0))
    junction = network.junctions.get(end.node) if end.node else None
    if junction is None:
        return _shape(view.at(place_mm), way, across, "joint")
    node = view.points[-1 if last else 0]
    if junction.kind == "bend" and end.cut in ("mitre", "square"):
        turned = _turned_to(layout, junction, laid.straight.key, way)
        if not turned:
            # The bend turns out of the sheet: what is seen of it goes up to the node.
            return _shape(node, way, across, "joint")
        # What a bend takes is the same however long the leg was drawn.
        off = (laid.straight.centre_line_mm - place_mm if last else place_mm) * (-1 if last else 1)
        slope = tan(radians(end.angle_deg)) * turned * (-1 if last else 1)
        across = ((radius, radius * slope), (-radius, -radius * slope))
        base = node[0] + way[0] * off, node[1] + way[1] * off
        return _shape(base, way, across, "mitre" if end.cut == "mitre" else "joint")
    curve = None
    if end.cut in ("notch", "saddle"):
        curve = _hollow(layout, junction, laid.straight.key, way, radius, last=last)
    return _shape(node, way, curve, "notch") if curve else _shape(view.at(place_mm), way, across, "joint")


def _shape(base: Point, way: Point, across: Sequence[tuple[float, float]], style: str) -> EndShape:
    """Points told to the left of a base and along the way from it."""
    (u, v), (du, dv) = base, way
    return EndShape(tuple([(u + du * off - dv * x, v + dv * off + du * x) for x, off in across]), style)


def _way_of(layout: Layout, junction: Junction, leg: tuple[str, str]) -> Point:
    """The direction in which a leg leaves a junction on the sheet, unscaled."""
    start, end = leg
    here = spot_of(layout.view, layout.nodes[junction.node])
    there = spot_of(layout.view, layout.nodes[end if start == junction.node else start])
    return there.u_mm - here.u_mm, there.v_mm - here.v_mm


def _turned_to(layout: Layout, junction: Junction, key: str, way: Point) -> int:
    """1 where the pipe beyond a bend leaves to the left of the straight's direction, −1 to the right, 0 for neither."""
    if len(junction.legs) < 2:
        return 0
    other = junction.legs[1 if junction.straights[0] == key else 0]
    if junction.straights[0] == junction.straights[1]:
        return 0
    beyond = _way_of(layout, junction, (other.start, other.end))
    side = way[0] * beyond[1] - way[1] * beyond[0]
    return 0 if abs(side) < 1e-6 else (1 if side > 0 else -1)


def _hollow(
    layout: Layout, junction: Junction, key: str, way: Point, radius: float, *, last: bool
) -> tuple[tuple[float, float], ...] | None:
    """The curve by which a branch fits its main, seen at a right angle to both.

    A point x across the branch and s along it lies x·c + s·sin β off the main's axis, and out of the sheet √(r² − x²)
    on the branch's cylinder; on the main's too where s = (√(R² − r² + x²) − x·c)/sin β. At equal diameters it is a V.
    """
    main = junction.legs[0]
    branch = next((one for one in junction.branches if one.straight == key), None)
    along = _way_of(layout, junction, (main.start, main.end))
    length = hypot(*along)
    if branch is None or not main.spec.covered or not length:
        return None
    off = (-along[1] / length, along[0] / length)
    out = (-way[0], -way[1]) if last else way
    if out[0] * off[0] + out[1] * off[1] < 0:
        off = (-off[0], -off[1])
    sine = out[0] * off[0] + out[1] * off[1]
    if sine < LEAST_SINE:
        return None
    cosine = -way[1] * off[0] + way[0] * off[1]
    more = (main.spec.covered_diameter_mm / 2) ** 2 - radius**2
    steps = 2 if abs(more) < radius else SADDLE_STEPS
    curve = []
    for step in range(steps + 1):
        x = radius - 2 * radius * step / steps
        depth = (sqrt(max(more + x * x, 0.0)) - x * cosine) / sine
        curve.append((x, -depth if last else depth))
    return tuple(curve)
