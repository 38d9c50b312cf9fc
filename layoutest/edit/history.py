"""Undo without limit, by keeping what was: a chain of values that share whatever did not change."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

Value = TypeVar("Value")


class Link(NamedTuple, Generic[Value]):
    """A value left behind, the name of the action that lies between it and the next, and what was left before."""

    value: Value
    name: str
    rest: Link[Value] | None


# Compared by identity and shown without its chain: both would go down the chain, however long it is.
@dataclass(frozen=True, slots=True, eq=False)
class History(Generic[Value]):
    """The present value, with what can be undone and done again. Every step costs the same, however many there are."""

    now: Value
    past: Link[Value] | None = field(default=None, repr=False)
    future: Link[Value] | None = field(default=None, repr=False)

    @property
    def undo_name(self) -> str:
        """The action that undo would take back; empty when there is none."""
        return self.past.name if self.past else ""

    @property
    def redo_name(self) -> str:
        """The action that redo would do again; empty when there is none."""
        return self.future.name if self.future else ""

    def do(self, value: Value, name: str) -> History[Value]:
        """Make a value the present one; nothing can be done again after that. An equal value adds nothing."""
        if value is self.now or value == self.now:
            return self
        return History(value, Link(self.now, name, self.past))

    def undo(self) -> History[Value]:
        """Go back one action; at the start nothing happens."""
        if self.past is None:
            return self
        return History(self.past.value, self.past.rest, Link(self.now, self.past.name, self.future))

    def redo(self) -> History[Value]:
        """Do the action again that was undone last; when there is none nothing happens."""
        if self.future is None:
            return self
        return History(self.future.value, Link(self.now, self.future.name, self.past), self.future.rest)
