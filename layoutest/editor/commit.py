"""From one state to the next: an edit that is done, undone or shown, and what it asks of the world outside."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.editor.requests import KeepInJournal, Pack
from layoutest.editor.state import derived, told, usual_depth_mm

if TYPE_CHECKING:
    from layoutest.editor.requests import Request
    from layoutest.editor.state import State
    from layoutest.layout.document import Layout

Outcome = tuple["State", tuple["Request", ...]]


def done(state: State, layout: Layout, name: str, *, picked: frozenset[str] | None = None) -> Outcome:
    """Make a layout the document, as one action that can be undone. Nothing happens where nothing changes.

    What the hand is at ends with it: that was begun on the layout before, and may hold on to what is gone.
    """
    history = state.history.do(layout, name)
    kept = replace(state, picked=state.picked if picked is None else picked, gesture=None)
    if history is state.history:
        return settled(kept)
    return _taken(replace(kept, history=history, sample=False, actions=state.actions + 1), name)


def undone(state: State) -> Outcome:
    """Take back the last action."""
    name = state.history.undo_name
    history = state.history.undo()
    if history is state.history:
        return replace(state, message="Nothing to undo."), ()
    return _taken(replace(state, history=history, gesture=None, actions=state.actions + 1), f"Undone: {name}")


def redone(state: State) -> Outcome:
    """Do again what was taken back."""
    name = state.history.redo_name
    history = state.history.redo()
    if history is state.history:
        return replace(state, message="Nothing to do again."), ()
    return _taken(replace(state, history=history, gesture=None, actions=state.actions + 1), f"Done again: {name}")


def ended(state: State) -> Outcome:
    """End what the hand is at; what was dragged is put back."""
    return settled(replace(state, gesture=None))


def settled(state: State) -> Outcome:
    """Show the document itself again, without what the hand would make of it."""
    if state.live is state.committed:
        return state, ()
    # What is shown is derived from what was shown: cheap, since both differ little.
    live, picture = derived(state, state.document)
    kept = told(replace(state, live=live, committed=live, picture=picture))
    return kept, packing(kept)


def _taken(state: State, message: str) -> Outcome:
    live, picture = derived(state, state.document)
    layout = state.document
    here = layout.legs.keys() | layout.items.keys() | layout.nodes.keys() | layout.structure.keys()
    picked = state.picked if state.picked <= here else frozenset(state.picked & here)
    kept = replace(
        state,
        live=live,
        picture=picture,
        committed=live,
        basis=state.committed,
        usual_depth_mm=usual_depth_mm(layout),
        picked=picked,
        message=message,
        hit=None,
    )
    return told(kept), (KeepInJournal(kept.path, layout), *packing(kept))


def packing(state: State) -> tuple[Request, ...]:
    """Ask for the exact plan of every stock that is packed quickly."""
    problems = state.live.problems_to_pack()
    return (Pack(problems),) if problems else ()
