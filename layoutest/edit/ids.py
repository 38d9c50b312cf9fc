"""Fresh ids: a letter and the number after the largest in use."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layoutest.layout.document import Layout


def next_id(layout: Layout, prefix: str) -> str:
    """The id after the largest in use: `l12` where the legs go up to `l11`. No node, leg, item or outline has it.

    Args:
        layout: where it must be unused.
        prefix: `n` for nodes, `l` for legs, `v` for items, `w` for outlines.
    """
    return next(fresh_ids(layout, prefix))


def fresh_ids(layout: Layout, prefix: str) -> Iterator[str]:
    """One id after another that is in use nowhere, as `next_id` gives them."""
    tables = {"n": layout.nodes, "l": layout.legs, "v": layout.items, "w": layout.structure}
    number = _largest(tables[prefix], prefix)
    while True:
        number += 1
        name = f"{prefix}{number}"
        if not any(name in table for table in tables.values()):
            yield name


def _largest(names: Iterable[str], prefix: str) -> int:
    # One search through one text is several times quicker than a look at each name, and drawing waits for it.
    listed = list(names)
    text = "\n".join(listed)
    for digits in (len(str(len(listed))), 1):
        # As many digits as there are names come first: shorter numbers are smaller, and mostly need no look.
        found = re.findall(rf"^{prefix}([1-9][0-9]{{{digits - 1},14}})$", text, re.MULTILINE)
        if found:
            return max(map(int, found))
    return 0
