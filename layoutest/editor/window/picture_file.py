"""A sitting painted into a file, without a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from layoutest.editor.begin import first_of
from layoutest.editor.events import Resized
from layoutest.editor.recording import read_events
from layoutest.editor.replay import opened, packed, replayed
from layoutest.editor.scene import Scenes
from layoutest.editor.window.paint import Painter
from layoutest.editor.window.type import Type
from layoutest.errors import LayoutestError, UnreadableError

if TYPE_CHECKING:
    from pathlib import Path

    from layoutest.book.records import PriceBook


def paint_sitting(
    book: PriceBook,
    layout: str | None,
    replay: Path | None,
    picture: Path,
    size: tuple[int, int],
    scale: float,
    theme: str,
) -> None:
    """Play a recording on a layout and paint the window as it is at the end.

    Args:
        book: the prices.
        layout: the file that is opened first; the sample room where there is none.
        replay: the recording; None to paint what is opened.
        picture: where the PNG is written.
        size: the window, in pixels.
        scale: the interface scale.
        theme: the look.

    Raises:
        UnreadableError: the layout or the recording cannot be read.
        LayoutestError: the picture cannot be written.
    """
    type_ = Type(scale)
    logical = size[0] / scale, size[1] / scale
    state = first_of(logical, book, type_.measure, theme=theme, scale=scale, sample=layout is None)
    events = list(read_events(_text(replay))) if replay else []
    if layout:
        first = opened(layout)
        if first.layout is None:
            raise UnreadableError(first.faults)
        events.insert(0, first)
    # The hand was at places of the window it had; the end is painted at the size that is asked for.
    events.append(Resized(*logical))
    state = packed(replayed(state, events))
    surface = pygame.Surface(size)
    Painter(surface, state.theme, type_).paint(Scenes()(state))
    try:
        pygame.image.save(surface, str(picture))
    except (OSError, pygame.error) as error:
        raise LayoutestError(f"{picture.name}: the picture cannot be written in '{picture.parent}': {error}") from error


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise UnreadableError((f"{path.name}: the file in '{path.parent}' cannot be read: {reason}",)) from None
