"""The demo layouts hold what they promise, and are complete."""

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.files.layout_read import read_layout
from layoutest.files.layout_write import layout_text
from layoutest.job import Source, estimate_job
from layoutest.tables.shipped import demo_folder

DEMOS = sorted(demo_folder().glob("*.layout.json"))


def estimated(name):
    reading = read_layout(demo_folder() / f"{name}.layout.json")
    return estimate_job([Source(name, reading.sha256, reading.layout)], read_book(example_book_folder()))


def fittings(estimate):
    (copy,) = estimate.copies
    return [fitting for joined in copy.covering.joined.values() for fitting in joined.fittings]


def test_there_are_five():
    assert [path.name.removesuffix(".layout.json") for path in DEMOS] == [
        "first-five-minutes",
        "plant-room",
        "riser",
        "teaching-many-bends",
        "teaching-short",
    ]


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.name)
def test_each_is_written_as_the_program_writes_it(path):
    reading = read_layout(path)
    assert reading.warnings == ()
    assert layout_text(reading.layout) == path.read_text(encoding="utf-8")
    assert reading.layout.title.endswith("(invented demo)")


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.name)
def test_each_is_complete(path):
    estimate = estimated(path.name.removesuffix(".layout.json"))
    assert estimate.complete
    assert {snag.severity for snag in estimate.snags} <= {"note"}


def test_the_plant_room_has_what_a_plant_room_has():
    estimate = estimated("plant-room")
    layout = estimate.sources[0].layout
    assert {"steel DN80", "copper 22"} <= {leg.pipe for leg in layout.legs.values()}
    assert {"valve", "pump", "meter", "strainer", "support"} <= {item.kind for item in layout.items.values()}
    assert any(leg.measured_mm for leg in layout.legs.values())
    assert any(outline.kind == "slab" for outline in layout.structure.values())
    drops = [leg for leg in layout.legs.values() if layout.nodes[leg.start][:2] == layout.nodes[leg.end][:2]]
    assert len(drops) > 10
    made = fittings(estimate)
    assert {"notch", "saddle"} == {fitting.cut for fitting in made if fitting.kind == "tee"}
    assert any(fitting.kind == "reducer" for fitting in made)
    assert {1, 2} <= {fitting.mitres for fitting in made if fitting.kind == "bend"}
    assert any(fitting.kind == "bend" and fitting.angle_deg == pytest.approx(45) for fitting in made)


def test_the_riser_serves_five_floors_with_four_services():
    layout = estimated("riser").sources[0].layout
    assert layout.view == "elevation"
    assert len(layout.services) == 4
    floors = {leg.area for leg in layout.legs.values() if leg.area.startswith("floor")}
    assert floors == {f"floor {number}" for number in range(5)}
    valves = [item for item in layout.items.values() if item.kind == "valve"]
    assert len(valves) == 4 * 5


def test_the_teaching_pair_joins_the_same_two_points():
    ends = []
    for name in ("teaching-short", "teaching-many-bends"):
        estimate = estimated(name)
        layout = estimate.sources[0].layout
        ends.append({layout.nodes[fitting.node] for fitting in fittings(estimate) if fitting.kind == "end"})
        assert {(leg.pipe, leg.service) for leg in layout.legs.values()} == {("steel DN50", "HF")}
    assert ends[0] == ends[1]
    assert len(ends[0]) == 2


def test_the_first_five_minutes_are_one_pipe_with_a_drop_of_1200_mm():
    estimate = estimated("first-five-minutes")
    layout = estimate.sources[0].layout
    assert {fitting.kind for fitting in fittings(estimate)} == {"bend", "end"}
    assert 1200 in {
        abs(layout.nodes[leg.start].level_mm - layout.nodes[leg.end].level_mm) for leg in layout.legs.values()
    }
    assert [item.kind for item in layout.items.values()] == ["valve"]
