"""The errors that reach a user, each with a message that says what, where and what to do."""

from __future__ import annotations


class LayoutestError(Exception):
    """What went wrong outside the program; its text is for the user and needs no traceback."""


class UnreadableError(LayoutestError):
    """A layout or price book that cannot be used; holds every fault found, one sentence each."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class UsageError(LayoutestError):
    """A command or a call that asks for something that cannot be done."""


class InternalError(LayoutestError):
    """The program found itself wrong: its own check of a plan failed."""
