"""What sections, joints and offcuts can add up to, by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.pack.model import models_of
from layoutest.pack.payable import least_payable
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.shape import Shapes

ONE = Problem("x", 1000, 0.0, (PackRun("r", 1500),), section_price=Decimal(10), joint_price=Decimal(3))
FOUR = replace(ONE, runs=tuple(PackRun(name, 600) for name in "abcd"))


def payable(problem, at_least, cost):
    return least_payable(models_of(problem, Shapes(problem))[1], at_least, cost)


@pytest.mark.parametrize(("cost", "least"), [(0, 23), (23, 23), (24, 26), (27, 29), (33, 35), (36, 36), (37, 38)])
def test_two_sections_and_at_least_the_joint_that_a_long_run_has(cost, least):
    """Two sections cost 23, 26, 29, 32, 35, 38; three with their two joints 36, 39."""
    assert payable(ONE, 2, cost) == least


@pytest.mark.parametrize(("cost", "least"), [(0, 30), (31, 33), (37, 39), (40, 40), (41, 42), (52, 52), (53, 53)])
def test_no_joint_is_needed_by_as_many_sections_as_runs(cost, least):
    """Four runs: 30, 33, 36, 39, 42 …; 40, 43, …, 52; five sections have a joint: 53."""
    assert payable(FOUR, 3, cost) == least


@pytest.mark.parametrize(("cost", "least"), [(0, 23), (23, 23), (24, 33), (34, 43)])
def test_fixed_pieces_have_their_joints_and_no_more(cost, least):
    assert payable(replace(ONE, rule="fewest"), 2, cost) == least


@pytest.mark.parametrize(("cost", "least"), [(0, 13), (14, 15), (19, 19), (20, 21), (24, 24), (25, 25)])
def test_an_offcut_is_one_more_thing_to_join(cost, least):
    """One section with the joint of a long run: 13, 16, 19, 22, 25; with an offcut of 2 it is 15, 18, 21, 24."""
    assert payable(replace(ONE, van=(Offcut(600, 1, Decimal(2)),)), 1, cost) == least


def test_an_offcut_longer_than_a_section_takes_the_joint_away():
    """The run of 1500 fits in one offcut of 1600 for 4; without it there are two joints from three sections on."""
    assert payable(replace(ONE, van=(Offcut(1600, 1, Decimal(4)),)), 0, 1) == 3
    assert payable(replace(ONE, van=(Offcut(1600, 1, Decimal(4)),)), 0, 4) == 4


def test_amounts_are_in_the_smallest_coin_of_the_prices():
    prices = replace(ONE, section_price=Decimal("5.80"), joint_price=Decimal("1.04"))
    assert payable(prices, 2, 1265) == 1160 + 2 * 104


def test_where_joints_cost_nothing_sections_alone_count():
    assert payable(replace(ONE, joint_price=Decimal(0)), 2, 21) == 30


def test_a_bound_is_left_as_it_is_where_there_is_too_much_to_try():
    assert payable(replace(ONE, section_price=Decimal(0)), 2, 7) == 7
    van = tuple(Offcut(600 + at, 20, Decimal(1)) for at in range(2))
    assert payable(replace(ONE, van=van), 0, 7) == 7
