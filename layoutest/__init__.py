"""From a drawn pipe layout to the sections to order, the cut of every piece and the price."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutest.api import estimate, load, load_prices, save

__all__ = ["estimate", "load", "load_prices", "save"]


def __getattr__(name: str) -> object:
    """Import what is asked for, and no sooner: the heavy libraries behind it take longer than a short verb."""
    if name in __all__:
        from layoutest import api

        return getattr(api, name)
    message = f"module 'layoutest' has no attribute '{name}'"
    raise AttributeError(message)
