"""TOML files of a price book, missing and unreadable files: the exact words."""

from __future__ import annotations

from decimal import Decimal

import pytest

from layoutest.book import reader
from layoutest.book.contents import PURPOSES
from layoutest.errors import UnreadableError


def test_money_may_be_quoted_or_whole_and_the_rate_may_be_left_out(book):
    book.swap("book.toml", 'delivery = "35.00"', "delivery = 35")
    book.swap("book.toml", 'labour_rate_per_hour = "38.00"', "")
    book.swap("book.toml", "date = 2026-01-05", 'date = "2026-01-05"')
    read = book.read()
    assert (read.delivery, read.labour_rate_per_hour, read.date) == (Decimal(35), None, "2026-01-05")
    assert (read.vat_percent, read.waste_disposal_per_m3) == (Decimal(20), Decimal("48.00"))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            'delivery = "35.00"',
            "delivery = 35.5",
            'delivery: 35.5 stands here without quotes; write it as "35.5", so that it is kept exactly',
        ),
        ('"35.00"', "-35", "delivery: -35 is negative; expected 0 or more"),
        ('"35.00"', "nan", "delivery: nan is not an amount; expected digits with a point, such as 6.10"),
        ('"35.00"', "true", "delivery: true is not an amount; expected digits with a point, such as 6.10"),
        ('"35.00"', "[35]", "delivery: a list is not an amount; expected digits with a point, such as 6.10"),
        ('"35.00"', '""', "delivery: '' is not an amount; expected digits with a point, such as 6.10"),
        (
            '"35.00"',
            "0x" + "f" * 5000,
            (
                "delivery: a whole number of more than 60 digits is not an amount; "
                "expected digits with a point, such as 6.10"
            ),
        ),
        ('vat_percent = "20"', 'vat_percent = "120"', "vat_percent: '120' per cent stands here; expected 0 to 100"),
        ("decimals = 2", "decimals = 9", "decimals: 9 stands here; expected a whole number from 0 to 4"),
        ("decimals = 2", "decimals = true", "decimals: true stands here; expected a whole number from 0 to 4"),
        ("invented = true", 'invented = "no"', "invented: 'no' stands here; expected true or false"),
        ('"Invented example prices"', '" "', "name: ' ' stands here; expected text"),
        ('"GBP"', '"£"', "currency: '£' is not a currency; expected three capital letters such as GBP"),
        (
            "date = 2026-01-05",
            'date = "2026-02-31"',
            "date: '2026-02-31' is not a date; expected year, month and day such as 2026-01-05",
        ),
        (
            "date = 2026-01-05",
            "date = 2026-01-05T10:00:00",
            "date: 2026-01-05 10:00:00 is not a date; expected year, month and day such as 2026-01-05",
        ),
        ("decimals = 2", "", "decimals: this key is missing"),
        ("decimals = 2", "decimals = 2\nvat = 1", "vat: no key is called 'vat'"),
        (
            "decimals = 2",
            "decimals = 2\nvat_per_cent = 1",
            "vat_per_cent: no key is called 'vat_per_cent'; near: 'vat_percent', 'margin_percent'",
        ),
        ("decimals = 2", 'decimals = 2\n"a b" = 1', "'a b': no key is called 'a b'"),
    ],
)
def test_a_key_of_the_book_that_will_not_do_is_told(book, old, new, fault):
    book.swap("book.toml", old, new)
    assert book.told() == [f"book.toml: {fault}"]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("[10, 0.033]", "[10]", "conductivity: a list stands here; expected pairs such as [[10, 0.033], [50, 0.037]]"),
        ("[10, 0.033]", "[10, 33]", "conductivity: 33 stands here; expected a number from 0.001 to 10"),
        ("[10, 0.033]", "[10, nan]", "conductivity: nan stands here; expected a number from 0.001 to 10"),
        (
            "[10, 0.033]",
            "[50, 0.033]",
            "conductivity: the pairs are not in rising order; expected the lowest temperature first and each once",
        ),
        ("[0, 250]", "250", "limits_c: 250 stands here; expected the lowest and the highest, such as [0, 250]"),
        ("[0, 250]", "[250, 0]", "limits_c: [250, 0] stands here; expected the lowest first, then a higher one"),
        ("[0, 250]", "[-300, 0]", "limits_c: -300 stands here; expected a number from -273.15 to 2000"),
        ("= 0.05", "= 5", "emissivity_bright: 5 stands here; expected a number from 0 to 1"),
        ("= 100", '= "100"', "density_kg_per_m3: '100' stands here; expected a number from 1 to 10000"),
        ("density_kg_per_m3 = 100", "", "density_kg_per_m3: this key is missing"),
    ],
)
def test_a_property_of_a_covering_that_will_not_do_is_told_once(book, old, new, fault):
    book.swap("coverings.toml", old, new)
    assert book.told() == [f"coverings.toml: stone-wool-foil.{fault}"]


def test_a_covering_that_is_no_table_is_told(book):
    text = (book.folder / "coverings.toml").read_text(encoding="utf-8")
    book.write("coverings.toml", '"glass wool" = 5\n' + text)
    assert book.told() == ["coverings.toml: 'glass wool': 5 stands here; expected a table ['glass wool']"]


def test_a_book_without_a_covering_is_told_once(book):
    book.write("coverings.toml", "# none\n")
    assert book.told() == [
        "coverings.toml: no covering stands here; expected a table for each, such as [stone-wool-foil]"
    ]


def test_what_is_not_toml_is_told_with_its_line(book):
    book.write("book.toml", "name = \n")
    book.write("coverings.toml", "a = " + "[" * 100_000)
    assert book.told() == [
        "book.toml: this is not TOML: Invalid value (at line 1, column 8)",
        "coverings.toml: the lists or tables stand too deep in one another; expected a list of pairs at most",
    ]


def test_every_missing_file_is_told_with_what_it_is_for(book):
    for name in PURPOSES:
        (book.folder / name).unlink()
    assert book.told() == [
        "book.toml: there is no such file; it holds the book's name, currency, percentages and rates",
        "coverings.toml: there is no such file; it holds the covering materials",
        "sections.csv: there is no such file; it holds the sections that can be bought",
        "sundries.csv: there is no such file; it holds tape, end seals, elbow covers, jackets and inserts",
        "labour.csv: there is no such file; it holds the minutes of each kind of work",
        "access.csv: there is no such file; it holds the factors of hard access",
        "items.csv: there is no such file; it holds the starting lengths of valves and other items",
    ]


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(UnreadableError) as caught:
        reader.read_book(tmp_path / "price")
    names = ", ".join(PURPOSES)
    assert str(caught.value) == f"{tmp_path / 'price'}: there is no such folder; a price book is a folder with {names}"


def test_files_that_cannot_be_text_are_told(book, monkeypatch):
    (book.folder / "access.csv").write_bytes(b"name,factor\nladder \xa3,1\n")
    (book.folder / "stock.csv").unlink()
    (book.folder / "stock.csv").mkdir()
    monkeypatch.setattr(reader, "LARGEST_FILE_BYTES", 1_000_000)
    book.write("sections.csv", "x" * 2_000_000)
    assert book.told() == [
        "sections.csv: the file has 2 MB; expected at most 1 MB",
        "access.csv: this is not UTF-8 text (byte 20); save the file again as UTF-8",
        "stock.csv: there is no such file; it holds offcuts on hand",
    ]


def test_faults_of_several_files_come_at_once(book):
    book.swap("book.toml", "decimals = 2", "decimals = 9")
    book.swap("coverings.toml", "= 0.05", "= 5")
    book.swap("access.csv", "1.15", "0")
    book.swap("items.csv", "valve,22,60", "valve,22,0")
    assert book.told() == [
        "book.toml: decimals: 9 stands here; expected a whole number from 0 to 4",
        "coverings.toml: stone-wool-foil.emissivity_bright: 5 stands here; expected a number from 0 to 1",
        "access.csv:4: factor: '0' stands here; expected more than 0",
        "items.csv:6: length_mm: '0' stands here; expected a whole number from 1 to 10000",
    ]
