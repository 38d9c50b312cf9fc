"""The verb `cuts`: the cut sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from layoutest.cli.inputs import estimate_files, exit_status, json_option, layouts_argument, prices_option

if TYPE_CHECKING:
    from pathlib import Path


@click.command("cuts", epilog="Example: layoutest cuts plant-room.layout.json > cuts.txt")
@layouts_argument
@prices_option
@json_option
def command(layouts: tuple[str, ...], prices: Path | None, as_json: bool) -> int:  # noqa: FBT001
    """Print the cut sheet: one line a section, with the marks of every cut and where each piece goes."""
    estimate = estimate_files(layouts, prices)
    if as_json:
        from layoutest.files.estimate_record import json_lines, stock_record

        packing = [stock_record(stock, estimate.book.decimals) for stock in estimate.stocks]
        click.echo(json_lines({"format": "layoutest-cuts", "version": 1, "packing": packing}), nl=False)
    else:
        from layoutest.documents.cut_sheet import cut_sheet_text

        click.echo(cut_sheet_text(estimate), nl=False)
    return exit_status(estimate)
