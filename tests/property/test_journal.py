"""A journal gives back exactly the last action, and no bytes make reading one fail."""

import json
import tempfile
from itertools import pairwise
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from strategies import json_values, layouts, networks

from layoutest.files.journal import Journal, recover
from layoutest.files.journal_lines import Head, head_text, read_contents, replayed, sealed
from layoutest.layout.document import Layout


def bytes_of(kept):
    """The journal of a window in which these layouts were made one after another."""
    with tempfile.TemporaryDirectory() as folder:
        journal = Journal.start(Path(folder), "", kept[0])
        for layout in kept[1:]:
            journal.keep(layout)
        (place,) = Path(folder).iterdir()
        assert recover(place) == kept[-1]
        data = place.read_bytes()
        journal.drop()
    return data


def layout_in(data):
    contents = read_contents(data)
    return replayed(contents) if contents else None


@given(st.lists(layouts() | networks(most_legs=4), min_size=1, max_size=4))
def test_the_last_action_comes_back(kept):
    bytes_of(kept)


@given(st.lists(layouts() | networks(most_legs=3), min_size=2, max_size=4), st.data())
def test_cut_off_anywhere_it_gives_what_was_whole(kept, data):
    whole = bytes_of(kept)
    cut = data.draw(st.integers(0, len(whole)))
    count = whole.count(b"\n", 0, cut)
    # An action that changed nothing has no line.
    made = [kept[0], *(after for before, after in pairwise(kept) if after != before)]
    assert layout_in(whole[:cut]) == (made[count - 1] if count else None)


@given(st.lists(networks(most_legs=3), min_size=1, max_size=3), st.data())
def test_damage_gives_an_earlier_action_or_nothing(kept, data):
    whole = bytearray(bytes_of(kept))
    for _ in range(data.draw(st.integers(1, 3))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    got = layout_in(bytes(whole))
    assert got is None or got in kept


@given(st.binary(max_size=300))
def test_bytes_never_raise(data):
    assert layout_in(data) is None


@given(st.lists(json_values, max_size=3), st.booleans(), st.sampled_from(["sheet", "put", "gone", "other"]))
def test_sealed_nonsense_never_raises(values, wrapped, key):
    seal, data = sealed("", head_text(Head("", "", edited=False, instead_of=""), Layout()))
    for value in values:
        seal, line = sealed(seal, json.dumps({key: value} if wrapped else value))
        data += line
    assert isinstance(layout_in(data), Layout)


def test_brackets_in_one_another_never_raise():
    seal, data = sealed("", head_text(Head("", "", edited=False, instead_of=""), Layout()))
    _, line = sealed(seal, '{"sheet": ' + "[" * 100_000 + "]" * 100_000 + "}")
    assert layout_in(data + line) == Layout()
