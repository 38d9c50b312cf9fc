"""Fresh ids: a letter and the number after the largest in use."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.layout.document import Layout


def fresh_ids(layout: Layout, prefix: str) -> Iterator[str]:
    """Ids that no node, leg, item or outline has: `l12`, `l13`, … after the largest number behind this prefix."""
    numbered = re.compile(re.escape(prefix) + r"([0-9]{1,15})")
    largest = 0
    for table in (layout.nodes, layout.legs, layout.items, layout.structure):
        for name in table:
            if name.startswith(prefix) and (found := numbered.fullmatch(name)):
                largest = max(largest, int(found[1]))
    while True:
        largest += 1
        yield f"{prefix}{largest}"
