"""Offering the names that a mistyped name may have meant."""

from __future__ import annotations

from difflib import SequenceMatcher
from itertools import takewhile
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

LEAST_LIKENESS = 0.6
LONGEST_NAME = 100


def near(name: str, known: Iterable[str]) -> str:
    """The end of a sentence about an unknown name: `; near: 'copper 22', 'copper 28'`, or nothing if none is near.

    At most two names are offered: the most alike, among equals the one with the longer beginning in common. A name
    longer than 100 characters is near nothing.
    """
    if len(name) > LONGEST_NAME:
        return ""
    likeness = {one: _likeness(name, one) for one in set(known)}
    alike = [one for one, ratio in likeness.items() if ratio >= LEAST_LIKENESS]
    alike.sort(key=lambda one: (-likeness[one], -_common(name, one), one))
    return "; near: " + ", ".join(repr(one) for one in alike[:2]) if alike else ""


def _likeness(name: str, other: str) -> float:
    matcher = SequenceMatcher(None, name.casefold(), other.casefold(), autojunk=False)
    # The quick ratio is never below the true one, and much cheaper.
    return matcher.ratio() if matcher.quick_ratio() >= LEAST_LIKENESS else 0.0


def _common(name: str, other: str) -> int:
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(name, other, strict=False)))
