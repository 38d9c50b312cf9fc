"""How a bend is covered: in how many mitres, with what length taken from each side, and how hollow at the throat."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, tan
from typing import TYPE_CHECKING

from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from layoutest.choose import Spec
    from layoutest.layout.document import FittingChoice, Settings

MOST_MITRES = 6
# These tell already that the throat has to be shaped by hand.
_CLOSED = ("mitres-impossible", "throat-closed")


@dataclass(frozen=True, slots=True)
class BendCover:
    """The covering of one bend, which belongs to the larger of its two straights.

    `mitres` is 0 under a pre-formed cover. `take_mm` is what the bend takes from the centre line on each side, down to
    its first cut; between the cuts lie `mitres` − 1 pieces of `piece_mm`, both ends mitred at `angle_deg`.
    """

    spec: Spec
    turn_deg: float
    mitres: int
    angle_deg: float
    take_mm: float
    piece_mm: float
    hollow_mm: float
    snags: tuple[Snag, ...]

    @property
    def preformed(self) -> bool:
        """Whether one bought cover goes round the whole elbow."""
        return self.mitres == 0


def bend_cover(node: str, spec: Spec, turn_deg: float, choice: FittingChoice | None, settings: Settings) -> BendCover:
    """Decide how a bend is covered. Geometry of mitred bends: each mitre turns by the same angle."""
    own_mm = choice.elbow_radius_mm if choice else None
    elbow_mm = own_mm if own_mm is not None else spec.elbow_radius_mm or 0.0
    if choice and choice.cover == "preformed" and elbow_mm > 0:
        take_mm = elbow_mm * tan(radians(turn_deg / 2))
        return BendCover(spec, turn_deg, 0, 0.0, take_mm, 0.0, 0.0, ())
    mitres, snags = _mitres(node, spec, turn_deg, elbow_mm, choice, settings)
    angle_deg = turn_deg / (2 * mitres)
    half_mm = elbow_mm * tan(radians(angle_deg))
    take_mm = elbow_mm * tan(radians(turn_deg / 2)) - half_mm if mitres > 1 else 0.0
    hollow_mm = max(0.0, elbow_mm - spec.outside_diameter_mm / 2) * (1 / cos(radians(angle_deg)) - 1)
    if hollow_mm > spec.thickness_mm / 3 and not any(snag.code in _CLOSED for snag in snags):
        snags = (*snags, _deep_hollow(node, spec, hollow_mm))
    return BendCover(spec, turn_deg, mitres, angle_deg, take_mm, 2 * half_mm if mitres > 1 else 0.0, hollow_mm, snags)


def _mitres(
    node: str, spec: Spec, turn_deg: float, elbow_mm: float, choice: FittingChoice | None, settings: Settings
) -> tuple[int, tuple[Snag, ...]]:
    radius_mm = spec.covered_diameter_mm / 2
    wanted = choice.mitres if choice else None
    if choice and choice.cover == "preformed":
        return 1, (_impossible(node, spec, "a pre-formed cover needs an elbow radius, and this elbow is tight"),)
    if wanted is not None and wanted > 1 and elbow_mm == 0:
        return 1, (_impossible(node, spec, f"{wanted} mitres need an elbow radius, and this elbow is tight"),)
    if wanted is not None and wanted > 1 and radius_mm >= elbow_mm:
        return 1, (_impossible(node, spec, f"{wanted} mitres cannot close: {_closed(radius_mm, elbow_mm)}"),)
    if wanted is not None or elbow_mm == 0:
        return wanted or 1, ()
    fitting = (n for n in range(1, MOST_MITRES + 1) if _gap_mm(elbow_mm, turn_deg, n) <= settings.bend_gap_mm)
    mitres = next(fitting, None)
    if mitres == 1:
        return 1, ()
    if radius_mm >= elbow_mm:
        return 1, (_throat_closed(node, spec, radius_mm, elbow_mm),)
    return (mitres, ()) if mitres else (MOST_MITRES, (_too_many(node, spec, turn_deg, elbow_mm, settings),))


def _gap_mm(elbow_mm: float, turn_deg: float, mitres: int) -> float:
    """How far a mitred cover stands off the real bend at each corner."""
    return elbow_mm * (1 / cos(radians(turn_deg / (2 * mitres))) - 1)


def _closed(radius_mm: float, elbow_mm: float) -> str:
    return f"the covering's radius of {radius_mm:g} mm reaches the elbow's centre at {elbow_mm:g} mm"


def _impossible(node: str, spec: Spec, why: str) -> Snag:
    says = f"At bend {node} {why}; one mitre is taken."
    do = f"Change fittings, '{node}', or give an elbow_radius_mm."
    return Snag("mitres-impossible", (node,), says, do, spec.text)


def _throat_closed(node: str, spec: Spec, radius_mm: float, elbow_mm: float) -> Snag:
    says = f"More than one mitre cannot close: {_closed(radius_mm, elbow_mm)}; one mitre is taken."
    return Snag("throat-closed", (node,), says, "Use a pre-formed elbow cover, or shape the bend by hand.", spec.text)


def _too_many(node: str, spec: Spec, turn_deg: float, elbow_mm: float, settings: Settings) -> Snag:
    gap_mm, most_mm = _gap_mm(elbow_mm, turn_deg, MOST_MITRES), settings.bend_gap_mm
    says = f"Even {MOST_MITRES} mitres stand {gap_mm:.0f} mm off the bend, over the {most_mm:g} mm allowed."
    return Snag("too-many-mitres", (node,), says, "Allow a larger bend_gap_mm, or use a pre-formed cover.", spec.text)


def _deep_hollow(node: str, spec: Spec, hollow_mm: float) -> Snag:
    says = f"The covering has to be hollowed by {hollow_mm:.0f} mm at the throat, over a third of its thickness."
    return Snag("deep-hollow", (node,), says, "Take more mitres, thicker covering or a pre-formed cover.", spec.text)
