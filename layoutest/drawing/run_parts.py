"""A straight as a group: body to scale, edges, cuts, centre line, joints, gaps and items."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from layoutest.drawing.ends import end_shape
from layoutest.drawing.extent import extent
from layoutest.drawing.primitives import Circle, Group, Point, Polygon, Polyline, Primitive
from layoutest.drawing.services import code_of
from layoutest.drawing.straight import Seen, seen
from layoutest.drawing.symbols import ItemPlace, outline_parts, symbol_parts
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.cover.covering import Covering
    from layoutest.cover.runs import Laid
    from layoutest.layout.document import Layout


def straight_group(covering: Covering, key: str, joints_mm: tuple[float, ...]) -> tuple[Group, float, bool]:
    """The group of one straight, how near to the eye it is, and whether it is seen as a point."""
    laid = covering.laid[key]
    layout = covering.network.chosen.layout
    view = seen(layout, laid.straight)
    height_mm = view.height_mm
    if view.upright:
        return _upright(covering, laid, view), height_mm, True
    spec = laid.straight.spec
    dash = code_of(spec.service)
    axis = (view.points[0], view.points[-1])
    bodies, cuts = _bodies(covering, laid, view)
    ticks = tuple(sorted(_distance(view, place) for place in joints_mm))
    centre = Polyline(axis, "centre", dash=dash, ticks=ticks, tick=spec.covered_diameter_mm / 2)
    boxed, jackets, symbols = _items(laid, view)
    mitres = tuple(cut for cut in cuts if cut.style == "mitre")
    hollows = tuple(cut for cut in cuts if cut.style == "notch")
    coarse = (*_bare(laid, view), *bodies)
    missing = _missing(laid, axis)
    details = (
        (Polyline(axis, "far", f"far:{dash}", dash=dash), *missing),
        (*coarse, *mitres, *jackets, *missing),
        (*coarse, centre, *mitres, *hollows, *jackets, *symbols, *missing),
        (*coarse, centre, *mitres, *hollows, *jackets, *boxed, *symbols, *missing),
    )
    return Group(key, extent(details[-1]), details, spec.covered_diameter_mm), height_mm, False


def _missing(laid: Laid, axis: tuple[Point, Point]) -> tuple[Primitive, ...]:
    """A dashed line where the whole covering of a straight is missing, because it would be too short."""
    return (Polyline(axis, "live", "snag_error", dash="CR"),) if "too-short" in laid.reach else ()


def break_group(group: Group, view: Seen, reaches: Iterable[tuple[float, float]]) -> Group:
    """The rim of the sheet's colour beside a pipe where it crosses over others, from where to where along it."""
    (u0, v0), (du, dv) = view.points[0], view.way(last=False)
    lines = [((u0 + du * low, v0 + dv * low), (u0 + du * high, v0 + dv * high)) for low, high in sorted(reaches)]
    rims = tuple(Polyline(line, "break", "sheet", width=group.width) for line in lines)
    return Group(f"break {group.name}", extent(rims), ((), rims, rims, rims), group.width)


def left_out_group(layout: Layout, leg: str) -> Group:
    """A leg that is left out, dashed."""
    one = layout.legs[leg]
    spots = [spot_of(layout.view, layout.nodes[node]) for node in (one.start, one.end)]
    points = tuple((float(spot.u_mm), float(spot.v_mm)) for spot in spots)
    line = Polyline(points, "live", "snag_error", dash="CR")
    return Group(f"leg {leg}", extent((line,)), ((line,),))


def _upright(covering: Covering, laid: Laid, view: Seen) -> Group:
    """A rise (a dot: it comes towards the eye) or a drop (a ring)."""
    spec, point = laid.straight.spec, view.points[0]
    radius = spec.covered_diameter_mm / 2
    code = code_of(spec.service)
    fill = f"body:{code}" if laid.runs else "field"
    ring = Circle(point, radius, fill, "edge", "snag_error" if "too-short" in laid.reach else "")
    dot, hole = Circle(point, radius * 0.2, "centre"), Circle(point, radius * 0.45, "", "edge")
    inner = dot if rises(covering, laid, view) else hole
    details = ((Circle(point, radius, f"far:{code}"),), (ring,), (ring, inner), (ring, inner))
    return Group(laid.straight.key, extent((ring,)), details, spec.covered_diameter_mm)


def rises(covering: Covering, laid: Laid, view: Seen) -> bool:
    """Whether an upright straight comes towards the eye: what is joined to it lies at its far end, or at both."""
    ends = laid.straight.nodes[0], laid.straight.nodes[-1]
    first_is_near = view.depths_mm[0] > view.depths_mm[-1]
    if covering.network.chosen.layout.view == "elevation":
        first_is_near = not first_is_near
    near, far = ends if first_is_near else ends[::-1]
    junctions = covering.network.junctions
    return junctions[far].kind != "end" or junctions[near].kind == "end"


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


def _items(laid: Laid, view: Seen) -> tuple[tuple[Primitive, ...], tuple[Primitive, ...], tuple[Primitive, ...]]:
    """The symbols that stand in jackets and inserts, those outlines, and the symbols that stand for themselves."""
    boxed: list[Primitive] = []
    outlines: list[Primitive] = []
    symbols: list[Primitive] = []
    spec, way = laid.straight.spec, view.way(last=False)
    for placed in laid.items:
        (u0, v0), (u1, v1) = view.at(placed.from_mm), view.at(placed.to_mm)
        place = ItemPlace(
            ((u0 + u1) / 2, (v0 + v1) / 2),
            way,
            hypot(u1 - u0, v1 - v0),
            spec.outside_diameter_mm,
            spec.covered_diameter_mm,
        )
        outline = outline_parts(placed.item.covered, place)
        outlines += outline
        (boxed if outline else symbols).extend(symbol_parts(placed.item.kind, place))
    return tuple(boxed), tuple(outlines), tuple(symbols)


def _distance(view: Seen, place_mm: float) -> float:
    """How far along the line on the sheet a place lies."""
    (u0, v0), (u1, v1) = view.points[0], view.at(place_mm)
    return hypot(u1 - u0, v1 - v0)


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
