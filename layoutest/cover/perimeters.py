"""Lengths round a joint, for its tape; and how far a saddle takes a branch back.

The radii are those of the outside of the covering, D/2.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache

from layoutest.cover.curves import check_branch, check_mitre, check_radius


def ellipse_perimeter_mm(semi_a_mm: float, semi_b_mm: float) -> float:
    """Perimeter of an ellipse, exact to rounding; the semi-axes, each more than 0, come in any order.

    4·a·E(1 − b²/a²) with the complete elliptic integral E by the arithmetic-geometric mean (Abramowitz and Stegun,
    Handbook of Mathematical Functions, 1964, 17.6).

    Raises:
        ValueError: A semi-axis is not more than 0.
    """
    check_radius("semi-axis", semi_a_mm)
    check_radius("semi-axis", semi_b_mm)
    mean, root = max(semi_a_mm, semi_b_mm), min(semi_a_mm, semi_b_mm)
    square, weight = mean * mean - (mean - root) * (mean + root) / 2, 1.0
    while mean - root > 1e-9 * mean:  # what is left out is of the order of its square
        half_gap = (mean - root) / 2
        mean, root = (mean + root) / 2, math.sqrt(mean * root)
        square -= weight * half_gap * half_gap
        weight *= 2
    return 4 * math.pi * square / (mean + root)


@lru_cache(maxsize=4096)
def mitre_perimeter_mm(radius_mm: float, mitre_deg: float) -> float:
    """Length round a joint mitred at a, 0 ≤ a < 90: an ellipse with semi-axes R and R/cos a; square at a = 0.

    Raises:
        ValueError: The radius is not more than 0, or the angle is out of range.
    """
    check_radius("radius", radius_mm)
    check_mitre(mitre_deg)
    return ellipse_perimeter_mm(radius_mm, radius_mm / math.cos(math.radians(mitre_deg)))


def notch_perimeter_mm(radius_mm: float) -> float:
    """Length round the meeting of equal cylinders at 90°: two halves of the ellipse of a 45° mitre.

    Raises:
        ValueError: The radius is not more than 0.
    """
    return mitre_perimeter_mm(radius_mm, 45)


@lru_cache(maxsize=4096)
def saddle_perimeter_mm(main_radius_mm: float, branch_radius_mm: float, branch_deg: float) -> float:
    """Length round the meeting of a branch and a main whose axes cross, to better than 0.001 mm.

    The curve is (w(φ) along the branch, Rb·cos φ, Rb·sin φ) with w of `layoutest.cover.curves.saddle_start_mm`, so
    the length is ∮ √(Rb² + (dw/dφ)²) dφ. It has a mirror plane: half of it is summed, from φ = 90° both ways.

    Args:
        main_radius_mm: Rm, more than 0; below Rb it is taken as Rb.
        branch_radius_mm: Rb, more than 0.
        branch_deg: β between the axes, 0 < β ≤ 90.

    Raises:
        ValueError: A value is outside its range.
    """
    least_depth_mm = _least_depth_mm(main_radius_mm, branch_radius_mm, branch_deg)
    lean = math.radians(branch_deg)
    cos_lean, sin_lean = math.cos(lean), math.sin(lean)
    half_mm = 0.0
    for cosine, sine, weight in _quarter_turn():
        inward_mm = branch_radius_mm * cosine
        steepness = inward_mm / math.hypot(least_depth_mm, inward_mm)
        acute = math.hypot(1, sine * (cos_lean + steepness) / sin_lean)
        obtuse = math.hypot(1, sine * (cos_lean - steepness) / sin_lean)
        half_mm += weight * (acute + obtuse)
    return 2 * branch_radius_mm * half_mm


def saddle_setback_mm(main_radius_mm: float, branch_radius_mm: float, branch_deg: float) -> float:
    """Where a branch starts at its longest wall, along its axis from the main's centre line: the least w over φ.

    With s = √(Rm² − Rb²) it is s when s·cot β ≤ Rb, else (Rm − Rb·cos β)/sin β, at φ = 0.

    Args:
        main_radius_mm: Rm, more than 0; below Rb it is taken as Rb.
        branch_radius_mm: Rb, more than 0.
        branch_deg: β between the axes, 0 < β ≤ 90.

    Raises:
        ValueError: A value is outside its range.
    """
    least_depth_mm = _least_depth_mm(main_radius_mm, branch_radius_mm, branch_deg)
    lean = math.radians(branch_deg)
    if least_depth_mm <= branch_radius_mm * math.tan(lean):
        return least_depth_mm
    return (main_radius_mm - branch_radius_mm * math.cos(lean)) / math.sin(lean)


def saddle_depth_mm(main_radius_mm: float, branch_radius_mm: float, branch_deg: float) -> float:
    """Where a branch starts at its shortest wall, along its axis from the main's centre line: the largest w over φ.

    (Rm + Rb·cos β)/sin β, at φ = 180°.

    Args:
        main_radius_mm: Rm, more than 0; below Rb it is taken as Rb.
        branch_radius_mm: Rb, more than 0.
        branch_deg: β between the axes, 0 < β ≤ 90.

    Raises:
        ValueError: A value is outside its range.
    """
    check_radius("main radius", main_radius_mm)
    check_radius("branch radius", branch_radius_mm)
    check_branch(branch_deg)
    lean = math.radians(branch_deg)
    return (max(main_radius_mm, branch_radius_mm) + branch_radius_mm * math.cos(lean)) / math.sin(lean)


def _least_depth_mm(main_radius_mm: float, branch_radius_mm: float, branch_deg: float) -> float:
    """How near the main's centre line the branch comes: s = √(Rm² − Rb²), with Rm taken as at least Rb."""
    check_radius("main radius", main_radius_mm)
    check_radius("branch radius", branch_radius_mm)
    check_branch(branch_deg)
    larger_mm = max(main_radius_mm, branch_radius_mm)
    return math.sqrt((larger_mm - branch_radius_mm) * (larger_mm + branch_radius_mm))


@cache
def _quarter_turn() -> tuple[tuple[float, float, float], ...]:
    """(cos φ, sin φ, dφ) over 0 < φ < 90° in steps that crowd at both ends, cos φ > 0 throughout.

    The doubly exponential rule of Takahasi and Mori (Publ. RIMS 9, 1974): the curve has a kink at φ = 90° when the
    radii are equal, a sharp turn there when they nearly are, and one at φ = 180° when β is small.
    """
    step = 1 / 24
    points = []
    for index in range(-76, 77):
        stretched = math.pi * math.sinh(index * step)
        to_right_angle = math.pi / 2 / (1 + math.exp(-stretched))
        to_zero = math.pi / 2 / (1 + math.exp(stretched))
        weight = step * to_right_angle * to_zero * 2 * math.cosh(index * step)
        points.append((math.sin(to_right_angle), math.sin(to_zero), weight))
    return tuple(points)
