"""From runs to a plan: pack, bound, compare with the hand, and check."""

from __future__ import annotations

from dataclasses import replace

from layoutest.errors import UsageError
from layoutest.pack.audit import audit
from layoutest.pack.bound import bound_of
from layoutest.pack.draft import bought_in, cost_of, joints_in, laid
from layoutest.pack.hand import by_hand
from layoutest.pack.pieces import can_be_cut, fixed_parts, kind_of
from layoutest.pack.problem import Plan, Problem
from layoutest.pack.quick import quick_draft, van_of
from layoutest.pack.shape import Shapes

_TILTS = (0, 1, 2, 4, 8)


def unpackable(problem: Problem) -> tuple[str, ...]:
    """Names of the runs that sections cannot make: one piece of them with its wedges is longer than a section."""
    kinds = {kind_of(run): run for run in problem.runs}
    wrong = {kind for kind, run in kinds.items() if not can_be_cut(problem, run)}
    return tuple(run.name for run in problem.runs if kind_of(run) in wrong) if wrong else ()


def pack(problem: Problem) -> Plan:
    """Cut all runs of a stock from sections and van offcuts, at the least cost that is found.

    Args:
        problem: its runs must all be ones that sections can make (see `unpackable`).

    Returns:
        A plan that costs no more than careful cutting by hand, checked; the same whatever the order and the names of
        the runs, unless cutting by hand in that order beats all that the search finds.

    Raises:
        UsageError: runs that no section can make, named with their lengths.
        InternalError: the plan did not pass its own check.
    """
    _refuse_unpackable(problem)
    # The search sees the runs in an order of its own, so that a plan does not hang on the order of the list.
    order = sorted(range(len(problem.runs)), key=lambda index: kind_of(problem.runs[index]))
    ordered = replace(problem, runs=tuple(problem.runs[index] for index in order))
    shapes, parts = Shapes(ordered), fixed_parts(ordered)
    drawn = sorted(parts, key=lambda part: (order[part.run], part.length_mm != problem.section_mm))
    hand = by_hand(ordered, shapes, drawn, van_of(ordered))
    bound = bound_of(ordered, parts)
    cost, draft = quick_draft(ordered, shapes, parts, bound.cost, _TILTS)
    hand_cost = cost_of(problem, hand)
    if hand_cost < cost:
        cost, draft = hand_cost, hand
    plan = Plan(
        problem=problem,
        sections=laid(problem, shapes, draft, order),
        bought=bought_in(draft),
        joints=joints_in(problem, draft),
        cost=cost,
        at_least=bound.at_least,
        cost_at_least=bound.cost,
        by_hand_sections=bought_in(hand),
        by_hand_cost=hand_cost,
    )
    audit(plan)
    return plan


def _refuse_unpackable(problem: Problem) -> None:
    names = set(unpackable(problem))
    if names:
        listed = ", ".join(f"{run.name!r} ({run.length_mm} mm)" for run in problem.runs if run.name in names)
        raise UsageError(
            f"{problem.stock}: sections of {problem.section_mm} mm with a least piece of {problem.least_mm} mm cannot "
            f"make {listed}: a piece with the wedges of its mitres must fit in one section."
        )
