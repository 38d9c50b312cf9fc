"""Covered pipes that pass a wall or a slab."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from layoutest.layout.geometry import along
from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:

    from layoutest.choose import Chosen, ChosenLeg
    from layoutest.layout.document import Outline


def structure_snags(chosen: Chosen) -> tuple[Snag, ...]:
    """Tell each covered leg whose centre line passes a wall or a slab; a measured leg's place is not judged."""
    outlines = {name: outline for name, outline in chosen.layout.structure.items() if outline.kind != "plant"}
    legs = [leg for leg in chosen.legs.values() if leg.spec.covered and leg.leg.measured_mm is None]
    if not outlines or not legs:
        return ()
    tree = shapely.STRtree([_shadow(leg) for leg in legs])
    found = [
        (legs[index].id, name)
        for name, outline in outlines.items()
        for index in tree.query(_polygon(outline), predicate="intersects")
        if _passes(legs[index], outline)
    ]
    found.sort(key=lambda place: (natural_key(place[0]), natural_key(place[1])))
    return tuple(_snag(leg, name, outlines[name].kind, chosen) for leg, name in found)


def _polygon(outline: Outline) -> shapely.Geometry:
    # An outline that crosses itself still encloses something: make_valid keeps that.
    return shapely.make_valid(shapely.Polygon(outline.outline))


def _shadow(leg: ChosenLeg) -> shapely.Geometry:
    """The leg seen from above; an upright one is a point."""
    end = along(leg.line.at, leg.line.heading, leg.drawn_mm)
    return _line(leg.line.at[:2], end[:2])


def _line(start: tuple[float, float], end: tuple[float, float]) -> shapely.Geometry:
    return shapely.Point(start) if start == end else shapely.LineString([start, end])


def _passes(leg: ChosenLeg, outline: Outline) -> bool:
    """Whether the part of a leg between the outline's levels runs inside it."""
    part = _between(leg, outline.levels_mm)
    if part is None:
        return False
    inside = shapely.intersection(_line(*part), _polygon(outline))
    upright = part[0] == part[1]
    return bool(shapely.contains(_polygon(outline), inside)) if upright else bool(inside.length > 0)


def _between(leg: ChosenLeg, levels: tuple[int, int] | None) -> tuple[tuple[float, float], tuple[float, float]] | None:
    at, heading = leg.line.at, leg.line.heading
    low, high = 0.0, leg.drawn_mm
    if levels is not None:
        if heading[2] == 0:
            if not levels[0] < at[2] < levels[1]:
                return None
        else:
            reach = sorted((level - at[2]) / heading[2] for level in levels)
            low, high = max(low, reach[0]), min(high, reach[1])
    if high - low <= 0:
        return None
    start, end = along(at, heading, low), along(at, heading, high)
    if heading[0] == heading[1] == 0:
        start = end = at
    return (start[0], start[1]), (end[0], end[1])


def _snag(leg: str, name: str, kind: str, chosen: Chosen) -> Snag:
    says = f"Covered leg {leg} passes {kind} {name}; the covering inside it is counted."
    do = "Fire stopping and sleeve are by others: a tested system, fitted by a competent installer."
    return Snag("crosses-structure", (leg, name), says, do, chosen.legs[leg].spec.text)
