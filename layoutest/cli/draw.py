"""`layoutest draw`: the window; or a sitting played again and painted, without a screen."""

from __future__ import annotations

import os
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from typing import TextIO

    from layoutest.book.records import PriceBook

EPILOG = """Examples: layoutest draw plant-room.layout.json

layoutest draw plant-room.layout.json --replay sitting.events --picture room.png --size 1600x1000 --theme dark"""
SMALLEST_PX, LARGEST_PX = 320, 8000
PATH = click.Path(path_type=Path)


class _Size(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions alone
    """WIDTHxHEIGHT in pixels."""

    name = "WxH"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> tuple[int, int]:
        """Read a size."""
        if isinstance(value, tuple):
            return value
        width, _, height = str(value).lower().partition("x")
        if width.isascii() and height.isascii() and width.isdigit() and height.isdigit():
            size = int(width), int(height)
            if all(SMALLEST_PX <= side <= LARGEST_PX for side in size):
                return size
        expected = f"such as 1600x1000, each side {SMALLEST_PX} to {LARGEST_PX}"
        return self.fail(f"'{value}' is no size; expected {expected}", param, ctx)


@click.command("draw", epilog=EPILOG)
@click.argument("layout", required=False)
@click.option("--prices", metavar="DIR", type=PATH, help="The folder of the price book.")
@click.option("--record", metavar="EVENTS", type=PATH, help="Write everything that is done to a file.")
@click.option("--replay", metavar="EVENTS", type=PATH, help="Play a recording again, without a screen.")
@click.option("--picture", metavar="OUT.png", type=PATH, help="Paint the window into a file, without a screen.")
@click.option("--size", type=_Size(), default=(1600, 1000), help="Size of the picture; else 1600x1000.")
@click.option("--scale", type=click.FloatRange(1, 2), default=None, help="Interface scale, 1 to 2.")
@click.option("--theme", type=click.Choice(["light", "dark"]), default=None, help="The look.")
@click.option("--log", is_flag=True, help="Say on standard output what happens.")
def command(
    layout: str | None,
    prices: Path | None,
    record: Path | None,
    replay: Path | None,
    picture: Path | None,
    size: tuple[int, int],
    scale: float | None,
    theme: str | None,
    *,
    log: bool,
) -> None:
    """Open the window to draw a layout and see the sections fill.

    A LAYOUT that is not there yet is begun with an empty sheet. Without one the window shows a sample room at the
    first launch, and an empty sheet afterwards.
    """
    from layoutest.cli.inputs import book_of
    from layoutest.errors import UsageError

    if replay and not picture:
        raise UsageError("--replay needs --picture OUT.png: where the end of the sitting is painted.")
    book = book_of([layout] if layout else [], prices)
    if picture:
        _paint(book, layout, replay, picture, size, scale or 1.0, theme or "light")
        return
    _open(book, layout, record, scale, theme, log=log)


def _paint(
    book: PriceBook,
    layout: str | None,
    replay: Path | None,
    picture: Path,
    size: tuple[int, int],
    scale: float,
    theme: str,
) -> None:
    from layoutest.editor.window.ground import prepare

    prepare()
    from layoutest.editor.window.picture_file import paint_sitting

    paint_sitting(book, layout, replay, picture, size, scale, theme)


def _open(
    book: PriceBook, layout: str | None, record: Path | None, scale: float | None, theme: str | None, *, log: bool
) -> None:
    from platformdirs import user_config_path, user_state_path

    from layoutest.editor.begin import first_of
    from layoutest.editor.scene import Scenes
    from layoutest.editor.update import update
    from layoutest.editor.window.ground import prepare
    from layoutest.errors import UsageError

    prepare()
    from layoutest.editor.window.loop import Editor, run
    from layoutest.editor.window.outside import Places
    from layoutest.editor.window.settings import read_settings

    path = os.path.abspath(layout) if layout else ""  # noqa: PTH100 - Path.absolute keeps `..`
    if path and not Path(path).parent.is_dir():
        raise UsageError(f"There is no folder '{Path(path).parent}' to begin {Path(path).name} in.")
    places = Places(user_state_path("layoutest") / "journal", user_config_path("layoutest") / "window.json")
    kept = read_settings(places.settings)

    def first(width: float, height: float, measure: object) -> object:
        return first_of(
            (width, height),
            book,
            measure,  # type: ignore[arg-type]
            theme=theme or kept.theme,
            scale=scale or kept.scale,
            recent=kept.recent,
            sample=layout is None and not kept.recent,
            path="" if os.path.lexists(path) else path,
        )

    with ExitStack() as stack:
        recording = stack.enter_context(_written(record)) if record else None
        run(Editor(first, update, Scenes()), places, path, record=recording, log=sys.stdout if log else None)


def _written(record: Path) -> TextIO:
    from layoutest.errors import UsageError

    try:
        return record.open("w", encoding="utf-8")
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise UsageError(f"{record.name}: the recording cannot be written in '{record.parent}': {reason}") from error
