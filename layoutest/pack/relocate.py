"""Move single parts into the van's offcuts and out of them where that empties a section or spares an offcut."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.pack.draft import Draft, Share
from layoutest.pack.shape import EMPTY

if TYPE_CHECKING:
    from layoutest.pack.problem import Problem
    from layoutest.pack.row import Part
    from layoutest.pack.shape import Shapes

_MOST_SOURCES = 60
_MOST_TARGETS = 300


@dataclass(slots=True)
class _Bin:
    """A section or van offcut, in use or not, with the state and the free half-millimetres of what lies in it."""

    length_mm: int
    van_value: Decimal | None
    parts: list[Part]
    state: int
    free2: int


def relocated(problem: Problem, shapes: Shapes, draft: Draft, van: tuple[tuple[int, Decimal], ...]) -> Draft:
    """A draft that costs no more: dear sections are emptied into what is free elsewhere and into unused van offcuts."""
    bins = [_bin_of(shapes, share) for share in draft]
    unused = list(van)
    for share in draft:
        if share.van_value is not None:
            unused.remove((share.length_mm, share.van_value))
    bins += [_Bin(length, value, [], EMPTY, 2 * length) for length, value in unused]
    sources = sorted(
        (number for number, one in enumerate(bins) if one.parts),
        key=lambda number: (-_price(problem, bins[number]), -bins[number].free2, number),
    )
    for number in sources[:_MOST_SOURCES]:
        _empty(problem, shapes, bins, number)
    _take_cheapest(bins)
    return [Share(one.length_mm, one.van_value, tuple(one.parts)) for one in bins if one.parts]


def _bin_of(shapes: Shapes, share: Share) -> _Bin:
    state, weight = shapes.state_of(share.parts)
    return _Bin(share.length_mm, share.van_value, list(share.parts), state, 2 * share.length_mm - weight)


def _price(problem: Problem, one: _Bin) -> Decimal:
    return problem.section_price if one.van_value is None else one.van_value


def _take_cheapest(bins: list[_Bin]) -> None:
    """Of van offcuts of one length use the cheapest."""
    from_van = [one for one in bins if one.van_value is not None]
    from_van.sort(key=lambda one: (one.length_mm, not one.parts))
    values = sorted((one.length_mm, one.van_value) for one in from_van if one.van_value is not None)
    for one, (_, value) in zip(from_van, values, strict=True):
        one.van_value = value


def _empty(problem: Problem, shapes: Shapes, bins: list[_Bin], source: int) -> None:
    """Move all parts of one section elsewhere, if van offcuts newly used for that cost less than it."""
    targets = sorted(
        (one for number, one in enumerate(bins) if number != source and (one.parts or one.van_value is not None)),
        key=lambda one: -one.free2,
    )[:_MOST_TARGETS]
    moved: list[tuple[_Bin, Part, int, int]] = []
    spent = Decimal(0)
    for part in sorted(bins[source].parts, key=lambda part: -part.length_mm):
        weight, levels = shapes.measure(part)
        fitting = [
            (Decimal(0) if one.parts else _price(problem, one), one.free2, place)
            for place, one in enumerate(targets)
            if one.free2 >= weight - shapes.slack2[shapes.after(one.state, levels)]
        ]
        if fitting:
            cost, _, place = min(fitting)
            one = targets[place]
            moved.append((one, part, one.state, one.free2))
            one.parts.append(part)
            one.state, one.free2, spent = shapes.after(one.state, levels), one.free2 - weight, spent + cost
        if not fitting or spent >= _price(problem, bins[source]):
            for one, _, state, free in reversed(moved):
                one.parts.pop()
                one.state, one.free2 = state, free
            return
    emptied = bins[source]
    emptied.parts, emptied.state, emptied.free2 = [], EMPTY, 2 * emptied.length_mm
