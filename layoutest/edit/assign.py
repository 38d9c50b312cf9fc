"""Typing over what is drawn: what legs are made of, items, fittings, services and the sheet itself."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layoutest.edit.lengths import set_length, set_level
from layoutest.edit.tables import changed
from layoutest.layout.document import FittingChoice

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.layout.document import Layout, Service

__all__ = ["set_fitting", "set_item", "set_legs", "set_length", "set_level", "set_service_record", "set_sheet"]


def set_legs(layout: Layout, legs: Iterable[str], **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a leg
    """Change fields of legs: service, pipe, covered, covering, thickness_mm, measured_mm, area or access."""
    held = {name: layout.legs[name] for name in legs if name in layout.legs}
    return changed(layout, {"legs": {name: replace(leg, **fields) for name, leg in held.items()}})


def set_item(layout: Layout, item: str, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of an item
    """Change fields of an item."""
    return changed(layout, {"items": {item: replace(layout.items[item], **fields)}})


def set_fitting(layout: Layout, node: str, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a choice
    """Change what is wanted at a bend: mitres, elbow_radius_mm or cover; a choice that says nothing is taken away."""
    choice = replace(layout.fittings.get(node, FittingChoice()), **fields)
    if node not in layout.nodes or choice == FittingChoice():
        return changed(layout, gone={"fittings": {node}})
    return changed(layout, {"fittings": {node: choice}})


def set_service_record(layout: Layout, service: str, record: Service) -> Layout:
    """Put a service in, or another record in its place."""
    return changed(layout, {"services": {service: record}})


def set_sheet(layout: Layout, **fields: Any) -> Layout:  # noqa: ANN401 - the fields of a layout
    """Change the sheet: title, revision, view, grid_mm, times or settings."""
    same = all(getattr(layout, name) == value for name, value in fields.items())
    return layout if same else replace(layout, **fields)
