"""What a layout file must hold to beyond the shape of each record: ids, references and the order of levels.

The tables are judged as they stand in the file, so that a fault in one record hides none in another.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from layoutest.files.findings import quoted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.files.findings import Findings
    from layoutest.layout.document import Outline

Table = dict[str, Any]


def check_names(section: str, table: Table, rule: Mapping[str, Any], findings: Findings) -> None:
    """Add a fault for each key of a table that breaks the rule that the schema has for them."""
    forbidden = re.compile(rule["not"]["pattern"])
    colon = " or ':'" if forbidden.search(":") else ""
    for name in table:
        if not rule["minLength"] <= len(name) <= rule["maxLength"] or forbidden.search(name):
            findings.fault(
                (section, name),
                f"{quoted(name)} cannot be a key here; expected {rule['minLength']} to {rule['maxLength']} characters, "
                f"none of them a control character{colon}",
            )


def check_ids_differ(tables: Mapping[str, Table | None], findings: Findings) -> None:
    """Add a fault for each id that is used in more than one of nodes, legs, items and structure."""
    used: dict[str, str] = {}
    for section in ("nodes", "legs", "items", "structure"):
        for name in tables[section] or ():
            first = used.setdefault(name, section)
            if first != section:
                findings.fault(
                    (section, name), f"the id {quoted(name)} is used under {first} too; expected an id of its own"
                )


def check_references(tables: Mapping[str, Table | None], findings: Findings) -> None:
    """Add a fault for each leg, fitting or item that names something the layout does not have.

    A table that is None could not be read: nothing is said of what refers to it.
    """
    nodes, legs = tables["nodes"], tables["legs"]
    if nodes is not None:
        _check_fields(tables, "legs", ("from", "to"), ("node", nodes), findings)
        for name in tables["fittings"] or ():
            if name not in nodes:
                findings.fault(("fittings", name), _no_such("node", name, nodes, findings))
    if legs is not None:
        _check_fields(tables, "items", ("leg",), ("leg", legs), findings)


def check_levels(structure: Mapping[str, Outline], findings: Findings) -> None:
    """Add a fault for each outline whose levels do not rise."""
    for name, outline in structure.items():
        if outline.levels_mm is not None and outline.levels_mm[0] >= outline.levels_mm[1]:
            findings.fault(
                ("structure", name, "levels_mm"),
                f"{list(outline.levels_mm)} stands here; expected two levels in mm, the lower first",
            )


def _check_fields(
    tables: Mapping[str, Table | None],
    section: str,
    keys: tuple[str, ...],
    target: tuple[str, Table],
    findings: Findings,
) -> None:
    kind, names = target
    for name, record in (tables[section] or {}).items():
        if isinstance(record, dict):
            for key in keys:
                value = record.get(key)
                if isinstance(value, str) and value not in names:
                    findings.fault((section, name, key), _no_such(kind, value, names, findings))


def _no_such(kind: str, name: str, names: Table, findings: Findings) -> str:
    return f"no {kind} is called {quoted(name)}{findings.near_text(name, names)}"
