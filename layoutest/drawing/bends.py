"""The covering round a bend: its pieces between their mitres, or a pre-formed cover."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, pi, radians, sin, tan
from typing import TYPE_CHECKING

from layoutest.drawing.extent import extent
from layoutest.drawing.primitives import Group, Point, Polygon, Polyline, Primitive
from layoutest.drawing.services import code_of
from layoutest.drawing.straight import height_mm
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from layoutest.choose import ChosenLeg
    from layoutest.cover.bend import BendCover
    from layoutest.cover.covering import Covering
    from layoutest.layout.document import Layout

ARC_STEPS = 10


def bend_group(covering: Covering, node: str) -> tuple[Group | None, float]:
    """The group of one bend and how near to the eye it is; None where nothing of it is seen in the sheet's plane."""
    bend, junction = covering.bends[node], covering.network.junctions[node]
    layout = covering.network.chosen.layout
    spot = spot_of(layout.view, layout.nodes[node])
    height, corner = float(height_mm(layout.view, spot)), (float(spot.u_mm), float(spot.v_mm))
    ways = [_way(layout, leg, node) for leg in junction.legs]
    if bend.mitres == 1 or node not in covering.joined or None in ways:
        return None, height
    into, out = (-ways[0][0], -ways[0][1]), ways[1]  # type: ignore[index]
    side = 1 if into[0] * out[1] - into[1] * out[0] > 0 else -1  # type: ignore[index]
    parts = _preformed(bend, corner, into, side) if bend.preformed else _mitred(bend, corner, into, side)
    return Group(f"bend {node}", extent(parts), ((), parts, parts, parts), bend.spec.covered_diameter_mm), height


def _way(layout: Layout, leg: ChosenLeg, node: str) -> Point | None:
    """The direction in which a leg leaves a node, when it lies in the sheet's plane."""
    here = spot_of(layout.view, layout.nodes[node])
    there = spot_of(layout.view, layout.nodes[leg.end if leg.start == node else leg.start])
    du, dv = there.u_mm - here.u_mm, there.v_mm - here.v_mm
    length = (du * du + dv * dv) ** 0.5
    if not length or abs(there.depth_mm - here.depth_mm) > 0.02 * length:
        return None
    return du / length, dv / length


def _mitred(bend: BendCover, corner: Point, into: Point, side: int) -> tuple[Primitive, ...]:
    """The pieces between the mitres; the first mitre is `take_mm` before the corner, each turns by twice its angle."""
    fill, half = f"body:{code_of(bend.spec.service)}", bend.spec.covered_diameter_mm / 2
    angle = radians(bend.angle_deg)
    heading = atan2(into[1], into[0])
    at = corner[0] - into[0] * bend.take_mm, corner[1] - into[1] * bend.take_mm
    lines: list[tuple[Point, Point]] = []
    for _ in range(bend.mitres):
        # The mitre stands across the direction half-way through its turn.
        lines.append(_across(at, heading + side * angle, half / cos(angle)))
        heading += 2 * side * angle
        at = at[0] + cos(heading) * bend.piece_mm, at[1] + sin(heading) * bend.piece_mm
    bodies = [Polygon((first[0], second[0], second[1], first[1]), fill, "edge") for first, second in pairwise(lines)]
    return (*bodies, *(Polyline(line, "mitre") for line in lines))


def _preformed(bend: BendCover, corner: Point, into: Point, side: int) -> tuple[Primitive, ...]:
    fill, half = f"body:{code_of(bend.spec.service)}", bend.spec.covered_diameter_mm / 2
    turn = radians(bend.turn_deg)
    radius = bend.take_mm / tan(turn / 2)
    heading = atan2(into[1], into[0])
    start = corner[0] - into[0] * bend.take_mm, corner[1] - into[1] * bend.take_mm
    middle = start[0] + cos(heading + side * pi / 2) * radius, start[1] + sin(heading + side * pi / 2) * radius
    outer: list[Point] = []
    inner: list[Point] = []
    for step in range(ARC_STEPS + 1):
        angle = heading - side * pi / 2 + side * turn * step / ARC_STEPS
        for line, far in ((outer, radius + half), (inner, max(radius - half, 0.0))):
            line.append((middle[0] + cos(angle) * far, middle[1] + sin(angle) * far))
    return (Polygon((*outer, *reversed(inner)), fill, "edge"),)


def _across(at: Point, heading: float, half: float) -> tuple[Point, Point]:
    du, dv = -sin(heading) * half, cos(heading) * half
    return (at[0] + du, at[1] + dv), (at[0] - du, at[1] - dv)
