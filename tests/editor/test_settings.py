"""What the window keeps for next time."""

import json

import pytest

from layoutest.editor.window.settings import MOST_RECENT, WindowSettings, keep_look, read_settings, remember_recent
from layoutest.errors import LayoutestError


def test_what_is_kept_comes_back(tmp_path):
    place = tmp_path / "layoutest" / "settings.json"
    keep_look(place, "dark", 1.5)
    remember_recent(place, "/job/a")
    remember_recent(place, "/job/Süd")
    remember_recent(place, "/job/a")
    assert read_settings(place) == WindowSettings("dark", 1.5, ("/job/a", "/job/Süd"))
    assert [path.name for path in place.parent.iterdir()] == ["settings.json"]


def test_recent_files_are_so_many(tmp_path):
    place = tmp_path / "settings.json"
    for number in range(MOST_RECENT + 3):
        remember_recent(place, f"/job/{number}")
    recent = read_settings(place).recent
    assert (len(recent), recent[0]) == (MOST_RECENT, f"/job/{MOST_RECENT + 2}")


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b"\xff\xfe", b"5", b"[" * 100_000, b'{"theme": ["light"]}', None])
def test_a_damaged_file_gives_the_usual(tmp_path, data):
    place = tmp_path / "settings.json"
    if data is not None:
        place.write_bytes(data)
    assert read_settings(place) == WindowSettings()


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"theme": "pink", "scale": 1.25}, WindowSettings("light", 1.25)),
        ({"theme": "dark", "scale": 9}, WindowSettings("dark")),
        ({"theme": "dark", "scale": True}, WindowSettings("dark")),
        ({"theme": "dark", "scale": "1.5", "recent": "x"}, WindowSettings("dark")),
        ({"recent": ["a", 5, None, "b"], "more": 1}, WindowSettings(recent=("a", "b"))),
    ],
)
def test_what_is_wrong_has_its_usual_value_and_the_rest_stays(tmp_path, values, expected):
    place = tmp_path / "settings.json"
    place.write_text(json.dumps(values))
    assert read_settings(place) == expected


def test_not_a_number_is_no_scale(tmp_path):
    place = tmp_path / "settings.json"
    place.write_text('{"scale": NaN, "theme": "dark"}')
    assert read_settings(place) == WindowSettings("dark")


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    place = tmp_path / "file" / "settings.json"
    with pytest.raises(LayoutestError) as told:
        keep_look(place, "dark", 1)
    assert str(told.value) == f"'{place}': how the window looks cannot be kept: file exists"
