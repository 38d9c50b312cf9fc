"""The packing as a covering problem: kinds of things to be cut, and what sets of them cost, by weight and state.

Under `fewest` the things are the fixed pieces and a set of them shares one section or van offcut. Under `priced` they
are whole runs, and a set is cut from some sections with one joint fewer than sections, or as many (see `chain`). Whole
sections that a run needs in any case are taken out of its weight. Costs are whole numbers of the smallest coin that
occurs in the prices, of which `coins` make one unit of money.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import pairwise, product
from math import gcd
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from layoutest.pack.knapsack import Lump, lumps_of
from layoutest.pack.loose import LooseShapes
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.row import Part

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from layoutest.pack.problem import PackRun, Problem
    from layoutest.pack.shape import Shapes

_MOST_SECTIONS = 6
_MOST_VAN = 2
_MOST_OFFERS = 60


class Kind(NamedTuple):
    """Parts alike to the packer, and the whole sections each of them needs in any case."""

    parts: tuple[Part, ...]
    whole: int


class Offer(NamedTuple):
    """A way to cut a set: bought sections, van offcuts by kind, its cost, and whether it has as many joints as both.

    `capacity2` is what it holds beside the slack of the set's state; a ring (as many joints as sections) has none.
    """

    sections: int
    van: tuple[int, ...]
    cost: int
    capacity2: int
    ring: bool

    @property
    def uses(self) -> tuple[int, ...]:
        """Van offcuts by kind, and bought sections last."""
        return (*self.van, self.sections)


@dataclass(frozen=True)
class Model:
    """Kinds and offers under one reading of the row rule. Weights and tables are in units of `unit2` half-millimetres.

    `base_cost` is what stands beside all sets: the `sections` that fixed pieces or long runs fill, and `joints`.
    """

    problem: Problem
    kinds: tuple[Kind, ...]
    weights2: tuple[int, ...]
    after: tuple[tuple[int, ...], ...]
    slack2: tuple[int, ...]
    offers: tuple[Offer, ...]
    base_cost: int
    coins: Decimal
    section2: int
    joints: int
    sections: int

    @property
    def section(self) -> tuple[int, int, int]:
        """Price of a section and of a joint in coins, and what a section holds in half-millimetres."""
        problem = self.problem
        return int(problem.section_price * self.coins), int(problem.joint_price * self.coins), self.section2

    def van2(self, number: int) -> int:
        """What a kind of van offcut holds in half-millimetres."""
        return 2 * self.problem.van[number].length_mm + self.section2 - 2 * self.problem.section_mm

    @property
    def needs(self) -> list[int]:
        """How many parts there are of each kind."""
        return [len(kind.parts) for kind in self.kinds]

    @cached_property
    def unit2(self) -> int:
        """The greatest common divisor of all weights."""
        return gcd(*self.weights2) or 1

    @cached_property
    def room(self) -> int:
        """The greatest weight that any offer holds."""
        return max(self._capacity(offer, slack) for offer in self.offers for slack in self.slack2)

    def tops(self, offer: Offer) -> list[int]:
        """By state the greatest weight that an offer holds; under 0 where it holds nothing of that state."""
        return [self._capacity(offer, slack) for slack in self.slack2]

    def _capacity(self, offer: Offer, slack2: int) -> int:
        return (offer.capacity2 + (0 if offer.ring else slack2)) // self.unit2

    @cached_property
    def cells(self) -> int:
        """How many cells the dynamic program fills at most."""
        return len(self.lumps) * len(self.slack2) * (self.room + 1)

    @cached_property
    def lumps(self) -> list[Lump]:
        """The kinds as the dynamic program takes them."""
        return lumps_of(
            [
                (weight // self.unit2, len(kind.parts), after)
                for kind, weight, after in zip(self.kinds, self.weights2, self.after, strict=True)
            ],
            self.room,
        )

    def prices(
        self, extra: Sequence[float] = (), sections: int | None = None
    ) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
        """By state and weight the least cost of what holds it, and the number of that offer.

        Args:
            extra: what one more of each kind of van offcut, and last a section, costs on top.
            sections: offers of more sections than this are left out, if given.
        """
        kept = [n for n, offer in enumerate(self.offers) if sections is None or offer.sections <= sections]
        costs = {number: self._cost(self.offers[number], extra) for number in kept}
        tops = {number: self.tops(self.offers[number]) for number in kept}
        price = np.full((len(self.slack2), max(top for own in tops.values() for top in own) + 1), np.inf)
        chosen = np.full(price.shape, -1, dtype=np.int32)
        for number in sorted(kept, key=lambda number: (-costs[number], number)):
            for state, top in enumerate(tops[number]):
                if top >= 0:
                    price[state, : top + 1] = costs[number]
                    chosen[state, : top + 1] = number
        return price, chosen

    @staticmethod
    def _cost(offer: Offer, extra: Sequence[float]) -> float:
        return offer.cost + sum(n * more for n, more in zip(offer.uses, extra, strict=False))

    def price_of(self, offer: int, extra: Sequence[float]) -> float:
        """Cost of an offer, with what its van offcuts cost on top."""
        return self._cost(self.offers[offer], extra)

    def exchanges(self) -> list[tuple[int, int]]:
        """Kinds with the same ends, each with the next lighter one."""
        by_ends: defaultdict[tuple[int, ...], list[int]] = defaultdict(list)
        for kind in sorted(range(len(self.kinds)), key=lambda kind: (-self.weights2[kind], kind)):
            by_ends[self.after[kind]].append(kind)
        return [pair for kinds in by_ends.values() for pair in pairwise(kinds)]

    def worth_by_weight(self) -> list[float]:
        """What kinds are worth if a section's price is shared out by weight."""
        section, _, section2 = self.section
        return [weight * section / section2 for weight in self.weights2]

    def measure(self, column: Iterable[tuple[int, int]]) -> tuple[int, int]:
        """Weight and state of a set of kinds."""
        weight, state = 0, 0
        for kind, count in column:
            weight += self.weights2[kind] * count
            for _ in range(count):
                state = self.after[kind][state]
        return weight // self.unit2, state

    def money(self, cost: int) -> Decimal:
        """Coins as money."""
        return Decimal(cost) / self.coins


def coins_of(problem: Problem) -> Decimal:
    """How many of the smallest coin of a problem's prices make one unit of money."""
    prices = problem.section_price, problem.joint_price, *(offcut.value for offcut in problem.van)
    return Decimal(10) ** -min([0, *(int(price.as_tuple().exponent) for price in prices)])


def models_of(problem: Problem, shapes: Shapes) -> tuple[Model, Model]:
    """A model whose every set can be cut as the closed form says, and one that leaves out no set that can be cut.

    They are one and the same object where the closed form is exact. Kinds have the same numbers in both.
    """
    loose = LooseShapes(problem)
    parts = _things(problem)
    by_kind: defaultdict[tuple[object, ...], list[Part]] = defaultdict(list)
    for part in parts:
        run = problem.runs[part.run]
        by_kind[shapes.measure(part), loose.measure(part), sorted_ends(run), run.one_piece].append(part)
    kinds = [tuple(by_kind[key]) for key in sorted(by_kind, key=repr)]
    if problem.rule == "priced":
        wide = _model(problem, loose, loose.chain_slack2, loose, kinds)
        return wide, wide
    tight = _model(problem, shapes, shapes.slack2, loose, kinds)
    wide = _model(problem, loose, loose.slack2, loose, kinds)
    return (wide, wide) if tight == wide else (tight, wide)


def sorted_ends(run: PackRun) -> tuple[float, float]:
    """The ends of a run, the squarer first: a run and its mirror image are packed alike."""
    first, last = run.ends_deg
    return (first, last) if first <= last else (last, first)


def _things(problem: Problem) -> list[Part]:
    """What is to be put into sets: whole runs, or the fixed pieces that do not fill a section by themselves."""
    if problem.rule == "priced":
        return [Part(run, one.length_mm, at_start=True, at_end=True) for run, one in enumerate(problem.runs)]
    longest = max((offcut.length_mm for offcut in problem.van), default=0)
    alone = problem.section_mm if longest < problem.section_mm else longest + 1
    return [part for part in fixed_parts(problem) if part.length_mm != alone]


def _model(
    problem: Problem, shapes: Shapes, slacks2: Sequence[int], loose: LooseShapes, kinds: Sequence[tuple[Part, ...]]
) -> Model:
    priced = problem.rule == "priced"
    section2 = loose.section2 if priced and shapes is loose else 2 * problem.section_mm
    measured = [shapes.measure(parts[0]) for parts in kinds]
    states = shapes.states_of(levels for _, levels in measured)
    # What the van could give to a run spares it sections, so so much of it is in no whole section.
    spared2 = max(loose.chain_slack2, default=0) + sum(2 * offcut.length_mm * offcut.count for offcut in problem.van)
    whole = [
        max(0, -(-(loose.measure(parts[0])[0] - spared2) // loose.section2) - 1) if priced else 0 for parts in kinds
    ]
    coins = coins_of(problem)
    section, joint = int(problem.section_price * coins), int(problem.joint_price * coins)
    if priced:
        joints = sum(len(parts) * number for parts, number in zip(kinds, whole, strict=True))
        alone = joints
    else:
        fixed = fixed_parts(problem)
        joints = len(fixed) - len(problem.runs)
        alone = len(fixed) - sum(map(len, kinds))
    weights2 = tuple(weight - number * section2 for (weight, _), number in zip(measured, whole, strict=True))
    most = max(_MOST_SECTIONS, max(weights2, default=0) // section2 + 2)
    return Model(
        problem=problem,
        kinds=tuple(Kind(parts, number) for parts, number in zip(kinds, whole, strict=True)),
        weights2=weights2,
        after=tuple(tuple(shapes.after(state, levels) for state in range(states)) for _, levels in measured),
        slack2=tuple(slacks2[:states]),
        offers=_chains(problem, section2, coins, most) if priced else _single(problem, coins),
        base_cost=alone * section + joints * joint,
        coins=coins,
        section2=section2,
        joints=joints,
        sections=alone,
    )


def _single(problem: Problem, coins: Decimal) -> tuple[Offer, ...]:
    """One section, or one van offcut."""
    none = (0,) * len(problem.van)
    section = Offer(1, none, int(problem.section_price * coins), 2 * problem.section_mm, ring=False)
    van = [
        Offer(0, (*none[:number], 1, *none[number + 1 :]), int(offcut.value * coins), 2 * offcut.length_mm, ring=False)
        for number, offcut in enumerate(problem.van)
        if offcut.count
    ]
    return (section, *van)


def _chains(problem: Problem, section2: int, coins: Decimal, most: int) -> tuple[Offer, ...]:
    """Some sections and van offcuts together, with one joint fewer than there are of both, or as many."""
    section, joint = int(problem.section_price * coins), int(problem.joint_price * coins)
    van = [
        (int(offcut.value * coins), 2 * offcut.length_mm + section2 - 2 * problem.section_mm) for offcut in problem.van
    ]
    counts = [range(min(offcut.count, _MOST_VAN) + 1) for offcut in problem.van]
    used = [taken for taken in product(*counts) if sum(taken) <= _MOST_VAN]
    offers = []
    for sections, taken in product(range(most + 1), used):
        if not sections and not sum(taken):
            continue
        together = sections + sum(taken)
        price = sections * section + sum(n * value for n, (value, _) in zip(taken, van, strict=True))
        room2 = sections * section2 + sum(n * length2 for n, (_, length2) in zip(taken, van, strict=True))
        offers.append(Offer(sections, taken, price + (together - 1) * joint, room2, ring=False))
        offers.append(Offer(sections, taken, price + together * joint, room2, ring=True))
    return tuple(offers)
