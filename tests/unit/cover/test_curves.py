"""Developed curves: limits, symmetry and the calls they refuse."""

from __future__ import annotations

import math
import re

import pytest

from layoutest.cover.curves import gore_length_mm, hole_point_mm, mitre_ordinate_mm, notch_ordinate_mm, saddle_start_mm

ANGLES_DEG = range(-180, 541, 15)


def test_square_cut_has_no_ordinate():
    assert all(mitre_ordinate_mm(55, 0, around) == 0 for around in ANGLES_DEG)


@pytest.mark.parametrize("around", ANGLES_DEG)
def test_mitre_turned_half_round_is_the_other_half(around: float):
    assert mitre_ordinate_mm(55, 22.5, around + 180) == pytest.approx(-mitre_ordinate_mm(55, 22.5, around), abs=1e-12)


@pytest.mark.parametrize("around", ANGLES_DEG)
def test_gore_is_its_centre_length_and_two_ordinates(around: float):
    centre = gore_length_mm(114.3, 84.45, 15, 90)
    expected = centre + 2 * mitre_ordinate_mm(84.45, 15, around)
    assert gore_length_mm(114.3, 84.45, 15, around) == pytest.approx(expected, rel=1e-12)
    assert gore_length_mm(114.3, 84.45, 15, around) > 0


@pytest.mark.parametrize("around", ANGLES_DEG)
def test_notch_is_the_saddle_of_equal_pipes_at_90_degrees(around: float):
    assert saddle_start_mm(50, 50, 90, around) == pytest.approx(notch_ordinate_mm(50, around), abs=1e-5)


@pytest.mark.parametrize("around", ANGLES_DEG)
def test_equal_pipes_at_45_degrees_meet_in_two_planes(around: float):
    slope = (abs(math.cos(math.radians(around))) - math.cos(math.radians(around)) * math.sqrt(0.5)) / math.sqrt(0.5)
    assert saddle_start_mm(50, 50, 45, around) == pytest.approx(50 * slope, abs=1e-5)


@pytest.mark.parametrize("around", ANGLES_DEG)
@pytest.mark.parametrize("lean", [30, 60, 90])
def test_hole_and_saddle_are_the_same_points(lean: float, around: float):
    """Rolled up again, the point of the hole lies on the generator of the branch at its start."""
    along, girth = hole_point_mm(80, 50, lean, around, 20)
    aside, depth = 80 * math.sin(girth / 80), 80 * math.cos(girth / 80)
    cosine, sine = math.cos(math.radians(lean)), math.sin(math.radians(lean))
    assert along * cosine + depth * sine == pytest.approx(saddle_start_mm(80, 50, lean, around, 20), abs=1e-9)
    assert depth * cosine - along * sine == pytest.approx(50 * math.cos(math.radians(around)), abs=1e-9)
    assert aside == pytest.approx(50 * math.sin(math.radians(around)) + 20, abs=1e-9)


@pytest.mark.parametrize("around", ANGLES_DEG)
def test_an_offset_to_the_other_side_is_the_mirror_image(around: float):
    along, girth = hole_point_mm(80, 50, 60, around, 20)
    mirrored = hole_point_mm(80, 50, 60, -around, -20)
    assert mirrored == pytest.approx((along, -girth), abs=1e-9)
    assert saddle_start_mm(80, 50, 60, -around, -20) == pytest.approx(saddle_start_mm(80, 50, 60, around, 20), abs=1e-9)


def test_a_branch_that_just_touches_the_edge_of_the_main():
    assert saddle_start_mm(70, 50, 90, 90, 20) == pytest.approx(0, abs=1e-12)
    assert hole_point_mm(70, 50, 90, 90, 20) == pytest.approx((0, 35 * math.pi), abs=1e-9)
    assert saddle_start_mm(70, 50, 90, 270, -20) == pytest.approx(0, abs=1e-12)


def test_a_main_far_larger_than_the_branch_is_a_plane():
    assert saddle_start_mm(1e9, 50, 90, 37) == pytest.approx(1e9, rel=1e-12)
    along, girth = hole_point_mm(1e9, 50, 90, 37)
    assert math.hypot(along, girth) == pytest.approx(50, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: mitre_ordinate_mm(0, 45, 0), "radius is 0 mm, expected more than 0 mm"),
        (lambda: mitre_ordinate_mm(55, 90, 0), "mitre is 90°, expected from 0° to less than 90°"),
        (lambda: mitre_ordinate_mm(55, -1, 0), "mitre is -1°, expected from 0° to less than 90°"),
        (lambda: mitre_ordinate_mm(55, 45, math.inf), "angle round the piece is inf°, expected a finite angle"),
        (lambda: gore_length_mm(55, 55, 15, 0), "elbow radius is 55 mm, expected more than the radius of 55 mm"),
        (lambda: notch_ordinate_mm(-3, 0), "radius is -3 mm, expected more than 0 mm"),
        (lambda: notch_ordinate_mm(math.nan, 0), "radius is nan mm, expected more than 0 mm"),
        (lambda: saddle_start_mm(80, -1, 90, 0), "branch radius is -1 mm, expected more than 0 mm"),
        (lambda: saddle_start_mm(80, 50, 0, 0), "branch angle is 0°, expected more than 0° and at most 90°"),
        (lambda: hole_point_mm(80, 50, 91, 0), "branch angle is 91°, expected more than 0° and at most 90°"),
        (
            lambda: saddle_start_mm(60, 50, 90, 0, -20),
            "main radius is 60 mm, expected at least 70 mm: the branch radius of 50 mm and the offset of -20 mm",
        ),
        (
            lambda: hole_point_mm(49, 50, 90, 0),
            "main radius is 49 mm, expected at least 50 mm: the branch radius of 50 mm and the offset of 0 mm",
        ),
    ],
)
def test_wrong_calls_are_told_what_was_expected(call, message: str):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
