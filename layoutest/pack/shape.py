"""What a set of pieces wastes in the best row they can form, whatever their lengths: the closed form of the row rule.

Levels stand for end angles: 0 is square, and up to three mitre angles of the stock, the commonest, have one each. A
piece is a step from the level of one end to the level of the other, a section is a walk from square to square that
takes every step once, and what the walk has to go beside its pieces is waste: an interval between levels that an odd
number of pieces cross once, and the cheapest intervals that join the rest twice (a rural postman problem on a line).
Mitres without a level, and all of them where the slit stays in line, count their wedge as part of the piece.

All weights are in half-millimetres, so that each end can carry half a kerf.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING

from layoutest.pack.problem import SQUARE, Problem
from layoutest.pack.row import SAME_ANGLE_DEG, Part, Row, kerf_at_mm, shared_gap_mm, wedge_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

MOST_LEVELS = 4
EMPTY = 0

_Class = tuple[int, int]
_State = tuple[tuple[bool, ...], tuple[int, ...]]
"""Which intervals are crossed an odd number of times, and which connected part each level belongs to (-1: none)."""


class Shapes:
    """The levels of a problem, and the states that sets of its pieces can be in, numbered as they turn up.

    `slack2[state]` is what a set of that state may weigh above twice its section's length, in half-millimetres. It is
    exact with one mitre angle and safe with several.
    """

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        angles = [] if problem.slit_in_line else _common_angles(problem)
        self._level_deg = [(SQUARE, SQUARE), *angles]
        self._kerf = [kerf_at_mm(problem.kerf_mm, high) for _, high in self._level_deg]
        self._step2 = self._steps2()
        self.levels = len(self._level_deg)
        self._patterns: dict[tuple[_Class, ...], list[tuple[int, bool]]] = {}
        self._ends: dict[float, tuple[int, int]] = {}
        self._states: dict[_State, int] = {}
        self._keys: list[_State] = []
        self._next: list[dict[_Class, int]] = []
        self.slack2: list[int] = []
        self.most_slack2 = 2 * max(self._kerf)
        self._number(((False,) * (self.levels - 1), (-1,) * self.levels))

    def end(self, angle_deg: float) -> tuple[int, int]:
        """Level of an end and what it adds to the weight of its piece, in half-millimetres."""
        found = self._ends.get(angle_deg)
        if found is None:
            found = self._ends[angle_deg] = self._end(angle_deg)
        return found

    def _steps2(self) -> list[int]:
        """What an idle step from each level to the next costs, in half-millimetres."""
        return [
            2 * shared_gap_mm(self._problem.radius_mm, low, high) + upper - lower
            for ((low, _), (_, high)), (lower, upper) in zip(
                pairwise(self._level_deg), pairwise(self._kerf), strict=True
            )
        ]

    def _end(self, angle_deg: float) -> tuple[int, int]:
        for level, (low, high) in enumerate(self._level_deg):
            if low <= angle_deg <= high:
                return level, self._kerf[level]
        wedge = wedge_mm(self._problem.radius_mm, angle_deg)
        return 0, 2 * wedge + 2 * kerf_at_mm(self._problem.kerf_mm, angle_deg) - self._kerf[0]

    def kerf_mm(self, level: int) -> int:
        """Largest kerf of a cut at a level."""
        return self._kerf[level]

    def angles(self, level: int) -> tuple[float, float]:
        """Lowest and highest angle of a level, in degrees."""
        return self._level_deg[level]

    def measure(self, part: Part) -> tuple[int, _Class]:
        """Weight of a part in half-millimetres and the levels of its two ends, lower first."""
        run = self._problem.runs[part.run]
        first, first_weight = self.end(run.ends_deg[0] if part.at_start else SQUARE)
        last, last_weight = self.end(run.ends_deg[1] if part.at_end else SQUARE)
        levels = (first, last) if first <= last else (last, first)
        return 2 * part.length_mm + first_weight + last_weight, levels

    def after(self, state: int, levels: _Class) -> int:
        """State of a set when a piece with these two end levels joins it."""
        known = self._next[state].get(levels)
        if known is None:
            odd, group = self._keys[state]
            low, high = levels
            crossed = tuple(was != (low <= place < high) for place, was in enumerate(odd))
            known = self._next[state][levels] = self._number((crossed, joined_levels(group, low, high)))
        return known

    def classes(self, parts: Iterable[Part]) -> list[_Class]:
        """The pairs of end levels that parts have."""
        return sorted({self.measure(part)[1] for part in parts})

    def states_of(self, classes: Iterable[_Class]) -> int:
        """Number every state that pieces of these end levels can come to; how many states there are then."""
        known = list(classes)
        state = 0
        while state < len(self._keys):
            for levels in known:
                self.after(state, levels)
            state += 1
        return state

    def state_of(self, parts: Iterable[Part]) -> tuple[int, int]:
        """State and weight of a set of parts."""
        state, weight = EMPTY, 0
        for part in parts:
            own, levels = self.measure(part)
            state, weight = self.after(state, levels), weight + own
        return state, weight

    def _number(self, key: _State) -> int:
        if key not in self._states:
            self._states[key] = len(self._keys)
            self._keys.append(key)
            self._next.append({})
            self.slack2.append(self._slack2(key))
        return self._states[key]

    def _slack2(self, key: _State) -> int:
        lost = sum(self._span2(span) * times for span, times in self._idle_steps(key))
        outward = self._outward(key)
        kept = 2 * self._kerf[0] - lost
        return kept + (2 * len(outward) * (self._kerf[outward[0]] - self._kerf[0]) if outward else 0)

    def _span2(self, span: _Class) -> int:
        return sum(self._step2[span[0] : span[1]])

    def _idle_steps(self, key: _State) -> list[tuple[_Class, int]]:
        """Spans between neighbouring levels in use that the walk goes without a piece, and how often, 1 or 2."""
        odd, group = key
        used = [0] + [level for level, label in enumerate(group) if label >= 0 and level > 0]
        spans = list(pairwise(used))
        steps = [(span, 1) for span in spans if odd[span[0]]]
        labels = list(group)
        if labels[0] < 0:
            labels[0] = len(labels)
        for low, high in (span for span, _ in steps):
            _merge(labels, low, high)
        even = [span for span in spans if not odd[span[0]]]
        for low, high in sorted(even, key=lambda span: (self._span2(span), span)):
            if labels[low] != labels[high]:
                _merge(labels, low, high)
                steps.append(((low, high), 2))
        return steps

    def _outward(self, key: _State) -> list[int]:
        """Levels of the mitres that lie at a factory end: none, one, or the same twice."""
        for (low, high), times in self._idle_steps(key):
            if low == 0:
                return [high] * (times if key[1][0] < 0 else 1)
        return []

    def lay(self, parts: Sequence[Part]) -> Row:
        """The best row of a set of parts: longest first where the order is free, a lone mitre outward at the left."""
        ordered = sorted(parts, key=lambda part: (-part.length_mm, part))
        sides = tuple(self._sides(part) for part in ordered)
        known = self._patterns.get(sides)
        if known is None:
            known = self._patterns[sides] = self._pattern(sides)
        return [(ordered[place], turned) for place, turned in known]

    def _pattern(self, sides: tuple[_Class, ...]) -> list[tuple[int, bool]]:
        """The best row of pieces whose ends have these levels: which comes next, and whether it is turned."""
        if len(sides) == 1:
            return [(0, sides[0][1] > sides[0][0])]
        if not any(first or last for first, last in sides):
            return [(place, False) for place in range(len(sides))]
        state = EMPTY
        for first, last in sides:
            state = self.after(state, (min(first, last), max(first, last)))
        idle = self._idle_steps(self._keys[state])
        steps = sorted((span for span, times in idle for _ in range(times)), key=lambda span: span[0])
        walk = _walk([*steps, *sides])
        return [(edge - len(steps), sides[edge - len(steps)][0] != start) for edge, start in walk if edge >= len(steps)]

    def _sides(self, part: Part) -> _Class:
        run = self._problem.runs[part.run]
        first = self.end(run.ends_deg[0])[0] if part.at_start else 0
        return first, self.end(run.ends_deg[1])[0] if part.at_end else 0


def _common_angles(problem: Problem) -> list[tuple[float, float]]:
    """The commonest mitre angles of a problem as (lowest, highest) of those that can share a cut, in rising order."""
    count = Counter(end for run in problem.runs for end in run.ends_deg if end > SAME_ANGLE_DEG)
    groups: list[list[float]] = []
    for angle in sorted(count):
        if groups and angle - groups[-1][0] <= SAME_ANGLE_DEG:
            groups[-1].append(angle)
        else:
            groups.append([angle])
    groups.sort(key=lambda group: (-sum(count[angle] for angle in group), group[0]))
    return sorted((group[0], group[-1]) for group in groups[: MOST_LEVELS - 1])


def joined_levels(group: tuple[int, ...], low: int, high: int) -> tuple[int, ...]:
    """Connected parts when something comes to join two levels."""
    labels = list(group)
    for level in (low, high):
        if labels[level] < 0:
            labels[level] = len(labels) + level
    _merge(labels, low, high)
    names: dict[int, int] = {}
    return tuple(names.setdefault(label, len(names)) if label >= 0 else -1 for label in labels)


def _merge(labels: list[int], low: int, high: int) -> None:
    old, new = labels[high], labels[low]
    labels[:] = [new if label == old else label for label in labels]


def _walk(edges: Sequence[_Class]) -> list[tuple[int, int]]:
    """A closed walk from level 0 over every edge once, as (edge, level where it starts); the first edge comes first.

    Hierholzer's way: the edge first taken from the start stays at that end of the walk.
    """
    at: dict[int, list[int]] = {}
    for edge in range(len(edges) - 1, -1, -1):
        for level in set(edges[edge]):
            at.setdefault(level, []).append(edge)
    taken, stack, back = [False] * len(edges), [(0, -1)], []
    while stack:
        level, _ = stack[-1]
        waiting = at.get(level, [])
        while waiting and taken[waiting[-1]]:
            waiting.pop()
        if waiting:
            edge = waiting.pop()
            taken[edge] = True
            low, high = edges[edge]
            stack.append((high if level == low else low, edge))
        else:
            back.append(stack.pop())
    steps = back[::-1]
    return [(edge, start) for (start, _), (_, edge) in pairwise(steps)]
