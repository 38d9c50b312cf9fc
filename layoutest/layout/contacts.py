"""Where legs touch that share no node there: overlaps, crossings, ends on a leg, ends in one place.

Legs are sorted into a grid of cubes, so that only neighbours are compared; after an edit only the changed legs are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.layout.geometry import Vector, along, angle_deg, dot, length, minus, nearest_on_lines, reverse
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

# A point of an oblique leg that was rounded to whole millimetres is off its true place by less than this.
MEET_MM = 1.0

ContactKind = Literal["overlap", "meet", "end-on-leg", "ends-together"]
Cube = tuple[int, int, int]


class Line(NamedTuple):
    """A leg as a line in space: its end nodes, where it starts, its direction and its length."""

    start: str
    end: str
    at: Vector
    heading: Vector
    length_mm: float


class Contact(NamedTuple):
    """Two legs that touch, the smaller id first, and the nodes that lie where they do."""

    kind: ContactKind
    legs: tuple[str, str]
    nodes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Contacts:
    """All contacts between some lines, with the grid they were found by."""

    lines: Mapping[str, Line]
    cube_mm: float
    cubes: Mapping[Cube, tuple[str, ...]]
    found: Mapping[tuple[str, str], Contact]


def find_contacts(lines: Mapping[str, Line], tolerance_deg: float, before: Contacts | None = None) -> Contacts:
    """Find every contact. Lines that are the same object as in `before` are not compared with each other again."""
    if before is None:
        before = Contacts({}, _cube_mm(lines), {}, {})
    gone = {leg for leg, line in before.lines.items() if lines.get(leg) is not line}
    fresh = {leg for leg, line in lines.items() if before.lines.get(leg) is not line}
    cubes = dict(before.cubes)
    for leg in gone:
        for cube in _cubes(before.lines[leg], before.cube_mm):
            cubes[cube] = tuple(other for other in cubes[cube] if other != leg)
    found = {pair: contact for pair, contact in before.found.items() if not gone.intersection(pair)}
    for leg in fresh:
        for cube in _cubes(lines[leg], before.cube_mm):
            held = cubes.get(cube, ())
            _compare(leg, held, lines, tolerance_deg, found)
            cubes[cube] = (*held, leg)
    return Contacts(lines, before.cube_mm, cubes, found)


def _cube_mm(lines: Mapping[str, Line]) -> float:
    # As long as the mean leg, so that cubes are as many as legs; odd, so that lines of a round grid seldom lie on faces.
    mean = sum(line.length_mm for line in lines.values()) / max(len(lines), 1)
    return max(mean, 400) + 0.37


def _compare(
    leg: str,
    others: Iterable[str],
    lines: Mapping[str, Line],
    tolerance_deg: float,
    found: dict[tuple[str, str], Contact],
) -> None:
    line = lines[leg]
    for other in others:
        pair = (leg, other) if natural_key(leg) < natural_key(other) else (other, leg)
        if pair not in found and (contact := _contact(pair, line, lines[other], lines, tolerance_deg)):
            found[pair] = contact


def _contact(
    pair: tuple[str, str], line: Line, other: Line, lines: Mapping[str, Line], tolerance_deg: float
) -> Contact | None:
    shared = {line.start, line.end} & {other.start, other.end}
    if shared:
        node = min(shared)
        same_way = angle_deg(_away(line, node), _away(other, node)) <= tolerance_deg
        return Contact("overlap", pair) if same_way else None
    first, second = lines[pair[0]], lines[pair[1]]
    s, t, apart_mm = nearest_on_lines(*first[2:], *second[2:])
    if apart_mm >= MEET_MM:
        return None
    if _overlap(first, second):
        return Contact("overlap", pair)
    nodes = (*_end_at(first, s), *_end_at(second, t))
    kinds: tuple[ContactKind, ...] = ("meet", "end-on-leg", "ends-together")
    return Contact(kinds[len(nodes)], pair, tuple(sorted(nodes, key=natural_key)))


def _away(line: Line, node: str) -> Vector:
    return line.heading if node == line.start else reverse(line.heading)


def _end_at(line: Line, distance_mm: float) -> tuple[str, ...]:
    if distance_mm <= MEET_MM:
        return (line.start,)
    return (line.end,) if distance_mm >= line.length_mm - MEET_MM else ()


def _overlap(first: Line, second: Line) -> bool:
    """Whether the second lies on the first over more than the meeting tolerance."""
    ends = (second.at, along(second.at, second.heading, second.length_mm))
    places = sorted((dot(minus(end, first.at), first.heading), end) for end in ends)
    low, high = max(places[0][0], 0.0), min(places[1][0], first.length_mm)
    if high - low <= MEET_MM:
        return False
    return all(_off(along(first.at, first.heading, place), second) < MEET_MM for place in (low, high))


def _off(point: Vector, line: Line) -> float:
    reach = min(max(dot(minus(point, line.at), line.heading), 0.0), line.length_mm)
    return length(minus(point, along(line.at, line.heading, reach)))


def _cubes(line: Line, size: float) -> set[Cube]:
    """The cubes a line passes, or nearly passes, found slab by slab along its steepest axis."""
    heading, at = line.heading, line.at
    main = max(range(3), key=lambda axis: abs(heading[axis]))
    end = along(at, heading, line.length_mm)
    low, high = sorted((at[main], end[main]))
    cubes: set[Cube] = set()
    for slab in range(_index(low - MEET_MM, size), _index(high + MEET_MM, size) + 1):
        faces = (max(slab * size - MEET_MM, low), min((slab + 1) * size + MEET_MM, high))
        spans = [_span(line, axis, main, faces, slab, size) for axis in range(3)]
        cubes.update((x, y, z) for x in spans[0] for y in spans[1] for z in spans[2])
    return cubes


def _span(line: Line, axis: int, main: int, faces: tuple[float, float], slab: int, size: float) -> range:
    if axis == main:
        return range(slab, slab + 1)
    slope = line.heading[axis] / line.heading[main]
    low, high = sorted(line.at[axis] + slope * (face - line.at[main]) for face in faces)
    return range(_index(low - MEET_MM, size), _index(high + MEET_MM, size) + 1)


def _index(value: float, size: float) -> int:
    return math.floor(value / size)
