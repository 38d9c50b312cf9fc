"""From runs to a plan: pack, bound, compare with the hand, and check."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.errors import UsageError
from layoutest.pack.audit import audit
from layoutest.pack.bound import bound_of
from layoutest.pack.draft import bought_in, cost_of, joints_in, laid
from layoutest.pack.effort import Effort
from layoutest.pack.exact import Search
from layoutest.pack.hand import by_hand
from layoutest.pack.last import drafts_like
from layoutest.pack.pieces import can_be_cut, fixed_parts, kind_of
from layoutest.pack.problem import Plan, Problem
from layoutest.pack.quick import quick_draft, van_of
from layoutest.pack.shape import Shapes

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layoutest.pack.draft import Draft

DEFAULT = Effort()
_TILTS = (0, 1, 2, 4, 8)


def unpackable(problem: Problem) -> tuple[str, ...]:
    """Names of the runs that sections cannot make: one piece of them with its wedges is longer than a section."""
    kinds = {kind_of(run): run for run in problem.runs}
    wrong = {kind for kind, run in kinds.items() if not can_be_cut(problem, run)}
    return tuple(run.name for run in problem.runs if kind_of(run) in wrong) if wrong else ()


def pack(
    problem: Problem,
    effort: Effort = DEFAULT,
    *,
    last: Plan | None = None,
    watch: Callable[[Plan], None] = lambda _: None,
    stop: Callable[[], bool] = lambda: False,
) -> Plan:
    """Cut all runs of a stock from sections and van offcuts, at the least cost that is found.

    Args:
        problem: its runs must all be ones that sections can make (see `unpackable`).
        effort: how long to search.
        last: a plan of much the same runs, to start from.
        watch: is given every better plan or bound on the way, checked.
        stop: asked again and again, also from a callback of another thread; True ends the search.

    Returns:
        A plan that costs no more than careful cutting by hand, checked; the same whatever the order and the names of
        the runs, unless cutting by hand in that order, or `last`, beats all that the search finds.

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
    _, draft = quick_draft(ordered, shapes, parts, bound.cost, _TILTS)
    known = [draft, hand, *([] if last is None else drafts_like(last, ordered, shapes))]
    if problem.rule == "priced" and cost_of(ordered, draft) > bound.cost:
        known.append(_fewest(ordered, shapes, effort, stop))
    search = Search(ordered, shapes, min(known, key=lambda one: cost_of(ordered, one)), bound, effort, stop)

    def plan() -> Plan:
        return _checked(problem, shapes, search, order, hand)

    told = plan()
    watch(told)
    for _ in search.stages():
        if (search.cost, search.at_least) != (told.cost, told.cost_at_least):
            told = plan()
            watch(told)
    return plan()


def _fewest(problem: Problem, shapes: Shapes, effort: Effort, stop: Callable[[], bool]) -> Draft:
    """The best plan of the other rule, which is one of this rule too."""
    fewest = replace(problem, rule="fewest")
    parts = fixed_parts(fewest)
    bound = bound_of(fewest, parts)
    search = Search(fewest, shapes, quick_draft(fewest, shapes, parts, bound.cost, _TILTS)[1], bound, effort, stop)
    for _ in search.stages():
        pass
    return search.draft


def _checked(problem: Problem, shapes: Shapes, search: Search, order: Sequence[int], hand: Draft) -> Plan:
    """Where a search stands, as a plan of the problem as it was asked, audited."""
    plan = Plan(
        problem=problem,
        sections=laid(problem, shapes, search.draft, order),
        bought=bought_in(search.draft),
        joints=joints_in(problem, search.draft),
        cost=search.cost,
        at_least=search.sections,
        cost_at_least=search.at_least,
        by_hand_sections=bought_in(hand),
        by_hand_cost=cost_of(problem, hand),
        ended="proven" if search.cost <= search.at_least else search.ended,
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
