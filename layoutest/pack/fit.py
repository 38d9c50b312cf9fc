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
_NOWHERE: list[int] = []


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
    # For the levels of a part: what is open in each state, the slack once the part lies there, and the state then.
    ways: dict[tuple[int, int], list[tuple[list[int], int, int]]] = {}
    slack2, after = shapes.slack2, shapes.after
    spent = min((item.weight2 for item in order), default=0) - shapes.most_slack2
    for weight, levels, part in order:
        if levels not in ways:
            nexts = ((keys, after(state, levels)) for state, keys in open_by_state.items())
            ways[levels] = [(keys, slack2[state], state) for keys, state in nexts]
        best, best_keys, best_place, state = None, _NOWHERE, 0, EMPTY
        for keys, slack, then in ways[levels]:
            place = bisect_left(keys, weight - slack << _NUMBER_BITS)
            if place < len(keys) and (best is None or keys[place] < best):
                best, best_keys, best_place, state = keys[place], keys, place, then
        if best is None:
            number, room, state = len(held), 2 * problem.section_mm - weight, after(EMPTY, levels)
            held.append([part])
        else:
            number, room = best & _NUMBERS, (best >> _NUMBER_BITS) - weight
            del best_keys[best_place]
            held[number].append(part)
        if room >= spent:
            if state not in open_by_state:
                open_by_state[state] = []
                ways.clear()
            insort(open_by_state[state], room << _NUMBER_BITS | number)
    lengths = [*van, *[(problem.section_mm, None)] * (len(held) - len(van))]
    return [Share(length, value, tuple(parts)) for (length, value), parts in zip(lengths, held, strict=True) if parts]
