"""The page of a text document: its width, and paragraphs that fit it."""

from __future__ import annotations

from textwrap import wrap

WIDTH = 80


def paragraph(text: str, width: int = WIDTH) -> list[str]:
    """Break a text into lines at its spaces; a name with hyphens stays whole."""
    return wrap(text, width, break_on_hyphens=False)
