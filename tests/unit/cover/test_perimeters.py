"""Lengths round joints: limits and the calls they refuse."""

from __future__ import annotations

import math
import re

import pytest

from layoutest.cover.perimeters import (
    ellipse_perimeter_mm,
    mitre_perimeter_mm,
    notch_perimeter_mm,
    saddle_perimeter_mm,
    saddle_setback_mm,
)


def test_a_square_joint_is_a_circle():
    assert mitre_perimeter_mm(55, 0) == pytest.approx(110 * math.pi, rel=1e-15)


def test_a_notch_is_the_saddle_of_equal_pipes_at_90_degrees():
    assert saddle_perimeter_mm(55, 55, 90) == pytest.approx(notch_perimeter_mm(55), abs=1e-6)
    assert saddle_setback_mm(55, 55, 90) == 0


def test_a_small_branch_on_a_large_main_is_cut_by_a_plane():
    assert saddle_perimeter_mm(1e6, 50, 90) == pytest.approx(100 * math.pi, rel=1e-6)
    assert saddle_perimeter_mm(1e6, 50, 60) == pytest.approx(mitre_perimeter_mm(50, 30), rel=1e-4)


def test_a_main_smaller_than_its_branch_counts_as_equal():
    assert saddle_perimeter_mm(40, 55, 60) == saddle_perimeter_mm(55, 55, 60)
    assert saddle_setback_mm(40, 55, 60) == saddle_setback_mm(55, 55, 60) == 0


def test_setback_at_90_degrees_is_where_the_crown_of_the_main_is_lowest():
    assert saddle_setback_mm(50, 30, 90) == 40


def test_the_two_forms_of_the_setback_meet():
    lean = math.degrees(math.atan2(40, 30))  # s = 40 and s·cot β = 30 = the branch's radius
    below, above = saddle_setback_mm(50, 30, lean - 1e-7), saddle_setback_mm(50, 30, lean + 1e-7)
    assert (below, above) == pytest.approx((40, 40), abs=1e-6)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: ellipse_perimeter_mm(0, 5), "semi-axis is 0 mm, expected more than 0 mm"),
        (lambda: ellipse_perimeter_mm(5, math.inf), "semi-axis is inf mm, expected more than 0 mm"),
        (lambda: mitre_perimeter_mm(-1, 45), "radius is -1 mm, expected more than 0 mm"),
        (lambda: mitre_perimeter_mm(5, 90), "mitre is 90°, expected from 0° to less than 90°"),
        (lambda: notch_perimeter_mm(0), "radius is 0 mm, expected more than 0 mm"),
        (lambda: saddle_perimeter_mm(0, 5, 90), "main radius is 0 mm, expected more than 0 mm"),
        (lambda: saddle_perimeter_mm(5, 0, 90), "branch radius is 0 mm, expected more than 0 mm"),
        (lambda: saddle_perimeter_mm(5, 5, 0), "branch angle is 0°, expected more than 0° and at most 90°"),
        (lambda: saddle_setback_mm(5, 5, 120), "branch angle is 120°, expected more than 0° and at most 90°"),
    ],
)
def test_wrong_calls_are_told_what_was_expected(call, message: str):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
