"""Drawing legs; a leg that begins or ends on another one splits it and makes a tee."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.ids import next_id
from layoutest.edit.places import AtNode, Free, OnLeg, Place, drawn_mm, place_node
from layoutest.edit.tables import changed
from layoutest.layout.document import Leg
from layoutest.layout.ids import natural_key
from layoutest.layout.plane import node_of, spot_of

if TYPE_CHECKING:
    from layoutest.layout.document import Layout, Thickness


class Pen(NamedTuple):
    """What a new leg is made of."""

    service: str
    pipe: str
    covered: bool = True
    covering: str | None = None
    thickness_mm: Thickness | None = None
    area: str = ""
    access: str = ""


class Drawn(NamedTuple):
    """What drawing made: the layout, the nodes at both ends, and the new legs.

    Where nothing could be drawn, the layout is the one that was given, the ends are empty, and there is no leg.
    """

    layout: Layout
    start: str
    end: str
    legs: tuple[str, ...]


def draw_leg(layout: Layout, start: Place, end: Place, pen: Pen) -> Drawn:
    """Draw one leg, and split the legs that it begins or ends on.

    Nothing is drawn where the leg would have no length, double one that is there or lead farther out than a file can
    hold. What a leg passes or ends over without being told to join it stays apart; a snag tells that.
    """
    made, first = place_node(layout, start)
    made, last = place_node(made, _after_split(layout, made, end))
    if not first or not last or made.nodes[first] == made.nodes[last]:
        return Drawn(layout, "", "", ())
    if not isinstance(start, Free) and not isinstance(end, Free) and _is_there(made, first, last):
        return Drawn(layout, "", "", ())
    leg_id = next_id(made, "l")
    leg = Leg(
        first,
        last,
        pen.service,
        pen.pipe,
        covered=pen.covered,
        covering=pen.covering,
        thickness_mm=pen.thickness_mm,
        area=pen.area,
        access=pen.access,
    )
    return Drawn(changed(made, {"legs": {leg_id: leg}}), first, last, (leg_id,))


def rise(layout: Layout, start: Place, to_mm: int, pen: Pen) -> Drawn:
    """Rise or drop from a place, at a right angle to the sheet: to a level in a plan, to a y in an elevation.

    A node that is there already is the end: on the sheet nobody could point at it.
    """
    made, first = place_node(layout, start)
    if not first:
        return Drawn(layout, "", "", ())
    there = node_of(layout.view, spot_of(layout.view, made.nodes[first])._replace(depth_mm=to_mm))
    met = min((name for name, at in made.nodes.items() if at == there), key=natural_key, default=None)
    drawn = draw_leg(made, AtNode(first), AtNode(met) if met else Free(*there), pen)
    return drawn if drawn.legs else drawn._replace(layout=layout)


def _after_split(old: Layout, new: Layout, place: Place) -> Place:
    """The place of an end, on the part of a leg that the start may have split off."""
    if not isinstance(place, OnLeg) or new.legs[place.leg] is old.legs[place.leg]:
        return place
    first_mm = drawn_mm(new, new.legs[place.leg])
    if place.at_mm <= first_mm:
        return place
    second = next(name for name in new.legs if name not in old.legs)
    return OnLeg(second, max(round(place.at_mm - first_mm), 0))


def _is_there(layout: Layout, first: str, last: str) -> bool:
    pairs = (first, last), (last, first)
    return any((leg.start, leg.end) in pairs for leg in layout.legs.values())
