"""CSV files of a price book: what is read, and the exact words for what cannot be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from layoutest.book.records import ExtraLine, SectionSize, VanOffcut

SECTIONS = "covering,bore_mm,thickness_mm,length_mm,price,per_carton,whole_cartons\n"
SUNDRIES = "kind,up_to_mm,item,width_mm,roll_m,price\n"
LABOUR = "work,up_to_mm,minutes\n"
STOCK = "covering,bore_mm,thickness_mm,length_mm,count,value\n"


def test_sizes_are_the_same_however_they_are_written(book):
    book.write("sections.csv", SECTIONS + "stone-wool-foil,60.0,40,1000,6.10,12,no\n")
    read = book.read()
    assert read.sections["stone-wool-foil", 60, 40] is read.sections["stone-wool-foil", 60.0, 40.0]
    assert read.sections["stone-wool-foil", 60, 40] == SectionSize(
        "stone-wool-foil", 60, 40, 1000, Decimal("6.10"), 12, whole_cartons=False
    )


def test_an_empty_price_is_not_yet_priced_and_never_nothing(book):
    book.write("sections.csv", SECTIONS + "stone-wool-foil,60,40,1000,,,\nstone-wool-foil,60,50,1000,0,6,yes\n")
    read = book.read()
    assert read.sections["stone-wool-foil", 60, 40] == SectionSize(
        "stone-wool-foil", 60, 40, 1000, None, None, whole_cartons=False
    )
    assert read.sections["stone-wool-foil", 60, 50] == SectionSize(
        "stone-wool-foil", 60, 50, 1000, Decimal(0), 6, whole_cartons=True
    )
    book.write("labour.csv", LABOUR + "tee,,\n")
    book.write("sundries.csv", SUNDRIES + "end-seal,,,,,\n")
    assert book.read().minutes("tee", 60) is None
    assert book.read().sundry("end-seal", 60).price is None


def test_what_a_spreadsheet_makes_of_a_file_is_read(book):
    saved = (
        '\ufeff"# a comment, with a comma",,,,,,,\r\n,,,,,,,\r\n' + SECTIONS.strip() + ",\r\n"
        'stone-wool-foil ,60,40,1000," 6.10",12,FALSE,\r\n\r\n# the end,,,,,,,\r\n'
    )
    book.write("sections.csv", saved)
    assert book.read().sections["stone-wool-foil", 60, 40].price == Decimal("6.10")


def test_columns_may_stand_in_any_order(book):
    book.write("labour.csv", "minutes,work,up_to_mm\n7.5,tee,28\n")
    assert book.read().minutes("tee", 22) == Decimal("7.5")


def test_lines_of_ones_own_and_van_stock_are_read(book):
    book.write("extras.csv", 'what,quantity,unit,rate\n"Site visit, surveyor",1.5,h,60\n')
    book.write("stock.csv", STOCK + "stone-wool-foil,60,40,640,2,0\nstone-wool-foil,60,40,500,0,1.20\n")
    assert book.read().extras == (ExtraLine("Site visit, surveyor", Decimal("1.5"), "h", Decimal(60)),)
    assert book.read().stock == (VanOffcut("stone-wool-foil", 60, 40, 640, 2, Decimal(0)),)


def test_both_may_be_left_out(book):
    (book.folder / "extras.csv").unlink()
    (book.folder / "stock.csv").unlink()
    assert book.read().extras == book.read().stock == ()


@pytest.mark.parametrize(
    ("column", "cell", "sentence"),
    [
        ("covering", "stone-wool", "no covering is called 'stone-wool'; near: 'stone-wool-foil'"),
        ("covering", "", "no covering is called ''; expected stone-wool-foil"),
        ("bore_mm", "0", "'0' is not a size; expected millimetres over 0, at most 10000"),
        ("bore_mm", "-60", "'-60' is not a size; expected millimetres over 0, at most 10000"),
        ("bore_mm", "inf", "'inf' is not a size; expected millimetres over 0, at most 10000"),
        ("thickness_mm", "nan", "'nan' is not a size; expected millimetres over 0, at most 10000"),
        ("thickness_mm", "40 mm", "'40 mm' is not a size; expected millimetres over 0, at most 10000"),
        ("length_mm", "1000.5", "'1000.5' stands here; expected a whole number from 1 to 10000"),
        ("length_mm", "", "'' stands here; expected a whole number from 1 to 10000"),
        ("price", "6.1O", "'6.1O' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "NaN", "'NaN' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "Infinity", "'Infinity' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "1e3", "'1e3' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "£6.10", "'£6.10' is not an amount; expected digits with a point, such as 6.10"),
        ("price", '"6,10"', "'6,10' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "٦", "'٦' is not an amount; expected digits with a point, such as 6.10"),
        ("price", "-6.10", "'-6.10' is negative; expected 0 or more"),
        ("per_carton", "0", "'0' stands here; expected a whole number from 1 to 10000"),
        ("whole_cartons", "perhaps", "'perhaps' stands here; expected yes or no"),
    ],
)
def test_a_cell_that_will_not_do_is_told(book, column, cell, sentence):
    columns = SECTIONS.strip().split(",")
    row = dict(zip(columns, ["stone-wool-foil", "60", "40", "1000", "6.10", "12", "no"], strict=True)) | {column: cell}
    book.write("sections.csv", SECTIONS + ",".join(row.values()) + "\n")
    assert book.told() == [f"sections.csv:2: {column}: {sentence}"]


def test_a_long_cell_is_cut_short(book):
    book.write("access.csv", "name,factor\nladder," + "9" * 500 + "\n")
    told = f"'{'9' * 59}…' is not an amount; expected digits with a point, such as 6.10"
    assert book.told() == [f"access.csv:2: factor: {told}"]


@pytest.mark.parametrize(
    ("row", "faults"),
    [
        ("tapes,,,,,1", ["kind: no sundry is called 'tapes'; near: 'tape'"]),
        ("tape,60,,75,50,9.50", ["up_to_mm: 60 stands at 'tape'; expected an empty cell, one tape serves every size"]),
        (
            "tape,,,,,9.50",
            [
                "width_mm: nothing stands here; expected the width of the tape in millimetres",
                "roll_m: nothing stands here; expected the length of a roll in metres",
            ],
        ),
        ("tape,,,75,0,9.50", ["roll_m: '0' stands here; expected more than 0"]),
        ("jacket,60,vale,,,9", ["item: no kind of item is called 'vale'; near: 'valve'"]),
        (
            "insert,60,pump,,,9",
            ["item: 'pump' stands at 'insert'; expected an empty cell, only jackets go by kind of item"],
        ),
        ("insert,60,,75,,9", ["width_mm: 75 stands at 'insert'; expected an empty cell, only tape has a width"]),
        ("insert,60,,,50,9", ["roll_m: 50 stands at 'insert'; expected an empty cell, only tape comes in rolls"]),
    ],
)
def test_a_sundry_that_makes_no_sense_is_told(book, row, faults):
    book.write("sundries.csv", SUNDRIES + row + "\n")
    assert book.told() == [f"sundries.csv:2: {fault}" for fault in faults]


def test_other_cells_that_make_no_sense_are_told(book):
    book.write("sections.csv", SECTIONS + "stone-wool-foil,60,40,1000,6.10,,yes\n")
    book.write("labour.csv", LABOUR + "mitre,60,5\n")
    book.write("items.csv", "kind,up_to_mm,length_mm\nboiler,60,5\n")
    assert book.told() == [
        "sections.csv:2: per_carton: nothing stands here; expected how many a whole carton holds",
        "labour.csv:2: work: no work is called 'mitre'; near: 'mitre-joint'",
        (
            "items.csv:2: kind: no kind of item is called 'boiler'; "
            "expected flange, meter, other, pump, strainer, support, valve"
        ),
    ]


def test_what_stands_twice_is_told_with_both_lines(book):
    row = "stone-wool-foil,60,40,1000,6.10,12,no\n"
    book.write("sections.csv", SECTIONS + row + "\n# again\n" + row.replace("60", "60.0"))
    book.write("sundries.csv", SUNDRIES + "tape,,,75,50,9.50\ntape,,,50,50,7.50\n")
    book.write("labour.csv", LABOUR + "tee,,7\ntee,60,5\ntee,,8\n")
    book.write("access.csv", "name,factor\nladder,1.1\nladder,1.2\n")
    assert book.told() == [
        (
            "sections.csv:5: covering, bore_mm, thickness_mm: 'stone-wool-foil', '60.0', '40' "
            "already stands in line 2; keep one of the two"
        ),
        "sundries.csv:3: kind, item, up_to_mm: 'tape', '', '' already stands in line 2; keep one of the two",
        "labour.csv:4: work, up_to_mm: 'tee', '' already stands in line 2; keep one of the two",
        "access.csv:3: name: 'ladder' already stands in line 2; keep one of the two",
    ]


def test_a_header_that_does_not_fit_is_told(book):
    book.write("labour.csv", "# ours\nwork,upto_mm,minutes,minutes\ntee,60,5,5\n")
    book.write("items.csv", "kind;up_to_mm;length_mm\nvalve;60;230\n")
    book.write("access.csv", "# nothing but this\n")
    assert book.told() == [
        "labour.csv:2: no column is called 'upto_mm'; near: 'up_to_mm'",
        "labour.csv:2: minutes: this column stands twice; keep one of the two",
        "labour.csv:2: up_to_mm: this column is missing; expected work,up_to_mm,minutes",
        "access.csv: the first row with the names of the columns is missing; expected name,factor",
        (
            "items.csv:1: 'kind;up_to_mm;length_mm' is one column; expected kind,up_to_mm,length_mm, "
            "with commas between them"
        ),
    ]


def test_a_row_that_does_not_fit_is_told_and_the_rest_is_still_read(book):
    book.write("labour.csv", LABOUR + 'tee,60\ntee,61,5,6\n"tee,62,5\njoint,63,x\n')
    assert book.told() == [
        "labour.csv:2: the row has 2 cells; expected 3, one for each column",
        "labour.csv:3: the row has 4 cells; expected 3, one for each column",
        'labour.csv:4: the quotes do not pair; expected " at both ends of a cell that holds a comma',
        "labour.csv:5: work: no work is called 'joint'; near: 'mitre-joint'",
        "labour.csv:5: minutes: 'x' is not an amount; expected digits with a point, such as 6.10",
    ]
