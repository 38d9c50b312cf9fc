"""The best set of pieces for one section or one group of sections: a dynamic program over weight and state.

Values are the worth of a kind (a price of the linear program, float64 or, for proofs, int64). A section's price hangs
on the weight and the state of what lies in it; both come as tables, so that the program knows no geometry.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

Column = tuple[tuple[int, int], ...]
"""Kinds and how many of each lie together, kinds rising."""

NOTHING = -(1 << 60)


@dataclass(frozen=True, slots=True)
class Lump:
    """Some copies of one kind, taken together or not at all, and by state the state after them (-1: not reached)."""

    kind: int
    copies: int
    weight: int
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """A set worth more than its price: by how much, what it is, and the weight and state that set its price."""

    gain: float
    column: Column
    state: int
    weight: int


def lumps_of(kinds: Sequence[tuple[int, int, tuple[int, ...]]], most_weight: int) -> list[Lump]:
    """Every kind (weight, copies, state after one copy by state) in lumps of 1, 2, 4, … copies; heaviest first."""
    lumps = []
    for kind in sorted(range(len(kinds)), key=lambda kind: (-kinds[kind][0], kind)):
        weight, copies, after = kinds[kind]
        left, size = min(copies, most_weight // max(weight, 1)), 1
        while left > 0:
            size = min(size, left)
            lumps.append(Lump(kind, size, weight * size, _repeated(after, size)))
            left, size = left - size, 2 * size
    return lumps


def _repeated(after: tuple[int, ...], times: int) -> tuple[int, ...]:
    states = tuple(range(len(after)))
    for _ in range(times):
        states = tuple(after[state] if state >= 0 else -1 for state in states)
    return states


def most_worth(lumps: Sequence[Lump], worth: Sequence[int], width: int) -> NDArray[np.int64]:
    """By state and weight the greatest worth, in exact integers; NOTHING where nothing weighs so much."""
    states = len(lumps[0].after) if lumps else 1
    table = np.full((states, width), NOTHING, dtype=np.int64)
    table[0, 0] = 0
    for lump in lumps:
        if lump.weight >= width:
            continue
        gain = worth[lump.kind] * lump.copies
        moved = table[:, : -lump.weight or None] + gain
        for state, after in enumerate(lump.after):
            if after >= 0:
                target = table[after, lump.weight :]
                np.maximum(target, moved[state], out=target)
    return table


def columns_worth_more(
    lumps: Sequence[Lump], worth: Sequence[float], price: NDArray[np.float64], most: int
) -> tuple[list[Found], float]:
    """Sets worth more than their price: for each lump the best of those in which it was taken last, the best first.

    Returns:
        the sets, and the greatest worth in parts of its price that any set has.
    """
    table: NDArray[np.float64] = np.full(price.shape, -np.inf)
    table[0, 0] = 0.0
    # What is worth nothing may still pay: its mitre can pair with another's. Where all is square it cannot.
    used = [lump for lump in lumps if lump.weight < price.shape[1] and (len(price) > 2 or worth[lump.kind] > 0)]
    came = np.full((len(used), *price.shape), -1, dtype=np.int8)
    ends: list[tuple[float, int, int, int, int]] = []
    for number, lump in enumerate(used):
        moved = table[:, : -lump.weight] + worth[lump.kind] * lump.copies
        best: tuple[float, int, int, int, int] | None = None
        for state, after in enumerate(lump.after):
            if after < 0:
                continue
            row = moved[state]
            gain = row - price[after, lump.weight :]
            place = int(gain.argmax())
            if gain[place] > -np.inf and (best is None or gain[place] > best[0]):
                best = (float(gain[place]), number, after, state, place + lump.weight)
            target = table[after, lump.weight :]
            better = row > target
            np.copyto(target, row, where=better)
            np.copyto(came[number, after, lump.weight :], np.int8(state), where=better)
        if best:
            ends.append(best)
    ends.sort(key=lambda end: (-end[0], end[1:]))
    return [_traced(used, came, end) for end in ends[:most]], _greatest_part(table, price)


def _greatest_part(worth: NDArray[np.float64], price: NDArray[np.float64]) -> float:
    payable = np.isfinite(price) & (price > 0)
    if bool(np.any(worth[price <= 0] > 0)):
        return np.inf
    return float(np.max(np.divide(worth, price, where=payable, out=np.zeros_like(price))))


def _traced(lumps: Sequence[Lump], came: NDArray[Any], end: tuple[float, int, int, int, int]) -> Found:
    gain, number, last_state, state, last_weight = end
    counts = {lumps[number].kind: lumps[number].copies}
    weight = last_weight - lumps[number].weight
    for before in range(number - 1, -1, -1):
        source = int(came[before, state, weight])
        if source >= 0:
            lump = lumps[before]
            counts[lump.kind] = counts.get(lump.kind, 0) + lump.copies
            state, weight = source, weight - lump.weight
        if weight == 0:
            break
    return Found(gain, tuple(sorted(counts.items())), last_state, last_weight)
