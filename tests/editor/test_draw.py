"""The verb `draw` without a screen: pictures of sittings, and what is told when something cannot be."""

import json
import shutil

import pygame
import pytest

from layoutest.cli import run
from layoutest.editor import events as ev
from layoutest.editor.recording import event_text
from layoutest.tables.shipped import demo_folder

DEMO = str(demo_folder() / "first-five-minutes.layout.json")
TURNED = (ev.Resized(900, 700), ev.KeyPressed("a", "ctrl"), ev.KeyPressed("t"), ev.KeyPressed("home"))


@pytest.fixture
def told(capsys, tmp_path, monkeypatch):
    """Run the verb; its exit status and what it says."""
    monkeypatch.chdir(tmp_path)

    def told(*arguments):
        status = run(["draw", *map(str, arguments)])
        return status, capsys.readouterr().err.removeprefix("prices: the shipped invented example\n")

    return told


def pixels(path):
    return pygame.image.tobytes(pygame.image.load(path), "RGB")


def recorded(path, *events):
    path.write_text("".join(map(event_text, events)))
    return path


def test_a_picture_of_a_layout(told, tmp_path):
    assert told(DEMO, "--picture", "room.png", "--size", "1000x700") == (0, "")
    assert pygame.image.load(tmp_path / "room.png").get_size() == (1000, 700)
    assert told(DEMO, "--picture", "dark.png", "--size", "1000x700", "--theme", "dark") == (0, "")
    assert pixels("dark.png") != pixels("room.png")


def test_a_sitting_is_played_on_it(told, tmp_path):
    sitting = recorded(tmp_path / "sitting.events", *TURNED)
    for name in ("one.png", "two.png"):
        assert told(DEMO, "--replay", sitting, "--picture", name, "--size", "1000x700") == (0, "")
    told(DEMO, "--picture", "before.png", "--size", "1000x700")
    assert pixels("one.png") == pixels("two.png") != pixels("before.png")
    # Painted at the size that is asked for, not the one the window had.
    assert pygame.image.load("one.png").get_size() == (1000, 700)


def test_the_scale_makes_everything_larger(told):
    assert told(DEMO, "--picture", "large.png", "--size", "2000x1400", "--scale", "2") == (0, "")
    assert told(DEMO, "--picture", "small.png", "--size", "1000x700") == (0, "")
    large, small = (pygame.image.load(name) for name in ("large.png", "small.png"))
    # The grounds of the tool row, the sheet and the panel lie at twice the place.
    for place in ((3, 3), (997, 3), (997, 400)):
        assert large.get_at((2 * place[0], 2 * place[1])) == small.get_at(place)


def test_every_fault_of_a_recording_is_told(told, tmp_path):
    (tmp_path / "sitting.events").write_text('{"event": "PointerMoved", "x": 1}\nnothing\n')
    status, says = told(DEMO, "--replay", "sitting.events", "--picture", "room.png")
    assert status == 2
    assert says.splitlines() == [
        "line 1: PointerMoved lacks 'y'",
        "line 2: 'nothing' is no JSON; expected an event as an object in braces",
    ]
    assert not (tmp_path / "room.png").exists()


def test_a_layout_with_faults_is_told(told, tmp_path):
    shutil.copy(DEMO, tmp_path / "wrong.layout.json")
    document = json.loads((tmp_path / "wrong.layout.json").read_text())
    document["times"] = 0
    (tmp_path / "wrong.layout.json").write_text(json.dumps(document))
    status, says = told("wrong.layout.json", "--picture", "room.png")
    assert (status, says.startswith("wrong.layout.json: times: 0 stands here; expected")) == (2, True)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--replay", "x"), "--replay needs --picture OUT.png: where the end of the sitting is painted."),
        (("--picture", "x.png", "--size", "10x10"), "'10x10' is no size; expected such as 1600x1000"),
        (("--picture", "x.png", "--replay", "x"), "x: the file in '.' cannot be read: no such file or directory"),
        (
            (
                "--picture",
                "no/x.png",
            ),
            "x.png: the picture cannot be written in 'no': ",
        ),
        (("--record", "no/x"), "x: the recording cannot be written in 'no': no such file or directory"),
        (("no/x.layout.json",), "to begin x.layout.json in."),
    ],
)
def test_what_cannot_be_is_told(told, arguments, says, monkeypatch, tmp_path):
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, str(tmp_path))
    status, told_text = told(*arguments)
    assert status == 2
    assert says in told_text
