"""Share out some runs among groups anew.

The sets that lose least are laid, and the best of them that make up the whole are found by the integer program.
"""

from __future__ import annotations

from itertools import combinations
from math import comb
from typing import TYPE_CHECKING

import numpy as np

from layoutest.pack.groups import Group, group_cost, groups_of
from layoutest.pack.master import whole_columns
from layoutest.pack.row import Part

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from layoutest.pack.laying import Layer
    from layoutest.pack.model import Model
    from layoutest.pack.relax import Standing

MOST_RUNS = 44
_MOST_SETS = 600_000
_MOST_TOGETHER = 7
_NODES = 30


class Regrouping:
    """Regroups runs of one model at the prices of its linear program, in which a set loses what it costs too much."""

    def __init__(self, model: Model, layer: Layer, standing: Standing, most_laid: int) -> None:
        self._model, self._layer, self._worth, self._most = model, layer, standing.now, most_laid
        self._section_worth = float(standing.limits_now[-1])
        self._kind = {part.run: number for number, kind in enumerate(model.kinds) for part in kind.parts}
        # Out of reach: what the van gives is limited, so groups from the van are left as they are.
        far = [1e15] * len(model.problem.van)
        self._price, self._offer = model.prices([*far, -self._section_worth])
        self._after = np.array(model.after)
        self._weights = np.array(model.weights2) // model.unit2

    def loss(self, group: Group) -> float:
        """How much more a group costs than its runs are worth, in coins."""
        worth = sum(float(self._worth[self._kind[run]]) for run in group.runs)
        return self._cost(group) - worth - self._section_worth * self._sections(group)

    def _sections(self, group: Group) -> int:
        """Bought sections of a group beside the whole ones that its runs need in any case."""
        bought = sum(share.van_value is None for share in group.shares)
        return bought - sum(self._model.kinds[self._kind[run]].whole for run in group.runs)

    def _cost(self, group: Group) -> int:
        """Coins of a group beside those whole sections."""
        section, joint, _ = self._model.section
        whole = sum(self._model.kinds[self._kind[run]].whole for run in group.runs)
        return int(group_cost(self._model.problem, group) * self._model.coins) - whole * (section + joint)

    def better(self, groups: Sequence[Group], seconds: float) -> list[Group] | None:
        """Cheaper groups of the same runs, or None.

        Args:
            groups: all from bought sections.
            seconds: the emergency stop.
        """
        runs = sorted((run for group in groups for run in group.runs), key=lambda run: (self._kind[run], run))
        now, budget = sum(self._cost(group) for group in groups), sum(self.loss(group) for group in groups)
        known: dict[tuple[int, ...], tuple[tuple[Group, ...], int]] = {
            group.runs: ((group,), self._cost(group)) for group in groups
        }
        for own, offer in self._sets(runs, budget):
            laid = self._layer.lay([self._whole(run) for run in own], offer)
            if laid is not None and own not in known:
                found = tuple(groups_of(list(laid)))
                known[own] = found, sum(self._cost(group) for group in found)
        place = {run: row for row, run in enumerate(runs)}
        columns = [
            (float(cost), [place[run] for run in own], [1] * len(own))
            for own, (found, cost) in known.items()
            if sum(self.loss(group) for group in found) <= budget
        ]
        chosen = whole_columns([1] * len(runs), columns, _NODES, seconds, now - 0.5)
        if chosen is None:
            return None
        kept = [own for own, (found, _) in known.items() if sum(self.loss(group) for group in found) <= budget]
        return [group for own, times in zip(kept, chosen, strict=True) if times for group in known[own][0]]

    def _whole(self, run: int) -> Part:
        return Part(run, self._model.problem.runs[run].length_mm, at_start=True, at_end=True)

    def _sets(self, runs: Sequence[int], budget: float) -> list[tuple[tuple[int, ...], int]]:
        """The sets that lose least, each with its offer: of one run, of two, and on while they are not too many."""
        kinds = np.array([self._kind[run] for run in runs])
        losses, sets = [], []
        for size in range(1, min(len(runs), _MOST_TOGETHER) + 1):
            if comb(len(runs), size) > _MOST_SETS:
                break
            members = np.array(list(combinations(range(len(runs)), size)), dtype=np.int16)
            loss, offers = self._losses(kinds[members])
            for number in np.flatnonzero(loss < budget):
                losses.append(float(loss[number]))
                sets.append((tuple(sorted(runs[place] for place in members[number])), int(offers[number])))
        order = sorted(range(len(sets)), key=lambda number: (losses[number], sets[number]))
        return [sets[number] for number in order[: self._most]]

    def _losses(self, kinds: NDArray[np.int64]) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
        """By row of kinds what such a set loses at least, and its offer."""
        weight = self._weights[kinds].sum(axis=1)
        worth = self._worth[kinds].sum(axis=1)
        state = np.zeros(len(kinds), dtype=np.int64)
        for column in kinds.T:
            state = self._after[column, state]
        inside = weight < self._price.shape[1]
        loss, offers = np.full(len(kinds), np.inf), np.zeros(len(kinds), dtype=np.int32)
        loss[inside] = self._price[state[inside], weight[inside]] - worth[inside]
        offers[inside] = self._offer[state[inside], weight[inside]]
        return loss, offers
