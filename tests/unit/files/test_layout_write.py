"""The text of a layout, and how it is moved into place."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from layoutest.errors import LayoutestError
from layoutest.files.layout_read import parse_layout, read_layout
from layoutest.files.layout_write import layout_text, save_layout
from layoutest.layout.document import Criterion, Item, Layout, Leg, Node, Outline, PipeSize, Service

EXAMPLE = Path(__file__).parents[2] / "golden" / "example.layout.json"


def test_an_empty_layout():
    assert layout_text(Layout()) == (
        "{\n"
        '  "format": "layoutest-layout", "version": 1,\n'
        '  "title": "", "revision": "", "view": "plan", "grid_mm": 100, "times": 1,\n'
        '  "settings": {"bend_gap_mm": 10, "least_piece_mm": 150, "kerf_mm": 0, "slit": "free", "joints": "auto", '
        '"joint_overlap_mm": 50, "angle_tolerance_deg": 0.5},\n'
        '  "services": {},\n'
        '  "nodes": {},\n'
        '  "legs": {}\n'
        "}\n"
    )


def test_one_record_a_line_in_the_order_of_ids():
    layout = Layout(
        title='Flat "A"\né',
        pipes={"p": PipeSize(60.3, 0)},
        services={"CW": Service(criteria=(Criterion("frost", 8.0, (("x", "[1,2]"),)),), extra=(("q", "null"),))},
        nodes={"n10": Node(1, 2, 3), "n2": Node(4, 5, 6)},
        legs={"l1": Leg("n10", "n2", "CW", "p", measured_mm=900, covered=False, thickness_mm="auto")},
        items={"v1": Item("l1", 5)},
        structure={"w1": Outline("slab", ((0, 0), (1, 0), (1, 1)))},
        extra=(("zz", "{}"), ("aa", '"é"')),
    )
    assert layout_text(layout).splitlines()[4:] == [
        '  "pipes": {',
        '    "p": {"outside_diameter_mm": 60.3, "elbow_radius_mm": 0}',
        "  },",
        '  "services": {',
        '    "CW": {"setting": "indoors", "criteria": [{"criterion": "frost", "limit": 8, "x": [1,2]}], "q": null}',
        "  },",
        '  "nodes": {',
        '    "n2": [4, 5, 6],',
        '    "n10": [1, 2, 3]',
        "  },",
        '  "legs": {',
        (
            '    "l1": {"from": "n10", "to": "n2", "service": "CW", "pipe": "p", "measured_mm": 900, "covered": false, '
            '"thickness_mm": "auto"}'
        ),
        "  },",
        '  "items": {',
        '    "v1": {"leg": "l1", "at_mm": 5, "kind": "valve", "covered": "jacket"}',
        "  },",
        '  "structure": {',
        '    "w1": {"kind": "slab", "outline": [[0, 0], [1, 0], [1, 1]]}',
        "  },",
        '  "zz": {},',
        '  "aa": "é"',
        "}",
    ]
    assert layout_text(layout).splitlines()[2].startswith(r'  "title": "Flat \"A\"\né", "revision"')


def test_the_example_keeps_every_key():
    written = layout_text(read_layout(EXAMPLE).layout)
    assert json.loads(written) == json.loads(EXAMPLE.read_bytes())
    assert [*json.loads(written)] == [*json.loads(EXAMPLE.read_bytes())]


def test_a_number_without_end_comes_back():
    layout = Layout(services={"s": Service(criteria=(Criterion("c", 1e300), Criterion("d", 0.1)))})
    assert parse_layout(layout_text(layout).encode(), "k").layout == layout


def test_saving_keeps_the_previous_file(tmp_path):
    path = tmp_path / "k.layout.json"
    first, second, third = (Layout(title=title) for title in ("first", "second", "third"))
    save_layout(first, path)
    assert [place.name for place in tmp_path.iterdir()] == ["k.layout.json"]
    save_layout(second, path)
    save_layout(third, path)
    assert read_layout(path).layout == third
    assert read_layout(tmp_path / "k.layout.json.bak").layout == second
    assert sorted(place.name for place in tmp_path.iterdir()) == ["k.layout.json", "k.layout.json.bak"]


def test_saving_writes_the_text_and_keeps_the_permissions(tmp_path):
    path = tmp_path / "k.layout.json"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o640)
    layout = Layout(title="é")
    save_layout(layout, path)
    assert path.read_bytes() == layout_text(layout).encode()
    assert path.stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "k.layout.json.bak").read_bytes() == b"old"


def test_saving_through_a_link_changes_what_it_points_to(tmp_path):
    real, link = tmp_path / "real.layout.json", tmp_path / "link.layout.json"
    real.write_text("old", encoding="utf-8")
    link.symlink_to(real)
    save_layout(Layout(), link)
    assert link.is_symlink()
    assert read_layout(real).layout == Layout()


def refusal(path, layout=Layout()):  # noqa: B008 - a layout cannot be changed
    with pytest.raises(LayoutestError) as caught:
        save_layout(layout, path)
    return str(caught.value)


def test_a_folder_that_is_not_there(tmp_path):
    path = tmp_path / "no" / "k.layout.json"
    assert refusal(path) == (
        f"k.layout.json: the file cannot be saved in '{tmp_path / 'no'}': no such file or directory; "
        "what stood there is unchanged"
    )


def test_a_backup_that_cannot_be_made_leaves_the_old_file(tmp_path):
    path = tmp_path / "k.layout.json"
    save_layout(Layout(title="old"), path)
    (tmp_path / "k.layout.json.bak").mkdir()
    assert "k.layout.json: the file cannot be saved in" in refusal(path)
    assert read_layout(path).layout.title == "old"
    assert sorted(place.name for place in tmp_path.iterdir()) == ["k.layout.json", "k.layout.json.bak"]


def test_a_disk_that_fails_in_the_middle_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "k.layout.json"
    save_layout(Layout(title="old"), path)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("layoutest.files.whole.os.fsync", full)
    assert refusal(path) == (
        f"k.layout.json: the file cannot be saved in '{tmp_path}': no space left on device; "
        "what stood there is unchanged"
    )
    assert read_layout(path).layout.title == "old"
    assert [place.name for place in tmp_path.iterdir()] == ["k.layout.json"]


def test_a_layout_that_no_file_can_hold_leaves_the_old_file(tmp_path):
    path = tmp_path / "k.layout.json"
    save_layout(Layout(title="old"), path)
    for title in ("\ud800", float("nan")):
        assert "cannot be saved" in refusal(path, replace(Layout(), title=title))
    assert read_layout(path).layout.title == "old"
