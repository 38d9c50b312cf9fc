"""The row rule from below against the shortest of all rows, tried one by one with arithmetic of its own."""

from __future__ import annotations

from itertools import pairwise, permutations, product
from math import ceil, cos, inf, radians, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.pack.chain import chained
from layoutest.pack.loose import LooseShapes
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.problem import PackRun, Problem
from layoutest.pack.row import Part

MANY = (0.0, 22.5, 30.0, 45.0, 60.0)
NEAR = (0.0, 45.0, 45.008, 45.016, 45.03)


def whole(length_mm):
    return max(0, ceil(length_mm - 0.01))


def shortest_row(problem):
    """The shortest row of all runs uncut, over all orders and turnings."""
    tangent = {end: problem.radius_mm * tan(radians(end)) for run in problem.runs for end in run.ends_deg}
    blade = {end: ceil(round(problem.kerf_mm / cos(radians(end)), 9)) for end in tangent}

    def meeting(one, other):
        if problem.slit_in_line and one and other:
            return whole(tangent[one] + tangent[other])
        return 0 if abs(one - other) <= 0.01 + 1e-9 else whole(abs(tangent[one] - tangent[other]))

    best = inf
    for order in permutations(problem.runs):
        for turns in product((1, -1), repeat=len(order)):
            ends = [run.ends_deg[::turn] for run, turn in zip(order, turns, strict=True)]
            length = whole(tangent[ends[0][0]]) + whole(tangent[ends[-1][1]])
            for (_, right), (left, _) in pairwise(ends):
                length += meeting(right, left) + max(blade[right], blade[left])
            best = min(best, length)
    return best + sum(run.length_mm for run in problem.runs)


@st.composite
def rows(draw, angles, slit=None):
    radius = draw(st.sampled_from((0.0, 3.3, 17.0, 55.0, 97.5)))
    ends = st.sampled_from(angles)
    runs = []
    for at in range(draw(st.integers(1, 4))):
        pair = draw(ends), draw(ends)
        least = max(1, whole(radius * sum(tan(radians(end)) for end in pair)))
        runs.append(PackRun(f"r{at}", least + draw(st.integers(0, 40)), pair, one_piece=True))
    kerf = draw(st.sampled_from((0, 1, 2, 3, 7)))
    return Problem("x", 10_000, radius, tuple(runs), kerf, 0, draw(st.booleans()) if slit is None else slit, "fewest")


def from_below2(problem):
    loose = LooseShapes(problem)
    state, weight2 = loose.state_of(fixed_parts(problem))
    return weight2 - loose.slack2[state]


@given(rows(MANY) | rows(MANY[:4]) | rows((0.0, 22.5, 45.0)) | rows(NEAR))
@settings(max_examples=400, deadline=None, derandomize=True)
def test_it_is_never_above_the_shortest_of_all_rows(problem):
    assert from_below2(problem) <= 2 * shortest_row(problem)


@given(rows((0.0, 45.0), slit=False))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_with_one_angle_it_is_the_shortest_row_itself(problem):
    """But for a kerf where pieces mitred at both ends lie beside square ones: that counts as at a factory end."""
    mitred = {sum(end > 0 for end in run.ends_deg) for run in problem.runs}
    apart = mitred == {0, 2}
    slanted = ceil(round(problem.kerf_mm / cos(radians(45)), 9)) - problem.kerf_mm
    assert 0 <= 2 * shortest_row(problem) - from_below2(problem) < 2 + 2 * slanted * apart


@given(rows(MANY[:4], slit=False))
@settings(max_examples=100, deadline=None, derandomize=True)
def test_with_several_angles_and_a_knife_it_is_near_the_shortest_row(problem):
    """Each step between levels counts less than a millimetre too little, and none is gone more than twice."""
    asked = Problem(problem.stock, problem.section_mm, problem.radius_mm, problem.runs, 0, 0, rule="fewest")
    assert from_below2(asked) > 2 * shortest_row(asked) - 2 * 2 * 3


@pytest.mark.parametrize(
    ("ends", "slack2"),
    [
        ([(0.0, 0.0)], 4),
        ([(0.0, 45.0)], 4 - 110 + 1),
        ([(0.0, 45.0), (0.0, 45.0)], 4),
        ([(45.0, 45.0)], 2 * 3 - 4 * 55),
        ([(45.0, 45.0), (0.0, 0.0)], 4 - 4 * 55 + 2),
    ],
)
def test_the_five_states_of_one_angle(ends, slack2):
    """R 55, kerf 2, at 45 degrees 3: the row rule of one angle in half-millimetres.

    No mitre: a kerf. An odd number of pieces with one mitre: k + (k_a - k)/2 - t; an even number: k. Mitred at both
    ends: k_a - 2 t alone; beside square ones k - 2 t, here no more than a kerf's growth above it.
    """
    runs = tuple(PackRun(f"r{at}", 300, pair) for at, pair in enumerate(ends))
    loose = LooseShapes(Problem("x", 1000, 55.0, (*runs, PackRun("other", 300, (45.0, 0.0))), 2))
    state, _ = loose.state_of([Part(at, 300, at_start=True, at_end=True) for at in range(len(runs))])
    assert loose.slack2[state] == slack2


@given(rows(MANY) | rows((0.0, 45.0)) | rows((0.0, 22.5, 45.0)), st.integers(2, 4))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_runs_that_do_lie_in_some_sections_never_weigh_more_than_those_hold(drawn, sections):
    """With one joint fewer than sections, in the shortest sections in which they are found to lie."""
    runs = tuple(PackRun(run.name, 3 * run.length_mm, run.ends_deg) for run in drawn.runs)
    total = sum(run.length_mm for run in runs)
    for section_mm in range(max(1, total // sections), total + 500, max(1, total // 200)):
        problem = Problem("x", section_mm, drawn.radius_mm, runs, drawn.kerf_mm, 0, drawn.slit_in_line)
        found = chained(problem, range(len(runs)), [section_mm] * sections)
        if found is not None:
            break
    used = sum(bool(row) for row in found)
    joints = sum(map(len, found)) - len(runs)
    loose = LooseShapes(problem)
    state, weight2 = loose.state_of(
        [Part(at, run.length_mm, at_start=True, at_end=True) for at, run in enumerate(runs)]
    )
    if joints == used - 1:
        assert weight2 - loose.chain_slack2[state] <= used * loose.section2
    assert joints < used
