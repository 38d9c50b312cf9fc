"""The shipped tables: what they hold, and that every source is known and used."""

from __future__ import annotations

import csv
import hashlib
import re
import tomllib
from pathlib import Path

import pytest

from layoutest.tables.reference import ShippedPipe, shipped_pipes, sources

PACKAGE = Path(__file__).parents[3] / "layoutest"
TABLES = PACKAGE / "tables"
CITED = re.compile(r"Source: ([a-z0-9-]+(?:, [a-z0-9-]+)*)\.")


def keys_in_tables():
    for table in TABLES.glob("*.csv"):
        with table.open(encoding="utf-8", newline="") as file:
            yield from (row["source"] for row in csv.DictReader(file))


def keys_in_docstrings():
    for module in PACKAGE.rglob("*.py"):
        for cited in CITED.findall(module.read_text(encoding="utf-8")):
            yield from cited.split(", ")


def test_every_source_cited_is_known_and_every_known_one_is_cited():
    assert {*keys_in_tables(), *keys_in_docstrings()} == set(sources())


def test_every_source_says_where_from_and_whether_it_was_read():
    for key, source in sources().items():
        assert all((source.title, source.edition, source.publisher, source.place, source.rights)), key
        assert source.status in ("FOUND", "MEMORY"), key


def test_the_tables_are_the_ones_the_sources_were_checked_for():
    listed = tomllib.loads((TABLES / "sources.toml").read_text(encoding="utf-8"))["tables"]
    texts = {table.name: table.read_text(encoding="utf-8") for table in TABLES.glob("*.csv")}
    assert {name: hashlib.sha256(text.encode()).hexdigest() for name, text in texts.items()} == listed


@pytest.mark.parametrize(
    ("kind", "sizes"),
    [
        ("copper", "15 22 28 35 42 54 66.7 76.1 108 133 159"),
        ("steel", "DN15 DN20 DN25 DN32 DN40 DN50 DN65 DN80 DN100 DN125 DN150 DN200 DN250 DN300"),
        ("steel medium", "DN15 DN20 DN25 DN32 DN40 DN50 DN65 DN80 DN100 DN125 DN150"),
        ("press", "12 15 18 22 28 35 42 54 66.7 76.1 88.9 108"),
    ],
)
def test_every_pipe_of_a_kind_is_there(kind, sizes):
    assert [name for name in shipped_pipes() if name.rpartition(" ")[0] == kind] == [
        f"{kind} {size}" for size in sizes.split()
    ]


def test_a_pipe_is_typed_and_only_welded_elbows_have_a_radius():
    assert len(shipped_pipes()) == 48
    assert shipped_pipes()["steel DN50"] == ShippedPipe("steel DN50", 60.3, 76.0, "en-10220")
    assert shipped_pipes()["steel medium DN150"] == ShippedPipe("steel medium DN150", 165.1, 0.0, "en-10255")
    assert {name for name, pipe in shipped_pipes().items() if pipe.elbow_radius_mm} == {
        name for name in shipped_pipes() if name.startswith("steel DN")
    }


def test_the_table_cannot_be_changed_by_a_reader():
    with pytest.raises(TypeError):
        shipped_pipes()["copper 22"] = shipped_pipes()["copper 28"]
