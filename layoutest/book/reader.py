"""Reading a folder of prices into a price book, telling everything that is wrong with it at once."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from layoutest.book import contents
from layoutest.book.keys import quoted, read_keys, read_toml
from layoutest.book.records import Covering, PriceBook
from layoutest.book.rows import Table, read_rows
from layoutest.book.values import shown
from layoutest.errors import UnreadableError
from layoutest.tables.shipped import demo_folder

if TYPE_CHECKING:
    from pathlib import Path
    from typing import Any

T = TypeVar("T")

LARGEST_FILE_BYTES = 50_000_000


def example_book_folder() -> Path:
    """The folder of the invented example price book that ships with the package."""
    return demo_folder() / "prices"


def read_book(folder: Path) -> PriceBook:
    """Read a price book.

    Args:
        folder: the folder that holds book.toml, coverings.toml, sections.csv, sundries.csv, labour.csv, access.csv and
            items.csv, and if wanted extras.csv and stock.csv; other files in it are left alone.

    Raises:
        UnreadableError: something in it cannot be used; every fault is told, each with its file and line or key.
    """
    if not folder.is_dir():
        names = ", ".join(contents.PURPOSES)
        raise UnreadableError((f"{folder}: there is no such folder; a price book is a folder with {names}",))
    faults: list[str] = []
    texts = {name: _text(folder, name, faults) for name in contents.PURPOSES}
    settings = _settings(folder, texts["book.toml"], faults)
    coverings = _coverings(folder, texts["coverings.toml"], faults)

    def rows(name: str, table: Table[T]) -> tuple[T, ...]:
        text = texts[name]
        return () if text is None else tuple(read_rows(table, str(folder / name), text, faults))

    sections = rows("sections.csv", contents.sections(coverings))
    parts: dict[str, Any] = {
        "sections": MappingProxyType({(row.covering, row.bore_mm, row.thickness_mm): row for row in sections}),
        "sundries": rows("sundries.csv", contents.SUNDRIES),
        "labour": rows("labour.csv", contents.LABOUR),
        "access": MappingProxyType(dict(rows("access.csv", contents.ACCESS))),
        "items": rows("items.csv", contents.ITEMS),
        "extras": rows("extras.csv", contents.EXTRAS),
        "stock": tuple(row for row in rows("stock.csv", contents.stock(coverings)) if row.count),
    }
    if faults:
        raise UnreadableError(tuple(faults))
    known = MappingProxyType({name: covering for name, covering in (coverings or {}).items() if covering})
    return PriceBook(folder=str(folder), **settings, coverings=known, **parts)


def _text(folder: Path, name: str, faults: list[str]) -> str | None:
    path = folder / name
    if not path.is_file():
        if name not in contents.OPTIONAL or path.exists():
            faults.append(f"{path}: there is no such file; it holds {contents.PURPOSES[name]}")
        return None
    try:
        size = path.stat().st_size
        if size > LARGEST_FILE_BYTES:
            faults.append(
                f"{path}: the file has {size / 1e6:.0f} MB; expected at most {LARGEST_FILE_BYTES // 10**6} MB"
            )
            return None
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        faults.append(f"{path}: this is not UTF-8 text (byte {error.start + 1}); save the file again as UTF-8")
    except OSError as error:
        faults.append(f"{path}: the file cannot be read: {error.strerror}")
    return None


def _settings(folder: Path, text: str | None, faults: list[str]) -> dict[str, Any]:
    path = str(folder / "book.toml")
    table = None if text is None else read_toml(path, text, faults)
    return {} if table is None else read_keys(contents.BOOK, f"{path}: ", table, faults, contents.BOOK_OPTIONAL)


def _coverings(folder: Path, text: str | None, faults: list[str]) -> dict[str, Covering | None] | None:
    """The coverings by name, None for one with a fault, so that its sections are not told as unknown as well."""
    path = str(folder / "coverings.toml")
    tables = None if text is None else read_toml(path, text, faults)
    if not tables:
        if tables is not None:
            faults.append(f"{path}: no covering stands here; expected a table for each, such as [stone-wool-foil]")
        return None
    found: dict[str, Covering | None] = {}
    for name, table in tables.items():
        before, found[name] = len(faults), None
        if not isinstance(table, dict):
            faults.append(f"{path}: {quoted(name)}: {shown(table)} stands here; expected a table [{quoted(name)}]")
            continue
        entry = read_keys(contents.COVERING, f"{path}: {quoted(name)}.", table, faults)
        if len(faults) == before:
            found[name] = Covering(name, **entry)
    return found
