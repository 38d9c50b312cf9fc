"""A plan before its pieces have places: which parts share a section, and what that costs."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.row import Part, Row, cut_section, cuts_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.pack.problem import CutSection, Problem
    from layoutest.pack.shape import Shapes


class Share(NamedTuple):
    """A section, or an offcut from the van with its value, and the parts cut from it, with their row if it is known."""

    length_mm: int
    van_value: Decimal | None
    parts: tuple[Part, ...]
    row: tuple[tuple[Part, bool], ...] | None = None


Draft = list[Share]


def bought_in(draft: Draft) -> int:
    """Number of bought sections."""
    return sum(share.van_value is None for share in draft)


def joints_in(problem: Problem, draft: Draft) -> int:
    """Number of square joints: pieces less runs."""
    return sum(len(share.parts) for share in draft) - len(problem.runs)


def cost_of(problem: Problem, draft: Draft) -> Decimal:
    """What a draft costs: bought sections, joints and the value of what the van gives."""
    van = sum((share.van_value for share in draft if share.van_value is not None), Decimal(0))
    return bought_in(draft) * problem.section_price + joints_in(problem, draft) * problem.joint_price + van


def laid(problem: Problem, shapes: Shapes, draft: Draft, order: Sequence[int]) -> tuple[CutSection, ...]:
    """The sections of a draft with every piece in its place: bought ones first, whole pieces in drawing order.

    Args:
        problem: the stock and its runs, in drawing order.
        shapes: the levels of the runs as the draft numbers them.
        draft: the plan to be laid.
        order: where each run of the draft stands in the problem.
    """
    rows = [
        (share, [(Part(order[part.run], *part[1:]), turned) for part, turned in share.row or shapes.lay(share.parts)])
        for share in draft
    ]

    def place(laid_share: tuple[Share, Row]) -> tuple[bool, int]:
        share, ((part, _), *_) = laid_share
        whole = part.length_mm == share.length_mm
        return share.van_value is not None, part.run if whole else len(order)

    return tuple(
        cut_section(problem, share.length_mm, row, from_van=share.van_value is not None)
        for share, row in sorted(rows, key=place)
    )


def tidiness(problem: Problem, sections: Sequence[CutSection]) -> tuple[int, int]:
    """Orders plans of equal cost: fewest cuts, then the longest single offcut."""
    cuts = sum(cuts_in(problem, section) for section in sections)
    return cuts, -max((section.offcut_mm for section in sections), default=0)
