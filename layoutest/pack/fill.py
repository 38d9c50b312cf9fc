"""Fill one section after another as full as can be: slower than best fit, and better where a few pieces fill a section.

Each section takes the heaviest part left and then the best set of others that a search in depth with a limited number
of steps finds (after Gupta and Ho 1999, A new heuristic algorithm for the one-dimensional bin packing problem).
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from typing import TYPE_CHECKING

from layoutest.pack.draft import Draft, Share
from layoutest.pack.shape import EMPTY

if TYPE_CHECKING:
    from layoutest.pack.fit import Weighed
    from layoutest.pack.problem import Problem
    from layoutest.pack.row import Part
    from layoutest.pack.shape import Shapes

_STEPS_A_SECTION = 1000
_MOST_PIECES = 60


def filled(problem: Problem, shapes: Shapes, items: list[Weighed], tilt: int) -> Draft:
    """Pack parts into new sections, each as full as the search finds.

    Args:
        problem: the stock and its runs.
        shapes: its levels.
        items: the weighed parts.
        tilt: how much a heavy part is worth beside its weight, so that the light ones are left for the end: a part of
            a whole section's weight counts (10 + tilt) / 10 of it; 0 for the fullest section.
    """
    parts: defaultdict[tuple[int, tuple[int, int]], list[Part]] = defaultdict(list)
    for item in sorted(items, key=lambda item: item.part, reverse=True):
        parts[item.weight2, item.levels].append(item.part)
    kinds = sorted(parts, key=lambda kind: (-kind[0], kind[1]))
    left = [len(parts[kind]) for kind in kinds]
    search = _Search(shapes, 2 * problem.section_mm, kinds, left, tilt)
    draft: Draft = []
    for heaviest in range(len(kinds)):
        while left[heaviest]:
            chosen = search.fill(heaviest)
            for kind in chosen:
                left[kind] -= 1
            draft.append(Share(problem.section_mm, None, tuple(parts[kinds[kind]].pop() for kind in chosen)))
    return draft


class _Search:
    """The best set of kinds for one section that begins with a given kind."""

    def __init__(
        self, shapes: Shapes, capacity2: int, kinds: list[tuple[int, tuple[int, int]]], left: list[int], tilt: int
    ) -> None:
        self._shapes, self._capacity2, self._kinds, self._left = shapes, capacity2, kinds, left
        self._worth = [weight * (10 * capacity2 + tilt * weight) for weight, _ in kinds]
        self._lightness = [-weight for weight, _ in kinds]
        self._tilted = tilt > 0
        self._chosen: list[int] = []
        self._best: list[int] = []
        self._best_worth = self._steps = 0
        self._full = False

    def fill(self, first: int) -> list[int]:
        """The kinds of one section, the first given; a kind may stand there more than once."""
        weight, levels = self._kinds[first]
        self._chosen, self._best, self._best_worth = [first], [first], self._worth[first]
        self._steps, self._full = _STEPS_A_SECTION, False
        self._left[first] -= 1
        self._add(first, weight, self._shapes.after(EMPTY, levels), self._worth[first])
        self._left[first] += 1
        return self._best

    def _add(self, start: int, weight: int, state: int, worth: int) -> None:
        over, slack = weight - self._capacity2, self._shapes.slack2[state]
        if over <= slack and worth > self._best_worth:
            self._best, self._best_worth = list(self._chosen), worth
            self._full = over == slack and not self._tilted
        if len(self._chosen) == _MOST_PIECES:
            return
        room = self._shapes.most_slack2 - over
        for kind in range(max(start, bisect_left(self._lightness, -room)), len(self._kinds)):
            self._steps -= 1
            if self._steps < 0 or self._full:
                return
            if not self._left[kind]:
                continue
            own, levels = self._kinds[kind]
            self._left[kind] -= 1
            self._chosen.append(kind)
            self._add(kind, weight + own, self._shapes.after(state, levels), worth + self._worth[kind])
            self._chosen.pop()
            self._left[kind] += 1
