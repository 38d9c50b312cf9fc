"""Bounds worked by hand: lengths, thresholds, joints that are needed in any case, and what the van gives."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.pack.bound import bound_of
from layoutest.pack.problem import Offcut, PackRun, Problem


def problem(*lengths, ends=(0.0, 0.0), **changes):
    runs = tuple(PackRun(f"r{at}", length, ends) for at, length in enumerate(lengths))
    asked = Problem("x", 1000, 55.0, runs, rule="fewest", section_price=Decimal(10), joint_price=Decimal(1))
    return replace(asked, **changes)


def test_nothing_costs_nothing():
    assert bound_of(problem()) == bound_of(problem(rule="priced")) == (0, Decimal(0))


def test_lengths_alone():
    assert bound_of(problem(500, 500, 500)) == (2, Decimal(20))
    assert bound_of(problem(334, 333, 333)) == (1, Decimal(10))
    assert bound_of(problem(334, 333, 334)) == (2, Decimal(20))


def test_pieces_over_a_half_never_share():
    """Three of 501 fill 1503 mm of two sections, and need three."""
    assert bound_of(problem(501, 501, 501)).at_least == 3


def test_pieces_over_a_third_share_by_two_at_most():
    """A third of a section rounds up to a half: five of 334 in two sections is one too many."""
    assert bound_of(problem(*[334] * 5)).at_least == 3


def test_the_joints_of_fixed_pieces_are_paid_in_any_case():
    """1960 with a mitre is three pieces (1000 + 810 + 150): two joints and, by length, two sections."""
    assert bound_of(problem(1960, ends=(0.0, 45.0))) == (2, Decimal(22))


def test_a_kerf_is_paid_between_pieces_but_not_at_the_end():
    assert bound_of(problem(500, 500, kerf_mm=1)).at_least == 2
    assert bound_of(problem(500, 499, kerf_mm=1)).at_least == 1


@pytest.mark.parametrize(("slit_in_line", "least"), [(False, 1), (True, 2)])
def test_mitres_share_their_cut_unless_the_slit_stays_in_line(slit_in_line, least):
    assert bound_of(problem(500, 500, ends=(0.0, 45.0), slit_in_line=slit_in_line)).at_least == least


def test_joints_that_can_move_save_sections_and_cost_themselves():
    """Three of 600 need two sections by length, and one joint: sharing m sections takes m - 1 joints."""
    assert bound_of(problem(600, 600, 600)) == (3, Decimal(30))
    assert bound_of(problem(600, 600, 600, rule="priced")) == (2, Decimal(21))
    assert bound_of(problem(600, 600, 600, rule="priced", joint_price=Decimal(20))) == (2, Decimal(30))


def test_a_long_run_has_its_own_joints():
    assert bound_of(problem(3500, rule="priced")) == (4, Decimal(43))


def test_a_run_of_one_piece_has_none():
    run = PackRun("r", 990, one_piece=True)
    assert bound_of(replace(problem(rule="priced"), runs=(run,))) == (1, Decimal(10))


def test_the_van_takes_away_from_what_must_be_bought_and_is_paid_at_its_value():
    van = (Offcut(640, 2, Decimal(1)),)
    assert bound_of(problem(500, 500, 500, van=van)) == (1, Decimal(11))
    assert bound_of(problem(640, 640, van=van)) == (0, Decimal(2))
    dear = (Offcut(640, 2, Decimal(12)),)
    assert bound_of(problem(500, 500, 500, van=dear)).cost == Decimal(20)


def test_a_cost_that_sums_of_the_prices_cannot_make_is_rounded_up():
    """701 mm: all of the cheap offcut for 1.00 and 101 of 600 mm of the dear one, 1.515, are 2.515, so 2.52."""
    van = (Offcut(600, 1, Decimal("1.00")), Offcut(600, 1, Decimal("9.00")))
    assert bound_of(problem(701, van=van, rule="priced")) == (0, Decimal("2.52"))
