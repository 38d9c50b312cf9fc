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
    first = group[0]
    places = list(dict.fromkeys(", ".join(snag.where) for snag in group if snag.where))
    more = f" {len(group)} places." if len(group) > 1 else ""
    head = f"{first.severity:8} {first.code}" + (f" ({first.group})" if first.group and first.where else "")
    indent = " " * 9
    text = [f"{first.says}{more}", *([f"At {'; '.join(places)}."] if places else []), first.do]
    return [head, *(f"{indent}{line}" for part in text for line in paragraph(part, WIDTH - 2 - len(indent)))]
