"""The verb `check`: the snags of a layout."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from layoutest.cli.inputs import estimate_files, exit_status, json_option, layouts_argument, prices_option

if TYPE_CHECKING:
    from pathlib import Path


@click.command("check", epilog="Example: layoutest check plant-room.layout.json")
@layouts_argument
@prices_option
@json_option
def command(layouts: tuple[str, ...], prices: Path | None, as_json: bool) -> int:  # noqa: FBT001
    """Tell what is wrong or doubtful in layouts: where it is, and what to do.

    Errors stop an estimate from being complete, warnings may cost something, notes are good to know. The exit status
    is 1 while errors stand.
    """
    estimate = estimate_files(layouts, prices)
    if as_json:
        from layoutest.files.estimate_record import json_lines, snag_record

        snags = [snag_record(snag) for snag in estimate.snags]
        click.echo(json_lines({"format": "layoutest-snags", "version": 1, "snags": snags}), nl=False)
    else:
        from layoutest.documents.snag_list import snag_list

        click.echo("\n".join(snag_list(estimate.snags)))
    return exit_status(estimate)
