"""What several verbs begin with: reading layouts and prices, telling what is doubtful, showing progress."""

from __future__ import annotations

import gc
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layoutest.book.records import PriceBook
    from layoutest.job import Estimate, Source

STANDARD_INPUT = "-"

layouts_argument = click.argument("layouts", metavar="LAYOUT...", nargs=-1, required=True)
prices_option = click.option(
    "--prices",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="The folder of the price book; else prices/ beside the layout, else the shipped invented example.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for scripts.")


def estimate_files(layouts: Sequence[str], prices: Path | None) -> Estimate:
    """Read layouts and prices and estimate them as one job.

    Raises:
        LayoutestError: something cannot be read, or the layouts do not go together.
    """
    from layoutest.job import estimate_job

    with _collector_paused(), _progress() as told:
        sources, book = _read_all(layouts, prices)
        return estimate_job(sources, book, told)


def estimate_each(layouts: Sequence[str], prices: Path | None) -> list[Estimate]:
    """Read layouts and prices and estimate each layout on its own.

    Raises:
        LayoutestError: something cannot be read.
    """
    from layoutest.job import estimate_job

    with _collector_paused(), _progress() as told:
        sources, book = _read_all(layouts, prices)
        return [estimate_job([source], book, told) for source in sources]


def _read_all(layouts: Sequence[str], prices: Path | None) -> tuple[list[Source], PriceBook]:
    """Everything a job is made from, or all that is wrong with any of it."""
    from layoutest.errors import UnreadableError, UsageError

    if layouts.count(STANDARD_INPUT) > 1:
        raise UsageError("Standard input (-) can be read only once; give the other layouts as files.")
    faults: list[str] = []
    sources: list[Source] = []
    for name in layouts:
        try:
            sources.append(_read(name))
        except UnreadableError as error:
            faults += error.faults
    book: PriceBook | None = None
    try:
        book = book_of(layouts, prices)
    except UnreadableError as error:
        faults += error.faults
    if faults or book is None:
        raise UnreadableError(tuple(faults))
    return sources, book


def _read(name: str) -> Source:
    from layoutest.files.layout_read import LARGEST_BYTES, parse_layout, read_layout
    from layoutest.job import Source

    if name == STANDARD_INPUT:
        reading = parse_layout(sys.stdin.buffer.read(LARGEST_BYTES + 1), "standard input")
    else:
        reading = read_layout(Path(name))
    for warning in reading.warnings:
        click.echo(f"warning: {warning}", err=True)
    file = "standard input" if name == STANDARD_INPUT else Path(name).name
    return Source(file, reading.sha256, reading.layout)


def book_of(layouts: Sequence[str], prices: Path | None) -> PriceBook:
    """The price book: the one that is given, else the one beside the layouts, else the shipped invented example."""
    from layoutest.book.reader import example_book_folder, read_book

    beside = [Path(name).parent / "prices" for name in layouts if name != STANDARD_INPUT]
    folder = prices or next((place for place in beside if (place / "book.toml").is_file()), example_book_folder())
    book = read_book(folder)
    if prices is None:
        shipped = "the shipped invented example" if folder == example_book_folder() else str(folder)
        click.echo(f"prices: {shipped}", err=True)
    return book


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Keep the garbage collector from walking over records that all live until the end: a third of the time."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


@contextmanager
def _progress() -> Iterator[Callable[[str, int, int], None]]:
    """Progress on standard error, where that is a terminal; otherwise silence."""
    if not sys.stderr.isatty():
        yield lambda *_: None
        return
    from rich.console import Console

    with Console(stderr=True).status("reading") as status:
        yield lambda what, done, total: status.update(f"{what} ({done + 1} of {total})")


def exit_status(estimate: Estimate) -> int:
    """1 while a snag of severity error stands, else 0."""
    return int(any(snag.severity == "error" for snag in estimate.snags))
