"""What an empty sheet begins with: the usual services, as starting values to be edited."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from layoutest.layout.document import Layout, Service

if TYPE_CHECKING:
    from layoutest.layout.document import View

# Temperatures and thicknesses are starting values: common practice, no source. The specification decides.
_USUAL = (
    ("HF", "Heating flow", 80, 20, 0.5, 40),
    ("HR", "Heating return", 60, 20, 0.5, 40),
    ("HW", "Hot water", 60, 20, 0.5, 30),
    ("HC", "Hot water circulation", 55, 20, 0.5, 30),
    ("CW", "Cold water", 10, 20, 0.7, 25),
    ("CF", "Chilled flow", 6, 25, 0.6, 40),
    ("CR", "Chilled return", 12, 25, 0.6, 40),
)


def usual_services(covering: str | None) -> dict[str, Service]:
    """The usual services by their code letters, covered with one covering."""
    return {
        code: Service(name, "water", fluid_c, ambient_c, humidity, covering=covering, thickness_mm=thickness_mm)
        for code, name, fluid_c, ambient_c, humidity, thickness_mm in _USUAL
    }


def empty_layout(view: View = "plan") -> Layout:
    """A sheet on which nothing is drawn; a service is added when the first leg of it is drawn."""
    return Layout(title="Untitled", view=view)


def with_service(layout: Layout, service: str, covering: str | None) -> Layout:
    """The layout with a usual service added, where it has none of that id; any other id stays unknown (a snag)."""
    usual = usual_services(covering).get(service)
    if service in layout.services or usual is None:
        return layout
    return replace(layout, services=MappingProxyType({**layout.services, service: usual}))
