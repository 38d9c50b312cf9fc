"""Outputs that must not change unseen: the demos' summaries, a cut sheet, a comparison, the picture in the README.

`LAYOUTEST_GOLDEN=write python -m pytest tests/golden` renews them; read the diff before you commit it.
"""

import os
import sys
from pathlib import Path

import pytest

from layoutest.cli import run
from layoutest.tables.shipped import demo_folder

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))
from terminal_picture import terminal_picture  # noqa: E402

DEMOS = ("first-five-minutes", "plant-room", "riser", "teaching-short", "teaching-many-bends")
PICTURE = HERE.parents[1] / "assets" / "estimate.svg"


def demo(name):
    return str(demo_folder() / f"{name}.layout.json")


def printed(capsys, *arguments):
    assert run(arguments) == 0
    return capsys.readouterr().out


def agrees(path, text):
    if os.environ.get("LAYOUTEST_GOLDEN") == "write":
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", DEMOS)
def test_summary(name, capsys):
    text = printed(capsys, "estimate", demo(name))
    assert max(map(len, text.splitlines())) <= 80
    agrees(HERE / f"{name}.estimate.txt", text)


@pytest.mark.parametrize("name", ["first-five-minutes", "plant-room"])
def test_cut_sheet(name, capsys):
    agrees(HERE / f"{name}.cuts.txt", printed(capsys, "cuts", demo(name)))


def test_comparison(capsys):
    text = printed(capsys, "compare", demo("teaching-short"), demo("teaching-many-bends"))
    agrees(HERE / "teaching.compare.txt", text)


def test_the_picture_in_the_readme(capsys):
    text = printed(capsys, "estimate", demo("plant-room"))
    agrees(PICTURE, terminal_picture("layoutest estimate demo_layouts/plant-room.layout.json", text, 64))
