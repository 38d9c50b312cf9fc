"""Lengths round joints against check values, scipy and the two cylinders themselves."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.special import ellipe

from layoutest.cover.perimeters import (
    ellipse_perimeter_mm,
    mitre_perimeter_mm,
    notch_perimeter_mm,
    saddle_perimeter_mm,
    saddle_setback_mm,
)

EXCESSES = (0, 1e-14, 1e-12, 1e-10, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 0.01, 0.1, 0.4, 1, 5)  # of main over branch
LEANS_DEG = (10, 30, 45, 60, 75, 89.9, 90)


def random_pairs(count: int) -> list[tuple[float, float, float]]:
    """Radii of main and branch and the angle between them, with the hard cases well represented."""
    source = random.Random(20)
    pairs = []
    for _ in range(count):
        branch = source.uniform(15, 300)
        pairs.append((branch * (1 + source.choice(EXCESSES)), branch, source.uniform(5, 90)))
    return pairs


def meeting_points(main: float, branch: float, lean_deg: float, around: np.ndarray) -> np.ndarray:
    """Where the generators of the branch pierce the main, in space, as the roots of a quadratic.

    The main lies along x, the axis of the branch leaves the origin in the plane of x and z.
    """
    lean = math.radians(lean_deg)
    axis = np.array([math.cos(lean), 0, math.sin(lean)])
    level = np.array([-math.sin(lean), 0, math.cos(lean)])
    start = branch * (np.cos(around)[:, None] * level + np.sin(around)[:, None] * np.array([0, 1, 0]))
    a = axis[1] ** 2 + axis[2] ** 2
    b = start[:, 1] * axis[1] + start[:, 2] * axis[2]
    c = start[:, 1] ** 2 + start[:, 2] ** 2 - main**2
    travel = (-b + np.sqrt(np.maximum(b * b - a * c, 0))) / a
    return start + travel[:, None] * axis


def chord_sum_mm(main: float, branch: float, lean_deg: float) -> float:
    """Length of the meeting curve by chords, crowded where it may turn sharply: at ±90 and at 180 degrees."""
    crowded = np.concatenate([[0], np.geomspace(1e-6, math.pi / 4, 30_000)])
    quarter = np.concatenate([crowded, math.pi / 2 - crowded[-2::-1]])
    around = np.concatenate([quarter, math.pi / 2 + quarter[1:]])
    points = meeting_points(main, branch, lean_deg, around)
    return 2 * float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def start_mm(main: float, branch: float, lean_deg: float, around: float) -> float:
    """Where the generator starts, measured along the branch."""
    lean = math.radians(lean_deg)
    point = meeting_points(main, branch, lean_deg, np.array([around]))[0]
    return float(point[0] * math.cos(lean) + point[2] * math.sin(lean))


@pytest.mark.parametrize(
    ("perimeter_mm", "expected_mm"),
    [
        # Worked out beforehand for D 110 mm, and for a branch of 72 mm on a main of 194 mm; no outside source.
        (mitre_perimeter_mm(55, 0), 345.6),
        (mitre_perimeter_mm(55, 45), 420.2),
        (mitre_perimeter_mm(55, 22.5), 360.0),
        (notch_perimeter_mm(55), 420.2),
        (saddle_perimeter_mm(97, 36, 90), 228.3),
    ],
)
def test_check_values(perimeter_mm: float, expected_mm: float):
    assert perimeter_mm == pytest.approx(expected_mm, rel=0, abs=0.05)


@pytest.mark.parametrize("ratio", [1e-8, 1e-3, 0.1, 0.5, 0.7071, 0.99, 1 - 1e-9, 1])
def test_ellipse_against_the_elliptic_integral_of_scipy(ratio: float):
    # scipy.special.ellipe, the complete elliptic integral of the second kind.
    eccentric = (1 - ratio) * (1 + ratio)
    assert ellipse_perimeter_mm(80, 80 * ratio) == pytest.approx(320 * ellipe(eccentric), rel=1e-12)
    assert ellipse_perimeter_mm(80 * ratio, 80) == ellipse_perimeter_mm(80, 80 * ratio)


@pytest.mark.parametrize("lean_deg", [1, 5, *LEANS_DEG])
def test_saddle_of_equal_radii_is_two_half_ellipses(lean_deg: float):
    # Two equal cylinders meet in the two planes that halve the angles between their axes (Monge's theorem), so each
    # half of the curve is half an ellipse; its length is from scipy.special.ellipe.
    half = math.radians(lean_deg) / 2
    longer = [60 / math.cos(half), 60 / math.sin(half)]
    expected = sum(2 * semi * ellipe(1 - (60 / semi) ** 2) for semi in longer)
    assert saddle_perimeter_mm(60, 60, lean_deg) == pytest.approx(expected, rel=0, abs=1e-5)


@pytest.mark.parametrize("excess", EXCESSES)
@pytest.mark.parametrize("lean_deg", LEANS_DEG)
def test_saddle_perimeter_against_chords_between_points_in_space(excess: float, lean_deg: float):
    main = 150 * (1 + excess)
    assert saddle_perimeter_mm(main, 150, lean_deg) == pytest.approx(chord_sum_mm(main, 150, lean_deg), abs=0.001)


def test_saddle_perimeter_of_random_pairs_against_chords():
    for pair in random_pairs(60):
        assert saddle_perimeter_mm(*pair) == pytest.approx(chord_sum_mm(*pair), rel=0, abs=0.001), pair


def test_setback_of_random_pairs_against_a_search():
    # scipy.optimize.minimize_scalar on each of 12 sectors of the half turn, on points in space.
    for main, branch, lean in random_pairs(60):
        bounds = [math.pi * index / 12 for index in range(13)]
        found = min(
            minimize_scalar(
                lambda around, pair=(main, branch, lean): start_mm(*pair, around),
                bounds=(low, low + math.pi / 12),
                method="bounded",
                options={"xatol": 1e-9},
            ).fun
            for low in bounds[:-1]
        )
        found = min(found, *(start_mm(main, branch, lean, around) for around in bounds))
        assert saddle_setback_mm(main, branch, lean) == pytest.approx(found, rel=0, abs=2e-5), (main, branch, lean)
