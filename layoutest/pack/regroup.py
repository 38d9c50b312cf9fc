"""The best way to share out a few runs among groups: every set of them is weighed, and the cheapest sets that make up
the whole are found by a dynamic program over subsets.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import numpy as np

from layoutest.pack.groups import Group, group_cost, groups_of
from layoutest.pack.row import Part

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from layoutest.pack.laying import Layer
    from layoutest.pack.model import Model
    from layoutest.pack.relax import Standing

MOST_RUNS = 13
_TRIES = 12
_SLACK = 1e-6


class Regrouping:
    """Regroups runs of one model at the prices of its linear program."""

    def __init__(self, model: Model, layer: Layer, standing: Standing, most_sets: int) -> None:
        self._model, self._layer, self._worth, self._most = model, layer, standing.now, most_sets
        self._section_worth = float(standing.limits_now[-1])
        self._kind = {part.run: number for number, kind in enumerate(model.kinds) for part in kind.parts}
        # Out of reach: what the van gives is limited, so groups from the van are left as they are.
        far = [1e15] * len(model.problem.van)
        self._price, self._offer = model.prices([*far, 0.0])
        self._loss, _ = model.prices([*far, -self._section_worth])
        self._laid: dict[tuple[int, ...], tuple[int, tuple[Group, ...]] | None] = {}

    def loss(self, group: Group) -> float:
        """How much more a group costs than its runs are worth, in coins."""
        worth = sum(float(self._worth[self._kind[run]]) for run in group.runs)
        return self._cost(group) - worth - self._section_worth * self._sections(group)

    def _sections(self, group: Group) -> int:
        bought = sum(share.van_value is None for share in group.shares)
        return bought - sum(self._model.kinds[self._kind[run]].whole for run in group.runs)

    def _cost(self, group: Group) -> int:
        """Coins of a group beside the whole sections that its runs need in any case."""
        section, joint, _ = self._model.section
        whole = sum(self._model.kinds[self._kind[run]].whole for run in group.runs)
        return int(group_cost(self._model.problem, group) * self._model.coins) - whole * (section + joint)

    def better(self, groups: Sequence[Group]) -> list[Group] | None:
        """Cheaper groups of the same runs, or None. Van offcuts stay with the groups that have them."""
        runs = sorted((run for group in groups for run in group.runs), key=lambda run: (self._kind[run], run))
        now = sum(self._cost(group) for group in groups)
        sets, prices = self._sets(runs, sum(self.loss(group) for group in groups))
        for _ in range(_TRIES):
            chosen = _cheapest(len(runs), sets, prices, now - _SLACK)
            if chosen is None:
                return None
            found: list[Group] = []
            sound = True
            for place in chosen:
                own = tuple(run for bit, run in enumerate(runs) if int(sets[place]) >> bit & 1)
                laid = self._lay(own, int(sets[place]), runs)
                real = np.inf if laid is None else float(laid[0])
                if real > prices[place] + _SLACK:
                    sound = False
                prices[place] = real
                found += laid[1] if laid else ()
            if sound or sum(prices[place] for place in chosen) < now - _SLACK:
                return found
        return None

    def _sets(self, runs: Sequence[int], budget: float) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        """Sets as bit masks and the least they can cost, the most promising ones only."""
        model, size = self._model, 1 << len(runs)
        weight = np.zeros(size, dtype=np.int64)
        state = np.zeros(size, dtype=np.int64)
        worth = np.zeros(size)
        for bit, run in enumerate(runs):
            kind, half = self._kind[run], 1 << bit
            weight[half : 2 * half] = weight[:half] + model.weights2[kind] // model.unit2
            state[half : 2 * half] = np.array(model.after[kind])[state[:half]]
            worth[half : 2 * half] = worth[:half] + self._worth[kind]
        price = np.full(size, np.inf)
        inside = weight < self._price.shape[1]
        price[inside] = self._price[state[inside], weight[inside]]
        price[0] = np.inf
        loss = np.full(size, np.inf)
        loss[inside] = self._loss[state[inside], weight[inside]] - worth[inside]
        loss[0] = np.inf
        kept = np.flatnonzero(loss < budget - _SLACK)
        if len(kept) > self._most:
            kept = np.sort(kept[np.argsort(loss[kept], kind="stable")[: self._most]])
        self._weight, self._state = weight, state
        return kept, price[kept]

    def _lay(self, own: tuple[int, ...], mask: int, runs: Sequence[int]) -> tuple[int, tuple[Group, ...]] | None:
        if own not in self._laid:
            offer = int(self._offer[self._state[mask], self._weight[mask]])
            parts = [Part(run, self._model.problem.runs[run].length_mm, at_start=True, at_end=True) for run in own]
            laid = self._layer.lay(parts, offer)
            groups = () if laid is None else tuple(groups_of(list(laid)))
            self._laid[own] = None if laid is None else (sum(self._cost(group) for group in groups), groups)
        return self._laid[own]


def _cheapest(
    bits: int, sets: NDArray[np.int64], prices: NDArray[np.float64], under: float
) -> list[int] | None:
    """Places of the sets that make up all bits, each once, at the least price; None if that is not under a limit."""
    size = 1 << bits
    best = np.full(size, np.inf)
    best[0] = 0.0
    came = np.full(size, -1, dtype=np.int64)
    lowest = sets & -sets
    for bit in range(bits - 1, -1, -1):
        higher = np.arange(1 << (bits - bit - 1), dtype=np.int64) << (bit + 1)
        for place in np.flatnonzero((lowest == 1 << bit) & np.isfinite(prices)):
            mask = int(sets[place])
            rest = higher[(higher & mask) == 0]
            target = rest | mask
            cost = best[rest] + prices[place]
            better = cost < best[target]
            best[target[better]] = cost[better]
            came[target[better]] = place
    if not best[-1] < under:
        return None
    chosen, mask = [], size - 1
    while mask:
        place = int(came[mask])
        chosen.append(place)
        mask ^= int(sets[place])
    return chosen
