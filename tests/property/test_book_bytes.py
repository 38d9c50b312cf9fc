"""Whatever a file of a price book holds, reading it gives a book or a list of faults, never another error."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.book.contents import PURPOSES
from layoutest.book.reader import example_book_folder, read_book
from layoutest.errors import UnreadableError

SIGNS = b""", " \n \r # = [ ] { } ' . - \x00 \xef\xbb\xbf 1 nan 1e999 0xffff"""
WORDS = b"true stone-wool-foil tape price [x] 2026-02-30"
PIECES = st.sampled_from(SIGNS.split(b" ") + WORDS.split(b" "))


@pytest.fixture(scope="module")
def folder():
    with tempfile.TemporaryDirectory() as place:
        yield Path(shutil.copytree(example_book_folder(), Path(place) / "prices"))


def reads_or_tells(folder, name, content):
    whole = (example_book_folder() / name).read_bytes()
    try:
        (folder / name).write_bytes(content)
        faults = faults_of(folder)
    finally:
        (folder / name).write_bytes(whole)
    assert all(fault.startswith(str(folder)) and fault.isprintable() for fault in faults)


def faults_of(folder):
    try:
        read_book(folder)
    except UnreadableError as error:
        return error.faults
    return ()


@settings(deadline=None, max_examples=300)
@given(name=st.sampled_from(list(PURPOSES)), content=st.binary(max_size=200) | st.lists(PIECES).map(b"".join))
def test_random_bytes(folder, name, content):
    reads_or_tells(folder, name, content)


@settings(deadline=None, max_examples=300)
@given(name=st.sampled_from(list(PURPOSES)), pieces=st.lists(PIECES, min_size=1, max_size=3), place=st.floats(0, 1))
def test_a_spoiled_file(folder, name, pieces, place):
    whole = (example_book_folder() / name).read_bytes()
    cut = round(place * len(whole))
    reads_or_tells(folder, name, whole[:cut] + b"".join(pieces) + whole[cut:])
