"""A layout made from the tables of a real plant room (shared/real/NOTICE.md); `python real_room.py OUT` writes it.

Facts of the tables: a segment runs between two end points; `len_ports` is the distance between them and `len_solid` the
length of its body, which agree. A connection says that two parts touch, but not at which ends. A bend has a turn
(`angle_pset`) and a radius (`radius_pset`), whose R·tan(turn/2) is its centre-to-end distance where both its sides are
of one size. For tees the tables give no centre-to-end distance, so it is taken from where the pipes end.

A leg is made for each segment, with the segment's id, and a node for each cluster of parts that touch without a pipe
between them (a valve with its two flanges is one): where the axes of its pipes meet, or in the middle between two pipes
in line. At the boiler, the collector and the heaters every pipe ends.
"""

from __future__ import annotations

import csv
import math
import sys
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

from layoutest.layout.document import Layout, Leg, Node, PipeSize, Service
from layoutest.layout.geometry import along, angle_deg, length, minus, nearest_on_lines

TABLES = Path(__file__).parents[2] / "shared" / "real"
# Parts at which pipes end, whatever else is connected to them.
APPARATUS = ("IfcBoiler", "IfcSpaceHeater")
COLLECTOR = "F109"
IN_LINE_DEG = 10.0


@dataclass(frozen=True)
class Joint:
    """A node of the layout: its parts, its exact place, and the pipes that end there, each with its end point."""

    name: str
    parts: tuple[str, ...]
    place: tuple[float, float, float]
    ends: dict[str, tuple[float, float, float]]


def table(name):
    with (TABLES / f"b03_{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def segments():
    """Each pipe's row with its two end points."""
    rows = {row["id"]: row for row in table("segments")}
    points = {
        name: tuple(tuple(float(row[f"{axis}{end}"]) for axis in "xyz") for end in "12") for name, row in rows.items()
    }
    return rows, points


def fittings():
    return {row["id"]: row for row in table("fittings")}


def _clusters():
    """Groups of parts that touch one another, with the pipes that touch the group."""
    kinds = fittings()
    ends_here = {name for name, row in kinds.items() if row["entity"] in APPARATUS} | {COLLECTOR}
    group = {name: {name} for name in kinds}
    pipes, welded = [], []
    for row in table("connections"):
        a, b = row["a"], row["b"]
        if a in kinds and b in kinds:
            merged = group[a] | group[b]
            group.update(dict.fromkeys(merged, merged))
        elif a not in kinds and b not in kinds:
            welded.append(((), [a, b]))
        else:
            pipes.append((a, b) if a.startswith("S") else (b, a))
    touching = {}
    for pipe, part in pipes:
        key = (min(group[part]), pipe) if part in ends_here else (min(group[part]), "")
        touching.setdefault(key, (tuple(sorted(group[part])), []))[1].append(pipe)
    return sorted([*touching.values(), *welded])


def _end_towards(pipe, others, points):
    """The end of a pipe that is nearer to the nearest ends of other pipes."""
    return min((0, 1), key=lambda end: sum(_nearest(points[pipe][end], points[other]) for other in others))


def _nearest(point, ends):
    return min(length(minus(point, end)) for end in ends)


def joints():
    """All nodes, and the ends of pipes that touch nothing."""
    _, points = segments()
    taken = {}
    clusters = _clusters()
    for parts, pipes in clusters:
        if len(pipes) > 1:
            for pipe in pipes:
                end = _end_towards(pipe, [other for other in pipes if other != pipe], points)
                taken.setdefault((pipe, end), []).append(parts)
    made = []
    for parts, pipes in clusters:
        ends = {pipe: _end(pipe, parts, pipes, points, taken) for pipe in pipes}
        made.append(Joint("", parts, _place(ends, points), {pipe: points[pipe][end] for pipe, end in ends.items()}))
    held = {(pipe, point) for joint in made for pipe, point in joint.ends.items()}
    free = [(pipe, point) for pipe, both in points.items() for point in both if (pipe, point) not in held]
    made += [Joint("", (), point, {pipe: point}) for pipe, point in free]
    return [
        Joint(f"n{number}", joint.parts, joint.place, joint.ends) for number, joint in enumerate(made, start=1)
    ], free


def _end(pipe, parts, pipes, points, taken):
    if len(pipes) > 1:
        return _end_towards(pipe, [other for other in pipes if other != pipe], points)
    # The only pipe of its group: the end that no other group has.
    return 1 if (pipe, 0) in taken else 0


def _axis(pipe, end, points):
    """An end of a pipe and the direction in which the pipe leaves it."""
    start, other = points[pipe][end], points[pipe][1 - end]
    span = length(minus(other, start))
    return start, tuple(c / span for c in minus(other, start))


def _place(ends, points):
    axes = [_axis(pipe, end, points) for pipe, end in ends.items()]
    if len(axes) == 1:
        return axes[0][0]
    (p, u), (q, v) = max(combinations(axes, 2), key=lambda pair: angle_deg(pair[0][1], pair[1][1]))
    if len(axes) == 2:
        in_line = angle_deg(u, v) > 180 - IN_LINE_DEG
        return tuple((a + b) / 2 for a, b in zip(p, q, strict=True)) if in_line else _meeting(p, u, q, v)
    branch = next(axis for axis in axes if axis not in ((p, u), (q, v)))
    return _meeting(p, u, *branch)


def _meeting(p, u, q, v):
    """The point of the first axis that is nearest to the second, behind both pipes' ends."""
    back_u, back_v = tuple(-c for c in u), tuple(-c for c in v)
    s, _, _ = nearest_on_lines(p, back_u, 1000.0, q, back_v, 1000.0)
    return along(p, back_u, s)


def _pipe_name(row, radii):
    diameter = float(row["od_profile"])
    return f"room {diameter:g}", PipeSize(diameter, radii.get(row["dn"].split(".")[0], 0.0))


def layout():
    """The whole room."""
    rows, _ = segments()
    radii = {}
    for row in fittings().values():
        if row["kind"] == "bend" and row["dn1"] == row["dn2"] and row["angle_pset"] == "90.0":
            radii[row["dn1"].split(".")[0]] = float(row["radius_pset"])
    made, _ = joints()
    nodes = {joint.name: Node(*(round(c) for c in joint.place)) for joint in made}
    at = {name: [joint.name for joint in made if name in joint.ends] for name in rows}
    pipes = dict(_pipe_name(row, radii) for row in rows.values())
    legs = {name: Leg(*at[name], row["medium"], _pipe_name(row, radii)[0]) for name, row in rows.items()}
    services = {
        medium: Service(medium, "water", 70, 20, covering="stone-wool-foil", thickness_mm=30)
        for medium in {row["medium"] for row in rows.values()}
    }
    return Layout(
        title="A real heating plant room (shared/real/NOTICE.md)",
        pipes=MappingProxyType(pipes),
        services=MappingProxyType(services),
        nodes=MappingProxyType(nodes),
        legs=MappingProxyType(legs),
    )


def allowance_mm(joint, pipe):
    """Centre-to-end distance of a joint towards one of its pipes, and whether the tables give it without drawing."""
    row = fittings()[joint.parts[0]] if len(joint.parts) == 1 else {}
    if row.get("kind") == "bend" and row["dn1"] == row["dn2"]:
        return float(row["radius_pset"]) * math.tan(math.radians(float(row["angle_pset"]) / 2)), True
    return length(minus(joint.ends[pipe], joint.place)), False


if __name__ == "__main__":
    from layoutest.files.layout_write import save_layout

    save_layout(layout(), Path(sys.argv[1]))
