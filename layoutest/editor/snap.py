"""Where a click on the sheet means to be: a node, a place on a leg, a crossing of the grid, or just there."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin
from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.places import AtNode, Free, OnLeg
from layoutest.layout.plane import Spot, node_of, spot_of

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point
    from layoutest.edit.places import Place
    from layoutest.editor.hit import Hit
    from layoutest.layout.document import Layout

ANGLE_STEP_DEG = 45


class Snapped(NamedTuple):
    """A place to draw to or from, where it is seen, and what holds it: `node`, `leg`, `grid` or nothing."""

    place: Place
    spot: Spot
    holds: str


def step_mm(layout: Layout) -> int:
    """The step to which clicks snap: half the grid."""
    return max(layout.grid_mm // 2, 1)


def snap_start(layout: Layout, point: Point, hit: Hit | None, depth_mm: int, *, free: bool) -> Snapped:
    """Where drawing begins at a point of the sheet; on a leg it makes a tee.

    Of nodes that are seen in one place, the ends of a rise, it is the one at the depth in hand.
    """
    if hit and hit.kind == "node":
        found = _node(layout, hit.id)
        there = node_of(layout.view, found.spot._replace(depth_mm=depth_mm))
        return next((_node(layout, name) for name, node in layout.nodes.items() if node == there), found)
    if hit and hit.kind == "leg":
        return snap_on_leg(layout, hit.id, point, free=free)
    step = 1 if free else step_mm(layout)
    return _free(layout, Spot(_round(point[0], step), _round(point[1], step), depth_mm))


def snap_end(layout: Layout, start: Spot, point: Point, hit: Hit | None, *, free: bool) -> Snapped:
    """Where a leg from a start ends for a pointer at a point: in its directions, on the grid, or on what it reaches.

    Only what lies at the depth of the start is joined: a pipe on another level is crossed, not met.
    """
    if hit and hit.kind == "node":
        end = _node(layout, hit.id)
        if end.spot.depth_mm == start.depth_mm and (free or _is_in_direction(start, end.spot)):
            return end
    aim = point if free else _aimed(start, point)
    if hit and hit.kind == "leg":
        met = _met(layout, hit.id, start, aim)
        if met:
            return met
    if free:
        return _free(layout, Spot(round(aim[0]), round(aim[1]), start.depth_mm))
    return _free(layout, _stepped(layout, start, aim))


def reach(layout: Layout, start: Spot, toward: Spot, length_mm: int) -> Snapped:
    """Where a leg of a typed length ends, in the direction of a spot; on a node or a leg that lies exactly there."""
    du, dv = toward.u_mm - start.u_mm, toward.v_mm - start.v_mm
    drawn_mm = hypot(du, dv)
    if not drawn_mm:
        du, dv, drawn_mm = 1, 0, 1.0
    end = Spot(
        round(start.u_mm + du * length_mm / drawn_mm), round(start.v_mm + dv * length_mm / drawn_mm), start.depth_mm
    )
    return at_spot(layout, end)


def at_spot(layout: Layout, spot: Spot) -> Snapped:
    """The node or the place on a leg that lies exactly at a spot, else the spot itself."""
    here = node_of(layout.view, spot)
    for name, node in layout.nodes.items():
        if node == here:
            return Snapped(AtNode(name), spot, "node")
    for name, leg in layout.legs.items():
        start, end = layout.nodes[leg.start], layout.nodes[leg.end]
        along = [b - a for a, b in zip(start, end, strict=True)]
        off = [b - a for a, b in zip(start, here, strict=True)]
        square = sum(a * a for a in along)
        dot = sum(a * b for a, b in zip(along, off, strict=True))
        if 0 < dot < square and all(abs(b - a * dot / square) < 1 for a, b in zip(along, off, strict=True)):
            return Snapped(OnLeg(name, round(dot / square**0.5)), spot, "leg")
    return _free(layout, spot)


def snap_on_leg(layout: Layout, leg_id: str, point: Point, *, free: bool) -> Snapped:
    """A place on a leg, at a step of the grid along the axis in which it runs most; its node when that is nearest."""
    leg = layout.legs[leg_id]
    start, end = (spot_of(layout.view, layout.nodes[name]) for name in (leg.start, leg.end))
    du, dv, dw = end.u_mm - start.u_mm, end.v_mm - start.v_mm, end.depth_mm - start.depth_mm
    seen = du * du + dv * dv
    if not seen:
        return _node(layout, leg.start if start.depth_mm >= end.depth_mm else leg.end)
    share = min(max(((point[0] - start.u_mm) * du + (point[1] - start.v_mm) * dv) / seen, 0.0), 1.0)
    if not free:
        step = step_mm(layout)
        main, begin = (du, start.u_mm) if abs(du) >= abs(dv) else (dv, start.v_mm)
        share = min(max((_round(begin + main * share, step) - begin) / main, 0.0), 1.0)
    length_mm = (seen + dw * dw) ** 0.5
    at_mm = round(share * length_mm)
    if at_mm <= 0:
        return _node(layout, leg.start)
    if at_mm >= round(length_mm):
        return _node(layout, leg.end)
    at = at_mm / length_mm
    spot = Spot(round(start.u_mm + du * at), round(start.v_mm + dv * at), round(start.depth_mm + dw * at))
    return Snapped(OnLeg(leg_id, at_mm), spot, "leg")


def _node(layout: Layout, name: str) -> Snapped:
    return Snapped(AtNode(name), spot_of(layout.view, layout.nodes[name]), "node")


def _free(layout: Layout, spot: Spot) -> Snapped:
    return Snapped(Free(*node_of(layout.view, spot)), spot, "grid")


def _round(value: float, step: int) -> int:
    return round(value / step) * step


def _aimed(start: Spot, point: Point) -> Point:
    """The point moved to the nearest direction of a multiple of 45° from the start."""
    du, dv = point[0] - start.u_mm, point[1] - start.v_mm
    turn = radians(round(degrees(atan2(dv, du)) / ANGLE_STEP_DEG) * ANGLE_STEP_DEG)
    along = du * cos(turn) + dv * sin(turn)
    return start.u_mm + along * cos(turn), start.v_mm + along * sin(turn)


def _is_in_direction(start: Spot, end: Spot) -> bool:
    du, dv = abs(end.u_mm - start.u_mm), abs(end.v_mm - start.v_mm)
    return not du or not dv or du == dv


def _stepped(layout: Layout, start: Spot, aim: Point) -> Spot:
    """The aim moved along its direction so that its longer part is on the grid."""
    step = step_mm(layout)
    du, dv = aim[0] - start.u_mm, aim[1] - start.v_mm
    if abs(du) >= abs(dv) - 1e-6:
        moved = _round(aim[0], step) - start.u_mm
        other = 0 if abs(dv) < 1e-6 else round(abs(moved)) * (1 if dv > 0 else -1)
        return Spot(start.u_mm + moved, start.v_mm + other, start.depth_mm)
    return Spot(start.u_mm, _round(aim[1], step), start.depth_mm)


def _met(layout: Layout, leg_id: str, start: Spot, aim: Point) -> Snapped | None:
    """Where the line from the start through the aim meets a leg at the same depth."""
    leg = layout.legs[leg_id]
    low, high = (spot_of(layout.view, layout.nodes[name]) for name in (leg.start, leg.end))
    if low.depth_mm != start.depth_mm or high.depth_mm != start.depth_mm:
        return None
    du, dv = aim[0] - start.u_mm, aim[1] - start.v_mm
    eu, ev = high.u_mm - low.u_mm, high.v_mm - low.v_mm
    spread = du * ev - dv * eu
    if abs(spread) < 1e-9 * max(hypot(du, dv) * hypot(eu, ev), 1):
        return None
    share = ((start.v_mm - low.v_mm) * du - (start.u_mm - low.u_mm) * dv) / spread
    if not 0 <= share <= 1:
        return None
    at_mm = round(share * hypot(eu, ev))
    if at_mm <= 0:
        return _node(layout, leg.start)
    if at_mm >= round(hypot(eu, ev)):
        return _node(layout, leg.end)
    spot = Spot(round(low.u_mm + share * eu), round(low.v_mm + share * ev), start.depth_mm)
    return Snapped(OnLeg(leg_id, at_mm), spot, "leg")
