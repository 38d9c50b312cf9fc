"""Which of the look's tints and dashes stands for a service."""

from __future__ import annotations

from functools import lru_cache

CODES = ("HF", "HR", "HW", "HC", "CW", "CF", "CR")
OTHER = "OT"


@lru_cache(maxsize=256)
def code_of(service: str) -> str:
    """The code letters of a service by its id: the id itself, or what it begins with (HF2 is an HF), else OT."""
    upper = service.upper()
    return next((code for code in CODES if upper.startswith(code)), OTHER)
