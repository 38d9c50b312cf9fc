"""A bound from the prices of a linear program that holds in exact arithmetic, whatever the solver's floats were.

Prices are rounded down to whole numbers; one dynamic program in integers finds how far any set is worth more than it
costs, all prices are cut by that factor, and then what all parts are worth is no more than what any plan costs (weak
duality; for cutting, Gilmore and Gomory 1961, A linear programming approach to the cutting-stock problem; the factor
after Farley 1990, A note on bounding a class of linear programming problems). Sets of more sections than the tables
have are held to the fractional knapsack (Dantzig 1957, Discrete-variable extremum problems).
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from itertools import accumulate, product
from math import ceil, floor, prod
from typing import TYPE_CHECKING

import numpy as np

from layoutest.pack.knapsack import most_worth

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from layoutest.pack.model import Model

# Prices count in this part of a coin.
_FINE = 1 << 16
_MOST_VAN_SETS = 400
_MOST_TOTAL = 1 << 60


def proven_cost(model: Model, worth: NDArray[np.float64], limits_worth: NDArray[np.float64], at_least: int) -> int:
    """The least cost in coins that a plan of a model can have, as far as these prices show; at least `base_cost`.

    Args:
        model: its tables must leave out no set that can be cut.
        worth: what one part of each kind is worth, in coins; negative ones count as 0.
        limits_worth: what one more offcut of each kind in the van would be worth, and last one section fewer.
        at_least: bought sections that every plan takes.
    """
    prices = [max(0, floor(float(one) * _FINE)) for one in worth]
    extra = [max(0, ceil(float(one) * _FINE)) for one in limits_worth[:-1]]
    saved = max(0, floor(float(limits_worth[-1]) * _FINE))
    beside = saved * (at_least - model.sections) - sum(
        more * offcut.count for more, offcut in zip(extra, model.problem.van, strict=True)
    )
    extra.append(-saved)
    total = sum(price * need for price, need in zip(prices, model.needs, strict=True))
    if total > _MOST_TOTAL or prod(o.count + 1 for o in model.problem.van) > _MOST_VAN_SETS:
        return model.base_cost
    over = max(_in_tables(model, prices, extra), _beyond(model, prices, extra), Fraction(1))
    return model.base_cost + max(0, ceil((total / over + beside) / _FINE))


def _part(worth: int, price: int) -> Fraction:
    """Worth in parts of a price; beyond all measure where the price does not hold it at all."""
    if price > 0:
        return Fraction(worth, price)
    return Fraction(0) if worth <= 0 <= price else Fraction(1 << 80)


def _in_tables(model: Model, prices: list[int], extra: list[int]) -> Fraction:
    """How much of its price any set of the tables is worth at most."""
    most, best = Fraction(0), np.maximum.accumulate(most_worth(model.lumps, prices, model.room + 1), axis=1)
    for offer in model.offers:
        worth = max(int(best[state, top]) for state, top in enumerate(model.tops(offer)) if top >= 0)
        price = offer.cost * _FINE + sum(n * more for n, more in zip(offer.uses, extra, strict=True))
        most = max(most, _part(worth, price))
    return most


def _beyond(model: Model, prices: list[int], extra: list[int]) -> Fraction:
    """The same for sets of more sections or van offcuts than the tables have, from their weights alone."""
    problem = model.problem
    if problem.rule != "priced":
        return Fraction(0)
    order = sorted(range(len(prices)), key=lambda kind: Fraction(-prices[kind], max(1, model.weights2[kind])))
    weights = [0, *accumulate(model.weights2[kind] * model.needs[kind] for kind in order)]
    values = [0, *accumulate(prices[kind] * model.needs[kind] for kind in order)]

    def most(weight2: int) -> int:
        place = bisect_right(weights, weight2) - 1
        if place == len(order):
            return values[-1]
        rest = weight2 - weights[place]
        kind = order[place]
        return values[place] + -(-rest * prices[kind] // max(1, model.weights2[kind]))

    slack, known = max(0, *model.slack2), {(offer.sections, offer.van) for offer in model.offers}
    section, joint, section2 = model.section
    worst = Fraction(0)
    for taken in product(*(range(offcut.count + 1) for offcut in problem.van)):
        sections = 0
        while True:
            together = sections + sum(taken)
            if together and (sections, taken) not in known:
                room2 = sections * section2 + sum(n * model.van2(number) for number, n in enumerate(taken))
                price = sections * section + (together - 1) * joint
                price += sum(n * int(o.value * model.coins) for n, o in zip(taken, problem.van, strict=True))
                whole = price * _FINE + sum(n * more for n, more in zip((*taken, sections), extra, strict=True))
                worth = most(room2 + slack)
                worst = max(worst, _part(worth, whole))
                if worth == values[-1]:
                    break
            sections += 1
    return worst
