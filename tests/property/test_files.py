"""A layout survives its file, and no file, however broken, gives anything but a layout or its faults."""

from __future__ import annotations

import copy
import json
import re

from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from strategies import DIRECTIONS, json_values, layouts, networks, texts

from layoutest.errors import UnreadableError
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_shape import layout_schema
from layoutest.files.layout_write import layout_text
from layoutest.layout.document import Layout

SCHEMA = Draft202012Validator(layout_schema())
# What the schema cannot say, because it refers to something else in the file.
RULES = re.compile(
    r"no node is called|no leg is called|is used under|the lower first|this file was made by a newer version"
)


def read_or_faults(data):
    try:
        return parse_layout(data, "x.layout.json").layout
    except UnreadableError as error:
        faults = error.faults
    assert faults
    assert all(fault.startswith("x.layout.json: ") and fault.isprintable() for fault in faults)
    return faults


@given(layouts() | networks(directions=tuple(DIRECTIONS)))
def test_reading_what_was_written_gives_the_layout_back(layout):
    text = layout_text(layout)
    back = parse_layout(text.encode(), "x.layout.json").layout
    assert back == layout
    assert layout_text(back) == text


@given(layouts() | networks())
def test_what_is_written_fits_the_schema(layout):
    SCHEMA.validate(json.loads(layout_text(layout)))


@given(layouts(), st.randoms(use_true_random=False))
def test_the_order_of_tables_changes_nothing(layout, random):
    document = json.loads(layout_text(layout))
    for table in ("pipes", "services", "nodes", "legs", "fittings", "items", "structure"):
        pairs = list(document.get(table, {}).items())
        random.shuffle(pairs)
        document[table] = dict(pairs)
    shuffled = parse_layout(json.dumps(document).encode(), "x.layout.json").layout
    assert layout_text(shuffled) == layout_text(layout)


@given(st.binary(max_size=200))
def test_bytes_give_faults(data):
    assert isinstance(read_or_faults(data), tuple)


@given(json_values)
def test_values_give_faults(value):
    assert isinstance(read_or_faults(json.dumps(value).encode()), tuple)


@given(networks(), st.data())
def test_a_text_with_a_hole_gives_a_layout_or_faults(layout, data):
    whole = layout_text(layout).encode()
    start = data.draw(st.integers(0, len(whole)))
    length = data.draw(st.integers(0, 30))
    put_in = data.draw(st.binary(max_size=6) | st.sampled_from([b"NaN", b"1e999", b"{", b'"\\ud800"', b"9" * 200]))
    read_or_faults(whole[:start] + put_in + whole[start + length :])


def all_places(value):
    """Every (container, key) in a document."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, below in pairs:
        yield value, key
        yield from all_places(below)


EDGES = st.sampled_from(
    [True, None, -1, 0, 0.0, 1, 1.0, 2.5, 12.0, 13, 60, 60.0, 1e300, 10**30, "", "1", "auto", "n1", "l1", ":", [], {}]
)


def spoil(document, data):
    """Replace, remove or rename one thing somewhere in a document, or add a key."""
    places = list(all_places(document))
    container, key = places[data.draw(st.integers(0, len(places) - 1))]
    what = data.draw(st.sampled_from(["replace", "remove", "rename", "copy"]))
    if what == "replace":
        container[key] = data.draw(EDGES | json_values)
    elif what == "copy":
        other, other_key = places[data.draw(st.integers(0, len(places) - 1))]
        container[key] = copy.deepcopy(other[other_key])
    else:
        value = container.pop(key)
        if what == "rename" and isinstance(container, dict):
            container[data.draw(texts)] = value


@given(layouts() | networks(most_legs=4), st.data())
def test_the_schema_and_the_reader_accept_the_same_shapes(layout, data):
    document = json.loads(layout_text(layout))
    for _ in range(data.draw(st.integers(1, 3))):
        spoil(document, data)
    got = read_or_faults(json.dumps(document).encode())
    if SCHEMA.is_valid(document):
        assert isinstance(got, Layout) or all(RULES.search(fault) for fault in got)
    else:
        assert not isinstance(got, Layout)
