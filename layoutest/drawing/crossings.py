"""Where pipes cross on the sheet at different heights: the upper one breaks the lower one there."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layoutest.drawing.primitives import Point

CELL_MM = 2000.0
# What a break reaches beyond the edge of the pipe below.
PAST_MM = 15.0
_PARALLEL = 1e-3
Some = TypeVar("Some")


class Axis(NamedTuple):
    """A covered straight on the sheet: its ends, half its covered diameter and how near to the eye it is drawn."""

    start: Point
    end: Point
    half_mm: float
    height_mm: float


class Crossings(NamedTuple):
    """For each straight what it crosses over, and from where to where along it; for each straight what lies over it."""

    over: Mapping[str, Mapping[str, tuple[float, float]]]
    under: Mapping[str, frozenset[str]]


NO_CROSSINGS = Crossings({}, {})


def crossing(upper: Axis, lower: Axis) -> tuple[float, float] | None:
    """From where to where along an upper pipe it lies over a lower one; None where their centre lines do not cross."""
    (ax, ay), (bx, by) = upper.start, upper.end
    (cx, cy), (dx, dy) = lower.start, lower.end
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    long, wide = (ux * ux + uy * uy) ** 0.5, (vx * vx + vy * vy) ** 0.5
    cross = ux * vy - uy * vx
    if abs(cross) <= _PARALLEL * long * wide:
        return None
    s = ((cx - ax) * vy - (cy - ay) * vx) / cross
    t = ((cx - ax) * uy - (cy - ay) * ux) / cross
    if not (0 < s < 1 and 0 <= t <= 1):
        return None
    sine = abs(cross) / (long * wide)
    cosine = abs(ux * vx + uy * vy) / (long * wide)
    reach = (lower.half_mm + upper.half_mm * cosine) / sine + PAST_MM
    return max(s * long - reach, 0.0), min(s * long + reach, long)


def all_crossings(axes: Mapping[str, Axis]) -> Crossings:
    """Every crossing of some pipes."""
    cells: dict[tuple[int, int], list[str]] = {}
    for name, axis in axes.items():
        for cell in _cells(axis):
            cells.setdefault(cell, []).append(name)
    pairs = {
        (one, other) if one < other else (other, one)
        for here in cells.values()
        for number, one in enumerate(here)
        for other in here[:number]
        if axes[one].height_mm != axes[other].height_mm
    }
    return changed_crossings(NO_CROSSINGS, (), axes, pairs)[0]


def changed_crossings(
    before: Crossings, gone: Iterable[str], axes: Mapping[str, Axis], near: Iterable[tuple[str, str]]
) -> tuple[Crossings, set[str]]:
    """The crossings after some pipes changed or went.

    Args:
        before: the crossings there were.
        gone: the pipes that changed or went.
        axes: those that are there now, with all that they are near to.
        near: pairs of pipes that may cross, at least one of which changed.

    Returns:
        the crossings, and the pipes whose breaks changed.
    """
    over, under, touched = dict(before.over), dict(before.under), set()
    for name in gone:
        for lower in over.pop(name, ()):
            _keep(under, lower, under[lower] - {name})
            touched.add(name)
        for upper in under.pop(name, ()):
            _keep(over, upper, {lower: reach for lower, reach in over[upper].items() if lower != name})
            touched.add(upper)
    for one, other in near:
        upper, lower = (one, other) if axes[one].height_mm > axes[other].height_mm else (other, one)
        reach = crossing(axes[upper], axes[lower]) if axes[one].height_mm != axes[other].height_mm else None
        if reach:
            over[upper] = {**over.get(upper, {}), lower: reach}
            under[lower] = under.get(lower, frozenset()) | {upper}
            touched.add(upper)
    return Crossings(over, under), touched


def _keep(table: dict[str, Some], name: str, rest: Some) -> None:
    """Keep what is left for a name, or nothing of it."""
    if rest:
        table[name] = rest
    else:
        del table[name]


def _cells(axis: Axis) -> Iterator[tuple[int, int]]:
    """The cells of a square raster that the line of a pipe may pass."""
    (x0, y0), (x1, y1) = axis.start, axis.end
    for column in range(int(min(x0, x1) // CELL_MM), int(max(x0, x1) // CELL_MM) + 1):
        for row in range(int(min(y0, y1) // CELL_MM), int(max(y0, y1) // CELL_MM) + 1):
            yield column, row
