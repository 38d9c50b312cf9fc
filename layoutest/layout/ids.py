"""How ids are put in order: the numbers inside them compare as numbers, so l2 stands before l10."""

from __future__ import annotations

import re
from functools import lru_cache

_DIGITS = re.compile(r"([0-9]+)")

IdKey = tuple[tuple[str | int, ...], str]


@lru_cache(maxsize=1 << 17)
def natural_key(name: str) -> IdKey:
    """Return the sort key of an id; two different ids never have the same key."""
    parts = _DIGITS.split(name)
    return tuple(int(part) if place % 2 else part for place, part in enumerate(parts)), name
