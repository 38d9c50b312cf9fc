"""Developed curves: where a cut runs on the outside of a covering, generator by generator.

`around_deg` is the angle round the axis of the piece that is cut; times the radius it is the place along the girth
when the outside is rolled out flat. At a mitre it starts at the heel, the outside of the bend. At a branch it starts
in the plane of the two axes, on the side where they enclose the obtuse angle (either side at 90°).

The radii are those of the outside of the covering, D/2. The formulas follow from the meeting of a cylinder with a
plane or with another cylinder, and from nothing else.
"""

from __future__ import annotations

import math


def mitre_ordinate_mm(radius_mm: float, mitre_deg: float, around_deg: float) -> float:
    """How far a mitred end reaches beyond its place on the centre line: R·tan a·cos φ, less than 0 at the throat.

    Args:
        radius_mm: R, more than 0.
        mitre_deg: a, the cut's angle from square, 0 ≤ a < 90.
        around_deg: φ, 0 at the heel; any angle.

    Raises:
        ValueError: A value is outside its range.
    """
    check_radius("radius", radius_mm)
    check_mitre(mitre_deg)
    return radius_mm * math.tan(math.radians(mitre_deg)) * math.cos(_turned(around_deg))


def gore_length_mm(elbow_radius_mm: float, radius_mm: float, mitre_deg: float, around_deg: float) -> float:
    """Length of a mid piece of a bend, mitred at both ends: 2·tan a·(Rc + R·cos φ). An end piece takes half of it.

    Args:
        elbow_radius_mm: Rc, of the bend's centre line; more than R, else the throat is closed.
        radius_mm: R, more than 0.
        mitre_deg: a, 0 ≤ a < 90.
        around_deg: φ, 0 at the heel and 180 at the throat; 90 gives the length on the centre line.

    Raises:
        ValueError: A value is outside its range.
    """
    heel_part_mm = mitre_ordinate_mm(radius_mm, mitre_deg, around_deg)
    if not radius_mm < elbow_radius_mm < math.inf:
        raise ValueError(f"elbow radius is {elbow_radius_mm:g} mm, expected more than the radius of {radius_mm:g} mm")
    return 2 * (elbow_radius_mm * math.tan(math.radians(mitre_deg)) + heel_part_mm)


def notch_ordinate_mm(radius_mm: float, around_deg: float) -> float:
    """Two 45° planes, the meeting of equal cylinders at 90°: R·|cos φ|.

    On the branch it is where the wall starts, from the main's centre line. With φ round the main from the branch's
    centre, within ±90°, it is half the width of the notch in the main, along its axis.

    Args:
        radius_mm: R of both, more than 0.
        around_deg: φ; any angle.

    Raises:
        ValueError: A value is outside its range.
    """
    check_radius("radius", radius_mm)
    return radius_mm * abs(math.cos(_turned(around_deg)))


def saddle_start_mm(
    main_radius_mm: float, branch_radius_mm: float, branch_deg: float, around_deg: float, offset_mm: float = 0
) -> float:
    """Where the wall of a branch starts, along its axis from the main's centre line; small is a long wall.

    w = [√(Rm² − (Rb·sin φ + e)²) − Rb·cos φ·cos β] / sin β

    Args:
        main_radius_mm: Rm, at least Rb + |e|.
        branch_radius_mm: Rb, more than 0.
        branch_deg: β between the axes, 0 < β ≤ 90.
        around_deg: φ round the branch; any angle.
        offset_mm: e, by which the axes miss each other, positive towards φ = 90.

    Raises:
        ValueError: A value is outside its range.
    """
    check_branch(branch_deg)
    depth_mm, _ = _on_main(main_radius_mm, branch_radius_mm, around_deg, offset_mm)
    lean = math.radians(branch_deg)
    return (depth_mm - branch_radius_mm * math.cos(_turned(around_deg)) * math.cos(lean)) / math.sin(lean)


def hole_point_mm(
    main_radius_mm: float, branch_radius_mm: float, branch_deg: float, around_deg: float, offset_mm: float = 0
) -> tuple[float, float]:
    """One point of the hole in the main, on its rolled-out outside: (along its axis, along its girth).

    X = [√(Rm² − (Rb·sin φ + e)²)·cos β − Rb·cos φ] / sin β and S = Rm·asin[(Rb·sin φ + e) / Rm]. X starts where the
    axes cross and grows towards the side to which the branch leans; S starts at the generator that faces the branch.

    Args:
        main_radius_mm: Rm, at least Rb + |e|.
        branch_radius_mm: Rb, more than 0.
        branch_deg: β between the axes, 0 < β ≤ 90.
        around_deg: φ round the branch, as in `saddle_start_mm`; any angle.
        offset_mm: e, by which the axes miss each other, positive towards φ = 90.

    Raises:
        ValueError: A value is outside its range.
    """
    check_branch(branch_deg)
    depth_mm, aside_mm = _on_main(main_radius_mm, branch_radius_mm, around_deg, offset_mm)
    lean = math.radians(branch_deg)
    along_mm = (depth_mm * math.cos(lean) - branch_radius_mm * math.cos(_turned(around_deg))) / math.sin(lean)
    return along_mm, main_radius_mm * math.asin(aside_mm / main_radius_mm)


def check_radius(name: str, radius_mm: float) -> None:
    """Raise a ValueError that names the radius unless it is a length of more than 0 mm."""
    if not 0 < radius_mm < math.inf:
        raise ValueError(f"{name} is {radius_mm:g} mm, expected more than 0 mm")


def check_mitre(mitre_deg: float) -> None:
    """Raise a ValueError unless 0 ≤ a < 90: a cut at 90° never leaves the piece."""
    if not 0 <= mitre_deg < 90:
        raise ValueError(f"mitre is {mitre_deg:g}°, expected from 0° to less than 90°")


def check_branch(branch_deg: float) -> None:
    """Raise a ValueError unless 0 < β ≤ 90: a branch that leans the other way is seen from the other side."""
    if not 0 < branch_deg <= 90:
        raise ValueError(f"branch angle is {branch_deg:g}°, expected more than 0° and at most 90°")


def _on_main(
    main_radius_mm: float, branch_radius_mm: float, around_deg: float, offset_mm: float
) -> tuple[float, float]:
    """Where a generator of the branch meets the main, seen along the main: (towards the branch, aside)."""
    check_radius("branch radius", branch_radius_mm)
    least_mm = branch_radius_mm + abs(offset_mm)
    if not least_mm <= main_radius_mm < math.inf:
        raise ValueError(
            f"main radius is {main_radius_mm:g} mm, expected at least {least_mm:g} mm: "
            f"the branch radius of {branch_radius_mm:g} mm and the offset of {offset_mm:g} mm"
        )
    aside_mm = branch_radius_mm * math.sin(_turned(around_deg)) + offset_mm
    # Where branch and main just touch, rounding must not put the point outside the main.
    aside_mm = max(-main_radius_mm, min(main_radius_mm, aside_mm))
    return math.sqrt((main_radius_mm - aside_mm) * (main_radius_mm + aside_mm)), aside_mm


def _turned(around_deg: float) -> float:
    """The angle in radians, once it is known to be one."""
    if not math.isfinite(around_deg):
        raise ValueError(f"angle round the piece is {around_deg:g}°, expected a finite angle")
    return math.radians(around_deg)
