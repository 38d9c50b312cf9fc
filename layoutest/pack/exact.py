"""From a quick plan to the least cost with a proof, or as near as the effort allows.

Linear program and bound, dives that round it, and under `priced` the regrouping of a few runs at a time. Every stage
keeps the best draft and the best bound; the search ends when they meet, when its effort is spent, or when it is told.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random
from time import monotonic
from typing import TYPE_CHECKING

import numpy as np

from layoutest.pack.dive import dive
from layoutest.pack.draft import Share, cost_of
from layoutest.pack.fill import filled
from layoutest.pack.fit import best_fit, weighed
from layoutest.pack.groups import Group, groups_of
from layoutest.pack.laying import Layer
from layoutest.pack.model import models_of
from layoutest.pack.payable import least_payable
from layoutest.pack.pieces import fixed_lengths_mm, parts_of
from layoutest.pack.prove import proven_cost
from layoutest.pack.quick import quick_draft
from layoutest.pack.regroup import MOST_RUNS, Regrouping
from layoutest.pack.relax import Relaxation
from layoutest.pack.supply import Supply

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layoutest.pack.bound import Bound
    from layoutest.pack.draft import Draft
    from layoutest.pack.effort import Effort
    from layoutest.pack.problem import Ended, Problem
    from layoutest.pack.relax import Standing
    from layoutest.pack.row import Part
    from layoutest.pack.shape import Shapes

_SECTIONS = 3
_ROUNDS = 150
_DIVE_ROUNDS = 6
_DIVES = 4
_REGROUPS = 8
_SETS = 1500
_MOST_CHAINED = 12
_MOST_FINISHED = 80
# Larger tables than this are left to the quick plan: many runs with many different mitre angles.
_MOST_CELLS = 80_000_000
_NODES = 60
_CHECKS = 8
_CHECK_ROUNDS = 3
_OUT = 1e9


class Search:
    """The best draft and bound so far, and the stages that better them."""

    def __init__(
        self,
        problem: Problem,
        shapes: Shapes,
        draft: Draft,
        bound: Bound,
        effort: Effort,
        stop: Callable[[], bool],
    ) -> None:
        self._problem, self._shapes, self._effort, self._stop = problem, shapes, effort, stop
        self._ends_at = monotonic() + effort.seconds
        self.draft, self.cost = draft, cost_of(problem, draft)
        self.sections, self.at_least = bound
        self.ended: Ended = "effort"

    def stages(self) -> Iterator[str]:
        """Do one stage after another and name each when it is done; `draft`, `cost`, `at_least` are as it left them."""
        if self._over() or not self._effort.level or self._problem.section_price <= 0:
            return
        tight, wide = models_of(self._problem, self._shapes)
        if not tight.kinds or max(tight.cells, wide.cells) > _MOST_CELLS:
            return
        self._model, self._layer = tight, Layer(tight, self._shapes)
        self._alone = [share for share in self.draft if self._is_alone(share)] if self._problem.rule == "fewest" else []
        relaxation = Relaxation(tight, self.sections, self._over)
        standing = self._relaxed(relaxation, wide is tight)
        yield "relaxed"
        if wide is not tight and not self._over():
            self._relaxed(Relaxation(wide, self.sections, self._over), bound=True)
            yield "bounded"
        if self._problem.rule == "priced":
            standing = self._grounded(relaxation, standing)
            yield "grounded"
            for _ in self._regrouped(standing):
                yield "regrouped"
            return
        for number in range(_DIVES * self._effort.level):
            if self._over():
                return
            dive(relaxation, standing, self._layer.lay, self._finish, _DIVE_ROUNDS, 1, number)
            yield "dived"
            if number % _DIVES == 1 and not self._over():
                self._rounded(relaxation, _NODES * (number // _DIVES + 1))
                yield "rounded"

    def _over(self) -> bool:
        if self.cost <= self.at_least:
            self.ended = "proven"
        elif self._stop():
            self.ended = "asked"
        elif monotonic() > self._ends_at:
            self.ended = "clock"
        else:
            return False
        return True

    def _is_alone(self, share: Share) -> bool:
        return len(share.parts) == 1 and share.parts[0].length_mm == self._problem.section_mm

    def _relaxed(self, relaxation: Relaxation, bound: bool) -> Standing:  # noqa: FBT001
        priced = self._problem.rule == "priced"
        standing = relaxation.solve(_ROUNDS * self._effort.level, _SECTIONS if priced else 1)
        if bound:
            least = proven_cost(relaxation.model, standing.worth, standing.limits_worth, self.sections)
            least = least_payable(relaxation.model, self.sections, max(least, int(self.at_least * self._model.coins)))
            self.at_least = max(self.at_least, self._model.money(least))
            if self._problem.rule == "fewest" and not self._problem.van:
                section, joint, _ = self._model.section
                self.sections = max(self.sections, -(-(least - self._model.joints * joint) // section))
        return standing

    def _grounded(self, relaxation: Relaxation, standing: Standing) -> Standing:
        """Give the sets in use what they cost in truth, or rule them out, until all in use are sound."""
        checked: set[int] = set()
        relaxation.without_exchanges()
        for _ in range(_CHECKS * self._effort.level):
            new = [int(number) for number in np.flatnonzero(standing.amounts > 1e-6) if int(number) not in checked]
            if not new or self._over():
                break
            for number in new:
                checked.add(number)
                column, offer = relaxation.columns[number]
                parts = [part for kind, count in column for part in self._model.kinds[kind].parts[:count]]
                laid = self._layer.lay(parts, offer)
                cost = _OUT if laid is None else self._layer.cost(parts, laid)
                if cost > self._model.offers[offer].cost:
                    relaxation.cost(number, float(cost))
            standing = relaxation.solve(_CHECK_ROUNDS, _SECTIONS)
        return standing

    def _rounded(self, relaxation: Relaxation, nodes: int) -> None:
        """The best plan from the columns found so far, by the integer program."""
        under = int(self.cost * self._model.coins) - self._model.base_cost - 1
        columns = relaxation.whole(nodes, self._ends_at - monotonic(), float(under))
        supply = Supply(self._model)
        shares: list[Share] = []
        for column, offer in columns or ():
            taken = supply.taken(column)
            parts = supply.parts(taken, offer)
            laid = self._layer.lay(parts, offer) if parts else None
            if laid is not None:
                supply.take(taken, offer)
                shares += laid
        if columns:
            self._finish(shares, supply.rest())

    def _finish(self, shares: Sequence[Share], rest: list[Part]) -> bool:
        """Cut the rest quickly; keep the whole if it is the best so far. True ends the dive."""
        if len(rest) > _MOST_FINISHED and self._problem.rule == "priced":
            return self._over()
        self._keep([*self._alone, *shares, *(self._quick(shares, rest) if rest else ())])
        return self._over()

    def _keep(self, draft: Draft) -> bool:
        cost = cost_of(self._problem, draft)
        if cost >= self.cost:
            return False
        self.draft, self.cost = draft, cost
        return True

    def _quick(self, shares: Sequence[Share], rest: list[Part]) -> Draft:
        """The rest, quickly, from new sections and what is left in the van."""
        problem = self._problem
        used = Counter((share.length_mm, share.van_value) for share in shares if share.van_value is not None)
        van = tuple(replace(one, count=one.count - used[one.length_mm, one.value]) for one in problem.van)
        problem = replace(problem, van=van)
        if problem.rule == "priced":
            pieces = [
                piece
                for part in rest
                for piece in parts_of(part.run, fixed_lengths_mm(problem, problem.runs[part.run]) or ())
            ]
            return quick_draft(problem, self._shapes, pieces, tilts=(0,))[1]
        if van:
            return quick_draft(problem, self._shapes, rest, tilts=(0,))[1]
        items = sorted(weighed(self._shapes, rest), key=lambda item: (-item.weight2, item.levels, item.part))
        return min((best_fit(problem, self._shapes, items), filled(problem, self._shapes, items, 0)), key=len)

    def _regrouped(self, standing: Standing) -> Iterator[None]:
        """Free some groups after others and share out their runs anew; those that lose most first, then by lot."""
        chance = Random(0)  # noqa: S311 - the same draw every time is what is wanted
        regrouping = Regrouping(self._model, self._layer, standing, _SETS)
        groups = self._small_groups()
        order = sorted(groups, key=lambda group: (-regrouping.loss(group), group))
        blocks: list[list[Group]] = []
        for _ in range(_REGROUPS * self._effort.level):
            if not blocks:
                blocks = _blocks(order)
            if not blocks or self._over():
                return
            freed = blocks.pop(0)
            found = regrouping.better(freed, self._ends_at - monotonic())
            if found is not None:
                groups = [group for group in groups if group not in freed] + found
                if self._keep([share for group in groups for share in group.shares]):
                    yield
            if len(freed) == len(groups) and not blocks:
                return
            if not blocks:
                # Half of every block loses most, half is drawn by lot.
                worst = sorted(groups, key=lambda group: (-regrouping.loss(group), group))
                order = [
                    group for pair in zip(worst, chance.sample(groups, len(groups)), strict=True) for group in pair
                ]
                order = list(dict.fromkeys(order))

    def _small_groups(self) -> list[Group]:
        """The groups of the best draft; one too large to be freed is cut as by `fewest` first."""
        groups = []
        for group in groups_of(self.draft):
            if len(group.runs) <= _MOST_CHAINED or any(share.van_value is not None for share in group.shares):
                groups.append(group)
                continue
            runs = self._problem.runs
            pieces = [
                part for run in group.runs for part in parts_of(run, fixed_lengths_mm(self._problem, runs[run]) or ())
            ]
            items = sorted(weighed(self._shapes, pieces), key=lambda item: (-item.weight2, item.levels, item.part))
            groups += groups_of(best_fit(self._problem, self._shapes, items))
        return groups


def _blocks(groups: Sequence[Group]) -> list[list[Group]]:
    """Groups from bought sections one after another in blocks of up to the number of runs that can be freed at once."""
    blocks: list[list[Group]] = [[]]
    count = 0
    for group in groups:
        if any(share.van_value is not None for share in group.shares) or len(group.runs) > MOST_RUNS:
            continue
        if count + len(group.runs) > MOST_RUNS:
            blocks.append([])
            count = 0
        blocks[-1].append(group)
        count += len(group.runs)
    return [block for block in blocks if block]
