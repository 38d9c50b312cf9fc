"""What can happen to the window, as frozen values: what the hand does, and what comes back from outside.

Places are logical pixels (px ÷ interface scale) from the window's upper left corner. `mods` is the held keys joined by
`+` in the order ctrl, alt, shift (Cmd counts as ctrl), empty for none. Keys go by name: `a`, `1`, `return`, `escape`,
`tab`, `space`, `backspace`, `delete`, `left`, `home`, `pageup`, `f1`, `,`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from layoutest.layout.document import Layout
    from layoutest.pack.problem import Plan


class PointerMoved(NamedTuple):
    """The pointer is at a new place."""

    x: float
    y: float
    mods: str = ""


class PointerPressed(NamedTuple):
    """A button went down: 1 left, 2 middle, 3 right; `clicks` counts quick presses at one place."""

    x: float
    y: float
    button: int = 1
    clicks: int = 1
    mods: str = ""


class PointerReleased(NamedTuple):
    """A button went up."""

    x: float
    y: float
    button: int = 1
    mods: str = ""


class PointerRested(NamedTuple):
    """The pointer stood still for the look's tooltip delay."""


class PointerLeft(NamedTuple):
    """The pointer left the window."""


class WheelTurned(NamedTuple):
    """The wheel turned; up and to the right are positive steps."""

    x: float
    y: float
    up: float = 0.0
    right: float = 0.0
    mods: str = ""


class KeyPressed(NamedTuple):
    """A key went down, or repeats."""

    key: str
    mods: str = ""


class KeyReleased(NamedTuple):
    """A key went up."""

    key: str


class TextTyped(NamedTuple):
    """Characters came from the keyboard or an input method."""

    text: str


class TextComposed(NamedTuple):
    """An input method shows what is not committed yet; empty when it is done."""

    text: str


class Resized(NamedTuple):
    """The window has another size, in logical pixels."""

    width: float
    height: float


class FileDropped(NamedTuple):
    """A file was dropped on the window."""

    path: str


class CloseAsked(NamedTuple):
    """The window's own close button, or the system, asks to close."""


class PathChosen(NamedTuple):
    """A path was chosen for what was asked (`open` or `save`); None when nothing was."""

    purpose: str
    path: str | None


class ChooserMissing(NamedTuple):
    """The system cannot show its file dialog for what was asked: the editor's own is to take its place."""

    purpose: str
    start: str
    says: str


class LayoutOpened(NamedTuple):
    """A file was read. `faults` says why it could not be; then the layout is None.

    `saved` is what stands in the file at `path` where the layout is one that was recovered, else None.
    """

    path: str
    layout: Layout | None
    faults: tuple[str, ...] = ()
    saved: Layout | None = None
    recovered: bool = False


class LayoutSaved(NamedTuple):
    """A layout was written to a file, or could not be (`fault`)."""

    path: str
    layout: Layout
    fault: str = ""


class ClipboardRead(NamedTuple):
    """What the system's clipboard holds."""

    text: str


class Packed(NamedTuple):
    """The worker packed a problem (`plan.problem`)."""

    plan: Plan


class WorkerFailed(NamedTuple):
    """The worker could not pack a stock."""

    stock: str
    says: str


class Told(NamedTuple):
    """Something outside went wrong that stops nothing: one sentence."""

    says: str


Event = (
    PointerMoved
    | PointerPressed
    | PointerReleased
    | PointerRested
    | PointerLeft
    | WheelTurned
    | KeyPressed
    | KeyReleased
    | TextTyped
    | TextComposed
    | Resized
    | FileDropped
    | CloseAsked
    | PathChosen
    | ChooserMissing
    | LayoutOpened
    | LayoutSaved
    | ClipboardRead
    | Packed
    | WorkerFailed
    | Told
)
