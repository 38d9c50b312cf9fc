"""Bounds against the best of all plans: none of them may ever be above it, whatever prices they are made from.

The best plan is found by a search of its own over every length that a piece may have, one piece after another from left
to right, with arithmetic written from the row rule.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from heapq import heappop, heappush
from itertools import product
from math import ceil, cos, radians, tan
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.pack.bound import bound_of
from layoutest.pack.model import models_of
from layoutest.pack.payable import least_payable
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.plan import pack, unpackable
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.prove import proven_cost
from layoutest.pack.shape import Shapes

PROBLEM_COUNT = 120
ANGLES = ((0.0,), (0.0, 45.0), (0.0, 22.5, 45.0, 60.0))


def whole(length_mm):
    return max(0, ceil(length_mm - 0.01))


def piece_alone(problem, part):
    """A fixed piece as a run that is not cut."""
    first, last = problem.runs[part.run].ends_deg
    ends = first if part.at_start else 0.0, last if part.at_end else 0.0
    return PackRun("", part.length_mm, ends, one_piece=True)


@lru_cache(maxsize=1000)
def least_cost(problem):
    """What the best of all plans costs, found by Dijkstra's way.

    A state is what is left of every run (length, first end, last end), what is left of the section that is being
    filled with the angle of its last piece, and the van. A step lays one piece or opens the next section.
    """
    if problem.rule == "fewest":
        parts = fixed_parts(problem)
        joints = (len(parts) - len(problem.runs)) * problem.joint_price
        alone = least_cost(replace(problem, runs=tuple(piece_alone(problem, part) for part in parts), rule="priced"))
        return alone + joints
    tangent = {end: problem.radius_mm * tan(radians(end)) for run in problem.runs for end in (0.0, *run.ends_deg)}
    blade = {end: ceil(round(problem.kerf_mm / cos(radians(end)), 9)) for end in tangent}

    def meeting(one, other):
        both = problem.slit_in_line and one and other
        lost = tangent[one] + tangent[other] if both else abs(tangent[one] - tangent[other])
        return whole(lost) + max(blade[one], blade[other])

    def pieces(run, left):
        """Every piece that may come next: length, its ends in the direction of the run, what is left then."""
        length, first, last = left
        for start, end in product(range(first + 1), range(last + 1)):
            ends = run.ends_deg[0] if start else 0.0, run.ends_deg[1] if end else 0.0
            least = max(1, min(problem.least_mm, run.length_mm), whole(tangent[ends[0]] + tangent[ends[1]]))
            for piece in [run.length_mm] if run.one_piece else range(least, length + 1):
                after = length - piece, first - start, last - end
                if after[0] or not (after[1] or after[2]):
                    yield piece, ends, after

    def steps(state):
        runs, room, angle, van = state
        if room is None or room >= whole(tangent[angle]):
            for number, offcut in enumerate(problem.van):
                if van[number]:
                    rest = (*van[:number], van[number] - 1, *van[number + 1 :])
                    yield offcut.value, (runs, offcut.length_mm, -1.0, rest)
            yield problem.section_price, (runs, problem.section_mm, -1.0, van)
        if room is None:
            return
        for number, run in enumerate(problem.runs):
            if not runs[number][0]:
                continue
            for piece, ends, after in pieces(run, runs[number]):
                for left, right in {ends, ends[::-1]}:
                    lost = whole(tangent[left]) if angle < 0 else meeting(angle, left)
                    rest = room - lost - piece
                    if rest >= whole(tangent[right]):
                        joint = problem.joint_price if after[0] else Decimal(0)
                        yield joint, ((*runs[:number], after, *runs[number + 1 :]), rest, right, van)

    tangent[-1.0], blade[-1.0] = 0.0, 0
    start = tuple((run.length_mm, 1, 1) for run in problem.runs), None, 0.0, tuple(o.count for o in problem.van)
    best, waiting, count = {start: Decimal(0)}, [(Decimal(0), 0, start)], 0
    done = set()
    while waiting:
        cost, _, state = heappop(waiting)
        if not any(length for length, _, _ in state[0]):
            return cost
        if state in done:
            continue
        done.add(state)
        for more, then in steps(state):
            if then not in best or cost + more < best[then]:
                best[then] = cost + more
                count += 1
                heappush(waiting, (cost + more, count, then))
    raise AssertionError("sections can make every run")


def drawn(number):
    """A problem small enough for the search above: joints are free to move in millimetres, or pieces are fixed."""
    chance = Random(number)
    priced = number % 2 == 0
    section = chance.randint(5, 7) if priced else chance.choice((30, 100, 300))
    angles, longest = chance.choice(ANGLES), 11 if priced else section * 4 // 3
    runs = tuple(
        PackRun(
            f"r{at}",
            chance.randint(1, longest),
            (chance.choice(angles), chance.choice(angles)),
            one_piece=chance.random() < 0.12,
        )
        for at in range(chance.randint(1, 2 if priced else 5))
    )
    van = tuple(
        Offcut(chance.randint(section // 3, section + 2), chance.randint(0, 2), Decimal(chance.randint(1, 6)))
        for _ in range(chance.choice((0, 0, 1, 2)))
    )
    problem = Problem(
        "drawn",
        section,
        chance.choice((0.0, 1.0, 1.7, 2.0, 2.6) if priced else (0.0, section / 20, section / 9, section / 4)),
        runs,
        kerf_mm=chance.randint(0, 2),
        least_mm=chance.choice((0, 1, 2, 3) if priced else (0, section // 7)),
        slit_in_line=chance.random() < 0.25,
        rule="priced" if priced else "fewest",
        section_price=Decimal(chance.randint(1, 9)),
        joint_price=Decimal(chance.randint(0, 6)),
        van=van,
    )
    out = set(unpackable(problem))
    return replace(problem, runs=tuple(run for run in runs if run.name not in out))


PROBLEMS = [problem for problem in map(drawn, range(PROBLEM_COUNT)) if problem.runs]


@lru_cache(maxsize=1000)
def asked(number):
    """A problem, its model that leaves nothing out, its bound by hand, and what the best plan costs."""
    problem = PROBLEMS[number]
    return models_of(problem, Shapes(problem))[1], bound_of(problem), least_cost(problem)


def test_the_search_finds_what_is_known_by_hand():
    """Three runs of 6 mm from sections of 10: two sections and one joint, 21, or uncut 30. Two mitres share a cut."""
    three = Problem("x", 10, 0.0, tuple(PackRun(name, 6) for name in "abc"), least_mm=0, section_price=Decimal(10))
    assert least_cost(replace(three, joint_price=Decimal(1))) == 21
    assert least_cost(replace(three, joint_price=Decimal(11))) == 30
    assert least_cost(replace(three, rule="fewest")) == 30
    assert least_cost(replace(three, kerf_mm=1, joint_price=Decimal(1))) == 30 - 10 + 1
    bent = (PackRun("a", 5, (0.0, 45.0)), PackRun("b", 5, (45.0, 0.0)))
    assert least_cost(replace(three, runs=bent, radius_mm=3.0)) == 10
    assert least_cost(replace(three, runs=bent, radius_mm=3.0, slit_in_line=True, joint_price=Decimal(1))) == 20
    van = (Offcut(6, 2, Decimal(1)),)
    assert least_cost(replace(three, rule="fewest", van=van)) == 12


@pytest.mark.parametrize("number", range(len(PROBLEMS)))
def test_no_plan_is_below_the_best_of_all_and_no_bound_above_it(number):
    problem = PROBLEMS[number]
    wide, bound, best = asked(number)
    plan = pack(problem)
    assert bound.cost <= plan.cost_at_least <= best <= plan.cost
    assert plan.proven is False or plan.cost == best
    coins = int(best * wide.coins)
    for cost in range(coins + 1):
        assert cost <= least_payable(wide, bound.at_least, cost) <= coins


@given(st.data())
@settings(max_examples=600, deadline=None, derandomize=True)
def test_a_bound_from_any_prices_is_never_above_the_best_of_all_plans(data):
    number = data.draw(st.integers(0, len(PROBLEMS) - 1))
    wide, bound, best = asked(number)
    section = float(wide.section[0])
    price = st.floats(0.0, 3 * section) | st.sampled_from((0.0, section / 3, section / 2, section))
    near = st.sampled_from((0.7, 0.9, 1.0, 1.1, 1.4))
    by_weight = [data.draw(near) * worth for worth in wide.worth_by_weight()]
    worth = by_weight if data.draw(st.booleans()) else [data.draw(price) for _ in wide.kinds]
    limits = [data.draw(price) for _ in wide.problem.van] + [data.draw(st.floats(0.0, 0.99)) * section]
    proven = proven_cost(wide, np.array(worth), np.array(limits), bound.at_least)
    assert wide.base_cost <= proven <= best * wide.coins
