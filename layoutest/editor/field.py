"""A draft: the text of a field while it is typed, with its caret, what is marked, and an undo of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal
from unicodedata import category, combining

LONGEST = 1000
_WORD = re.compile(r"[\w.,]+|[^\w\s.,]+")

Moment = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Draft:
    """A text of one line. What lies between `anchor` and `caret` is marked; both count characters.

    `kept` is the value that the field had when the draft was begun; `composing` what an input method shows at the
    caret and has not committed; `from_px` how far a long text is scrolled. `step` is the kind of the last change:
    changes of one kind in a row are taken back together.
    """

    text: str
    kept: str
    caret: int
    anchor: int
    composing: str = ""
    from_px: float = 0.0
    past: tuple[Moment, ...] = ()
    future: tuple[Moment, ...] = ()
    step: Literal["", "type", "erase"] = ""

    @property
    def marked(self) -> tuple[int, int]:
        """From which character to which the text is marked; equal for none."""
        return min(self.caret, self.anchor), max(self.caret, self.anchor)

    @property
    def marked_text(self) -> str:
        """The characters that are marked."""
        low, high = self.marked
        return self.text[low:high]

    @property
    def is_edited(self) -> bool:
        """Whether anything was typed or erased."""
        return bool(self.past)


def draft_of(value: str, caret: int | None = None) -> Draft:
    """A draft of a value, all of it marked, or with the caret at a place."""
    if caret is None:
        return Draft(value, value, len(value), 0)
    return Draft(value, value, caret, caret)


def typed(draft: Draft, text: str, step: Literal["", "type"] = "type") -> Draft:
    """Put characters in place of what is marked; line ends become spaces, other controls are dropped."""
    spaced = re.sub(r"\s*[\r\n]+\s*", " ", text).replace("\t", " ")
    clean = "".join(char for char in spaced if category(char) not in ("Cc", "Cs"))
    low, high = draft.marked
    clean = clean[: max(LONGEST - len(draft.text) + high - low, 0)]
    if not clean:
        return replace(draft, composing="")
    # Typing over what is marked is a step of its own, so that it can be had back.
    return _changed(draft, draft.text[:low] + clean + draft.text[high:], low + len(clean), step if low == high else "")


def erased(draft: Draft, by: Literal[-1, 1], *, word: bool = False) -> Draft:
    """Erase what is marked, else the character or word before (-1) or behind (1) the caret."""
    low, high = draft.marked
    if low == high:
        low, high = sorted((draft.caret, _next_place(draft, by, word=word)))
    if low == high:
        return draft
    return _changed(draft, draft.text[:low] + draft.text[high:], low, "erase")


def moved(draft: Draft, to: int, *, marking: bool = False) -> Draft:
    """Move the caret to a place; while marking, the anchor stays."""
    to = min(max(to, 0), len(draft.text))
    return replace(draft, caret=to, anchor=draft.anchor if marking else to, step="")


def word_marked(draft: Draft, at: int) -> Draft:
    """Mark the word at a place, or what lies between two words."""
    low, high = 0, len(draft.text)
    for match in _WORD.finditer(draft.text):
        if match.start() <= at <= match.end():
            low, high = match.span()
            break
        low, high = (match.end(), high) if match.end() < at else (low, min(high, match.start()))
    return replace(draft, anchor=low, caret=high, step="")


def undone(draft: Draft) -> Draft:
    """Take back the last step."""
    if not draft.past:
        return draft
    text, caret, anchor = draft.past[-1]
    now = (draft.text, draft.caret, draft.anchor)
    future = (now, *draft.future)
    return replace(draft, text=text, caret=caret, anchor=anchor, past=draft.past[:-1], future=future, step="")


def redone(draft: Draft) -> Draft:
    """Do again what was taken back."""
    if not draft.future:
        return draft
    text, caret, anchor = draft.future[0]
    past = (*draft.past, (draft.text, draft.caret, draft.anchor))
    return replace(draft, text=text, caret=caret, anchor=anchor, past=past, future=draft.future[1:], step="")


def keyed(draft: Draft, key: str, mods: str) -> Draft | None:
    """What a key does to a draft, but for Enter, Escape, Tab and the clipboard; None where it does nothing.

    Undo and redo do nothing where the draft has none of its own: they belong to the window then.
    """
    held = set(mods.split("+"))
    command, marking = "ctrl" in held and "alt" not in held, "shift" in held
    if command and key in ("z", "y"):
        redo = key == "y" or marking
        return (redone(draft) if draft.future else None) if redo else (undone(draft) if draft.past else None)
    if command and key == "a":
        return replace(draft, anchor=0, caret=len(draft.text), step="")
    if key in ("left", "right"):
        return _stepped(draft, -1 if key == "left" else 1, marking=marking, word=bool(held & {"ctrl", "alt"}))
    if key in ("home", "end", "up", "down"):
        return moved(draft, 0 if key in ("home", "up") else len(draft.text), marking=marking)
    if key in ("backspace", "delete"):
        return erased(draft, -1 if key == "backspace" else 1, word=bool(held & {"ctrl", "alt"}))
    return None


def _stepped(draft: Draft, by: Literal[-1, 1], *, marking: bool, word: bool) -> Draft:
    low, high = draft.marked
    if low != high and not marking and not word:
        return moved(draft, low if by < 0 else high)
    return moved(draft, _next_place(draft, by, word=word), marking=marking)


def _next_place(draft: Draft, by: Literal[-1, 1], *, word: bool) -> int:
    text, at = draft.text, draft.caret
    if word and by < 0:
        return max((match.start() for match in _WORD.finditer(text) if match.start() < at), default=0)
    if word:
        return min((match.end() for match in _WORD.finditer(text) if match.end() > at), default=len(text))
    at = min(max(at + by, 0), len(text))
    # A letter and the accents that stand on it are one to the eye, and so to the caret.
    while 0 < at < len(text) and combining(text[at]):
        at += by
    return at


def _changed(draft: Draft, text: str, caret: int, step: Literal["", "type", "erase"]) -> Draft:
    past = draft.past
    if not step or step != draft.step:
        past = (*past, (draft.text, draft.caret, draft.anchor))
    return replace(draft, text=text, caret=caret, anchor=caret, composing="", past=past, future=(), step=step)
