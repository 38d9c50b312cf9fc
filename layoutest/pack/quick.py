"""A good plan in milliseconds: best fit in a few orders, or filled; with and without the van; under `priced` melted."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.pack.draft import Draft, Share, cost_of, laid, tidiness
from layoutest.pack.fill import filled
from layoutest.pack.fit import best_fit, weighed
from layoutest.pack.hand import by_hand
from layoutest.pack.melt import melted
from layoutest.pack.pieces import fewest_pieces
from layoutest.pack.relocate import relocated

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.pack.fit import Weighed
    from layoutest.pack.problem import Problem
    from layoutest.pack.row import Part
    from layoutest.pack.shape import Shapes

Van = tuple[tuple[int, Decimal], ...]
"""Length and value of each van offcut that may be used."""

_TIES_BELOW = 60
_VAN_KINDS = 6
_MELTS = 4
# Above this many pieces the first plan alone is made better: a thousand legs are still answered at once.
_MOST_TRIED = 600


def quick_draft(
    problem: Problem,
    shapes: Shapes,
    parts: Sequence[Part],
    enough: Decimal = Decimal(0),
    tilts: Sequence[int] = (),
) -> tuple[Decimal, Draft]:
    """Cost and draft of the best of the quick plans.

    Args:
        problem: the stock and its runs.
        shapes: its levels.
        parts: the fixed pieces of all runs.
        enough: a cost that no plan can go below: reaching it ends the search. Small jobs go on, since other orders
            may give fewer cuts or a longer offcut for the same money.
        tilts: fill section after section too, once with each tilt (see `filled`), and move parts and joints; without
            any it is best fit alone, fast enough to be called while something is dragged.
    """
    drafts: list[tuple[Decimal, Draft]] = []
    for draft in _fits(problem, shapes, parts, tilts):
        drafts.append((cost_of(problem, draft), draft))
        if len(parts) > _TIES_BELOW and drafts[-1][0] <= enough:
            break
    drafts.sort(key=lambda found: found[0])
    if problem.rule == "priced" and tilts:
        tried = _MELTS if len(parts) <= _MOST_TRIED else 1
        molten = [melted(problem, shapes, draft) for _, draft in drafts[:tried]]
        drafts = sorted(((cost_of(problem, draft), draft) for draft in molten), key=lambda found: found[0])
    cost = drafts[0][0]
    best = [draft for own, draft in drafts if own == cost][: None if len(parts) <= _TIES_BELOW else 1]
    if len(best) == 1:
        return cost, best[0]
    order = range(len(problem.runs))
    return cost, min(best, key=lambda draft: tidiness(problem, laid(problem, shapes, draft, order)))


def van_of(problem: Problem, kinds: int | None = None) -> Van:
    """The van offcuts cheaper than a section, cheapest for their length first, of the first few kinds."""
    useful = sorted(
        (offcut for offcut in problem.van if offcut.value < problem.section_price),
        key=lambda offcut: (offcut.value / offcut.length_mm, -offcut.length_mm),
    )
    most = sum(fewest_pieces(problem, run) for run in problem.runs)
    return tuple((offcut.length_mm, offcut.value) for offcut in useful[:kinds] for _ in range(min(offcut.count, most)))


def _fits(problem: Problem, shapes: Shapes, parts: Sequence[Part], tilts: Sequence[int]) -> Iterator[Draft]:
    """Best fit in up to three orders, then filled; then with the van, and with single parts moved in and out of it."""
    section_mm = problem.section_mm
    whole = [Share(section_mm, None, (part,), ((part, False),)) for part in parts if part.length_mm == section_mm]
    rest = weighed(shapes, (part for part in parts if part.length_mm < section_mm))
    heaviest, van = _heaviest_first(rest), van_of(problem)
    if not tilts:
        yield from (whole + best_fit(problem, shapes, heaviest, offcuts) for offcuts in _without_and_with(van))
        return
    few = len(rest) <= _MOST_TRIED
    plain: list[Draft] = []
    for order in _orders(heaviest) if few else (heaviest,):
        plain.append(whole + best_fit(problem, shapes, order))
        yield plain[-1]
    for tilt in tilts if few else ():
        plain.append(whole + filled(problem, shapes, rest, tilt))
        yield plain[-1]
    if van:
        yield from (relocated(problem, shapes, draft, van) for draft in plain)
        for kinds in range(1, min(len(problem.van), _VAN_KINDS) + 1):
            stocked = best_fit(problem, shapes, heaviest, van_of(problem, kinds))
            yield relocated(problem, shapes, whole + stocked, van)
    if few:
        # By hand rows are measured piece by piece, where the closed form is a little careful.
        ordered = [item.part for item in _heaviest_first(weighed(shapes, parts))]
        yield from (by_hand(problem, shapes, ordered, offcuts) for offcuts in _without_and_with(van))


def _without_and_with(van: Van) -> tuple[Van, ...]:
    return ((), van) if van else ((),)


def _heaviest_first(rest: list[Weighed]) -> list[Weighed]:
    return sorted(rest, key=lambda item: (-item.weight2, item.levels, item.part))


def _orders(heaviest: list[Weighed]) -> Iterator[list[Weighed]]:
    """Heaviest first; and where there are mitres, with mitred parts before and behind the square ones."""
    yield heaviest
    if any(item.levels[1] for item in heaviest):
        yield sorted(heaviest, key=lambda item: item.levels[1] == 0)
        yield sorted(heaviest, key=lambda item: item.levels[1] > 0)
