"""The verb `estimate`: the main job."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from layoutest.cli.inputs import estimate_files, exit_status, json_option, layouts_argument, prices_option

if TYPE_CHECKING:
    from pathlib import Path


@click.command("estimate", epilog="Example: layoutest estimate plant-room.layout.json --prices my-prices")
@layouts_argument
@prices_option
@json_option
def command(layouts: tuple[str, ...], prices: Path | None, as_json: bool) -> int:  # noqa: FBT001
    """Estimate layouts: what to order, what it costs, and every snag.

    Several layouts are one job: they are packed together. A dash (-) reads a layout from standard input. The exit
    status is 1 while errors stand; the estimate then says NOT COMPLETE and leaves the totals open.
    """
    estimate = estimate_files(layouts, prices)
    if as_json:
        from layoutest.files.estimate_record import estimate_text

        click.echo(estimate_text(estimate), nl=False)
    else:
        from layoutest.documents.summary import summary_text

        click.echo(summary_text(estimate), nl=False)
    return exit_status(estimate)
