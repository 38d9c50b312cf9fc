"""What a good layout file is read as."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from layoutest.errors import UnreadableError
from layoutest.files import layout_read
from layoutest.files.layout_read import parse_layout, read_layout
from layoutest.layout.document import (
    Criterion,
    FittingChoice,
    Item,
    Layout,
    Leg,
    Node,
    Outline,
    PipeSize,
    Service,
    Settings,
)

EXAMPLE = Path(__file__).parents[2] / "golden" / "example.layout.json"
SMALLEST = {"format": "layoutest-layout", "version": 1, "services": {}, "nodes": {}, "legs": {}}


def parse(**changes):
    return parse_layout(json.dumps({**SMALLEST, **changes}).encode(), "k.layout.json")


def test_example():
    reading = read_layout(EXAMPLE)
    assert reading.warnings == ()
    assert reading.sha256 == hashlib.sha256(EXAMPLE.read_bytes()).hexdigest()
    assert reading.layout == Layout(
        title="Energy centre, level 00",
        revision="B",
        view="plan",
        grid_mm=100,
        times=1,
        settings=Settings(10, 150, 0, "free", "auto", 50, 0.5),
        pipes={"steel DN50": PipeSize(60.3, 76)},
        services={
            "HF": Service(
                "Heating flow",
                "water",
                80,
                20,
                0.5,
                "indoors",
                "stone-wool-foil",
                40,
                (Criterion("heat-loss", 14.45),),
            )
        },
        nodes={"n1": Node(0, 0, 2400), "n2": Node(5200, 0, 2400), "n3": Node(5200, 3000, 2400)},
        legs={
            "l1": Leg("n1", "n2", "HF", "steel DN50", area="plant room", access="ladder"),
            "l2": Leg("n2", "n3", "HF", "steel DN50"),
        },
        fittings={"n2": FittingChoice(2, 114)},
        items={"v1": Item("l1", 1500, "valve", 230, "jacket")},
        structure={"w1": Outline("wall", ((0, 300), (9000, 300), (9000, 500), (0, 500)), (0, 3000))},
    )


def test_what_may_be_left_out_takes_its_default():
    assert parse().layout == Layout()


def test_tables_cannot_be_changed():
    layout = parse(nodes={"n1": [0, 0, 0]}).layout
    with pytest.raises(TypeError):
        layout.nodes["n1"] = Node(1, 1, 1)


def test_a_whole_number_may_be_written_as_a_decimal():
    layout = parse(grid_mm=50.0, nodes={"n1": [5200.0, -1e3, 0]}, version=1.0).layout
    assert layout.nodes["n1"] == Node(5200, -1000, 0)
    assert all(type(value) is int for value in (*layout.nodes["n1"], layout.grid_mm))


def test_a_byte_order_mark_is_passed_over():
    data = b"\xef\xbb\xbf" + json.dumps(SMALLEST).encode()
    assert parse_layout(data, "k.layout.json").layout == Layout()


def test_limits_themselves_are_good():
    reading = parse(
        times=1000,
        grid_mm=10_000,
        settings={"kerf_mm": 20, "least_piece_mm": 0, "angle_tolerance_deg": 0, "bend_gap_mm": 100},
        nodes={"n" * 60: [-1_000_000, 1_000_000, 0]},
        services={"s": {"fluid_c": -273, "ambient_c": 1000, "relative_humidity": 1, "thickness_mm": "auto"}},
        pipes={"p": {"outside_diameter_mm": 2000}, "q": {"elbow_radius_mm": 0}, "r": {}, "a:b": {}},
    )
    assert reading.warnings == ()
    assert reading.layout.pipes["q"] == PipeSize(None, 0)


def test_what_the_drawing_gets_wrong_is_not_for_the_reader_to_refuse():
    nodes = {"n1": [0, 0, 0], "n2": [0, 0, 0]}
    legs = {
        "l1": {"from": "n1", "to": "n1", "service": "?", "pipe": "?"},
        "l2": {"from": "n1", "to": "n2", "service": "", "pipe": ""},
    }
    layout = parse(nodes=nodes, legs=legs, items={"v": {"leg": "l1", "at_mm": -5}}).layout
    assert (len(layout.legs), layout.items["v"].at_mm) == (2, -5)


def test_unknown_keys_are_kept_and_warned_of_wherever_they_stand():
    reading = parse(
        titel="x",
        settings={"kerf": 3},
        pipes={"steel DN50": {"note": None}},
        services={"HF": {"criteria": [{"criterion": "frost", "hours": 8.0}], "extra": 1}},
        nodes={"n1": [0, 0, 0], "n2": [1, 0, 0]},
        legs={"l1": {"from": "n1", "to": "n2", "service": "HF", "pipe": "p", "start": "é", "pip": [1, {"a": 2}]}},
        fittings={"n1": {"mitre": 2}},
        items={"v1": {"leg": "l1", "at_mm": 0, "colour": "red"}},
        structure={"w1": {"kind": "wall", "outline": [[0, 0], [1, 0], [1, 1]], "level_mm": 3}},
    )
    layout = reading.layout
    assert layout.extra == (("titel", '"x"'),)
    assert layout.settings.extra == (("kerf", "3"),)
    assert layout.pipes["steel DN50"].extra == (("note", "null"),)
    assert layout.services["HF"].extra == (("extra", "1"),)
    assert layout.services["HF"].criteria == (Criterion("frost", None, (("hours", "8.0"),)),)
    assert layout.legs["l1"].extra == (("start", '"é"'), ("pip", '[1,{"a":2}]'))
    assert layout.fittings["n1"].extra == (("mitre", "2"),)
    assert layout.items["v1"].extra == (("colour", '"red"'),)
    assert layout.structure["w1"].extra == (("level_mm", "3"),)
    assert sorted(reading.warnings) == [
        "k.layout.json: fittings.n1: unknown key 'mitre' is kept but not used; near: 'mitres'",
        "k.layout.json: items.v1: unknown key 'colour' is kept but not used",
        "k.layout.json: legs.l1: unknown key 'pip' is kept but not used; near: 'pipe'",
        "k.layout.json: legs.l1: unknown key 'start' is kept but not used",
        "k.layout.json: pipes.'steel DN50': unknown key 'note' is kept but not used",
        "k.layout.json: services.HF.criteria[0]: unknown key 'hours' is kept but not used",
        "k.layout.json: services.HF: unknown key 'extra' is kept but not used",
        "k.layout.json: settings: unknown key 'kerf' is kept but not used; near: 'kerf_mm'",
        "k.layout.json: structure.w1: unknown key 'level_mm' is kept but not used; near: 'levels_mm'",
        "k.layout.json: unknown key 'titel' is kept but not used; near: 'title', 'times'",
    ]


def faults_of(path):
    with pytest.raises(UnreadableError) as caught:
        read_layout(path)
    return caught.value.faults


def test_a_file_that_is_not_there(tmp_path):
    assert faults_of(tmp_path / "k.layout.json") == (
        f"k.layout.json: the file in '{tmp_path}' cannot be read: no such file or directory",
    )


def test_a_folder_in_place_of_a_file(tmp_path):
    assert faults_of(tmp_path) == (f"{tmp_path.name}: the file in '{tmp_path.parent}' cannot be read: is a directory",)


def test_a_file_that_is_too_large_is_not_read_whole(tmp_path):
    path = tmp_path / "k.layout.json"
    with path.open("wb") as stream:
        stream.truncate(layout_read.LARGEST_BYTES * 1000)  # takes no room on the disk
    assert faults_of(path) == ("k.layout.json: the file is larger than 50 MB; expected at most 50,000,000 bytes",)
