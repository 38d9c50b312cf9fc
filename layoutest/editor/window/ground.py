"""What the window stands on: the library that paints it, the settings it needs, and whether it is the right one."""

from __future__ import annotations

import os
import sys
from importlib import import_module

from layoutest.errors import UsageError

_DISTRIBUTION = "pygame-ce"


def prepare() -> None:
    """Load the window's library with the settings it needs; before anything else of the window is imported.

    Raises:
        UsageError: it is missing, or another distribution took its place.
    """
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
    os.environ.setdefault("SDL_WINDOWS_DPI_AWARENESS", "permonitorv2")
    if sys.platform.startswith("linux"):
        # Without a graphics card a flip takes a hundred times as long where this is on.
        os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    try:
        pygame = import_module("pygame")
    except ImportError as error:
        raise UsageError(f"The window needs {_DISTRIBUTION}, which cannot be loaded here: {error}.") from error
    if not getattr(pygame, "IS_CE", False):
        raise UsageError(
            f"The window needs {_DISTRIBUTION}, but the older distribution 'pygame' is installed in its place; "
            f"to mend it: pip uninstall pygame {_DISTRIBUTION}, then pip install {_DISTRIBUTION}."
        )
