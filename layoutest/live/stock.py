"""One stock while a layout is edited: packed quickly at once, exactly when the packer has answered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from layoutest.pack.draft import bought_in, cost_of, joints_in, laid
from layoutest.pack.pieces import fixed_parts, kind_of
from layoutest.pack.placing import PlacedPiece, PlacedRun, Stock, place_runs
from layoutest.pack.plan import unpackable
from layoutest.pack.problem import Plan, Problem
from layoutest.pack.quick import quick_draft
from layoutest.pack.shape import Shapes
from layoutest.pack.stocks import Task, unpackable_snags

if TYPE_CHECKING:
    from layoutest.layout.snags import Snag
    from layoutest.pack.stocks import StockKey

Standing = Literal["quick", "packed", "proven"]


@dataclass(frozen=True)
class LiveStock:
    """A stock with its plan. `task` holds only runs that sections can make; `refused` tells the others."""

    key: StockKey
    task: Task
    plan: Plan
    placed: tuple[PlacedRun, ...]
    state: Standing
    refused: tuple[Snag, ...] = ()

    @cached_property
    def by_place(self) -> dict[tuple[int, int], tuple[PlacedRun, PlacedPiece]]:
        """Each piece with its run, by its section and its number in it, both from 0."""
        return {piece.place: (placed, piece) for placed in self.placed for piece in placed.pieces}

    @property
    def stock(self) -> Stock:
        """The same as quantities and prices are made from."""
        return Stock(self.key, self.task.section, self.plan, self.placed, self.task.joint_tape_um)


def live_stock(task: Task, before: LiveStock | None) -> LiveStock | None:
    """Pack a stock quickly; what was packed before is kept where its problem is the same. None without any run."""
    refused = set(unpackable(task.problem))
    snags = tuple(unpackable_snags((named for named in task.named if named.name in refused), task.section))
    kept = tuple(named for named in task.named if named.name not in refused)
    if refused:
        runs = tuple(run for run in task.problem.runs if run.name not in refused)
        task = replace(task, problem=replace(task.problem, runs=runs), named=kept)
    if before and before.task.problem == task.problem:
        if all(map(_is, before.task.named, task.named)) and before.refused == snags:
            return before
        return replace(before, task=task, placed=place_runs(before.plan, task.named), refused=snags)
    if not kept:
        return LiveStock(task.key, task, _empty(task.problem), (), "proven", snags) if snags else None
    plan = quick_plan(task.problem)
    return LiveStock(task.key, task, plan, place_runs(plan, task.named), "quick", snags)


def planned(stock: LiveStock, plan: Plan) -> LiveStock:
    """The stock with the plan of the exact packer."""
    plan = replace(plan, problem=stock.task.problem)
    return replace(
        stock, plan=plan, placed=place_runs(plan, stock.task.named), state="proven" if plan.proven else "packed"
    )


def quick_plan(problem: Problem) -> Plan:
    """A good plan in milliseconds; nothing is claimed of what no plan can go below."""
    order = sorted(range(len(problem.runs)), key=lambda index: kind_of(problem.runs[index]))
    ordered = replace(problem, runs=tuple(problem.runs[index] for index in order))
    shapes, parts = Shapes(ordered), fixed_parts(ordered)
    cost, draft = quick_draft(ordered, shapes, parts)
    return Plan(
        problem,
        laid(problem, shapes, draft, order),
        bought_in(draft),
        joints_in(problem, draft),
        cost,
        0,
        Decimal(0),
        bought_in(draft),
        cost_of(problem, draft),
    )


def _is(first: object, second: object) -> bool:
    return first is second


def _empty(problem: Problem) -> Plan:
    return Plan(problem, (), 0, 0, Decimal(0), 0, Decimal(0), 0, Decimal(0))
