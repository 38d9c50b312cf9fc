"""Typing over what is picked: what is accepted changes exactly what it says, what is refused changes nothing."""

from __future__ import annotations

import sys
from dataclasses import fields, replace
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, demo, words_of

from layoutest.edit.assign import set_item, set_legs
from layoutest.editor import events as ev
from layoutest.layout.document import Outline

TABLES = ("services", "pipes", "nodes", "legs", "fittings", "items", "structure")


def changes(old, new):
    """(table, id, field) of everything that differs between two layouts."""
    found = {
        (one.name,)
        for one in fields(old)
        if one.name not in TABLES and getattr(old, one.name) != getattr(new, one.name)
    }
    for table in TABLES:
        before, after = getattr(old, table), getattr(new, table)
        for name in before.keys() | after.keys():
            one, other = before.get(name), after.get(name)
            if one is None or other is None or isinstance(one, tuple):
                found |= {(table, name)} if one != other else set()
            else:
                found |= {
                    (table, name, key.name) for key in fields(one) if getattr(one, key.name) != getattr(other, key.name)
                }
    return found


def shown(desk):
    return words_of(next(panel for panel in desk.scene.panels if panel.name == "panel").parts)


LEG = ("leg", lambda: Desk().click(800, 0))
ITEM = ("item", lambda: Desk().click(2000, 0))
NODE = ("node", lambda: Desk().click("n1"))
SHEET = ("sheet", Desk)


@pytest.mark.parametrize(
    ("of", "field", "typed", "changed", "value"),
    [
        (LEG, "l1.length", "4.1 m", {("nodes", name) for name in ("n2", "n3", "n4")}, None),
        (LEG, "l1.level", "3000", {("nodes", "n1"), ("nodes", "n2")}, None),
        (LEG, "l1.level", "-40", {("nodes", "n1"), ("nodes", "n2")}, None),
        (LEG, "l1.taped", "11'", {("legs", "l1", "measured_mm")}, lambda layout: layout.legs["l1"].measured_mm == 3353),
        (ITEM, "at", "500", {("items", "v1", "at_mm")}, lambda layout: layout.items["v1"].at_mm == 500),
        (ITEM, "at", "99 m", {("items", "v1", "at_mm")}, lambda layout: layout.items["v1"].at_mm == 3400),
        (ITEM, "long", "240", {("items", "v1", "length_mm")}, lambda layout: layout.items["v1"].length_mm == 240),
        (NODE, "x", "-300", {("nodes", "n1")}, lambda layout: layout.nodes["n1"] == (-300, 0, 2400)),
        (NODE, "y", "50", {("nodes", "n1")}, lambda layout: layout.nodes["n1"] == (0, 50, 2400)),
        (NODE, "Level", "0", {("nodes", "n1")}, lambda layout: layout.nodes["n1"] == (0, 0, 0)),
        (
            SHEET,
            "title",
            "Attic 'Süd' \U0001f600",
            {("title",)},
            lambda layout: layout.title == "Attic 'Süd' \U0001f600",
        ),
        (SHEET, "revision", "B", {("revision",)}, lambda layout: layout.revision == "B"),
        (SHEET, "grid", "250", {("grid_mm",)}, lambda layout: layout.grid_mm == 250),
    ],
)
@pytest.mark.parametrize("leaving", ["return", "tab", "press"])
def test_what_is_typed_changes_what_it_says_and_nothing_else(of, field, typed, changed, value, leaving):
    desk = of[1]()
    name = desk.field(field)
    desk.push(name).key("ctrl+a").type(typed)
    assert desk.document is desk.first, "nothing is taken before the field is left"
    if leaving == "press":
        desk.do(ev.PointerPressed(400, 760), ev.PointerReleased(400, 760))
    else:
        desk.key(leaving)
    assert changes(desk.first, desk.document) == changed
    assert value is None or value(desk.document)
    assert not desk.state.ui.refused
    desk.key("escape", "ctrl+z")
    assert desk.document is desk.first


@pytest.mark.parametrize(
    ("of", "field", "typed"),
    [
        (LEG, "l1.length", "0"),
        (LEG, "l1.length", "-5"),
        (LEG, "l1.length", "5 miles"),
        (LEG, "l1.length", ""),
        (LEG, "l1.length", "2000000"),
        (LEG, "l1.level", "up"),
        (LEG, "l1.taped", "0"),
        (LEG, "l1.taped", "1001 m"),
        (ITEM, "at", "-1"),
        (ITEM, "long", "0"),
        (NODE, "x", ""),
        (NODE, "x", "1e3"),
        (SHEET, "grid", "0"),
        (SHEET, "grid", "20 m"),
    ],
)
def test_what_is_refused_stays_in_its_field_with_a_sentence_and_changes_nothing(of, field, typed):
    desk = of[1]()
    name = desk.field(field)
    desk.push(name).key("ctrl+a", "delete").type(typed, "return")
    assert desk.document is desk.first
    assert desk.state.ui.refused[name]
    assert "Traceback" not in desk.state.ui.refused[name]
    desk.key("escape")
    assert not desk.state.ui.refused


def test_escape_gives_a_draft_back_and_enter_without_a_change_does_nothing():
    desk = Desk().click(800, 0)
    desk.push("l1.length").key("ctrl+a").type("77", "escape")
    assert desk.document is desk.first
    desk.push("l1.length").key("return")
    assert desk.document is desk.first
    assert desk.state.history.past is None


def test_an_empty_taped_length_is_as_drawn_again_and_an_items_is_from_the_book():
    layout = set_item(set_legs(demo("first-five-minutes"), ("l1",), measured_mm=3500), "v1", length_mm=300)
    desk = Desk(layout).click(800, 0)
    desk.push("l1.taped").key("ctrl+a", "delete", "return")
    assert changes(layout, desk.document) == {("legs", "l1", "measured_mm")}
    desk.click(2000, 0).push("long").key("ctrl+a", "delete", "return")
    assert desk.document.items["v1"].length_mm is None


def test_a_draft_belongs_to_what_was_picked_when_it_was_typed():
    desk = Desk().click(800, 0).push("l1.length").key("ctrl+a").type("5000")
    desk.click(3400, 1100)
    assert desk.document.nodes["n2"] == (5000, 0, 2400), "leaving the field takes what was typed, for its own leg"
    assert desk.document.nodes["n3"] == (5000, 2200, 2400)


@pytest.mark.parametrize(
    ("field", "words", "changed"),
    [
        ("l1.service", "Heating r", {("services", "HR"), ("legs", "l1", "service")}),
        ("l1.size", "copper 42", {("legs", "l1", "pipe")}),
        ("l1.covering", "left", {("legs", "l1", "covered")}),
        ("l1.covering", "closed", {("legs", "l1", "covering")}),
    ],
)
def test_a_dropdown_changes_what_it_says(field, words, changed):
    desk = Desk().click(800, 0).choose(field, words)
    found = changes(desk.first, desk.document)
    if ("services", "HR") in changed:
        assert changes(desk.first, desk.document) == changed
        assert desk.state.pen.service == "HR"
    else:
        assert found <= changed
        assert desk.document is desk.first or found == changed


def test_a_thickness_is_chosen_from_what_the_book_sells_and_given_back_to_the_service():
    desk = Desk().click(800, 0).push("l1.thickness")
    assert desk.state.ui.open
    desk.key("down", "return")
    own = desk.document.legs["l1"].thickness_mm
    assert changes(desk.first, desk.document) == {("legs", "l1", "thickness_mm")}
    assert own in [cut for _, _, cut in desk.state.live.stocks] or not desk.state.live.complete
    desk.push("l1.thickness").key("home", "return")
    assert desk.document == desk.first


def test_bare_and_covered_again_is_as_before():
    desk = Desk().click(800, 0).choose("l1.covering", "left")
    assert not desk.document.legs["l1"].covered
    desk.choose("l1.covering", "as the")
    assert desk.document == desk.first


def test_a_girth_offers_sizes_and_one_of_them_is_taken():
    desk = Desk().click(800, 0).fill("l1.girth", "132")
    assert desk.document is desk.first
    assert "copper 42" in shown(desk), "π × 42 = 131.9 mm"
    desk.push("particulars.girth.0")
    assert changes(desk.first, desk.document) == {("legs", "l1", "pipe")}
    assert desk.document.legs["l1"].pipe == "copper 42"
    assert desk.state.girth_mm is None
    assert desk.state.pen.pipe == "copper 42"


def test_several_legs_are_given_the_same():
    desk = Desk().click(800, 0).click(3400, 1100, mods="shift")
    name = next(name for name in desk.boxes() if name.endswith(".size"))
    desk.choose(name, "copper 54")
    assert changes(desk.first, desk.document) == {("legs", "l1", "pipe"), ("legs", "l2", "pipe")}
    assert not [name for name in desk.boxes() if name.endswith(".length") and name.startswith("particulars")]


def test_the_next_leg_is_made_of_what_is_chosen():
    desk = Desk().key("l").choose("service", "Cold").choose("size", "copper 15")
    assert desk.document is desk.first
    desk.click(0, 1000).click(1000, 1000)
    leg = desk.document.legs["l4"]
    assert (leg.service, leg.pipe) == ("CW", "copper 15")
    desk.key("return", "escape").fill("girth", "110")
    desk.push("particulars.girth.0")
    assert desk.state.pen.pipe == "copper 35"


def test_the_next_item_is_of_the_kind_that_is_chosen():
    desk = Desk().key("i").choose("kind", "pump").click(600, 0)
    assert desk.document.items["v2"].kind == "pump"
    desk.key("escape")
    assert desk.state.item_kind == "pump"


def test_an_items_kind_and_cover_are_chosen():
    desk = Desk().click(2000, 0).choose("kind", "flange")
    assert changes(desk.first, desk.document) == {("items", "v1", "kind")}
    desk.choose("covered", "left bare")
    assert desk.document.items["v1"].covered == "bare"
    assert desk.state.history.undo_name == "Change the cover"


def test_parts_of_several_kinds_and_outlines_are_told():
    outlines = {"w1": Outline("plant", ((0, 500), (800, 500), (800, 1100), (0, 1100)))}
    desk = Desk(replace(demo("first-five-minutes"), structure=MappingProxyType(outlines))).click(400, 800)
    assert "an outline" in shown(desk)
    desk.key("ctrl+a")
    assert "5 parts" in shown(desk)
    desk.click("n1")
    assert any("1 leg end" in words for words in shown(desk))


def test_a_leg_whose_service_pipe_or_covering_nobody_knows_can_be_mended_here():
    layout = set_legs(
        demo("first-five-minutes"), ("l1",), service="??", pipe="no pipe", covering="no covering", thickness_mm="auto"
    )
    desk = Desk(layout).click(800, 0)
    assert "NOT COMPLETE" in shown(desk)
    desk.choose("l1.service", "Heating f").choose("l1.size", "copper 35").choose("l1.covering", "as the")
    desk.push("l1.thickness").key("home", "return")
    assert desk.document.legs["l1"] == demo("first-five-minutes").legs["l1"]
    assert desk.state.live.complete


def test_the_working_of_a_picked_leg_is_shown_where_there_is_room():
    desk = Desk(size=(1600, 1000)).click(800, 0)
    assert "The working, mm" in shown(desk)
    assert "leg l1, corner to corner" in shown(desk)
    low = Desk(size=(1280, 560)).click(800, 0)
    assert "The working, mm" not in shown(low)


def test_every_field_can_be_reached_by_tab_and_none_hides_another():
    for make in (LEG[1], ITEM[1], NODE[1], SHEET[1]):
        desk = make()
        names, boxes = list(desk.boxes()), desk.boxes()
        seen = set()
        for _ in range(len(names) + 1):
            desk.key("tab")
            seen.add(desk.state.ui.focus)
        assert seen >= {name for name in names if name.startswith(("particulars", "status"))}
        fields = [box for name, box in boxes.items() if name.startswith("particulars")]
        for number, one in enumerate(fields):
            for other in fields[number + 1 :]:
                apart = (
                    one.high_x <= other.low_x
                    or other.high_x <= one.low_x
                    or one.high_y <= other.low_y
                    or other.high_y <= one.low_y
                )
                assert apart
