"""Drawing legs; a leg that begins or ends on another one splits it and makes a tee."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.edit.ids import fresh_ids
from layoutest.edit.places import AtNode, Free, Place, drawn_mm, place_node
from layoutest.edit.tables import changed
from layoutest.layout.document import Leg
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
    """What drawing made: the layout, the nodes at both ends, and the new legs, none where nothing could be drawn."""

    layout: Layout
    start: str
    end: str
    legs: tuple[str, ...]


def draw_leg(layout: Layout, start: Place, end: Place, pen: Pen) -> Drawn:
    """Draw one leg. Where it would have no length, or doubles a leg that is there, the layout comes back unchanged."""
    made, first = place_node(layout, start)
    # The end may lie on the part of a leg that the start has just split off.
    made, last = place_node(made, _after_split(layout, made, end))
    if first == last or made.nodes[first] == made.nodes[last] or _is_there(made, first, last):
        return Drawn(layout, first, last, ())
    leg_id = next(fresh_ids(made, "l"))
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
    """Rise or drop from a place, at a right angle to the sheet: to a level in a plan, to a y in an elevation."""
    made, first = place_node(layout, start)
    spot = spot_of(layout.view, made.nodes[first])._replace(depth_mm=to_mm)
    there = node_of(layout.view, spot)
    node = next((name for name, at in made.nodes.items() if at == there), None)
    drawn = draw_leg(made, AtNode(first), AtNode(node) if node else Free(*there), pen)
    return drawn if drawn.legs else Drawn(layout, first, first, ())


def _after_split(old: Layout, new: Layout, place: Place) -> Place:
    if isinstance(place, AtNode | Free) or old is new:
        return place
    leg = old.legs[place.leg]
    if new.legs[place.leg] is leg:
        return place
    first_mm = drawn_mm(new, new.legs[place.leg])
    if place.at_mm <= first_mm:
        return place
    second = next(name for name in new.legs if name not in old.legs)
    return place._replace(leg=second, at_mm=max(round(place.at_mm - first_mm), 0))




def _is_there(layout: Layout, first: str, last: str) -> bool:
    return any({leg.start, leg.end} == {first, last} for leg in layout.legs.values())
