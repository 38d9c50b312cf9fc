"""Every fault of a layout file, by its exact text."""

from __future__ import annotations

import copy
import json

import pytest

from layoutest.errors import UnreadableError
from layoutest.files.layout_read import parse_layout

GOOD = {
    "format": "layoutest-layout",
    "version": 1,
    "pipes": {"steel DN50": {"outside_diameter_mm": 60.3}},
    "services": {"HF": {"criteria": [{"criterion": "heat-loss", "limit": 14.45}]}},
    "nodes": {"n1": [0, 0, 2400], "n20": [5200, 0, 2400], "n3": [5200, 3000, 2400]},
    "legs": {
        "leg1": {"from": "n1", "to": "n20", "service": "HF", "pipe": "steel DN50"},
        "leg2": {"from": "n20", "to": "n3", "service": "HF", "pipe": "steel DN50"},
    },
    "fittings": {"n20": {"mitres": 2}},
    "items": {"v1": {"leg": "leg1", "at_mm": 1500}},
    "structure": {"w1": {"kind": "wall", "outline": [[0, 0], [9, 0], [9, 9]], "levels_mm": [0, 3000]}},
}
GONE = object()
COORDINATE = "a whole number of mm from -1,000,000 to 1,000,000"


def faults_of(data):
    with pytest.raises(UnreadableError) as caught:
        parse_layout(data, "k.layout.json")
    assert str(caught.value) == "\n".join(caught.value.faults)
    assert all(fault.startswith("k.layout.json: ") for fault in caught.value.faults)
    return [fault.removeprefix("k.layout.json: ") for fault in caught.value.faults]


def spoilt(*changes):
    document = copy.deepcopy(GOOD)
    for path, value in changes:
        *way, key = path.split("/")
        place = document
        for step in way:
            place = place[int(step) if isinstance(place, list) else step]
        if value is GONE:
            del place[key]
        else:
            place[int(key) if isinstance(place, list) else key] = value
    return json.dumps(document).encode()


def test_the_good_file_is_good():
    assert parse_layout(spoilt(), "k.layout.json").warnings == ()


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        (b"", "the file is empty; expected a layout"),
        (b" \r\n\t", "the file is empty; expected a layout"),
        (b"\xff\xfe{", "line 1: byte FF stands where UTF-8 text was expected"),
        (b'{\n"a": "\xe9"}', "line 2: byte E9 stands where UTF-8 text was expected"),
        (b"[1, 2]", "[1, 2] stands here; expected an object in braces"),
        (b"null", "null stands here; expected an object in braces"),
        (b'"layout"', "'layout' stands here; expected an object in braces"),
        (
            b'{"format": 1,\n "title" "x"}',
            "line 2, column 10: '\"x\"}' cannot stand here in JSON; expected a comma, a quote, a bracket or a value",
        ),
        (
            b'{"format": "x",}',
            "line 1, column 16: '}' cannot stand here in JSON; expected a comma, a quote, a bracket or a value",
        ),
        (b'{"a": 1,\n', "line 2, column 1: the text ends here; expected more: a bracket or a quote is not closed"),
        (b"[" * 100_000, "brackets stand in one another too deeply; expected a few levels"),
        (b'{"a":' * 100_000, "brackets stand in one another too deeply; expected a few levels"),
        (b"{}", "format: this key is missing; expected 'layoutest-layout'"),
        (b'{"fromat": "x"}', "format: this key is missing; expected 'layoutest-layout'; near: 'fromat'"),
        (b'{"format": "other"}', "format: 'other' stands here; expected 'layoutest-layout'"),
        (b'{"format": "layoutest-layout"}', "version: this key is missing; expected 1"),
    ],
)
def test_no_layout_at_all(data, fault):
    assert faults_of(data) == [fault]


def test_a_file_over_50_mb():
    assert faults_of(b" " * 50_000_001) == ["the file is larger than 50 MB; expected at most 50,000,000 bytes"]


@pytest.mark.parametrize(
    ("path", "value", "fault"),
    [
        (
            "version",
            2,
            "version: this file was made by a newer version of the program: it says 2; expected 1 or less",
        ),
        ("version", 0, "version: 0 stands here; expected 1"),
        ("version", 1.5, "version: 1.5 stands here; expected 1"),
        ("version", True, "version: true stands here; expected 1"),
        ("version", "1", "version: '1' stands here; expected 1"),
        ("title", 3, "title: 3 stands here; expected text in double quotes"),
        ("title", None, "title: null stands here; expected text in double quotes"),
        ("view", "Plan", "view: 'Plan' stands here; expected 'plan' or 'elevation'"),
        ("times", 0, "times: 0 stands here; expected a whole number from 1 to 1,000"),
        ("times", 1001, "times: 1001 stands here; expected a whole number from 1 to 1,000"),
        ("times", "2", "times: '2' stands here; expected a whole number from 1 to 1,000"),
        ("times", True, "times: true stands here; expected a whole number from 1 to 1,000"),
        ("times", 2.5, "times: 2.5 stands here; expected a whole number from 1 to 1,000"),
        ("grid_mm", 0, "grid_mm: 0 stands here; expected a whole number of mm from 1 to 10,000"),
        ("grid_mm", 10_001, "grid_mm: 10001 stands here; expected a whole number of mm from 1 to 10,000"),
        ("settings", [], "settings: [] stands here; expected an object in braces"),
        (
            "settings",
            {"bend_gap_mm": 0},
            "settings.bend_gap_mm: 0 stands here; expected a number of mm above 0 and up to 100",
        ),
        (
            "settings",
            {"least_piece_mm": 501},
            "settings.least_piece_mm: 501 stands here; expected a whole number of mm from 0 to 500",
        ),
        ("settings", {"kerf_mm": 21}, "settings.kerf_mm: 21 stands here; expected a whole number of mm from 0 to 20"),
        ("settings", {"slit": "in line"}, "settings.slit: 'in line' stands here; expected 'free' or 'in-line'"),
        ("settings", {"joints": 1}, "settings.joints: 1 stands here; expected 'auto', 'priced' or 'fewest'"),
        (
            "settings",
            {"joint_overlap_mm": -0.5},
            "settings.joint_overlap_mm: -0.5 stands here; expected a number of mm from 0 to 500",
        ),
        (
            "settings",
            {"angle_tolerance_deg": 5.1},
            "settings.angle_tolerance_deg: 5.1 stands here; expected a number of degrees from 0 to 5",
        ),
        ("pipes", 1, "pipes: 1 stands here; expected an object in braces"),
        (
            "pipes/steel DN50/outside_diameter_mm",
            0.5,
            "pipes.'steel DN50'.outside_diameter_mm: 0.5 stands here; expected a number of mm from 1 to 2,000",
        ),
        (
            "pipes/steel DN50/elbow_radius_mm",
            5001,
            "pipes.'steel DN50'.elbow_radius_mm: 5001 stands here; expected a number of mm from 0 to 5,000",
        ),
        ("services", GONE, "services: this key is missing; expected an object in braces"),
        ("services/HF", "water", "services.HF: 'water' stands here; expected an object in braces"),
        (
            "services/HF/fluid_c",
            -274,
            "services.HF.fluid_c: -274 stands here; expected a number of °C from -273 to 1,000",
        ),
        (
            "services/HF/ambient_c",
            "20 °C",
            "services.HF.ambient_c: '20 °C' stands here; expected a number of °C from -273 to 1,000",
        ),
        (
            "services/HF/relative_humidity",
            50,
            "services.HF.relative_humidity: 50 stands here; expected a number from 0 to 1",
        ),
        (
            "services/HF/thickness_mm",
            "Auto",
            "services.HF.thickness_mm: 'Auto' stands here; expected a number of mm above 0 and up to 500 or 'auto'",
        ),
        (
            "services/HF/thickness_mm",
            {"constrained-float": 1},
            (
                'services.HF.thickness_mm: {"constrained-float": 1} stands here; '
                "expected a number of mm above 0 and up to 500 or 'auto'"
            ),
        ),
        ("services/HF/criteria", {}, "services.HF.criteria: {} stands here; expected a list"),
        (
            "services/HF/criteria/0",
            "heat-loss",
            "services.HF.criteria[0]: 'heat-loss' stands here; expected an object in braces",
        ),
        ("services/HF/criteria/0/limit", "9", "services.HF.criteria[0].limit: '9' stands here; expected a number"),
        (
            "services/HF/criteria/0/criterion",
            GONE,
            "services.HF.criteria[0].criterion: this key is missing; expected text in double quotes",
        ),
        ("nodes/n3/0", 5200.5, f"nodes.n3[0]: 5200.5 stands here; expected {COORDINATE}"),
        ("nodes/n3/2", 1_000_001, f"nodes.n3[2]: 1000001 stands here; expected {COORDINATE}"),
        ("nodes/n3/1", False, f"nodes.n3[1]: false stands here; expected {COORDINATE}"),
        ("nodes/n3", [1, 2], f"nodes.n3: [1, 2] stands here; expected a list of 3, each {COORDINATE}"),
        ("nodes/n3", [1, 2, 3, 4], f"nodes.n3: [1, 2, 3, 4] stands here; expected a list of 3, each {COORDINATE}"),
        ("nodes/n3", {"x": 1}, f'nodes.n3: {{"x": 1}} stands here; expected a list of 3, each {COORDINATE}'),
        (
            "nodes/",
            [0, 0, 0],
            "nodes.'': '' cannot be a key here; expected 1 to 60 characters, none of them a control character or ':'",
        ),
        (
            "nodes/a:b",
            [0, 0, 0],
            (
                "nodes.'a:b': 'a:b' cannot be a key here; "
                "expected 1 to 60 characters, none of them a control character or ':'"
            ),
        ),
        (
            "structure/w\n",
            GOOD["structure"]["w1"],
            (
                r"structure.'w\n': 'w\n' cannot be a key here; "
                "expected 1 to 60 characters, none of them a control character or ':'"
            ),
        ),
        (
            "pipes/" + "p" * 61,
            {},
            (
                f"pipes.'{'p' * 39}…': '{'p' * 39}…' cannot be a key here; "
                "expected 1 to 60 characters, none of them a control character"
            ),
        ),
        ("legs/leg2/to", "n2", "legs.leg2.to: no node is called 'n2'; near: 'n20'"),
        ("legs/leg2/from", "elsewhere", "legs.leg2.from: no node is called 'elsewhere'"),
        ("legs/leg2/from", 3, "legs.leg2.from: 3 stands here; expected text in double quotes"),
        ("legs/leg2/service", None, "legs.leg2.service: null stands here; expected text in double quotes"),
        (
            "legs/leg2/measured_mm",
            0,
            "legs.leg2.measured_mm: 0 stands here; expected a whole number of mm from 1 to 1,000,000",
        ),
        ("legs/leg2/covered", 1, "legs.leg2.covered: 1 stands here; expected true or false"),
        ("legs/n3", GOOD["legs"]["leg1"], "legs.n3: the id 'n3' is used under nodes too; expected an id of its own"),
        ("fittings/n2", {}, "fittings.n2: no node is called 'n2'; near: 'n20'"),
        ("fittings/n20/mitres", 13, "fittings.n20.mitres: 13 stands here; expected a whole number from 1 to 12"),
        ("fittings/n20/cover", "taped", "fittings.n20.cover: 'taped' stands here; expected 'preformed'"),
        ("items/v1/leg", "leg3", "items.v1.leg: no leg is called 'leg3'; near: 'leg2', 'leg1'"),
        ("items/v1/at_mm", GONE, f"items.v1.at_mm: this key is missing; expected {COORDINATE}"),
        (
            "items/v1/length_mm",
            0,
            "items.v1.length_mm: 0 stands here; expected a whole number of mm from 1 to 1,000,000",
        ),
        (
            "items/v1/clear_mm",
            -1,
            "items.v1.clear_mm: -1 stands here; expected a whole number of mm from 0 to 1,000,000",
        ),
        (
            "items/v1/kind",
            "tap",
            (
                "items.v1.kind: 'tap' stands here; "
                "expected 'valve', 'flange', 'strainer', 'pump', 'meter', 'support' or 'other'"
            ),
        ),
        (
            "items/v1/covered",
            True,
            "items.v1.covered: true stands here; expected 'jacket', 'through', 'bare' or 'insert'",
        ),
        ("structure/w1/kind", "door", "structure.w1.kind: 'door' stands here; expected 'wall', 'slab' or 'plant'"),
        (
            "structure/w1/outline",
            [[0, 0], [1, 1]],
            "structure.w1.outline: [[0, 0], [1, 1]] stands here; expected a list of at least 3",
        ),
        (
            "structure/w1/outline/1",
            [9],
            f"structure.w1.outline[1]: [9] stands here; expected a list of 2, each {COORDINATE}",
        ),
        (
            "structure/w1/outline/1/0",
            "9",
            f"structure.w1.outline[1][0]: '9' stands here; expected {COORDINATE}",
        ),
        (
            "structure/w1/levels_mm",
            [3000, 0],
            "structure.w1.levels_mm: [3000, 0] stands here; expected two levels in mm, the lower first",
        ),
        ("view", "x" * 41, f"view: '{'x' * 39}…' stands here; expected 'plan' or 'elevation'"),
        ("view", list(range(41)), "view: a list of 41 stands here; expected 'plan' or 'elevation'"),
    ],
)
def test_one_fault(path, value, fault):
    assert faults_of(spoilt((path, value))) == [fault]


def test_a_required_key_that_is_misspelt():
    assert faults_of(spoilt(("legs/leg1/pipe", GONE), ("legs/leg1/pip", "steel DN50"))) == [
        "legs.leg1.pipe: this key is missing; expected text in double quotes; near: 'pip'"
    ]
    assert faults_of(spoilt(("legs", GONE), ("leg", {}), ("items", {}))) == [
        "legs: this key is missing; expected an object in braces; near: 'leg'"
    ]


def test_a_table_that_cannot_be_read_is_told_once():
    assert faults_of(spoilt(("nodes", []))) == ["nodes: [] stands here; expected an object in braces"]


def test_one_bad_record_hides_no_other_fault():
    data = spoilt(
        ("times", 0),
        ("nodes/n3", [1, 2]),
        ("legs/leg1/from", "n7"),
        ("legs/leg1/measured_mm", -5),
        ("legs/leg1/pipe", GONE),
        ("items/v1", {"leg": "leg9"}),
        ("structure/n1", {"kind": "wall", "outline": [], "levels_mm": [1, 0]}),
        ("structure/w1/levels_mm", [5, 5]),
    )
    assert faults_of(data) == [
        "times: 0 stands here; expected a whole number from 1 to 1,000",
        f"nodes.n3: [1, 2] stands here; expected a list of 3, each {COORDINATE}",
        "legs.leg1.pipe: this key is missing; expected text in double quotes",
        "legs.leg1.measured_mm: -5 stands here; expected a whole number of mm from 1 to 1,000,000",
        f"items.v1.at_mm: this key is missing; expected {COORDINATE}",
        "structure.n1.outline: [] stands here; expected a list of at least 3",
        "structure.n1: the id 'n1' is used under nodes too; expected an id of its own",
        "legs.leg1.from: no node is called 'n7'",
        "items.v1.leg: no leg is called 'leg9'; near: 'leg2', 'leg1'",
        "structure.w1.levels_mm: [5, 5] stands here; expected two levels in mm, the lower first",
    ]


def with_text(old, new):
    text = json.dumps(GOOD)
    assert old in text
    return text.replace(old, new).encode()


def test_keys_that_stand_twice():
    assert faults_of(with_text('"nodes": {', '"nodes": {"n1": [0, 0, 0], "n3": [0, 0, 0], ')) == [
        "nodes.n1: this key stands more than once; expected it once",
        "nodes.n3: this key stands more than once; expected it once",
    ]
    assert faults_of(with_text('"mitres": 2', '"mitres": 2, "note": [{"a": 1, "a": 1, "a": 1}]')) == [
        "fittings.n20.note[0].a: this key stands more than once; expected it once"
    ]


@pytest.mark.parametrize(
    ("number", "what"),
    [
        ("NaN", "NaN"),
        ("Infinity", "a number too large to use"),
        ("-Infinity", "a number too large to use"),
        ("1e999", "a number too large to use"),
        ("-1e999", "a number too large to use"),
        ("9" * 101, "a number too large to use"),
        ("9" * 100_000, "a number too large to use"),
    ],
)
def test_numbers_that_cannot_be_counted_with(number, what):
    fault = f"{what} stands here; expected a number that can be counted with"
    assert faults_of(with_text("14.45", number)) == [f"services.HF.criteria[0].limit: {fault}"]
    assert faults_of(with_text("1500", number)) == [f"items.v1.at_mm: {fault}"]
    assert faults_of(with_text('"version": 1', '"version": 1, "note": [' + number + "]")) == [f"note[0]: {fault}"]


def test_half_a_character():
    assert faults_of(with_text('"version": 1', r'"version": 1, "title": "a\ud800"')) == [
        r"title: 'a\ud800' holds half a character (a lone surrogate); expected text"
    ]
    pair = with_text('"version": 1', r'"version": 1, "title": "\ud83d\ude00"')
    assert parse_layout(pair, "k.layout.json").layout.title == "😀"


def test_very_many_slips_are_told_without_near_names():
    document = copy.deepcopy(GOOD)
    document["nodes"] = {f"node{number}": [number, 0, 0] for number in range(60_000)}
    document["fittings"] = {}
    faults = faults_of(json.dumps(document).encode())
    assert faults[0] == "legs.leg1.from: no node is called 'n1'"
    assert len(faults) == 4
