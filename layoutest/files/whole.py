"""Writing a file so that it is at every moment either the old one or the new one, whole."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def write_whole(place: Path, data: bytes, *, like: Path) -> None:
    """Write data beside a place and move it there, with the permissions of another file where that exists.

    Raises:
        OSError: it cannot be written; what stood there is unchanged.
    """
    fresh = place.with_name(f".{place.name}.{secrets.token_hex(4)}.tmp")
    try:
        with fresh.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if like.exists():
            shutil.copymode(like, fresh)
        fresh.replace(place)
    except OSError:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
