"""The clock of the window: for what rests, and what follows quickly."""

from __future__ import annotations

import time


def now_ms() -> int:
    """Milliseconds since some moment; only differences mean something."""
    # The window's library has a clock too, but it stands still unless all of the library is started.
    return time.monotonic_ns() // 1_000_000
