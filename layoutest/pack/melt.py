"""Joints that save sections: the q slackest sections are melted into q − 1 while that costs less."""

from __future__ import annotations

from bisect import bisect_left, insort
from typing import TYPE_CHECKING

from layoutest.pack.draft import Draft, Share
from layoutest.pack.refill import refilled
from layoutest.pack.row import Part

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.pack.problem import Problem
    from layoutest.pack.shape import Shapes

_MOST_MELTED = 24
_MOST_FAILURES = 15
_TRIES = 6


def melted(problem: Problem, shapes: Shapes, draft: Draft) -> Draft:
    """A draft that costs no more, with runs cut at other places; sections from the van stay as they are."""
    return _Melt(problem, shapes, draft).run()


class _Melt:
    """Bought sections sorted by what is free in them, in half-millimetres, most last; and those that are done with."""

    def __init__(self, problem: Problem, shapes: Shapes, draft: Draft) -> None:
        self._problem, self._shapes = problem, shapes
        self._shares: list[Share] = []
        self._slack: list[tuple[int, int]] = []
        self._done: list[Share] = []
        for share in draft:
            self._put(share)

    def run(self) -> Draft:
        """Melt until it no longer pays or too many attempts in a row have failed."""
        failures = 0
        while failures < _MOST_FAILURES:
            group = self._group()
            if group is None:
                break
            failures = 0 if self._melt_some(group) else failures + 1
        return self._done + [self._shares[number] for _, number in reversed(self._slack)]

    def _put(self, share: Share) -> None:
        free = 2 * self._problem.section_mm - sum(self._shapes.measure(part)[0] for part in share.parts)
        if share.van_value is not None or free <= 0:
            self._done.append(share)
            return
        insort(self._slack, (free, len(self._shares)))
        self._shares.append(share)

    def _group(self) -> list[tuple[int, int]] | None:
        """The slackest sections that together have a section free, the last of them no slacker than need be."""
        free, group = 0, []
        for slack in reversed(self._slack):
            group.append(slack)
            free += slack[0]
            if free >= 2 * self._problem.section_mm:
                last = bisect_left(self._slack, (slack[0] - (free - 2 * self._problem.section_mm), -1))
                return [*group[:-1], self._slack[last]] if self._pays(len(group)) else None
            if not self._pays(len(group) + 1):
                return None
        return None

    def _pays(self, sections: int) -> bool:
        worth = self._problem.section_price > max(0, sections - 2) * self._problem.joint_price
        return worth and sections <= _MOST_MELTED

    def _melt_some(self, group: list[tuple[int, int]]) -> bool:
        """Melt a group, or the group and one or two more; failing that, leave its slackest as it is."""
        for _ in range(_TRIES):
            melt = self._melt([self._shares[number] for _, number in group])
            if melt is not None:
                for slack in group:
                    del self._slack[bisect_left(self._slack, slack)]
                for share in melt:
                    self._put(share)
                return True
            more = next((slack for slack in reversed(self._slack) if slack not in group), None)
            if more is None or not self._pays(len(group) + 1):
                break
            group.append(more)
        slackest = max(group)
        del self._slack[bisect_left(self._slack, slackest)]
        self._done.append(self._shares[slackest[1]])
        return False

    def _melt(self, shares: list[Share]) -> list[Share] | None:
        parts = [part for share in shares for part in share.parts]
        rows = refilled(self._problem, fused(parts), len(shares) - 1)
        if rows is None:
            return None
        saved = (len(shares) - len(rows)) * self._problem.section_price
        if saved <= (sum(len(row) for row in rows) - len(parts)) * self._problem.joint_price:
            return None
        return [Share(self._problem.section_mm, None, tuple(part for part, _ in row), tuple(row)) for row in rows]


def fused(parts: Iterable[Part]) -> list[Part]:
    """The parts with those of one run put together again."""
    by_run: dict[int, Part] = {}
    for part in parts:
        other = by_run.get(part.run, Part(part.run, 0, at_start=False, at_end=False))
        length = part.length_mm + other.length_mm
        by_run[part.run] = Part(part.run, length, part.at_start or other.at_start, part.at_end or other.at_end)
    return list(by_run.values())
