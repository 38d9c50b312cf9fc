"""Snags: what is wrong or doubtful in a layout, where it is, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]

# In order of importance: where two codes would tell one thing, the one that stands first is told.
SEVERITIES: dict[str, Severity] = {
    **dict.fromkeys(
        (
            "unknown-pipe",
            "unknown-service",
            "unknown-covering",
            "bad-thickness",
            "no-bore",
            "zero-length",
            "duplicate-leg",
            "overlapping-legs",
            "no-through-pipe",
            "run-too-short",
            "bends-too-near",
            "pipes-meet",
            "item-past-end",
            "items-overlap",
            "mitres-impossible",
            "missing-price",
        ),
        "error",
    ),
    **dict.fromkeys(
        (
            "stray-node",
            "node-on-leg",
            "nodes-in-one-place",
            "folded-back",
            "throat-closed",
            "deep-hollow",
            "branch-larger",
            "loose-bore",
            "too-many-mitres",
            "outside-limits",
        ),
        "warning",
    ),
    **dict.fromkeys(
        (
            "unlike-at-bend",
            "services-meet",
            "measured-not-checked",
            "elbow-unknown",
            "odd-angle",
            "fittings-too-near",
            "crosses-structure",
        ),
        "note",
    ),
}
_RANK = {code: rank for rank, code in enumerate(SEVERITIES)}


@dataclass(frozen=True, slots=True)
class Snag:
    """One finding. `where` names its places: legs first, then nodes, items and outlines.

    `group` is what a readable list sums up by (a pipe and its covering), empty where every case stands alone.
    """

    code: str
    where: tuple[str, ...]
    says: str
    do: str
    group: str = ""

    @property
    def severity(self) -> Severity:
        """Whether it stops the estimate (error), may cost something (warning) or is good to know (note)."""
        return SEVERITIES[self.code]

    @property
    def rank(self) -> int:
        """The place of its code in the order of importance, 0 first."""
        return _RANK[self.code]

    @property
    def id(self) -> str:
        """A name that stays the same while the snag stands."""
        return f"{self.code}:{'+'.join(self.where) or self.group}"
