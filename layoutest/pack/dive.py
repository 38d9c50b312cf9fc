"""Round the linear program to a plan: fix the sets it is surest of, solve again for the rest, until all is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.pack.supply import Supply

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layoutest.pack.draft import Share
    from layoutest.pack.relax import Relaxation, Standing
    from layoutest.pack.row import Part

RULED_OUT = 1e9
_NONE = 1e-6
_SURE = 0.999
_LIKELY = 0.7


def dive(
    relaxation: Relaxation,
    standing: Standing,
    lay: Callable[[Sequence[Part], int], Sequence[Share] | None],
    finish: Callable[[Sequence[Share], list[Part]], bool],
    rounds: int,
    sections: int,
    skip: int = 0,
) -> None:
    """Fix columns until none is left.

    Args:
        relaxation: solved once; its needs are put back at the end.
        standing: that solution.
        lay: cuts parts from an offer; None where they do not fit after all.
        finish: is given the sections so far and the parts left after each step; True ends the dive.
        rounds: of column generation after each step.
        sections: offers of more sections are left out of new columns.
        skip: the first column fixed is not the surest but the next so-many-th: another dive.
    """
    supply = Supply(relaxation.model)
    shares: list[Share] = []
    out: set[int] = set()
    done = False
    while any(supply.left) and not done:
        stuck = True
        for number, times in _picked(standing, skip):
            skip = 0
            for _ in range(times):
                column, offer = relaxation.columns[number]
                column = supply.taken(column)
                parts = supply.parts(column, offer)
                if not parts:
                    break
                laid = lay(parts, offer)
                if laid is None:
                    relaxation.cost(number, RULED_OUT)
                    stuck &= number in out
                    out.add(number)
                    break
                supply.take(column, offer)
                shares += laid
                stuck = False
        done = stuck or finish(shares, supply.rest())
        if not done:
            relaxation.need(supply.left, supply.used)
            standing = relaxation.solve(rounds, sections)
    relaxation.need(relaxation.model.needs)


def _picked(standing: Standing, skip: int) -> list[tuple[int, int]]:
    """Columns to be fixed now and how often: all that are whole, else the likeliest."""
    amounts = standing.amounts
    order = sorted(
        (number for number in range(len(amounts)) if amounts[number] > 1e-6),
        key=lambda number: (-amounts[number], number),
    )
    sure = [(number, int(amounts[number] + 1 - _SURE)) for number in order if amounts[number] >= _SURE]
    if skip and order:
        order = order[skip % max(1, len(order)) :] or order
        return [(order[0], 1)]
    if sure:
        return sure
    likely = [(number, 1) for number in order if amounts[number] >= _LIKELY]
    return likely or [(number, 1) for number in order[:1]]
