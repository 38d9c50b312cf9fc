"""The command `layoutest`: one file a verb, each loaded only when it is called."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Sequence

VERBS = {
    "estimate": "the main job: what to order, how it is cut, what it costs",
    "check": "the snags of a layout: what is wrong, where, what to do",
    "draw": "the window: draw a layout and see the sections fill",
    "cuts": "the cut sheet: one line a section",
    "compare": "two layouts or revisions side by side",
    "pack": "the packer alone, on a plain list of lengths",
    "demo": "write the demo layouts and the example prices to edit",
    "schema": "the JSON Schema of a layout",
}


class Verbs(click.Group):
    """Lists the verbs without loading them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """All verbs, the main job first."""
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one verb."""
        if cmd_name not in VERBS:
            return None
        command: click.Command = import_module(f"layoutest.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Print the verbs and what they do."""
        with formatter.section("Verbs"):
            formatter.write_dl(list(VERBS.items()))


@click.command(cls=Verbs, epilog="Example: layoutest estimate plant-room.layout.json")
@click.version_option(package_name="layoutest", message="layoutest %(version)s")
def layoutest() -> None:
    """From a drawn pipe layout to the sections to order, the cut of every piece and the price.

    Each verb has its own --help. Figures are an estimating aid: local codes, the specification and a licensed
    practitioner decide.
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command and end the process with 0 done, 1 done but errors stand, 2 bad input, 3 our own fault."""
    sys.exit(run(arguments))


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command; its exit status."""
    try:
        status = layoutest.main(arguments, standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Abort:
        return _tell("stopped", 130)
    except click.ClickException as error:
        error.show()
        return 2
    except BrokenPipeError:
        # Whoever read our output has heard enough; what is still buffered must not raise again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:  # noqa: BLE001 - the last line of defence: a user never sees a traceback
        return _tell(*_told(error))
    return status if isinstance(status, int) else 0


def _told(error: Exception) -> tuple[str, int]:
    from layoutest.errors import InternalError, LayoutestError

    if isinstance(error, LayoutestError) and not isinstance(error, InternalError):
        return str(error), 2
    if os.environ.get("LAYOUTEST_TRACE"):
        raise error
    kind = "" if isinstance(error, InternalError) else f"{type(error).__name__}: "
    return f"internal error, please report it with the layout: {kind}{error}\n(LAYOUTEST_TRACE=1 shows where)", 3


def _tell(message: str, status: int) -> int:
    click.echo(message, err=True)
    return status
