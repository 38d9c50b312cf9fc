"""The document: everything a user draws or types, as immutable records.

Lengths are whole millimetres, temperatures degrees Celsius, angles degrees. What a file held beyond the known keys
stays in `extra`, as (key, JSON text) pairs, and is written back. `None` means: not given.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

Extra = tuple[tuple[str, str], ...]
View = Literal["plan", "elevation"]
Slit = Literal["free", "in-line"]
Joints = Literal["auto", "priced", "fewest"]
ItemKind = Literal["valve", "flange", "strainer", "pump", "meter", "support", "other"]
ItemCover = Literal["jacket", "through", "bare", "insert"]
OutlineKind = Literal["wall", "slab", "plant"]
Thickness = float | Literal["auto"]


class Node(NamedTuple):
    """A point where legs end or meet: right-handed, y up the page in a plan, level upwards."""

    x_mm: int
    y_mm: int
    level_mm: int


@dataclass(frozen=True, slots=True)
class Settings:
    """How pipes are covered and sections are cut in this layout."""

    bend_gap_mm: float = 10
    least_piece_mm: int = 150
    kerf_mm: int = 0
    slit: Slit = "free"
    joints: Joints = "auto"
    joint_overlap_mm: float = 50
    angle_tolerance_deg: float = 0.5
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class PipeSize:
    """A pipe of the layout's own, or the values that replace those of a shipped one."""

    outside_diameter_mm: float | None = None
    elbow_radius_mm: float | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Criterion:
    """What the thickness of a service is to achieve."""

    criterion: str
    limit: float | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Service:
    """What flows in a pipe and how the pipe is to be covered."""

    name: str = ""
    contents: str = ""
    fluid_c: float | None = None
    ambient_c: float | None = None
    relative_humidity: float | None = None
    setting: str = "indoors"
    covering: str | None = None
    thickness_mm: Thickness | None = None
    criteria: tuple[Criterion, ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight line drawn between two nodes."""

    start: str
    end: str
    service: str
    pipe: str
    measured_mm: int | None = None
    covered: bool = True
    covering: str | None = None
    thickness_mm: Thickness | None = None
    area: str = ""
    access: str = ""
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class FittingChoice:
    """What the user wants at one bend in place of what would be chosen."""

    mitres: int | None = None
    elbow_radius_mm: float | None = None
    cover: Literal["preformed"] | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Item:
    """Something in the line of a leg: its middle stands `at_mm` from the leg's start, along the drawn leg."""

    leg: str
    at_mm: int
    kind: ItemKind = "valve"
    length_mm: int | None = None
    covered: ItemCover = "jacket"
    clear_mm: int = 0
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Outline:
    """A wall, slab or piece of plant: a closed outline in x and y, between two levels (all levels when not given)."""

    kind: OutlineKind
    outline: tuple[tuple[int, int], ...]
    levels_mm: tuple[int, int] | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Layout:
    """One sheet. Its maps are read-only; a changed layout is a new one that shares what did not change."""

    title: str = ""
    revision: str = ""
    view: View = "plan"
    grid_mm: int = 100
    times: int = 1
    settings: Settings = Settings()
    pipes: Mapping[str, PipeSize] = field(default_factory=lambda: MappingProxyType({}))
    services: Mapping[str, Service] = field(default_factory=lambda: MappingProxyType({}))
    nodes: Mapping[str, Node] = field(default_factory=lambda: MappingProxyType({}))
    legs: Mapping[str, Leg] = field(default_factory=lambda: MappingProxyType({}))
    fittings: Mapping[str, FittingChoice] = field(default_factory=lambda: MappingProxyType({}))
    items: Mapping[str, Item] = field(default_factory=lambda: MappingProxyType({}))
    structure: Mapping[str, Outline] = field(default_factory=lambda: MappingProxyType({}))
    extra: Extra = ()
