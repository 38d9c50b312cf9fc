"""The least amount from a bound on that a plan can cost: so many sections, so many joints, and offcuts from the van."""

from __future__ import annotations

from itertools import product
from math import prod
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutest.pack.model import Model

_MOST_VAN_SETS = 400


def least_payable(model: Model, at_least: int, cost: int) -> int:
    """Raise a bound in coins to what sections, joints and offcuts can add up to.

    Runs that share m sections and offcuts take m − 1 joints or more, so there are at least as many joints as there are
    more sections and offcuts than runs; a run longer than any section takes joints of its own; `fewest` fixes them.

    Args:
        model: of the stock.
        at_least: bought sections that every plan takes.
        cost: a bound in coins.
    """
    problem = model.problem
    section, joint, _ = model.section
    if section <= 0 or prod(offcut.count + 1 for offcut in problem.van) > _MOST_VAN_SETS:
        return cost
    longest = max([problem.section_mm, *(offcut.length_mm for offcut in problem.van)])
    own = sum(-(-run.length_mm // longest) - 1 for run in problem.runs)
    best: int | None = None
    for taken in product(*(range(offcut.count + 1) for offcut in problem.van)):
        van = sum(n * int(offcut.value * model.coins) for n, offcut in zip(taken, problem.van, strict=True))
        if problem.rule == "fewest":
            fixed = model.joints * joint
            amounts = [max(at_least, -(-(cost - van - fixed) // section)) * section + fixed + van]
        else:
            amounts = []
            for sections in range(at_least, max(at_least, -(-(cost - van) // section)) + 1):
                least = max(own, sections + sum(taken) - len(problem.runs))
                joints = max(least, -(-(cost - van - sections * section) // joint)) if joint else least
                amounts.append(sections * section + joints * joint + van)
        reached = [amount for amount in amounts if amount >= cost]
        best = min([*reached, *([] if best is None else [best])], default=None)
    return cost if best is None else best
