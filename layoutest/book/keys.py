"""A TOML table of a price book: its keys as values, and every fault with the path of its key."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING, Any

from layoutest.book.values import shown
from layoutest.tables.near import near

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping


def read_toml(path: str, text: str, faults: list[str]) -> dict[str, Any] | None:
    """The whole file as plain values, None and a fault where it is not TOML."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        faults.append(f"{path}: the lists or tables stand too deep in one another; expected a list of pairs at most")
    except ValueError as error:  # also a number of thousands of digits
        faults.append(f"{path}: this is not TOML: {error}")
    return None


def read_keys(
    keys: Mapping[str, Callable[[Any], Any]],
    path: str,
    table: Mapping[str, object],
    faults: list[str],
    optional: Collection[str] = (),
) -> dict[str, Any]:
    """The values of a table by key; what is optional and not there is None. Faults are added to the list.

    `path` is what stands before a key in a message: the file, and the table's own path with a point.
    """
    unknown = [name for name in table if name not in keys]
    faults.extend(f"{path}{quoted(name)}: no key is called {shown(name)}{near(name, keys)}" for name in unknown)
    values = {}
    for name, read in keys.items():
        if name not in table and name not in optional:
            faults.append(f"{path}{name}: this key is missing")
        try:
            values[name] = read(table[name]) if name in table else None
        except ValueError as error:
            faults.append(f"{path}{name}: {error}")
    return values


def quoted(name: str) -> str:
    """A key as it stands in a path, in quotes where TOML wants them."""
    return name if re.fullmatch("[A-Za-z0-9_-]+", name) else shown(name)
