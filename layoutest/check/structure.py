"""Covered pipes that pass a wall or a slab."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from layoutest.choose import Chosen, ChosenLeg
    from layoutest.layout.document import Node, Outline

# Their insides have a point in common, whatever else they have.
INSIDE = "T********"
Flat = tuple[float, float]


class Solids:
    """The walls and slabs of a layout, ready to be asked which of them lines touch."""

    def __init__(self, structure: Mapping[str, Outline]) -> None:
        self.parts = {name: _parts(outline) for name, outline in structure.items() if outline.kind != "plant"}
        self._owners = [name for name, parts in self.parts.items() for _ in parts]
        self._tree = shapely.STRtree([part for parts in self.parts.values() for part in parts])

    def touched(self, lines: Sequence[tuple[Flat, Flat]]) -> set[tuple[int, str]]:
        """Each line's index with the name of an outline that it touches."""
        # All lines in one go; one without any length stands for an upright leg.
        found = self._tree.query(shapely.linestrings(lines), predicate="intersects")
        return {(int(line), self._owners[part]) for line, part in found.T}


def structure_snags(
    chosen: Chosen, solids: Solids | None = None, legs: Iterable[ChosenLeg] | None = None
) -> tuple[Snag, ...]:
    """Tell each covered leg whose centre line passes a wall or a slab; a measured leg's place is not judged.

    Args:
        chosen: the legs and the structure.
        solids: those of the layout's structure, if they are at hand.
        legs: of the chosen legs only these.
    """
    solids = solids or Solids(chosen.layout.structure)
    asked = chosen.legs.values() if legs is None else legs
    legs = [leg for leg in asked if leg.spec.covered and leg.leg.measured_mm is None]
    if not solids.parts or not legs:
        return ()
    ends = [(chosen.layout.nodes[leg.start], chosen.layout.nodes[leg.end]) for leg in legs]
    outlines = chosen.layout.structure
    found = [
        (legs[index].id, name)
        for index, name in solids.touched([(start[:2], end[:2]) for start, end in ends])
        if _passes(*ends[index], outlines[name], solids.parts[name])
    ]
    found.sort(key=lambda place: (natural_key(place[0]), natural_key(place[1])))
    return tuple(_snag(leg, name, outlines[name].kind, chosen) for leg, name in found)


def _parts(outline: Outline) -> list[shapely.Geometry]:
    # An outline that crosses itself still encloses something, and one without any width is a line: both are kept.
    return list(shapely.get_parts(shapely.make_valid(shapely.Polygon(outline.outline))))


def _line(start: Flat, end: Flat) -> shapely.Geometry:
    """A leg seen from above; an upright one is a point."""
    return shapely.Point(start) if start == end else shapely.LineString([start, end])


def _passes(start: Node, end: Node, outline: Outline, solid: list[shapely.Geometry]) -> bool:
    """Whether the part of a leg between the outline's levels runs inside it, not just along its face."""
    part = _between(start, end, outline.levels_mm)
    return part is not None and any(shapely.relate_pattern(_line(*part), one, INSIDE) for one in solid)


def _between(start: Node, end: Node, levels: tuple[int, int] | None) -> tuple[Flat, Flat] | None:
    """The part of a leg between two levels, seen from above; its ends stay exact where the leg ends there."""
    low, high, rise = 0.0, 1.0, end.level_mm - start.level_mm
    if levels is not None and rise:
        reach = sorted((level - start.level_mm) / rise for level in levels)
        low, high = max(low, reach[0]), min(high, reach[1])
    elif levels is not None and not levels[0] < start.level_mm < levels[1]:
        return None
    return (_at(start, end, low), _at(start, end, high)) if low < high else None


def _at(start: Node, end: Node, share: float) -> Flat:
    return start.x_mm + (end.x_mm - start.x_mm) * share, start.y_mm + (end.y_mm - start.y_mm) * share


def _snag(leg: str, name: str, kind: str, chosen: Chosen) -> Snag:
    says = f"A covered pipe passes a {kind}; the covering inside it is counted."
    do = "Fire stopping and sleeve are by others: a tested system, fitted by a competent installer."
    return Snag("crosses-structure", (leg, name), says, do, f"{chosen.legs[leg].spec.text}, {kind}")
