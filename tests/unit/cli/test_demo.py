"""The verb `demo`: what it writes, says and refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from layoutest.book.reader import read_book
from layoutest.cli.demo import command, write_demo
from layoutest.errors import UsageError
from layoutest.tables import shipped


@pytest.fixture
def source(tmp_path, monkeypatch):
    folder = tmp_path / "source"
    (folder / "prices").mkdir(parents=True)
    for name in ("riser.layout.json", "flat.layout.json", "flat.layout.json.bak", "prices/book.toml"):
        (folder / name).write_text(f"this is {name}")
    monkeypatch.setattr(shipped, "demo_folder", lambda: folder)
    monkeypatch.chdir(tmp_path)
    return folder


def everything_in(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def test_layouts_and_prices_are_written_and_the_next_command_is_told(source, tmp_path):
    result = CliRunner().invoke(command, ["my job"])
    assert result.stdout.splitlines() == [
        "my job/flat.layout.json",
        "my job/riser.layout.json",
        "my job/prices/book.toml",
        "Layouts and prices are invented. Next: layoutest estimate 'my job/flat.layout.json'",
    ]
    assert result.exit_code == 0
    assert everything_in(tmp_path / "my job") == ["flat.layout.json", "prices", "prices/book.toml", "riser.layout.json"]
    assert (tmp_path / "my job" / "prices" / "book.toml").read_text() == "this is prices/book.toml"


def test_the_folder_has_a_name_if_none_is_given_and_others_files_stay(source, tmp_path):
    (tmp_path / "layoutest-demo" / "prices").mkdir(parents=True)
    (tmp_path / "layoutest-demo" / "prices" / "mine.txt").write_text("mine")
    assert CliRunner().invoke(command, []).exit_code == 0
    assert everything_in(tmp_path / "layoutest-demo") == [
        "flat.layout.json",
        "prices",
        "prices/book.toml",
        "prices/mine.txt",
        "riser.layout.json",
    ]


def test_files_that_are_there_are_named_and_nothing_is_written(source, tmp_path):
    (tmp_path / "job" / "prices").mkdir(parents=True)
    (tmp_path / "job" / "riser.layout.json").write_text("mine")
    (tmp_path / "job" / "prices" / "book.toml").write_text("mine")
    with pytest.raises(UsageError) as caught:
        write_demo(source, Path("job"))
    assert str(caught.value) == (
        "'job/riser.layout.json', 'job/prices/book.toml': there already; nothing was written, choose another folder"
    )
    assert everything_in(tmp_path / "job") == ["prices", "prices/book.toml", "riser.layout.json"]
    assert (tmp_path / "job" / "riser.layout.json").read_text() == "mine"


def test_a_folder_that_cannot_be_written_is_told(source, tmp_path):
    (tmp_path / "job").write_text("a file")
    with pytest.raises(UsageError) as caught:
        write_demo(source, Path("job"))
    assert str(caught.value) == "'job': the demo cannot be written there: File exists"


def test_a_fault_half_way_leaves_nothing_behind(source, tmp_path, monkeypatch):
    def full(_from, to):
        if to.name == "riser.layout.json":
            raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(UsageError, match="No space left on device"):
        write_demo(source, Path("job"))
    assert everything_in(tmp_path / "job") == []


def test_the_shipped_example_book_arrives_whole(tmp_path):
    written = write_demo(shipped.demo_folder(), tmp_path / "job")
    names = {path.name for path in (shipped.demo_folder() / "prices").iterdir()}
    assert {path.name for path in written if path.parent.name == "prices"} == names
    assert len(read_book(tmp_path / "job" / "prices").sections) == 225


def test_help_gives_an_example():
    result = CliRunner().invoke(command, ["--help"])
    assert result.stdout.endswith("\n  Example: layoutest demo my-first-job\n")
    assert "[DIR]" in result.stdout
