"""The journal of a running window: what a crash or a power cut must not lose.

Every completed action is on the disk before the next one begins. Each window keeps one file of its own in a folder and
holds the system's lock on it while it runs. A process that ends, however it ends, lets go of its lock; so a journal
that can be locked belongs to a window that is gone.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from layoutest.errors import LayoutestError
from layoutest.files.journal_lines import Head, change_text, head_text, read_contents, replayed, sealed

if TYPE_CHECKING:
    from io import FileIO

    from layoutest.layout.document import Layout

SUFFIX = ".journal"
# A journal starts anew when its actions take more room than this, and than four times the layout it began with.
ROOM_BYTES = 4_000_000

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30

    def _lock(stream: FileIO, *, mine: bool) -> None:
        # The system forbids reading what is locked, so a byte far behind the end is.
        stream.seek(_FAR)
        msvcrt.locking(stream.fileno(), msvcrt.LK_LOCK if mine else msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(stream: FileIO, *, mine: bool) -> None:
        # Two windows may look at an orphan at once; only its own window keeps others away.
        fcntl.flock(stream, fcntl.LOCK_EX if mine else fcntl.LOCK_SH | fcntl.LOCK_NB)


class Recovery(NamedTuple):
    """The journal of a window that no longer runs.

    `path` is the file it belongs to (empty: none yet) and `sha256` what that held when the journal began. `edited`
    says whether it holds anything that was not in the file then.
    """

    journal: Path
    path: str
    sha256: str
    edited: bool


class Journal:
    """The journal of one running window, from `start` to `drop` or `leave`."""

    def __init__(self, folder: Path, head: Head, layout: Layout) -> None:
        self._folder, self._head, self._kept = folder, head, layout
        self._place = folder / f"{secrets.token_hex(8)}{SUFFIX}"
        self._seal, line = sealed("", head_text(head, layout))
        self._stream = self._place.open("xb", buffering=0)
        try:
            _lock(self._stream, mine=True)
            _write(self._stream, 0, line)
            _settle(folder)
        except (OSError, ValueError):
            self.drop()
            raise
        self._head_bytes = self._bytes = len(line)

    @classmethod
    def start(cls, folder: Path, path: str, layout: Layout, *, edited: bool = False) -> Journal:
        """Begin a journal with a whole layout.

        Args:
            folder: where journals are kept; it is made if need be.
            path: the file the layout belongs to, empty when it is in none.
            layout: what the first action will change.
            edited: whether the layout holds anything that is not in the file.

        Raises:
            LayoutestError: there cannot be a journal; nothing is left behind.
        """
        place = os.path.abspath(path) if path else ""  # noqa: PTH100 - Path.absolute keeps `..`
        try:
            folder.mkdir(parents=True, exist_ok=True)
            return cls(folder, Head(place, _sha256(place), edited, ""), layout)
        except (OSError, ValueError) as error:
            raise _refused(folder, error) from error

    def keep(self, layout: Layout) -> None:
        """Write what differs from the layout kept last; when it returns, that is on the disk.

        Raises:
            LayoutestError: it could not be written. What was kept before still is, and the next call tries again.
        """
        try:
            change = change_text(self._kept, layout)
            if change:
                seal, line = sealed(self._seal, change)
                # At the end of the last whole line: what a failed attempt left is written over.
                _write(self._stream, self._bytes, line)
                self._seal, self._bytes = seal, self._bytes + len(line)
        except (OSError, ValueError) as error:
            raise _refused(self._folder, error) from error
        self._kept = layout
        if self._bytes - self._head_bytes > max(ROOM_BYTES, 4 * self._head_bytes):
            self._start_anew()

    def drop(self) -> None:
        """End the journal: nothing of it is needed any more."""
        # Where an open file can be removed, nobody ever sees it unlocked.
        with suppress(OSError):
            self._place.unlink()
        self._stream.close()
        with suppress(OSError):
            self._place.unlink(missing_ok=True)

    def leave(self) -> None:
        """Leave the journal behind, to be recovered; as the end of the process does."""
        self._stream.close()

    def _start_anew(self) -> None:
        """Go on in a fresh file. The old one goes when the fresh one is whole; if there can be none, it grows on."""
        head = self._head._replace(edited=True, instead_of=self._place.name)
        with suppress(OSError, ValueError):
            fresh = Journal(self._folder, head, self._kept)
            self.drop()
            self.__dict__.update(fresh.__dict__)


def recoverable(folder: Path) -> tuple[Recovery, ...]:
    """List the journals of windows that no longer run, the newest first; those without a readable head are left out."""
    found: list[tuple[int, Recovery]] = []
    replaced = set()
    for place in sorted(folder.glob("*" + SUFFIX)):
        data = _orphan(place)
        contents = read_contents(data) if data is not None else None
        if contents:
            head = contents.head
            replaced.add(head.instead_of)
            edited = head.edited or bool(contents.changes)
            with suppress(OSError):
                found.append((place.stat().st_mtime_ns, Recovery(place, head.path, head.sha256, edited)))
    found.sort(key=lambda pair: (-pair[0], pair[1].journal.name))
    return tuple(recovery for _, recovery in found if recovery.journal.name not in replaced)


def recover(journal: Path) -> Layout | None:
    """Return the layout after the last action that a journal holds whole; None when it holds no layout at all."""
    try:
        contents = read_contents(journal.read_bytes())
    except OSError:
        return None
    return replayed(contents) if contents else None


def forget(journal: Path) -> None:
    """Remove a journal of a window that no longer runs; its lock tells, and one that runs is left alone."""
    if _orphan(journal) is not None:
        with suppress(OSError):
            journal.unlink()


def _orphan(place: Path) -> bytes | None:
    """The bytes of a journal; None when its window runs or it cannot be read."""
    try:
        with place.open("rb", buffering=0) as stream:
            _lock(stream, mine=False)
            stream.seek(0)
            return stream.readall()
    except OSError:
        return None


def _write(stream: FileIO, at: int, line: bytes) -> None:
    """Write a line at a place of a file and wait until it is on the disk."""
    stream.seek(at)
    rest = memoryview(line)
    while rest:
        rest = rest[stream.write(rest) :]
    os.fsync(stream.fileno())


def _settle(folder: Path) -> None:
    """Wait until the folder itself is on the disk, where a folder can be opened."""
    if sys.platform != "win32":
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def _sha256(path: str) -> str:
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest() if path else ""
    except (OSError, ValueError):
        return ""


def _refused(folder: Path, error: Exception) -> LayoutestError:
    reason = (getattr(error, "strerror", None) or str(error)).lower()
    return LayoutestError(f"'{folder}': the journal cannot be written: {reason}; a crash would lose what is not saved")
