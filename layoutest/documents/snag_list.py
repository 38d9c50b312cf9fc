"""Snags as a person reads them: equal ones of one pipe and covering in one entry with all their places."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.documents.page import WIDTH, paragraph

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.layout.snags import Snag


def snag_list(snags: Sequence[Snag]) -> list[str]:
    """The lines of the list, the most important snag first."""
    if not snags:
        return ["No snags."]
    groups: dict[tuple[str, str], list[Snag]] = {}
    for snag in snags:
        groups.setdefault((snag.code, snag.group or snag.id), []).append(snag)
    return [line for group in groups.values() for line in _entry(group)]


def _entry(group: list[Snag]) -> list[str]:
    """One entry: each thing said once, with all its places, and then what to do."""
    first = group[0]
    head = f"{first.severity:8} {first.code}" + (f" ({first.group})" if first.group and first.where else "")
    said: dict[str, list[Snag]] = {}
    for snag in group:
        said.setdefault(snag.says, []).append(snag)
    text = [part for says, snags in said.items() for part in _said(says, snags)]
    text += dict.fromkeys(snag.do for snag in group)
    indent = " " * 9
    return [head, *(f"{indent}{line}" for part in text for line in paragraph(part, WIDTH - 2 - len(indent)))]


def _said(says: str, snags: list[Snag]) -> list[str]:
    places = list(dict.fromkeys(", ".join(snag.where) for snag in snags if snag.where))
    more = f" {len(snags)} places." if len(snags) > 1 else ""
    return [f"{says}{more}", *([f"At {'; '.join(places)}."] if places else [])]
