"""A straight as a group: body to scale, edges, cuts, centre line, joints, gaps and items."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.ends import end_shape
from layoutest.drawing.primitives import Box, Circle, Group, Point, Polygon, Polyline, Primitive
from layoutest.drawing.services import code_of
from layoutest.drawing.straight import Seen, seen
from layoutest.drawing.symbols import item_parts
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from layoutest.cover.covering import Covering
    from layoutest.cover.runs import Laid
    from layoutest.layout.document import Layout

TICK_PAST_MM = 40.0
ITEM_WIDER = 1.2


def straight_group(covering: Covering, key: str, joints_mm: tuple[float, ...]) -> tuple[Group, float, bool]:
    """The group of one straight, the depth at which it lies, and whether it is seen as a point."""
    laid = covering.laid[key]
    layout = covering.network.chosen.layout
    view = seen(layout, laid.straight)
    depth_mm = float(max(view.depths_mm))
    if view.upright:
        return _upright(covering, laid, view), depth_mm, True
    spec = laid.straight.spec
    dash = code_of(spec.service)
    axis = view.points if len(view.points) < 3 else _corners(view.points)
    far = (Polyline(axis, "far", f"far:{dash}", dash=dash),)
    bodies, cuts = _bodies(covering, laid, view)
    bare = _bare(laid, view)
    ticks = tuple(sorted(_distance(view, place) for place in joints_mm))
    centre = Polyline(axis, "centre", dash=dash, ticks=ticks, tick=spec.covered_diameter_mm / 2)
    boxes, symbols = _items(laid, view)
    hollows = tuple(part for part in cuts if part.style == "notch")
    mitres = tuple(part for part in cuts if part.style == "mitre")
    details = (
        far,
        (*bare, *bodies, *mitres, *boxes),
        (*bare, *bodies, centre, *mitres, *hollows, *boxes, *symbols),
        (*bare, *bodies, centre, *mitres, *hollows, *boxes, *symbols),
    )
    reach = spec.covered_diameter_mm / 2 * ITEM_WIDER + TICK_PAST_MM
    return Group(key, _box(view.points, reach), details, spec.covered_diameter_mm), depth_mm, False


def break_group(group: Group, laid: Laid) -> Group | None:
    """The rim of the sheet's colour beside a pipe, which breaks the pipes that it crosses over."""
    if not laid.runs or not isinstance(group.details[0][0], Polyline):
        return None
    (u0, v0), (u1, v1) = group.details[0][0].points[0], group.details[0][0].points[-1]
    length = ((u1 - u0) ** 2 + (v1 - v0) ** 2) ** 0.5
    # Not at its ends, where it is joined to what it would break.
    clear = group.width / length if length > 3 * group.width else 0.0
    if not clear:
        return None
    du, dv = (u1 - u0) * clear, (v1 - v0) * clear
    rim = (Polyline(((u0 + du, v0 + dv), (u1 - du, v1 - dv)), "break", "sheet", width=group.width),)
    return Group(f"break {group.name}", group.box, ((), rim, rim, rim), group.width)


def left_out_group(layout: Layout, leg: str) -> Group:
    """A leg that is left out, dashed."""
    one = layout.legs[leg]
    points = tuple((float(s.u_mm), float(s.v_mm)) for s in (spot_of(layout.view, layout.nodes[n]) for n in (one.start, one.end)))
    return Group(f"leg {leg}", _box(points, TICK_PAST_MM), ((Polyline(points, "live", "snag_error", dash="CR"),),))


def _upright(covering: Covering, laid: Laid, view: Seen) -> Group:
    """A rise (a dot: it comes towards the eye) or a drop (a ring)."""
    spec, point = laid.straight.spec, view.points[0]
    radius = spec.covered_diameter_mm / 2
    code = code_of(spec.service)
    fill = f"body:{code}" if laid.runs else "field"
    ring = Circle(point, radius, fill, "edge")
    inner = (
        Circle(point, radius * 0.2, "centre") if rises(covering, laid, view) else Circle(point, radius * 0.45, "", "edge")
    )
    details = ((Circle(point, radius, f"far:{code}"),), (ring,), (ring, inner), (ring, inner))
    return Group(laid.straight.key, _box((point,), radius + TICK_PAST_MM), details, spec.covered_diameter_mm)


def rises(covering: Covering, laid: Laid, view: Seen) -> bool:
    """Whether an upright straight rises: what is joined to it lies at its lower end, or at both."""
    ends = laid.straight.nodes[0], laid.straight.nodes[-1]
    low, high = ends if view.depths_mm[0] <= view.depths_mm[-1] else ends[::-1]
    junctions = covering.network.junctions
    joined_low, joined_high = (junctions[node].kind != "end" for node in (low, high))
    return joined_low or not joined_high


def _bodies(covering: Covering, laid: Laid, view: Seen) -> tuple[tuple[Primitive, ...], list[Polyline]]:
    """The bodies of all runs, and the cuts at their ends."""
    layout, network = covering.network.chosen.layout, covering.network
    fill = f"body:{code_of(laid.straight.spec.service)}"
    bodies: list[Primitive] = []
    cuts: list[Polyline] = []
    for run in laid.runs:
        first = end_shape(layout, network, laid, view, run.ends[0], run.from_mm, last=False)
        last = end_shape(layout, network, laid, view, run.ends[1], run.from_mm + run.covered_mm, last=True)
        bodies.append(Polygon((*first.points, *reversed(last.points)), fill, "edge"))
        cuts += [Polyline(shape.points, shape.style) for shape in (first, last) if shape.style != "joint"]
    return tuple(bodies), cuts


def _bare(laid: Laid, view: Seen) -> tuple[Primitive, ...]:
    """The bare pipe where nothing is laid: two thin lines, at its own diameter."""
    spec = laid.straight.spec
    whole = laid.straight.centre_line_mm
    edges = [0.0 if not laid.runs else laid.low_mm]
    for run in laid.runs:
        edges += [run.from_mm, run.from_mm + run.covered_mm]
    edges.append(whole if not laid.runs else laid.high_mm)
    parts: list[Primitive] = []
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        if high - low > 1:
            parts.append(Polygon(_strip(view.at(low), view.at(high), spec.outside_diameter_mm / 2), "field", "centre"))
    return tuple(parts)


def _items(laid: Laid, view: Seen) -> tuple[tuple[Primitive, ...], tuple[Primitive, ...]]:
    """The outlines of jackets and inserts, and the symbols in them."""
    boxes: list[Primitive] = []
    symbols: list[Primitive] = []
    spec = laid.straight.spec
    for placed in laid.items:
        low, high = view.at(placed.from_mm), view.at(placed.to_mm)
        middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
        long_mm = ((high[0] - low[0]) ** 2 + (high[1] - low[1]) ** 2) ** 0.5
        way = view.way(last=False)
        parts = item_parts(
            placed.item.kind,
            placed.item.covered,
            middle,
            way,
            long_mm,
            spec.outside_diameter_mm,
            spec.covered_diameter_mm if spec.covered else spec.outside_diameter_mm,
        )
        cut = 1 if placed.item.covered in ("jacket", "insert") else 0
        boxes += parts[:cut]
        symbols += parts[cut:]
    return tuple(boxes), tuple(symbols)


def _distance(view: Seen, place_mm: float) -> float:
    """How far along the line on the sheet a place lies."""
    (u0, v0), (u1, v1) = view.points[0], view.at(place_mm)
    return float(((u1 - u0) ** 2 + (v1 - v0) ** 2) ** 0.5)


def _corners(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """A straight as one line: its nodes between do not show."""
    return points[0], points[-1]


def _strip(low: Point, high: Point, half: float) -> tuple[Point, ...]:
    du, dv = high[0] - low[0], high[1] - low[1]
    length = (du * du + dv * dv) ** 0.5 or 1.0
    du, dv = -dv / length * half, du / length * half
    return (
        (low[0] + du, low[1] + dv),
        (high[0] + du, high[1] + dv),
        (high[0] - du, high[1] - dv),
        (low[0] - du, low[1] - dv),
    )


def _box(points: tuple[Point, ...], reach: float) -> Box:
    us, vs = [u for u, _ in points], [v for _, v in points]
    return Box(min(us) - reach, min(vs) - reach, max(us) + reach, max(vs) + reach)
