"""What the state asks of the world outside, as frozen values; the window carries them out and answers with events."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from layoutest.layout.document import Layout
    from layoutest.pack.problem import Problem


class ChoosePath(NamedTuple):
    """Ask the user for a path to `open` or `save`; answered by PathChosen."""

    purpose: str
    start: str


class OpenLayout(NamedTuple):
    """Read a layout from a file; answered by LayoutOpened."""

    path: str


class SaveLayout(NamedTuple):
    """Write a layout to a file; answered by LayoutSaved."""

    path: str
    layout: Layout


class KeepInJournal(NamedTuple):
    """Keep what an action made, so that a crash loses nothing. `path` is the file it belongs to, empty for none yet."""

    path: str
    layout: Layout


class DropJournal(NamedTuple):
    """What is open needs no recovery any more: it was saved, or given up."""


class WriteClipboard(NamedTuple):
    """Put text on the system's clipboard."""

    text: str


class ReadClipboard(NamedTuple):
    """Read the system's clipboard; answered by ClipboardRead."""


class Pack(NamedTuple):
    """Pack these problems, the first first, in place of all asked before; answered by Packed, one by one."""

    problems: tuple[Problem, ...]


class RememberRecent(NamedTuple):
    """Put a path at the head of the recent files."""

    path: str


class KeepSettings(NamedTuple):
    """Keep how the window is to look next time."""

    theme: str
    scale: float


class Close(NamedTuple):
    """Close the window."""


Request = (
    ChoosePath
    | OpenLayout
    | SaveLayout
    | KeepInJournal
    | DropJournal
    | WriteClipboard
    | ReadClipboard
    | Pack
    | RememberRecent
    | KeepSettings
    | Close
)
