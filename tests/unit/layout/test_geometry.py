"""Angles and distances, against a geometry library and against angles known on paper."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin, sqrt

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.layout.geometry import along, angle_deg, clock_deg, length, minus, nearest_on_lines, top_of

EAST, NORTH, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
points = st.tuples(st.integers(-5000, 5000), st.integers(-5000, 5000))


def line(start, end):
    between = minus((*end, 0), (*start, 0))
    long_mm = length(between)
    return (*start, 0), tuple(part / long_mm for part in between), long_mm


@settings(max_examples=300, deadline=None, derandomize=True)
@given(points, points, points, points)
def test_the_distance_of_two_lines_is_that_of_the_library(a, b, c, d):
    # Source: shapely, LineString.distance (GEOS), for lines in one plane.
    if a == b or c == d:
        return
    one, two = line(a, b), line(c, d)
    s, t, apart_mm = nearest_on_lines(*one, *two)
    assert apart_mm == pytest.approx(shapely.LineString([a, b]).distance(shapely.LineString([c, d])), abs=1e-6)
    assert -1e-9 <= s <= one[2] + 1e-9
    assert -1e-9 <= t <= two[2] + 1e-9
    assert length(minus(along(one[0], one[1], s), along(two[0], two[1], t))) == pytest.approx(apart_mm)


def test_lines_that_pass_over_each_other():
    # Skew lines a metre apart: the feet of their common perpendicular are known.
    assert nearest_on_lines((0, 0, 0), EAST, 5000, (700, -300, 1000), NORTH, 900) == pytest.approx((700, 300, 1000))


@pytest.mark.parametrize("angle", [0, 1e-5, 0.5, 30, 45, 90, 179.5, 179.99999, 180])
def test_angles_are_exact_at_their_ends(angle):
    assert angle_deg(EAST, (cos(radians(angle)), sin(radians(angle)), 0)) == pytest.approx(angle, abs=1e-9)


def test_the_angle_of_the_diagonal_of_a_cube():
    # On paper: the space diagonal makes arctan √2 with an edge.
    diagonal = tuple(part / sqrt(3) for part in (1, 1, 1))
    assert angle_deg(EAST, diagonal) == pytest.approx(degrees(atan2(sqrt(2), 1)))


@pytest.mark.parametrize(
    ("axis", "reference", "direction", "turn"),
    [
        # Looking along the axis: east along x with the top up, south (−y) is on the right hand.
        (EAST, UP, (0, -1, 0), 90),
        (EAST, UP, NORTH, -90),
        (EAST, UP, (0, 0, -1), 180),
        (NORTH, UP, EAST, 90),
        # Looking straight up with the head to the north, west is on the right hand.
        (UP, NORTH, (-1, 0, 0), 90),
        (EAST, UP, (7, 0, 1), 0),
    ],
)
def test_clockwise_for_an_eye_along_the_axis(axis, reference, direction, turn):
    assert clock_deg(axis, reference, direction) == pytest.approx(turn)


def test_the_top_is_up_and_for_an_upright_pipe_along_y():
    assert top_of(EAST) == top_of(NORTH) == UP
    assert top_of(UP) == top_of((0, 0, -1)) == NORTH
