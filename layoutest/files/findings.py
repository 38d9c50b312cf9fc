"""Findings: the faults and warnings of one file, each with the path of its key."""

from __future__ import annotations

import difflib
import json
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

Path = tuple[str | int, ...]

_SHOWN = 40
_PLAIN_KEY = re.compile(r"[\w-]{1,60}")
# Near names are sought among so many names in one file, so that a file full of slips is still refused at once.
_COMPARISONS = 50_000
_LONGEST_NAME = 60


def quoted(text: str) -> str:
    """Return a user's text in single quotes, on one line and shortened when it is long."""
    short = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
    return "'" + "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in short) + "'"


def shown(value: object) -> str:
    """Return what stands in a file as a reader knows it: text in quotes, anything else as JSON, shortened."""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict | list) and len(value) > _SHOWN:
        return f"{'an object' if isinstance(value, dict) else 'a list'} of {len(value)}"
    text = json.dumps(value, ensure_ascii=True, separators=(", ", ": "))
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


def path_text(path: Path) -> str:
    """Return a path as `legs.l7.pipe` or `structure.w1.outline[2]`; keys that are not plain words are quoted."""
    parts = [
        f"[{key}]" if isinstance(key, int) else f".{key if _PLAIN_KEY.fullmatch(key) else quoted(key)}" for key in path
    ]
    return "".join(parts).removeprefix(".")


@dataclass(slots=True)
class Findings:
    """Gathers what is wrong (`faults`) and what is doubtful (`warnings`) in the file called `name`."""

    name: str
    faults: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    faulty: set[Path] = field(default_factory=set)
    _comparisons: int = _COMPARISONS

    def fault(self, path: Path, sentence: str) -> None:
        """Add a fault: the file will be refused."""
        self.faulty.add(path)
        self.faults.append(self._line(path, sentence))

    def warn(self, path: Path, sentence: str) -> None:
        """Add a warning: the file is read all the same."""
        self.warnings.append(self._line(path, sentence))

    def near(self, name: str, names: Collection[str]) -> tuple[str, ...]:
        """Return the names that look most like a name, the nearest first; none once the file had too many slips."""
        if len(name) > _LONGEST_NAME or len(names) > self._comparisons:
            return ()
        self._comparisons -= len(names)
        return tuple(difflib.get_close_matches(name, names, n=2))

    def near_text(self, name: str, names: Collection[str]) -> str:
        """Return `; near: 'n1', 'n2'`, or nothing where no name looks like it."""
        found = self.near(name, names)
        return "; near: " + ", ".join(map(quoted, found)) if found else ""

    def _line(self, path: Path, sentence: str) -> str:
        return ": ".join(part for part in (self.name, path_text(path), sentence) if part)
