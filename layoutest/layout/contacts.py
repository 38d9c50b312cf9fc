"""Where legs touch that share no node there: overlaps, crossings, ends on a leg, ends in one place.

Legs are sorted into a grid of cubes, so that only neighbours are compared; after an edit only the changed legs are.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.layout.geometry import EXACT_DEG, Vector, along, angle_deg, dot, length, minus, nearest_on_lines, reverse
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Mapping

# A point of an oblique leg that was rounded to whole millimetres is off its true place by less than this.
MEET_MM = 1.0
SMALL_BOX = 8

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
        near: set[str] = set()
        for cube in _cubes(lines[leg], before.cube_mm):
            held = cubes.get(cube, ())
            near.update(held)
            cubes[cube] = (*held, leg)
        for other in near:
            if contact := _contact(leg, other, lines, tolerance_deg):
                found[contact.legs] = contact
    return Contacts(lines, before.cube_mm, cubes, found)


def _cube_mm(lines: Mapping[str, Line]) -> float:
    # As long as the mean leg, so that cubes are as many as legs; odd, so that a round grid seldom lies on faces.
    mean = sum(line.length_mm for line in lines.values()) / max(len(lines), 1)
    return max(mean, 400) + 0.37


def _contact(leg: str, other: str, lines: Mapping[str, Line], tolerance_deg: float) -> Contact | None:
    pair = (leg, other) if natural_key(leg) < natural_key(other) else (other, leg)
    first, second = lines[pair[0]], lines[pair[1]]
    node = _shared(first, second)
    if node is not None:
        ways = _away(first, node), _away(second, node)
        # Nearly all legs that share a node leave it at a right angle or straight on.
        same_way = dot(*ways) > 0 and angle_deg(*ways) <= tolerance_deg + EXACT_DEG
        return Contact("overlap", pair) if same_way else None
    s, t, apart_mm = nearest_on_lines(*first[2:], *second[2:])
    if apart_mm >= MEET_MM:
        return None
    if _overlap(first, second):
        return Contact("overlap", pair)
    nodes = (*_end_at(first, s), *_end_at(second, t))
    kinds: tuple[ContactKind, ...] = ("meet", "end-on-leg", "ends-together")
    return Contact(kinds[len(nodes)], pair, tuple(sorted(nodes, key=natural_key)))


def _shared(first: Line, second: Line) -> str | None:
    if first.start in (second.start, second.end):
        return first.start
    return first.end if first.end in (second.start, second.end) else None


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


def _cubes(line: Line, size: float) -> list[Cube]:
    """The cubes a line passes, or nearly passes: all of a small box, else slab by slab along its steepest axis."""
    heading, at = line.heading, line.at
    end = along(at, heading, line.length_mm)
    box = [_reach(one, two, size) for one, two in zip(at, end, strict=True)]
    if len(box[0]) * len(box[1]) * len(box[2]) <= SMALL_BOX:
        return [(x, y, z) for x in box[0] for y in box[1] for z in box[2]]
    main = max(range(3), key=lambda axis: abs(heading[axis]))
    low, high = min(at[main], end[main]), max(at[main], end[main])
    cubes: list[Cube] = []
    for slab in box[main]:
        faces = (max(slab * size - MEET_MM, low), min((slab + 1) * size + MEET_MM, high))
        spans = [_span(line, axis, main, faces, slab, size) for axis in range(3)]
        cubes += [(x, y, z) for x in spans[0] for y in spans[1] for z in spans[2]]
    return cubes


def _span(line: Line, axis: int, main: int, faces: tuple[float, float], slab: int, size: float) -> range:
    if axis == main:
        return range(slab, slab + 1)
    slope = line.heading[axis] / line.heading[main]
    one, two = (line.at[axis] + slope * (face - line.at[main]) for face in faces)
    return _reach(one, two, size)


def _reach(one: float, two: float, size: float) -> range:
    low, high = (one, two) if one < two else (two, one)
    return range(floor((low - MEET_MM) / size), floor((high + MEET_MM) / size) + 1)
