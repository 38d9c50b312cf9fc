"""What a window begins with: the sample room at a first launch, else an empty sheet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import PurePath
from typing import TYPE_CHECKING

from layoutest.edit.start import empty_layout
from layoutest.editor.commands import pen_of
from layoutest.editor.state import first_state
from layoutest.files.layout_read import read_layout
from layoutest.tables.shipped import demo_folder

if TYPE_CHECKING:
    from layoutest.book.records import PriceBook
    from layoutest.editor.picture import Measure
    from layoutest.editor.state import State

SAMPLE = "plant-room.layout.json"


def first_of(
    size: tuple[float, float],
    book: PriceBook,
    measure: Measure,
    *,
    theme: str = "light",
    scale: float = 1.0,
    recent: tuple[str, ...] = (),
    sample: bool = False,
    path: str = "",
) -> State:
    """The first state of a window of a size in logical pixels; with `sample` the sample room and three hints.

    A `path` is that of a file that is not there yet: it is begun with an empty sheet, and saving writes it.
    """
    layout = read_layout(demo_folder() / SAMPLE).layout if sample else empty_layout()
    if path:
        layout = replace(layout, title=PurePath(path).name.removesuffix(".json").removesuffix(".layout"))
    look = {"theme": theme, "scale": scale, "recent": recent}
    return first_state(*size, book, measure, layout, pen_of(layout), path=path, sample=sample, begun=bool(path), **look)  # type: ignore[arg-type]
