"""Best fit: each part goes where least is left after it, by the state of what lies there already."""

from __future__ import annotations

from bisect import bisect_left, insort
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.draft import Draft, Share
from layoutest.pack.shape import EMPTY

if TYPE_CHECKING:
    from collections.abc import Iterable
    from decimal import Decimal

    from layoutest.pack.problem import Problem
    from layoutest.pack.row import Part
    from layoutest.pack.shape import Shapes

_NUMBER_BITS = 24
_NUMBERS = (1 << _NUMBER_BITS) - 1


class Weighed(NamedTuple):
    """A part with its weight in half-millimetres and the levels of its ends."""

    weight2: int
    levels: tuple[int, int]
    part: Part


def weighed(shapes: Shapes, parts: Iterable[Part]) -> list[Weighed]:
    """Every part with its weight and levels."""
    return [Weighed(*shapes.measure(part), part) for part in parts]


def best_fit(
    problem: Problem, shapes: Shapes, order: list[Weighed], van: tuple[tuple[int, Decimal], ...] = ()
) -> Draft:
    """Pack parts in the given order, opening a new section only where nothing open takes the part.

    Room is what a section's length leaves, in half-millimetres; sections of one state are kept sorted by it, so each
    part costs one bisection a state. `van` gives offcuts, each with its length and value, as if already open.
    """
    room2 = [2 * length for length, _ in van]
    held: list[list[Part]] = [[] for _ in van]
    open_by_state: dict[int, list[int]] = {}
    if van:
        open_by_state[EMPTY] = sorted(room << _NUMBER_BITS | number for number, room in enumerate(room2))
    slack2, after = shapes.slack2, shapes.after
    spent = min((item.weight2 for item in order), default=0) - shapes.most_slack2
    for weight, levels, part in order:
        best, best_state, best_place = None, EMPTY, 0
        for state, keys in open_by_state.items():
            place = bisect_left(keys, weight - slack2[after(state, levels)] << _NUMBER_BITS)
            if place < len(keys) and (best is None or keys[place] < best):
                best, best_state, best_place = keys[place], state, place
        if best is None:
            number, room, state = len(held), 2 * problem.section_mm - weight, after(EMPTY, levels)
            held.append([part])
        else:
            number, room = best & _NUMBERS, (best >> _NUMBER_BITS) - weight
            state = after(best_state, levels)
            del open_by_state[best_state][best_place]
            held[number].append(part)
        if room >= spent:
            insort(open_by_state.setdefault(state, []), room << _NUMBER_BITS | number)
    lengths = [*van, *[(problem.section_mm, None)] * (len(held) - len(van))]
    return [Share(length, value, tuple(parts)) for (length, value), parts in zip(lengths, held, strict=True) if parts]
