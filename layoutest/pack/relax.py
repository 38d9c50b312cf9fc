"""Column generation: the linear program over all sets of a model, solved with the sets that are worth their price."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from layoutest.pack.knapsack import Column, columns_worth_more
from layoutest.pack.master import Master, whole_columns

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from layoutest.pack.model import Model

_NEAR = (0.6, 0.3, 0.0)
_CLOSE = 1e-7
_COLUMNS = 60


class Standing(NamedTuple):
    """Where the linear program stands: its cost in coins and how much of each column is taken.

    `worth`, by kind, and `limits_worth`, by kind of van offcut and last for a section, are the steadiest prices, which
    bound it best; `now` and `limits_now` are those of the program itself.
    """

    cost: float
    worth: NDArray[np.float64]
    limits_worth: NDArray[np.float64]
    now: NDArray[np.float64]
    limits_now: NDArray[np.float64]
    amounts: NDArray[np.float64]


class Relaxation:
    """The linear program of a model with the columns found so far: sets of kinds, each with the number of its offer.

    A place for a heavier kind may also be taken by a lighter one with the same ends: such exchanges are columns of
    their own that cost nothing (after Valério de Carvalho 2005, Using extra dual cuts to accelerate column generation).
    """

    def __init__(self, model: Model, at_least: int, over: Callable[[], bool] = lambda: False) -> None:
        self.model, self._over = model, over
        self.needs = list(model.needs)
        self.columns: list[tuple[Column, int]] = []
        self._known: set[tuple[Column, int]] = set()
        # No more of the van than there is, no fewer sections than any plan takes.
        self._at_least = float(at_least - model.sections)
        self._limits = [*(-float(offcut.count) for offcut in model.problem.van), self._at_least]
        self._master = Master([*map(float, self.needs), *self._limits])
        for heavier, lighter in model.exchanges():
            self._master.add(0.0, [heavier, lighter], [-1.0, 1.0])
        self._free = len(model.exchanges())
        self._steady: NDArray[np.float64] = np.array([*model.worth_by_weight(), *(0.0 for _ in self._limits)])
        _, chosen = model.prices()
        for kind, need in enumerate(self.needs):
            self._seed(kind, need, chosen)

    def _seed(self, kind: int, need: int, chosen: NDArray[np.int32]) -> None:
        """As many of one kind as one set holds."""
        for count in range(need, 0, -1):
            weight, state = self.model.measure([(kind, count)])
            if weight < chosen.shape[1] and chosen[state, weight] >= 0:
                self.add(((kind, count),), int(chosen[state, weight]))
                return
        # The closed form is a little careful with several angles; whether it fits is seen when it is laid.
        self.add(((kind, 1),), 0)

    def add(self, column: Column, offer: int) -> bool:
        """A column with its offer; False where it is known already."""
        if (column, offer) in self._known:
            return False
        self._known.add((column, offer))
        self.columns.append((column, offer))
        self._master.add(float(self.model.offers[offer].cost), *self._rows(column, offer))
        return True

    def cost(self, number: int, cost: float) -> None:
        """What a column costs in truth; None rules it out."""
        self._master.cost(self._free + number, cost)

    def without_exchanges(self) -> None:
        """From now on a place is taken only by the kind it was found for."""
        for number in range(self._free):
            self._master.shut(number)

    def whole(self, nodes: int, seconds: float, under: float) -> list[tuple[Column, int]] | None:
        """Whole columns that cost no more than `under` coins and cover all needs, or None; exchanges are allowed.

        Args:
            nodes: limit of the search tree.
            seconds: the emergency stop.
            under: in coins.
        """
        exchanged = [(0.0, pair, (-1, 1)) for pair in self.model.exchanges()]
        columns = [(float(self.model.offers[offer].cost), *self._rows(column, offer)) for column, offer in self.columns]
        needs = [*self.needs, *map(int, self._limits)]
        amounts = whole_columns(needs, [*exchanged, *columns], nodes, seconds, under, exact=False)
        if amounts is None:
            return None
        taken = zip(self.columns, amounts[len(exchanged) :], strict=True)
        return [column for column, amount in taken for _ in range(amount)]

    def _rows(self, column: Column, offer: int) -> tuple[list[int], list[int]]:
        """The rows that a column counts in, and how much: kinds, van offcuts against it, and sections."""
        taken, kinds = self.model.offers[offer], len(self.needs)
        signed = [*(-n for n in taken.van), taken.sections]
        rows = [kind for kind, _ in column] + [kinds + number for number, n in enumerate(signed) if n]
        return rows, [count for _, count in column] + [n for n in signed if n]

    def need(self, needs: Sequence[int], used: Sequence[int] = ()) -> None:
        """Other needs from now on, by kind, when so many van offcuts by kind and, last, sections are taken already."""
        for kind, need in enumerate(needs):
            if self.needs[kind] != need:
                self.needs[kind] = need
                self._master.need(kind, float(need))
        van = [-float(offcut.count) for offcut in self.model.problem.van]
        taken = [*used] or [0] * len(self._limits)
        self._limits = [*(limit + n for limit, n in zip(van, taken, strict=False)), self._at_least - taken[-1]]
        for number, limit in enumerate(self._limits):
            self._master.need(len(self.needs) + number, limit)

    def solve(self, rounds: int, sections: int) -> Standing:
        """Solve with new columns until none is missing, for so many rounds, or until it is over.

        Sets are looked for at prices between those of the linear program and the steadiest known (those with the best
        bound so far, at first the lengths themselves), which keeps the prices from swinging (after Wentges 1997,
        Weighted Dantzig-Wolfe decomposition for linear mixed-integer programming).
        """
        kinds = len(self.needs)
        needs = np.array([*self.needs, *self._limits])
        best = -np.inf
        for _ in range(rounds):
            relaxed = self._master.solve()
            own: NDArray[np.float64] = np.maximum(relaxed.worth, 0.0)
            if relaxed.cost - best <= _CLOSE * abs(relaxed.cost) or self._over():
                break
            new = False
            for near in _NEAR:
                worth = near * self._steady + (1 - near) * own
                price, chosen = self.model.prices(on_top(worth[kinds:]), sections)
                found, ratio = columns_worth_more(self.model.lumps, worth.tolist(), price, _COLUMNS)
                bound = float(needs @ worth) / max(ratio, 1.0)
                if bound > best:
                    best, self._steady = bound, worth / max(ratio, 1.0)
                for one in found:
                    offer = int(chosen[one.state, one.weight])
                    gain = sum(own[kind] * count for kind, count in one.column)
                    gain -= self.model.price_of(offer, on_top(own[kinds:]))
                    if gain > _CLOSE * max(1.0, gain, abs(relaxed.cost) / 100):
                        new |= self.add(one.column, offer)
                if new:
                    break
            if not new:
                break
        steady = self._steady
        return Standing(
            relaxed.cost, steady[:kinds], steady[kinds:], own[:kinds], own[kinds:], relaxed.amounts[self._free :]
        )


def on_top(limits_worth: NDArray[np.float64]) -> list[float]:
    """What offcuts and sections cost on top of their price at the worth of their limits."""
    return [*limits_worth[:-1].tolist(), -float(limits_worth[-1])]
