"""The verb `pack`: a plain list in, a plan out."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from layoutest.cli.pack import command
from layoutest.errors import UnreadableError, UsageError

LIST = "1960,3,square,45\n480\n"


def run(*arguments, text=LIST):
    return CliRunner().invoke(command, list(arguments), input=text)


def error_of(*arguments, text=LIST):
    return run(*arguments, text=text).exception


def test_json_has_the_shape_of_packing_and_seconds():
    result = run("-", "--diameter", "110", "--section-cost", "11.85", "--joint-cost", "1.425", "--json")
    record = json.loads(result.stdout)
    assert set(record) == {
        "stock", "section_mm", "joints_rule", "sections", "at_least", "joints", "section_price", "joint_price", "cost",
        "cost_at_least", "proven", "by_hand_sections", "by_hand_cost", "pieces_mm", "wedge_mm", "kerf_mm", "offcuts_mm",
        "scrap_mm", "from_stock", "cuts", "seconds",
    }  # fmt: skip
    assert (record["joints_rule"], record["section_price"], record["joint_price"]) == ("priced", "11.850", "1.425")
    names = {piece["run"] for cut in record["cuts"] for piece in cut["pieces"]}
    assert names == {"line 1", "line 1#2", "line 1#3", "line 2"}
    assert record["pieces_mm"] == 3 * 1960 + 480


def test_options_reach_the_packer(tmp_path):
    file = tmp_path / "list.txt"
    file.write_text("600\n600\n", encoding="utf-8")
    record = json.loads(
        run(
            str(file), "--section", "900", "--kerf", "2", "--least", "100", "--slit", "in-line", "--fewest-joints",
            "--stock", "640,2,0.3", "--seconds", "5", "--json",
        ).stdout
    )  # fmt: skip
    assert (record["section_mm"], record["joints_rule"], record["sections"]) == (900, "fewest", 0)
    assert record["from_stock"] == [{"length_mm": 640, "count": 2}]
    assert (record["cost"], record["kerf_mm"], record["scrap_mm"]) == ("0.60", 4, 76)


def test_the_plan_to_read_says_what_it_takes():
    result = run("-", "--diameter", "110", "--fewest-joints")
    assert result.exit_code == 0
    assert result.stdout.startswith("7 sections of 1000 mm, at least 7; 6 joints\n")
    assert "careful cutting by hand: 7 sections" in result.stdout


def test_faults_and_missing_files_are_told():
    assert isinstance(error_of("-"), UnreadableError)
    assert str(error_of("missing.txt")) == "missing.txt: cannot be read: No such file or directory"
    assert str(error_of("-", text=b"\xff\xfe")) == "standard input: byte 0 is not UTF-8 text; expected plain lines"
    refused = error_of("-", "--diameter", "110", "--section", "120")
    assert isinstance(refused, UsageError)
    assert "cannot make 'line 1' (1960 mm), 'line 1#2' (1960 mm), 'line 1#3' (1960 mm)" in str(refused)


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--stock", "64o,2", "'64o,2' is no stock; expected LENGTH[,COUNT[,COST]], such as 640,2,1.50"),
        ("--stock", "640,1,2,3", "'640,1,2,3' is no stock"),
        ("--joint-cost", "free", "'free' is no amount of money; expected a number, 0 or more"),
        ("--section-cost", "-1", "'-1' is no amount of money"),
        ("--section-cost", "NaN", "'NaN' is no amount of money"),
    ],
)
def test_options_that_make_no_sense_are_told(option, value, says):
    result = run("-", option, value)
    assert result.exit_code == 2
    assert says in " ".join(result.stderr.split())
