"""A copy of the example book that a test may spoil."""

from __future__ import annotations

import shutil

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.errors import UnreadableError


class Copy:
    """A price book in a folder of its own; `told` reads it and gives the faults with the folder taken off."""

    def __init__(self, folder):
        self.folder = folder
        shutil.copytree(example_book_folder(), folder)

    def write(self, name, text):
        (self.folder / name).write_text(text, encoding="utf-8", newline="")

    def swap(self, name, old, new):
        text = (self.folder / name).read_text(encoding="utf-8")
        assert old in text
        self.write(name, text.replace(old, new, 1))

    def read(self):
        return read_book(self.folder)

    def told(self):
        with pytest.raises(UnreadableError) as caught:
            self.read()
        assert str(caught.value) == "\n".join(caught.value.faults)
        return [fault[len(f"{self.folder}/") :] for fault in caught.value.faults]


@pytest.fixture
def book(tmp_path):
    return Copy(tmp_path / "prices")
