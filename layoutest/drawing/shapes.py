"""The outlines of what is drawn to scale, in the sheet's millimetres: of a leg, of a piece, of an item."""

from __future__ import annotations

from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from layoutest.drawing.ends import end_shape
from layoutest.drawing.straight import seen
from layoutest.drawing.symbols import JACKET_WIDER
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from layoutest.cover.covering import Covering
    from layoutest.cover.runs import Laid
    from layoutest.drawing.primitives import Point
    from layoutest.drawing.straight import Seen

Shape = tuple["Point", ...]
NEAR_MM = 1.5
# Of a leg that is left out nobody knows the diameter.
UNKNOWN_HALF_MM = 20.0
_ROUND = 24


def leg_shape(covering: Covering, leg: str) -> Shape | None:
    """The outline of a leg as it is covered, cut as its ends are; None for a leg that the layout does not hold."""
    key = covering.network.straight_of.get(leg)
    layout = covering.network.chosen.layout
    if key is None or key not in covering.laid:
        if leg not in layout.legs:
            return None
        ends = (layout.legs[leg].start, layout.legs[leg].end)
        low, high = (spot_of(layout.view, layout.nodes[node]) for node in ends)
        return band((low.u_mm, low.v_mm), (high.u_mm, high.v_mm), UNKNOWN_HALF_MM)
    laid = covering.laid[key]
    legs = laid.straight.legs
    number = next(place for place, one in enumerate(legs) if one.id == leg)
    low_mm, high_mm = laid.straight.offsets_mm[number : number + 2]
    if number == 0 and laid.reach[0] == "made":
        low_mm = laid.runs[0].from_mm
    if number == len(legs) - 1 and laid.reach[1] == "made":
        high_mm = laid.runs[-1].from_mm + laid.runs[-1].covered_mm
    return piece_shape(covering, key, low_mm, high_mm)


def piece_shape(covering: Covering, key: str, low_mm: float, high_mm: float) -> Shape:
    """The outline of a straight between two places along it; where one is an end of a run it is cut as that is."""
    laid = covering.laid[key]
    view = seen(covering.network.chosen.layout, laid.straight)
    half_mm = laid.straight.spec.covered_diameter_mm / 2
    if view.upright:
        return disc(view.points[0], half_mm)
    first = _end(covering, laid, view, low_mm, last=False)
    last = _end(covering, laid, view, high_mm, last=True)
    return (*first, *reversed(last))


def _end(covering: Covering, laid: Laid, view: Seen, place_mm: float, *, last: bool) -> Shape:
    network = covering.network
    for run in laid.runs:
        at_mm = run.from_mm + run.covered_mm if last else run.from_mm
        if abs(at_mm - place_mm) <= NEAR_MM:
            return end_shape(network.chosen.layout, network, laid, view, run.ends[last], at_mm, last=last).points
    (u, v), (du, dv), half_mm = view.at(place_mm), view.way(last=last), laid.straight.spec.covered_diameter_mm / 2
    return (u - dv * half_mm, v + du * half_mm), (u + dv * half_mm, v - du * half_mm)


def item_shape(covering: Covering, item: str) -> Shape | None:
    """The outline of an item where it stands; None where it stands nowhere."""
    one = covering.network.chosen.layout.items.get(item)
    key = covering.network.straight_of.get(one.leg) if one else None
    laid = covering.laid.get(key) if key is not None else None
    placed = next((placed for placed in laid.items if placed.id == item), None) if laid else None
    if laid is None or placed is None:
        return None
    view = seen(covering.network.chosen.layout, laid.straight)
    half_mm = laid.straight.spec.covered_diameter_mm / 2 * JACKET_WIDER
    return band(view.at(placed.from_mm), view.at(placed.to_mm), half_mm)


def band(low: Point, high: Point, half: float) -> Shape:
    """The corners of a band between two points; round where they are one."""
    du, dv = high[0] - low[0], high[1] - low[1]
    length = hypot(du, dv)
    if not length:
        return disc(low, half)
    a, b = -dv / length * half, du / length * half
    return (low[0] + a, low[1] + b), (high[0] + a, high[1] + b), (high[0] - a, high[1] - b), (low[0] - a, low[1] - b)


def disc(middle: Point, radius: float) -> Shape:
    """A circle, as points."""
    turns = (2 * pi * step / _ROUND for step in range(_ROUND))
    return tuple((middle[0] + radius * cos(turn), middle[1] + radius * sin(turn)) for turn in turns)
