"""The shipped tables, read once and typed."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class ShippedPipe:
    """A pipe known by name. An elbow radius of 0 means a tight elbow; `source` is a key of `sources()`."""

    name: str
    outside_diameter_mm: float
    elbow_radius_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Source:
    """Where facts come from; `status` is FOUND when they were read there, MEMORY when nobody has checked them."""

    title: str
    edition: str
    publisher: str
    place: str
    rights: str
    status: str


@cache
def shipped_pipes() -> Mapping[str, ShippedPipe]:
    """The shipped pipes by name, in the order of the table.

    The elbow radii of `steel DN15` and up are those of long-radius elbows, to be checked against the fittings bought.
    Source: asme-b16-9.
    """
    with (_HERE / "pipes.csv").open(encoding="utf-8", newline="") as file:
        rows = [
            ShippedPipe(row["name"], float(row["outside_diameter_mm"]), float(row["elbow_radius_mm"]), row["source"])
            for row in csv.DictReader(file)
        ]
    return MappingProxyType({pipe.name: pipe for pipe in rows})


@cache
def sources() -> Mapping[str, Source]:
    """Every source by the key that tables and docstrings cite."""
    known = tomllib.loads((_HERE / "sources.toml").read_text(encoding="utf-8"))["sources"]
    return MappingProxyType({key: Source(**entry) for key, entry in known.items()})
