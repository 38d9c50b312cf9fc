"""Reading a layout: from the bytes of a file to the document, or all its faults at once."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from layoutest.errors import UnreadableError
from layoutest.files import layout_shape as shapes
from layoutest.files.expected import fragment_at
from layoutest.files.findings import Findings, shown
from layoutest.files.json_text import read_json
from layoutest.files.layout_keys import FORMAT, REQUIRED_TABLES, TABLES, VERSION
from layoutest.files.layout_rules import check_ids_differ, check_levels, check_names, check_references
from layoutest.files.record import add_faults, checked, extra_of, misfit, missing
from layoutest.layout.document import (
    Criterion,
    FittingChoice,
    Item,
    Layout,
    Leg,
    Node,
    Outline,
    PipeSize,
    Service,
    Settings,
)

if TYPE_CHECKING:
    import pathlib
    from collections.abc import Callable, Mapping

    from layoutest.files.findings import Path
    from layoutest.files.layout_rules import Table

K = TypeVar("K", str, int)
R = TypeVar("R")

LARGEST_BYTES = 50_000_000

_NODE: TypeAdapter[tuple[int, int, int]] = TypeAdapter(shapes.NodeShape, config={"defer_build": True})


@dataclass(frozen=True, slots=True)
class Reading:
    """A layout that was read, what is doubtful in its file, and the SHA-256 of its bytes in hexadecimal."""

    layout: Layout
    warnings: tuple[str, ...]
    sha256: str


def read_layout(path: pathlib.Path) -> Reading:
    """Return the layout in a file.

    Raises:
        UnreadableError: the file cannot be opened or is no layout; it holds every fault.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise UnreadableError((f"{path.name}: the file in '{path.parent}' cannot be read: {reason}",)) from None
    return parse_layout(data, path.name)


def parse_layout(data: bytes, name: str) -> Reading:
    """Return the layout that the bytes of a file hold.

    Args:
        data: UTF-8 JSON, at most 50 MB.
        name: the base name of the file; every fault and warning begins with it.

    Raises:
        UnreadableError: the bytes are no layout; it holds every fault.
    """
    findings = Findings(name)
    layout = None
    if len(data) > LARGEST_BYTES:
        findings.fault((), f"the file is larger than 50 MB; expected at most {LARGEST_BYTES:,} bytes")
    else:
        try:
            layout = _layout(read_json(data, findings), findings)
        except RecursionError:
            findings.fault((), "brackets stand in one another too deeply; expected a few levels")
    if layout is None or findings.faults:
        raise UnreadableError(tuple(findings.faults))
    return Reading(layout, tuple(findings.warnings), hashlib.sha256(data).hexdigest())


def _layout(raw: object, findings: Findings) -> Layout | None:
    """Return the layout, or None after a fault; faults in single records leave the others judged."""
    if not isinstance(raw, dict):
        if not findings.faults:
            findings.fault((), f"{shown(raw)} stands here; expected an object in braces")
        return None
    if not _is_ours(raw, findings):
        return None
    tables = {section: _table(raw, section, findings) for section in TABLES}
    sheet = checked(shapes.SheetShape, raw, (), findings)
    settings = _records({"settings": raw.get("settings", {})}, (), shapes.SettingsShape, Settings, findings)

    def records(section: str, shape: type[shapes.Shape], record: Callable[..., R]) -> Mapping[str, R]:
        return _records(tables[section] or {}, (section,), shape, record, findings)

    layout = Layout(
        **(sheet.__dict__ if sheet else {}),
        settings=settings.get("settings", Settings()),
        pipes=records("pipes", shapes.PipeShape, PipeSize),
        services=_services(tables["services"] or {}, findings),
        nodes=_nodes(tables["nodes"] or {}, findings),
        legs=records("legs", shapes.LegShape, Leg),
        fittings=records("fittings", shapes.FittingShape, FittingChoice),
        items=records("items", shapes.ItemShape, Item),
        structure=records("structure", shapes.OutlineShape, Outline),
        extra=extra_of(shapes.LayoutShape, raw, (), findings),
    )
    check_ids_differ(tables, findings)
    check_references(tables, findings)
    check_levels(layout.structure, findings)
    return layout


def _is_ours(raw: Table, findings: Findings) -> bool:
    """Judge format and version; nothing else can be said of a file that has others."""
    for key, own in (("format", FORMAT), ("version", VERSION)):
        if key not in raw:
            missing(key, raw, (), findings)
            return False
        value = raw[key]
        if isinstance(value, bool) or value != own:
            if key == "version" and _is_newer(value):
                says = f"this file was made by a newer version of the program: it says {shown(value)}"
                findings.fault((key,), f"{says}; expected {own} or less")
            else:
                misfit(value, (key,), findings)
            return False
    return True


def _is_newer(version: object) -> bool:
    return isinstance(version, int | float) and version > VERSION and float(version).is_integer()


def _table(raw: Table, section: str, findings: Findings) -> Table | None:
    """Return one table of the file as it stands, empty where it was left out, None after a fault."""
    if section not in raw:
        if section not in REQUIRED_TABLES:
            return {}
        missing(section, raw, (), findings)
        return None
    table = raw[section]
    if not isinstance(table, dict):
        misfit(table, (section,), findings)
        return None
    check_names(section, table, fragment_at((section,))["propertyNames"], findings)
    return table


def _records(
    table: Mapping[K, Any], path: Path, shape: type[shapes.Shape], record: Callable[..., R], findings: Findings
) -> Mapping[K, R]:
    """Return the records of one table that have no fault; those with one are left out."""
    made = {}
    for name, raw in table.items():
        here = (*path, name)
        values = checked(shape, raw, here, findings)
        if values is not None:
            made[name] = record(**values.__dict__, extra=extra_of(shape, raw, here, findings))
    return MappingProxyType(made)


def _services(table: Table, findings: Findings) -> Mapping[str, Service]:
    made = {}
    for name, service in _records(table, ("services",), shapes.ServiceShape, Service, findings).items():
        listed = dict(enumerate(table[name].get("criteria", ())))
        criteria = _records(listed, ("services", name, "criteria"), shapes.CriterionShape, Criterion, findings)
        made[name] = replace(service, criteria=tuple(criteria.values()))
    return MappingProxyType(made)


def _nodes(table: Table, findings: Findings) -> Mapping[str, Node]:
    made = {}
    for name, raw in table.items():
        try:
            made[name] = Node(*_NODE.validate_python(raw))
        except ValidationError as error:
            add_faults(error, raw, ("nodes", name), findings)
    return MappingProxyType(made)
