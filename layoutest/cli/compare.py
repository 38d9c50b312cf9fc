"""The verb `compare`: two layouts or revisions side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from layoutest.cli.inputs import estimate_each, exit_status, json_option, prices_option

if TYPE_CHECKING:
    from pathlib import Path


@click.command("compare", epilog="Example: layoutest compare revision-a.layout.json revision-b.layout.json")
@click.argument("first", metavar="A")
@click.argument("second", metavar="B")
@prices_option
@json_option
def command(first: str, second: str, prices: Path | None, as_json: bool) -> int:  # noqa: FBT001
    """Compare two layouts or two revisions of one: counts, cost by cause and totals, and the difference.

    Each is estimated on its own, with the same price book.
    """
    from layoutest.compare import compare
    from layoutest.documents.comparison import comparison_record, comparison_text

    one, two = estimate_each((first, second), prices)
    comparison = compare(one, two)
    if as_json:
        from layoutest.files.estimate_record import json_lines

        click.echo(json_lines(comparison_record(comparison)), nl=False)
    else:
        click.echo(comparison_text(comparison), nl=False)
    return max(exit_status(one), exit_status(two))
