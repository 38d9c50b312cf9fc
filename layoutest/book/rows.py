"""A CSV file of a price book: its rows as records, and every fault with the line it stands in."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from layoutest.book.values import shown
from layoutest.tables.near import near

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

T = TypeVar("T")
Line = tuple[int, list[str]]
Fault = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Table(Generic[T]):
    """What a file holds: its columns in order with the reader of each, and the record a row becomes.

    `key` names the columns that together may stand once only; `faults` tells what is wrong with a row whose cells are
    each right, as (column, sentence).
    """

    record: Callable[..., T]
    columns: Mapping[str, Callable[[Any], Any]]
    key: tuple[str, ...] = ()
    faults: Callable[[T], Iterator[Fault]] | None = None


def read_rows(table: Table[T], path: str, text: str, faults: list[str]) -> list[T]:
    """The records of a file, in its order. Faults are added to the list, and rows that have one are left out.

    Blank lines, rows of empty cells and lines that begin with # are passed over. A cell cannot hold a line break.
    """
    lines = _lines(path, text, faults)
    line, header = next(lines, (0, list[str]()))
    while header and not header[-1]:
        header.pop()
    if not header:
        faults.append(
            f"{path}: the first row with the names of the columns is missing; expected {','.join(table.columns)}"
        )
        return []
    told = list(_header_faults(table, header))
    if told:
        faults.extend(f"{path}:{line}: {sentence}" for sentence in told)
        return []
    records: list[T] = []
    seen: dict[tuple[object, ...], int] = {}
    for place, cells in _full(path, len(header), lines, faults):
        made, wrong = _record(table, dict(zip(header, cells, strict=True)), place, seen)
        faults.extend(f"{path}:{place}: {column}: {sentence}" for column, sentence in wrong)
        records.extend(made)
    return records


def _lines(path: str, text: str, faults: list[str]) -> Iterator[Line]:
    for place, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), start=1):
        if line.lstrip().startswith("#"):
            continue
        try:
            cells = [cell.strip() for row in csv.reader([line], strict=True) for cell in row]
        except csv.Error:
            faults.append(
                f'{path}:{place}: the quotes do not pair; expected " at both ends of a cell that holds a comma'
            )
            continue
        # A spreadsheet puts quotes round a comment that holds a comma, and commas in a blank line.
        if any(cells) and not cells[0].startswith("#"):
            yield place, cells


def _header_faults(table: Table[T], header: list[str]) -> Iterator[str]:
    if len(header) == 1 and len(table.columns) > 1:
        yield f"{shown(header[0])} is one column; expected {','.join(table.columns)}, with commas between them"
        return
    for place, name in enumerate(header):
        if name not in table.columns:
            yield f"no column is called {shown(name)}{near(name, table.columns)}"
        elif name in header[:place]:
            yield f"{name}: this column stands twice; keep one of the two"
    for name in table.columns:
        if name not in header:
            yield f"{name}: this column is missing; expected {','.join(table.columns)}"


def _full(path: str, width: int, lines: Iterator[Line], faults: list[str]) -> Iterator[Line]:
    for place, cells in lines:
        if len(cells) < width or any(cells[width:]):
            faults.append(f"{path}:{place}: the row has {len(cells)} cells; expected {width}, one for each column")
        else:
            yield place, cells[:width]


def _record(
    table: Table[T], cells: Mapping[str, str], place: int, seen: dict[tuple[object, ...], int]
) -> tuple[list[T], list[Fault]]:
    """The one record of a row, or none and what is wrong with it."""
    values: dict[str, object] = {}
    wrong: list[Fault] = []
    for name, read in table.columns.items():
        try:
            values[name] = read(cells[name])
        except ValueError as error:
            wrong.append((name, str(error)))
    if wrong:
        return [], wrong
    first = seen.setdefault(tuple(values[name] for name in table.key), place) if table.key else place
    if first != place:
        told = ", ".join(repr(cells[name]) for name in table.key)
        return [], [(", ".join(table.key), f"{told} already stands in line {first}; keep one of the two")]
    record = table.record(**values)
    wrong = list(table.faults(record)) if table.faults else []
    return ([] if wrong else [record]), wrong
