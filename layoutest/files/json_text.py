"""JSON text: from the bytes of a file to values, with every oddity that the JSON reader of Python would let pass.

A key that stands twice, NaN, a number too large to hold and half a character are faults here, each with its path.
"""

from __future__ import annotations

import codecs
import json
import math
import re
from collections import Counter
from typing import TYPE_CHECKING, Any

from layoutest.files.findings import quoted

if TYPE_CHECKING:
    from layoutest.files.findings import Findings, Path

_LONGEST_INTEGER = 100
_EXCERPT = 20
_HALF_CHARACTER = re.compile(r"\\u[dD][89a-fA-F]")


class _Repeated(dict[str, Any]):
    """An object of the file in which keys stand more than once; the last one counts."""

    __slots__ = ("keys_again",)
    keys_again: tuple[str, ...]


class _Reader:
    """Makes the values of one text and notes whether any of them is odd, so that only odd files are walked."""

    def __init__(self, text: str) -> None:
        self.odd = _HALF_CHARACTER.search(text) is not None

    def mapping(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) == len(pairs):
            return made
        self.odd = True
        repeated = _Repeated(made)
        repeated.keys_again = tuple(key for key, times in Counter(key for key, _ in pairs).items() if times > 1)
        return repeated

    def integer(self, text: str) -> int | float:
        # Python takes quadratic time over endless digits, and refuses them from some length on.
        return int(text) if len(text) <= _LONGEST_INTEGER else self.number(text)

    def number(self, text: str) -> float:
        value = float(text)
        if not math.isfinite(value) or text.lstrip("-").isdecimal():
            self.odd = True
            return math.nan if math.isnan(value) else math.inf
        return value


def read_json(data: bytes, findings: Findings) -> Any:  # noqa: ANN401 - JSON may hold anything
    """Return the value that a file holds, or None after a fault that leaves nothing to read.

    Args:
        data: the bytes of the file, UTF-8 with or without a byte order mark.
        findings: takes the faults.
    """
    text = _decoded(data, findings)
    if text is None:
        return None
    reader = _Reader(text)
    try:
        value = json.loads(
            text,
            object_pairs_hook=reader.mapping,
            parse_int=reader.integer,
            parse_float=reader.number,
            parse_constant=reader.number,
        )
    except json.JSONDecodeError as error:
        findings.fault((), _broken(error))
        return None
    if reader.odd:
        _walk(value, (), findings)
    return value


def _decoded(data: bytes, findings: Findings) -> str | None:
    if not data.strip():
        findings.fault((), "the file is empty; expected a layout")
        return None
    try:
        return data.removeprefix(codecs.BOM_UTF8).decode()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        findings.fault((), f"line {line}: byte {data[error.start]:02X} stands where UTF-8 text was expected")
        return None


def _broken(error: json.JSONDecodeError) -> str:
    where = f"line {error.lineno}, column {error.colno}"
    rest = error.doc[error.pos :].lstrip()
    if not rest:
        return f"{where}: the text ends here; expected more: a bracket or a quote is not closed"
    excerpt = quoted(rest[:_EXCERPT])
    return f"{where}: {excerpt} cannot stand here in JSON; expected a comma, a quote, a bracket or a value"


def _walk(value: object, path: Path, findings: Findings) -> None:
    """Add a fault for each odd value below a path."""
    if isinstance(value, _Repeated):
        for key in value.keys_again:
            findings.fault((*path, key), "this key stands more than once; expected it once")
    if isinstance(value, dict):
        for key, below in value.items():
            _walk(key, (*path, key), findings)
            _walk(below, (*path, key), findings)
    elif isinstance(value, list):
        for place, below in enumerate(value):
            _walk(below, (*path, place), findings)
    elif isinstance(value, str) and not _is_whole_text(value):
        findings.fault(path, f"{quoted(value)} holds half a character (a lone surrogate); expected text")
    elif isinstance(value, float) and not math.isfinite(value):
        what = "NaN" if math.isnan(value) else "a number too large to use"
        findings.fault(path, f"{what} stands here; expected a number that can be counted with")


def _is_whole_text(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True
