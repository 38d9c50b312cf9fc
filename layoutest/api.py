"""The same for programs as the command gives: read a layout and prices, estimate, save."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from layoutest.book.reader import example_book_folder, read_book
from layoutest.files.layout_read import read_layout
from layoutest.files.layout_write import layout_text, save_layout
from layoutest.job import Estimate, Source, estimate_job
from layoutest.layout.document import Layout

if TYPE_CHECKING:
    from collections.abc import Sequence
    from os import PathLike

    from layoutest.book.records import PriceBook


def load(path: str | PathLike[str]) -> Layout:
    """Read a layout.

    Raises:
        UnreadableError: it cannot be read; every fault is told.
    """
    return read_layout(Path(path)).layout


def save(layout: Layout, path: str | PathLike[str]) -> None:
    """Write a layout; the file that was there stays beside it as a backup.

    Raises:
        LayoutestError: it cannot be written there.
    """
    save_layout(layout, Path(path))


def load_prices(folder: str | PathLike[str] | None = None) -> PriceBook:
    """Read a price book; without a folder, the invented example that is shipped.

    Raises:
        UnreadableError: it cannot be read; every fault is told.
    """
    return read_book(Path(folder) if folder is not None else example_book_folder())


def estimate(layouts: Layout | Sequence[Layout], prices: PriceBook) -> Estimate:
    """Estimate one layout, or several as one job.

    Raises:
        UsageError: the layouts differ in a setting that the layouts of one job have to share, or there is none.
    """
    several = [layouts] if isinstance(layouts, Layout) else list(layouts)
    return estimate_job([_source(number, layout) for number, layout in enumerate(several, start=1)], prices)


def _source(number: int, layout: Layout) -> Source:
    text = layout_text(layout)
    return Source(f"layout{number}", sha256(text.encode()).hexdigest(), layout)
