"""Which legs hang at which node."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.layout.document import Layout, Leg

LegsAt = dict[str, list[str]]


class _Same:
    """A table, equal to itself alone: what was made of it can be found again without a look into it."""

    __slots__ = ("legs",)

    def __init__(self, legs: Mapping[str, Leg]) -> None:
        self.legs = legs

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.legs is other.legs

    def __hash__(self) -> int:
        return id(self.legs)


def legs_by_node(layout: Layout) -> LegsAt:
    """The legs at each node that has any; to be read only. While a leg is dragged it is made once."""
    return _by_node(_Same(layout.legs))


@lru_cache(maxsize=2)
def _by_node(table: _Same) -> LegsAt:
    found: LegsAt = {}
    for name, leg in table.legs.items():
        found.setdefault(leg.start, []).append(name)
        found.setdefault(leg.end, []).append(name)
    return found


def other_end(leg: Leg, node: str) -> str:
    """The end of a leg that is not this one."""
    return leg.end if node == leg.start else leg.start
