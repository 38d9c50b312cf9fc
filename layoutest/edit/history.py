"""Undo without limit, by keeping what was: a chain of values that share whatever did not change."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Generic, NamedTuple, TypeVar

Value = TypeVar("Value")


class Link(NamedTuple):
    """A value left behind, the name of the action that left it, and what was left before."""

    value: object
    name: str
    rest: Link | None


@dataclass(frozen=True, slots=True)
class History(Generic[Value]):
    """The present value, with what can be undone and done again. Every step costs the same, however many there are."""

    now: Value
    past: Link | None = None
    future: Link | None = None

    @property
    def undo_name(self) -> str:
        """The action that undo would take back; empty when there is none."""
        return self.past.name if self.past else ""

    @property
    def redo_name(self) -> str:
        """The action that redo would do again; empty when there is none."""
        return self.future.name if self.future else ""

    def do(self, value: Value, name: str) -> History[Value]:
        """Make a value the present one. A value that is the present one adds nothing."""
        if value is self.now or value == self.now:
            return self
        return History(value, Link(self.now, name, self.past), None)

    def undo(self) -> History[Value]:
        """Go back one action; at the start nothing happens."""
        if self.past is None:
            return self
        value, name, rest = self.past
        return replace(self, now=value, past=rest, future=Link(self.now, name, self.future))  # type: ignore[arg-type]

    def redo(self) -> History[Value]:
        """Do the action again that was undone last; when there is none nothing happens."""
        if self.future is None:
            return self
        value, name, rest = self.future
        return replace(self, now=value, past=Link(self.now, name, self.past), future=rest)  # type: ignore[arg-type]
