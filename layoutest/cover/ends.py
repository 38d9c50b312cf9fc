"""What the junction at the end of a straight makes of its covering there: how it is cut and what length is taken."""

from __future__ import annotations

from functools import lru_cache
from math import radians, sin, tan
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.cover.perimeters import saddle_depth_mm, saddle_setback_mm
from layoutest.layout.geometry import Vector, clock_deg, top_of
from layoutest.network.meeting import away

if TYPE_CHECKING:
    from layoutest.choose import Spec
    from layoutest.cover.bend import BendCover
    from layoutest.network.junction import Junction
    from layoutest.network.straights import Straight

Cut = Literal["square", "mitre", "notch", "saddle"]
# With a hair for the rounding of diameters that are not whole millimetres.
ALIKE_DIAMETERS_MM = 1.0 + 1e-9


class EndCut(NamedTuple):
    """How a straight's covering ends at a node.

    `take_mm` is taken from the centre line there (negative: it runs past the node); from that place a slanted or shaped
    cut reaches `depth_mm` into the covering. `inward` is the direction of the pipe beyond a mitre, towards which the
    throat lies.
    """

    cut: Cut
    angle_deg: float = 0.0
    take_mm: float = 0.0
    depth_mm: float = 0.0
    inward: Vector | None = None


SQUARE_END = EndCut("square")


def tee_cut(main: Spec, branch: Spec, angle_deg: float) -> Cut:
    """Notch where equal diameters meet at right angles, else saddle (03: two 45° planes are then the exact meeting)."""
    equal = abs(main.covered_diameter_mm - branch.covered_diameter_mm) <= ALIKE_DIAMETERS_MM
    return "notch" if equal and angle_deg == 90 else "saddle"


def is_larger_branch(main: Spec, branch: Spec) -> bool:
    """Whether a branch is too large for its main to be cut to a known curve."""
    return branch.covered_diameter_mm > main.covered_diameter_mm + ALIKE_DIAMETERS_MM


def hole_half_mm(branch: Spec, angle_deg: float) -> float:
    """Half the length along the main that a branch's covering takes up."""
    return branch.covered_diameter_mm / (2 * sin(radians(angle_deg)))


def past_node_mm(junction: Junction) -> float:
    """How far the main of a reducing tee runs past its node."""
    covered = [branch for branch in junction.branches if branch.leg.spec.covered]
    return max((hole_half_mm(branch.leg.spec, branch.angle_deg) for branch in covered), default=0.0)


def end_cut(straight: Straight, junction: Junction, bend: BendCover | None) -> EndCut:
    """How the covering of a straight ends at one of its end nodes; `bend` is that of a covered bend."""
    for branch in junction.branches:
        if branch.straight == straight.key:
            return _branch_end(junction, branch.leg.spec, branch.angle_deg)
    if junction.kind == "bend" and bend:
        other = junction.legs[1 if junction.straights[0] == straight.key else 0]
        if bend.preformed:
            return EndCut("square", 0.0, bend.take_mm)
        depth_mm = wedge_mm(straight.spec, bend.angle_deg)
        return EndCut("mitre", bend.angle_deg, bend.take_mm, depth_mm, away(other, junction.node))
    if junction.kind in ("reducer", "change") and junction.branches:
        past_mm = past_node_mm(junction)
        return EndCut("square", 0.0, -past_mm if straight.key == junction.straights[0] else past_mm)
    return SQUARE_END


def _branch_end(junction: Junction, branch: Spec, angle_deg: float) -> EndCut:
    main = junction.legs[0].spec
    if not main.covered:
        return SQUARE_END
    cut = tee_cut(main, branch, angle_deg)
    radii_mm = main.covered_diameter_mm / 2, branch.covered_diameter_mm / 2
    alike = cut == "notch" or is_larger_branch(main, branch)
    take_mm = 0.0 if alike else saddle_setback_mm(*radii_mm, angle_deg)
    return EndCut(cut, 0.0, take_mm, saddle_depth_mm(*radii_mm, angle_deg) - take_mm)


def wedge_mm(spec: Spec, angle_deg: float) -> float:
    """How far a mitre reaches to each side of its place on the centre line: R·tan a."""
    return spec.covered_diameter_mm / 2 * tan(radians(angle_deg))


# Most pipes run in a few directions only.
@lru_cache(maxsize=4096)
def side_deg(heading: Vector, direction: Vector) -> float:
    """A side of a straight as an angle from the top, clockwise for an eye along the straight: 0 ≤ angle < 360."""
    return round(clock_deg(heading, top_of(heading), direction), 9) % 360


@lru_cache(maxsize=4096)
def twist_deg(heading: Vector, left: Vector, right: Vector) -> float:
    """The turn from the bend plane at the left end to that at the right: −180 < twist ≤ 180, clockwise from the left.

    The planes are told by the directions of the pipes beyond.
    """
    return clock_deg(heading, left, right) + 0.0  # no negative zero
