"""Vectors, turns and distances in millimetres and degrees; plain tuples, no drawing."""

from __future__ import annotations

import math

Vector = tuple[float, float, float]

# Directions of legs are floating-point: an angle that is exact on paper is off by less than this.
EXACT_DEG = 1e-9


def minus(first: Vector, second: Vector) -> Vector:
    """Return first − second."""
    return first[0] - second[0], first[1] - second[1], first[2] - second[2]


def along(start: Vector, heading: Vector, distance_mm: float) -> Vector:
    """Return the point at a distance from a start in a direction (a unit vector)."""
    return (
        start[0] + heading[0] * distance_mm,
        start[1] + heading[1] * distance_mm,
        start[2] + heading[2] * distance_mm,
    )


def reverse(vector: Vector) -> Vector:
    """Return the vector that points the other way."""
    return -vector[0], -vector[1], -vector[2]


def dot(first: Vector, second: Vector) -> float:
    """Return the scalar product."""
    return first[0] * second[0] + first[1] * second[1] + first[2] * second[2]


def cross(first: Vector, second: Vector) -> Vector:
    """Return the vector product, right-handed."""
    return (
        first[1] * second[2] - first[2] * second[1],
        first[2] * second[0] - first[0] * second[2],
        first[0] * second[1] - first[1] * second[0],
    )


def length(vector: Vector) -> float:
    """Return the length of a vector."""
    return math.sqrt(dot(vector, vector))


def angle_deg(first: Vector, second: Vector) -> float:
    """Return the angle between two directions, 0 to 180; exact near 0 and 180, where an arc cosine is not."""
    return math.degrees(math.atan2(length(cross(first, second)), dot(first, second)))


def clock_deg(axis: Vector, reference: Vector, direction: Vector) -> float:
    """Return the turn about an axis from one direction to another, −180 < turn ≤ 180.

    It is clockwise for an eye that looks along the axis. Parts of the directions along the axis do not count.
    """
    turn = math.degrees(math.atan2(_triple(axis, reference, direction), _across(axis, reference, direction)))
    return 180.0 if turn <= -180 + 1e-9 else turn


def top_of(axis: Vector) -> Vector:
    """Return the direction from which angles about a pipe are told: upwards, and for an upright pipe along y."""
    return (0.0, 1.0, 0.0) if abs(axis[2]) > math.cos(math.radians(1)) else (0.0, 0.0, 1.0)


def _triple(axis: Vector, reference: Vector, direction: Vector) -> float:
    return dot(axis, cross(reference, direction))


def _across(axis: Vector, reference: Vector, direction: Vector) -> float:
    return dot(reference, direction) - dot(axis, reference) * dot(axis, direction)


def nearest_on_lines(
    p: Vector, u: Vector, p_mm: float, q: Vector, v: Vector, q_mm: float
) -> tuple[float, float, float]:
    """Find where two lines of given starts, directions and lengths come nearest.

    Returns:
        the distance along the first, the distance along the second, and how far apart they are there, in mm.
    """
    w = minus(p, q)
    b, d, e = dot(u, v), dot(u, w), dot(v, w)
    spread = 1 - b * b
    s = _clamp((b * e - d) / spread, p_mm) if spread > 1e-12 else 0.0
    t = b * s + e
    if not 0 <= t <= q_mm:
        t = _clamp(t, q_mm)
        s = _clamp(b * t - d, p_mm)
    return s, t, length(minus(along(p, u, s), along(q, v, t)))


def _clamp(value: float, top: float) -> float:
    return min(max(value, 0.0), top)
