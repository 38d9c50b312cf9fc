"""The hand on the sheet, by events: what a press, a drag, a key or a typed length makes of the drawing."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, demo, exact, words_of

from layoutest.edit.assign import set_legs
from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.files.layout_write import layout_text
from layoutest.layout.document import Leg, Node, Outline
from layoutest.pack.plan import pack


def test_a_first_leg_on_an_empty_sheet_brings_its_service_and_goes_on():
    desk = Desk(None).key("l").click(0, 0)
    assert desk.gesture == "Drawing"
    desk.point(2000, 30).click(2000, 30)
    (leg,) = desk.document.legs.values()
    assert desk.document.nodes[leg.start] == (0, 0, 2400)
    assert desk.document.nodes[leg.end] == (2000, 0, 2400), "held to a right angle"
    assert leg.service == "HF"
    assert desk.document.services["HF"].covering in desk.state.book.coverings
    assert desk.gesture == "Drawing"
    desk.click(2000, 1500)
    assert len(desk.document.legs) == 2
    assert len(desk.document.nodes) == 3
    assert desk.key("return").gesture == ""
    assert desk.state.tool == "leg"


def test_a_double_click_or_the_right_button_ends_drawing():
    for ending in ({"clicks": 2}, {"button": 3}):
        desk = Desk(None).key("l").click(0, 0).click(2000, 0)
        assert desk.press(2000, 0, **ending).gesture == ""
        assert len(desk.document.legs) == 1


def test_escape_ends_what_is_drawn_then_lets_go_of_what_is_picked_then_of_the_tool():
    desk = Desk(None).key("l").click(0, 0).click(2000, 0).key("escape")
    assert (desk.gesture, desk.state.picked, desk.state.tool) == ("", {"l1"}, "leg")
    desk.key("escape")
    assert (desk.state.picked, desk.state.tool) == (frozenset(), "leg")
    assert desk.key("escape").state.tool == "pick"


@pytest.mark.parametrize(
    ("typed", "length_mm"), [("5200", 5200), ("5.2 m", 5200), ("5,2 m", 5200), ("17'", 5182), ("205 1/4 in", 5213)]
)
def test_a_typed_length_is_drawn_in_the_pointers_direction(typed, length_mm):
    """17 ft = 5181.6 mm and 205.25 in = 5213.35 mm, with the inch of 25.4 mm (NIST SP 811, B.6)."""
    desk = Desk(None).key("l").click(0, 0).point(40, 900).type(typed, "return")
    assert [*desk.document.nodes.values()] == [(0, 0, 2400), (0, length_mm, 2400)]
    desk.point(1000, length_mm + 20).type("800", "return")
    assert desk.document.nodes["n3"] == (800, length_mm, 2400)


def test_a_typed_length_of_nothing_is_refused_and_the_drawing_goes_on():
    desk = Desk(None).key("l").click(0, 0).point(900, 0)
    for typed in ("0", "5200x", "1/0 m", "2000000"):
        desk.type(typed, "return")
        assert desk.state.ui.refused["status.length"]
        assert desk.gesture == "Drawing"
        assert not desk.document.legs
        desk.key("escape")
    assert desk.key("escape").gesture == ""


def test_a_leg_that_begins_on_another_makes_a_tee_and_one_that_ends_on_it_too():
    desk = Desk().key("l").click(1000, 0).click(1000, 900).key("escape")
    layout = desk.document
    assert layout.nodes[layout.legs["l1"].end] == (1000, 0, 2400)
    assert layout.items["v1"].leg == "l4"
    assert layout.items["v1"].at_mm == 1000
    assert [snag.code for snag in desk.state.live.snags if "joined" in snag.says] == []
    # From free ground onto the second part, and drawing ends there.
    desk.click(1800, 1200).point(1800, 0).click(1800, 0)
    assert desk.gesture == ""
    ends = [leg.end for leg in desk.document.legs.values() if desk.document.nodes[leg.end] == (1800, 0, 2400)]
    assert len(set(ends)) == 1


def test_a_leg_back_along_another_is_not_drawn_twice():
    desk = Desk().key("l").click("n1").point("n2").click("n2")
    assert desk.document is desk.first
    assert "No leg" in desk.state.message


def test_a_pipe_on_another_level_is_crossed_and_not_met():
    desk = Desk().fill("status.level", "3000").key("l").click(1000, 900).click(1000, -100)
    (leg,) = [leg for name, leg in desk.document.legs.items() if name not in desk.first.legs]
    assert desk.document.nodes[leg.end] == (1000, -100, 3000)
    assert len(desk.document.legs) == 4


def test_alt_or_free_angles_draw_anywhere():
    desk = Desk(None).key("l").click(0, 0).click(1230, 470, mods="alt")
    node = desk.document.nodes["n2"]
    assert abs(node.x_mm - 1230) <= 1
    assert abs(node.y_mm - 470) <= 1
    desk.key("escape", "f", "l").click(0, 1000).click(770, 1310)
    assert desk.state.free_angle
    assert abs(desk.document.nodes["n4"].y_mm - 1310) <= 1
    assert not desk.key("f").state.free_angle


@pytest.mark.parametrize(
    ("typed", "level"), [("3600", 3600), ("+600", 3000), ("-1200", 1200), ("−400", 2000), ("=-500", -500)]
)
def test_a_rise_is_typed_from_a_node(typed, level):
    desk = Desk().key("r").click("n1")
    assert desk.state.ui.focus == "status.level"
    desk.type(typed, "return")
    leg = desk.document.legs["l4"]
    assert desk.document.nodes[leg.start] == (0, 0, 2400)
    assert desk.document.nodes[leg.end] == (0, 0, level)
    assert desk.state.depth_mm == level


def test_a_rise_from_a_leg_makes_a_tee_and_one_to_its_own_level_is_told():
    desk = Desk().key("r").click(800, 0).type("2400", "return")
    assert desk.document is desk.first
    assert "at 2400 already" in desk.state.message
    desk.type("+900", "return")
    assert len(desk.document.legs) == 5
    assert desk.document.nodes[desk.document.legs["l1"].end] == (800, 0, 2400)


def test_drawing_goes_up_and_on_at_the_new_level():
    desk = Desk(None).key("l").click(0, 0).click(2000, 0).key("r").type("+1000", "return")
    assert desk.gesture == "Drawing"
    assert desk.state.tool == "leg"
    desk.click(2000, 1000)
    assert [leg.start for leg in desk.document.legs.values()][-1] == "n3", "the upper end of the rise"
    assert desk.document.nodes["n4"].level_mm == 3400


def test_an_item_and_a_support_are_put_on_a_leg_only():
    desk = Desk().key("i").click(400, 0)
    (name,) = desk.state.picked
    assert desk.document.items[name] == desk.document.items["v1"].__class__("l1", 400, "valve")
    desk.key("s").click(3400, 1000)
    (name,) = desk.state.picked
    assert (desk.document.items[name].leg, desk.document.items[name].kind) == ("l2", "support")
    assert desk.document.items[name].covered == "through"
    before = desk.document
    desk.click(800, 1500)
    assert desk.document is before
    assert "Press a leg" in desk.state.message


def test_a_press_picks_and_shift_adds_and_takes_away():
    desk = Desk().click(800, 0)
    assert desk.state.picked == {"l1"}
    desk.click(3400, 1000, mods="shift")
    assert desk.state.picked == {"l1", "l2"}
    desk.click(800, 0, mods="ctrl")
    assert desk.state.picked == {"l2"}
    assert desk.click(1000, 1500).state.picked == frozenset()


def test_a_box_picks_what_lies_wholly_in_it():
    desk = Desk().drag((-300, 300), (1000, -200), (3600, -300))
    assert desk.state.picked == {"l1", "v1"}
    desk.drag((3200, 2500), (3600, -300), mods="shift")
    assert desk.state.picked == {"l1", "v1", "l2", "l3"}
    desk.drag((-300, 300), (3000, -300))
    assert desk.state.picked == frozenset()


def test_a_leg_is_dragged_sideways_with_the_network_kept_joined():
    desk = Desk().drag((3400, 1100), (3600, 1140), (3900, 1200))
    layout = desk.document
    assert layout.nodes["n2"] == (3900, 0, 2400)
    assert layout.nodes["n3"] == (3900, 2200, 2400)
    assert layout.nodes["n4"] == (3900, 2200, 1200), "the drop goes with it"
    assert layout.nodes["n1"] == (0, 0, 2400)
    assert desk.state.history.undo_name == "Move leg l2"
    desk.key("ctrl+z")
    assert desk.document is desk.first
    assert "Undone: Move leg l2" in desk.state.message


def test_while_a_leg_is_dragged_figures_follow_and_the_document_does_not():
    desk = Desk().packed()
    tally = desk.state.live.tally
    desk.drag((3400, 1100), (3800, 1100), (4800, 1100), release=False)
    assert desk.document is desk.first
    assert desk.state.live.tally.sections > tally.sections
    assert "+1,400" in words_of(desk.scene.sheet.over) or "+1400" in words_of(desk.scene.sheet.over)
    assert "4800" in words_of(desk.scene.sheet.over)
    assert "was 3400" in words_of(desk.scene.sheet.over)
    desk.key("escape")
    assert desk.document is desk.first
    assert desk.state.live.tally == tally
    assert desk.state.live is desk.state.committed
    assert "Put back" in desk.state.message
    desk.release(4800, 1100)
    assert desk.document is desk.first


def test_a_drag_there_and_back_changes_nothing():
    desk = Desk().drag((3400, 1100), (3900, 1100), (3400, 1100))
    assert desk.document is desk.first
    assert desk.state.history.past is None
    assert desk.state.live is desk.state.committed


def test_a_drag_goes_on_outside_the_sheet_and_a_pointer_that_leaves_loses_nothing():
    desk = Desk().drag((3400, 1100), (3900, 1100), release=False)
    desk.do(ev.PointerMoved(1270, 790), ev.PointerLeft())
    assert desk.gesture == "Dragging"
    desk.do(ev.PointerMoved(*desk.px(3800, 1100)), ev.PointerReleased(1270, 600))
    assert desk.gesture == ""
    assert desk.document.nodes["n2"].x_mm > 3400


def test_alt_drags_free_of_the_grid():
    desk = Desk().drag((3400, 1100), (3413, 1100), (3437, 1100), mods="alt")
    assert desk.document.nodes["n2"].x_mm == pytest.approx(3437, abs=1)
    desk.key("ctrl+z").drag((3400, 1100), (3413, 1100), (3437, 1100))
    assert desk.document.nodes["n2"].x_mm == 3450, "by half a grid step"


def test_a_length_typed_while_a_leg_is_dragged_is_that_of_the_leg_that_grows():
    desk = Desk().drag((3400, 1100), (3700, 1100), release=False)
    desk.type("5200", "return")
    assert desk.document.nodes["n2"] == (5200, 0, 2400)
    assert desk.document.nodes["n3"] == (5200, 2200, 2400)
    assert desk.gesture == ""
    desk.release(3700, 1100)
    assert desk.document.nodes["n2"] == (5200, 0, 2400), "letting go does not take it back"


def test_a_length_typed_while_a_node_is_dragged_aside_is_exact():
    desk = Desk().key("ctrl+a", "escape").drag((0, 0), (0, 300), (0, 800), release=False)
    desk.type("5000", "return")
    (x, y, _), (u, v, _) = desk.document.nodes["n1"], desk.document.nodes["n2"]
    assert ((x - u) ** 2 + (y - v) ** 2) ** 0.5 == pytest.approx(5000, abs=1)
    assert (u, v) == (3400, 0)


@pytest.mark.parametrize(
    "key", ["t", "m", "delete", "ctrl+x", "right", "ctrl+z", "j", "l", "ctrl+n", "ctrl+y", "escape"]
)
def test_a_key_in_the_middle_of_a_drag_is_neither_lost_nor_taken_back_by_letting_go(key):
    desk = Desk().click(800, 0).drag((3400, 1100), (3900, 1100), release=False)
    desk.key(key)
    after, dragging = desk.document, desk.gesture == "Dragging"
    assert dragging or desk.state.live is desk.state.committed, "what is shown is the document"
    desk.release(3900, 1100)
    if dragging:
        assert after is desk.first
        assert desk.document.nodes["n2"] == (3900, 0, 2400)
    else:
        assert desk.document is after
    assert desk.gesture == ""
    assert desk.state.live is desk.state.committed


def test_other_buttons_in_the_middle_of_a_drag():
    desk = Desk().drag((3400, 1100), (3900, 1100), release=False)
    desk.press(3900, 1100, button=2)
    assert desk.gesture == "Dragging"
    desk.press(3900, 1100, button=3)
    assert (desk.gesture, desk.document) == ("", desk.first)
    assert desk.state.live is desk.state.committed
    # The button was let go outside, where nothing is told: the next press lets go.
    desk.drag((3400, 1100), (3900, 1100), release=False).press(4000, 1100)
    assert desk.gesture == ""
    assert desk.document.nodes["n2"] == (4000, 0, 2400)


def test_a_snag_that_is_chosen_in_the_middle_of_a_drag_puts_back_what_is_dragged():
    desk = Desk(set_legs(demo("first-five-minutes"), ("l3",), pipe="no such pipe"), size=(1280, 1400))
    desk.drag((3400, 1100), (3700, 1100), (4100, 1100), release=False)
    assert desk.gesture == "Dragging"
    desk.do(ev.KeyPressed("tab"))
    for _ in desk.boxes():
        if not desk.state.ui.focus.startswith("snag."):
            desk.key("tab")
    assert desk.state.ui.focus.startswith("snag.")
    desk.key("return")
    assert desk.gesture == ""
    assert desk.state.live is desk.state.committed


def test_what_is_pasted_in_the_middle_of_a_drag_is_not_lost():
    desk = Desk().click(800, 0).key("ctrl+c")
    text = desk.requests(rq.WriteClipboard)[-1].text
    desk.drag((3400, 1100), (3900, 1100), release=False).do(ev.ClipboardRead(text)).release(3900, 1100)
    assert len(desk.document.legs) == 4


def test_several_parts_are_dragged_together_and_a_node_alone():
    desk = Desk().click(800, 0).click(3400, 1100, mods="shift").drag((3400, 1100), (3400, 1500), (3500, 1600))
    assert desk.document.nodes["n1"] == (100, 500, 2400)
    assert desk.document.nodes["n3"] == (3500, 2700, 2400)
    assert desk.state.history.undo_name == "Move 2 parts"
    desk.key("escape").drag((100, 500), (100, 800), (100, 900))
    assert desk.document.nodes["n1"] == (100, 900, 2400)


def test_an_item_slides_along_its_leg_and_no_farther():
    desk = Desk().drag((2000, 0), (2300, 100), (2500, 300))
    assert desk.document.items["v1"].at_mm == 2500
    desk.drag((2500, 0), (4000, 0), (9000, 0))
    assert desk.document.items["v1"].at_mm == 3400
    assert desk.document.legs == desk.first.legs


def test_the_middle_button_and_space_drag_the_view():
    for start in ({"button": 2}, {}):
        desk = Desk()
        if not start:
            desk.do(ev.KeyPressed("space"), ev.TextTyped(" "))
            assert desk.scene.cursor == "hand"
        before = desk.state.view
        x, y = desk.px(800, 500)
        desk.do(
            ev.PointerPressed(x, y, **start),
            ev.PointerMoved(x + 60, y - 40),
            ev.PointerReleased(x + 60, y - 40, start.get("button", 1)),
        )
        assert desk.state.view.to_mm((x + 60, y - 40)) == pytest.approx(before.to_mm((x, y)))
        assert desk.state.view.scale == before.scale
        assert desk.document is desk.first
        desk.do(ev.KeyReleased("space"))
        assert not desk.state.space_held


def test_the_wheel_keeps_the_point_under_the_pointer_within_its_limits():
    desk = Desk()
    for up in (1, 3, -2, 40, -200, 0.25):
        at = (300.0, 400.0)
        before = desk.state.view.to_mm(at)
        desk.do(ev.WheelTurned(*at, up))
        assert desk.state.view.to_mm(at) == pytest.approx(before, abs=1e-6)
        assert 0.0005 <= desk.state.view.scale <= 4
    left = desk.state.view.left_mm
    desk.do(ev.WheelTurned(300, 400, 1, mods="shift"))
    assert desk.state.view.left_mm > left
    scale = desk.state.view.scale
    desk.do(ev.WheelTurned(300, 400, 0, -2))
    assert (desk.state.view.scale, desk.state.view.left_mm < left) == (scale, True)


def test_copy_cut_and_paste_give_fresh_ids_at_the_pointer():
    desk = Desk().click(800, 0).key("ctrl+c")
    text = desk.requests(rq.WriteClipboard)[-1].text
    assert desk.state.message == "Copied 1 part."
    desk.key("ctrl+v")
    assert desk.requests(rq.ReadClipboard)
    desk.point(100, 1000).do(ev.ClipboardRead(text))
    assert desk.state.picked == {"l4"}
    assert desk.document.nodes[desk.document.legs["l4"].start] == (100, 1000, 2400)
    assert desk.document.items["v2"].leg == "l4"
    desk.click(3400, 1100).key("ctrl+x")
    assert "l2" not in desk.document.legs
    assert desk.state.picked == frozenset()
    desk.do(ev.ClipboardRead(desk.requests(rq.WriteClipboard)[-1].text))
    assert len(desk.document.legs) == 4


@pytest.mark.parametrize(
    "text", ["", "hello", "{}", "[1, 2]", "\0\ud800", '{"format": "layoutest-layout"}', "9" * 9999]
)
def test_a_clipboard_without_a_layout_is_told(text):
    desk = Desk().do(ev.ClipboardRead(text))
    assert desk.document is desk.first
    assert desk.state.message == "The clipboard holds no part of a layout."


def test_copying_cutting_deleting_turning_nothing_is_told():
    desk = Desk()
    for key, word in (("ctrl+c", "copy"), ("ctrl+x", "cut"), ("delete", "delete"), ("t", "turn"), ("m", "mirror")):
        assert desk.key(key).state.message == f"Nothing is picked to {word}."
    assert desk.key("j").state.message.startswith("Nothing that is picked lies")
    assert desk.key("ctrl+z").state.message == "Nothing to undo."
    assert desk.key("ctrl+y").state.message == "Nothing to do again."
    assert desk.key("right").document is desk.first


def test_arrows_move_by_a_grid_step_and_with_shift_by_ten():
    desk = Desk().key("ctrl+a", "right")
    assert desk.document.nodes["n1"] == (100, 0, 2400)
    desk.key("shift+down")
    assert desk.document.nodes["n1"] == (100, -1000, 2400)
    assert desk.document.nodes["n4"] == (3500, 1200, 1200)
    desk.key("ctrl+z", "ctrl+z")
    assert desk.document is desk.first


def test_delete_takes_what_is_picked_with_what_stands_in_it():
    desk = Desk().click(800, 0).key("delete")
    assert set(desk.document.legs) == {"l2", "l3"}
    assert not desk.document.items
    assert "n1" not in desk.document.nodes
    assert desk.state.history.undo_name == "Delete 1 part"
    desk.key("ctrl+a", "backspace")
    assert not desk.document.legs
    assert not desk.document.nodes
    assert "Press L and draw a leg, or drop a file" in words_of(desk.scene.sheet.over)
    desk.key("ctrl+z", "ctrl+z")
    assert desk.document is desk.first


def test_everything_turned_four_times_or_mirrored_twice_is_as_before():
    desk = Desk().key("ctrl+a")
    for keys in (("t",) * 4, ("shift+t", "t"), ("m", "m"), ("shift+m", "shift+m")):
        assert desk.key(*keys).document == desk.first
    assert desk.state.actions == 10


def test_ends_that_lie_in_one_place_are_joined():
    nodes = {**demo("first-five-minutes").nodes, "n5": Node(0, 0, 2400), "n6": Node(0, 1500, 2400)}
    legs = {**demo("first-five-minutes").legs, "l4": Leg("n5", "n6", "HF", "copper 35")}
    loose = replace(demo("first-five-minutes"), nodes=MappingProxyType(nodes), legs=MappingProxyType(legs))
    desk = Desk(loose).click(0, 800)
    assert desk.state.picked == {"l4"}
    desk.key("j")
    assert desk.document.legs["l4"].start == desk.document.legs["l1"].start
    assert len(desk.document.nodes) == 5
    assert desk.key("j").state.message.startswith("Nothing that is picked")


def test_an_end_that_lies_on_a_leg_is_joined_to_it():
    nodes = {**demo("first-five-minutes").nodes, "n5": Node(1000, 0, 2400), "n6": Node(1000, 1500, 2400)}
    legs = {**demo("first-five-minutes").legs, "l4": Leg("n5", "n6", "HF", "copper 35")}
    loose = replace(demo("first-five-minutes"), nodes=MappingProxyType(nodes), legs=MappingProxyType(legs))
    desk = Desk(loose).click(1000, 800).key("j")
    meeting = desk.document.legs["l4"].start
    assert [name for name, leg in desk.document.legs.items() if meeting in (leg.start, leg.end)] == ["l1", "l4", "l5"]


def test_pin_keeps_a_routing_to_compare_with():
    desk = Desk().packed().key("k")
    tally = desk.state.pinned.live.tally
    desk.drag((3400, 1100), (4400, 1100), (5400, 1100)).packed()
    panel = next(panel for panel in desk.scene.panels if panel.name == "panel")
    more = desk.state.live.tally.sections - tally.sections
    assert f"+{more} sections" in words_of(panel.parts)
    desk.key("ctrl+z").packed()
    panel = next(panel for panel in desk.scene.panels if panel.name == "panel")
    assert "as pinned" in words_of(panel.parts)
    assert desk.key("k").state.pinned is None


# Files.


def test_saving_asks_for_a_path_once_and_the_suffix_is_added():
    desk = Desk().key("ctrl+s")
    asked = desk.requests(rq.ChoosePath)[-1]
    assert asked.purpose == "save"
    assert asked.start == "first-five-minutes-one-pipe.layout.json"
    desk.do(ev.PathChosen("save", "/job/attic"))
    assert desk.requests(rq.SaveLayout)[-1] == rq.SaveLayout("/job/attic.layout.json", desk.first)
    desk.saves()
    assert desk.state.path == "/job/attic.layout.json"
    assert desk.state.message == "Saved as attic.layout.json."
    assert desk.requests(rq.RememberRecent)[-1].path == "/job/attic.layout.json"
    desk.click(800, 0).key("delete")
    assert desk.state.is_dirty
    assert desk.scene.title.startswith("• ")
    desk.key("ctrl+s").saves()
    assert not desk.state.is_dirty
    assert len(desk.requests(rq.ChoosePath)) == 1


def test_a_save_that_fails_keeps_everything_and_says_so():
    desk = Desk(path="/job/a.layout.json").click(800, 0).key("delete", "ctrl+s").saves("The disk is full.")
    assert desk.state.dialog.words[0] == "The disk is full."
    assert desk.state.is_dirty
    desk.key("return")
    assert desk.state.dialog is None
    assert desk.state.is_dirty


def test_edits_made_while_the_file_is_written_stay_unsaved():
    desk = Desk(path="/job/a.layout.json").click(800, 0).key("t", "ctrl+s", "t").saves()
    assert desk.state.is_dirty


def test_a_path_that_is_not_chosen_changes_nothing():
    desk = Desk().key("ctrl+s").do(ev.PathChosen("save", None)).key("ctrl+o").do(ev.PathChosen("open", None))
    assert not desk.requests(rq.SaveLayout)
    assert not desk.requests(rq.OpenLayout)


def test_without_the_systems_dialog_the_path_is_typed():
    desk = Desk().key("ctrl+o").do(ev.ChooserMissing("open", "/job/", "This system has no file dialog."))
    assert "Open a layout" in words_of(desk.scene.top)
    desk.fill("path.text", "/job/b.layout.json")
    assert desk.requests(rq.OpenLayout) == [rq.OpenLayout("/job/b.layout.json")]
    assert not desk.state.path_asked
    desk.do(ev.ChooserMissing("save", "x.layout.json", "No dialog.")).push("path.go")
    assert desk.requests(rq.SaveLayout)[-1].path == "x.layout.json"
    desk.do(ev.ChooserMissing("save", "x.layout.json", "No dialog.")).push("path.stay")
    assert len(desk.requests(rq.SaveLayout)) == 1


def test_a_file_that_is_opened_takes_the_place_of_the_sheet():
    desk = Desk().key("ctrl+o").do(ev.PathChosen("open", "/job/r.layout.json"))
    assert desk.requests(rq.OpenLayout) == [rq.OpenLayout("/job/r.layout.json")]
    desk.opens(demo("riser"), "/job/r.layout.json")
    assert desk.document is demo("riser")
    assert not desk.state.is_dirty
    assert desk.state.path == "/job/r.layout.json"
    assert desk.state.history.past is None
    kinds = [type(request) for request in desk.asked[-4:]]
    assert kinds == [rq.DropJournal, rq.KeepInJournal, rq.RememberRecent, rq.Pack]


def test_a_file_that_cannot_be_read_is_told_with_its_faults():
    desk = Desk().do(ev.LayoutOpened("x", None, tuple(f"fault {number}" for number in range(9))))
    assert desk.document is desk.first
    assert "fault 5" in words_of(desk.scene.top)
    assert "and 3 more" in words_of(desk.scene.top)
    desk.key("escape")
    assert desk.state.dialog is None


def test_what_is_recovered_is_not_saved_yet():
    desk = Desk(None).opens(demo("riser"), "/job/r.layout.json", saved=demo("teaching-short"), recovered=True)
    assert desk.state.is_dirty
    desk = Desk(None).opens(demo("riser"), "", recovered=True)
    assert desk.state.is_dirty
    assert "Recovered" in desk.state.message


@pytest.mark.parametrize(
    ("asks", "then"),
    [
        ("ctrl+n", rq.DropJournal),
        ("ctrl+o", rq.ChoosePath),
        ("ctrl+q", rq.Close),
        ("drop", rq.OpenLayout),
        ("close", rq.Close),
    ],
)
def test_leaving_what_is_not_saved_asks_first(asks, then):
    def ask():
        desk = Desk(path="/job/a.layout.json").click(800, 0).key("delete")
        del desk.asked[:]
        if asks == "drop":
            return desk.do(ev.FileDropped("/job/b.layout.json"))
        return desk.do(ev.CloseAsked()) if asks == "close" else desk.key(asks)

    desk = ask()
    assert desk.state.dialog.id == "unsaved"
    assert not desk.requests(then)
    desk.key("escape")
    assert desk.state.dialog is None
    assert not desk.requests(then)
    assert desk.state.is_dirty

    desk = ask().push("dialog.go-on")
    assert desk.requests(then)

    desk = ask().push("dialog.save-and-go-on")
    assert not desk.requests(then)
    desk.saves()
    assert desk.requests(then)
    if then is rq.OpenLayout:
        assert desk.requests(then) == [rq.OpenLayout("/job/b.layout.json")]

    desk = ask().push("dialog.save-and-go-on").saves("It is read-only.")
    assert not desk.requests(then)
    assert desk.state.is_dirty
    desk.key("escape", "ctrl+s").saves()
    assert not desk.requests(then), "a later save does not go on with what was asked before"


def test_saving_before_closing_a_sheet_without_a_file_asks_for_its_path():
    desk = Desk(None).key("l").click(0, 0).click(2000, 0).do(ev.CloseAsked()).push("dialog.save-and-go-on")
    assert desk.requests(rq.ChoosePath)[-1].purpose == "save"
    desk.do(ev.PathChosen("save", None))
    assert not desk.requests(rq.Close)
    desk.key("ctrl+s").do(ev.PathChosen("save", "/job/a")).saves()
    assert not desk.requests(rq.Close)
    desk.do(ev.CloseAsked())
    assert desk.requests(rq.Close)


def test_a_field_that_is_typed_in_is_taken_before_the_window_closes():
    desk = Desk().push("title").key("ctrl+a").type("Attic").do(ev.CloseAsked())
    assert desk.document.title == "Attic"
    assert desk.state.dialog.id == "unsaved"
    assert not desk.requests(rq.Close)


def test_closing_what_is_saved_closes_at_once_even_while_stocks_are_packed():
    desk = Desk()
    assert desk.state.live.problems_to_pack()
    desk.do(ev.CloseAsked())
    assert desk.asked[-2:] == [rq.DropJournal(), rq.Close()]


def test_a_file_dropped_on_a_saved_sheet_is_opened():
    assert Desk().do(ev.FileDropped("/job/b.json")).asked == [rq.OpenLayout("/job/b.json")]


# Packing behind.


def problem_of(desk):
    return next(iter(desk.state.live.stocks.values())).task.problem


def test_a_plan_that_fits_is_used_and_kept_through_undo():
    desk = Desk().packed()
    (stock,) = desk.state.live.stocks.values()
    assert stock.state != "quick"
    assert desk.state.committed is desk.state.live
    desk.drag((3400, 1100), (3900, 1100), (4400, 1100))
    desk.key("ctrl+z")
    (stock,) = desk.state.live.stocks.values()
    assert stock.state != "quick", "the plan found before is used again"


@pytest.mark.parametrize("stale", ["edited", "dragged", "undone", "gone"])
def test_a_plan_that_is_stale_changes_nothing(stale):
    desk = Desk()
    if stale == "undone":
        desk.drag((3400, 1100), (3900, 1100), (4400, 1100))
    plan = pack(problem_of(desk))
    if stale == "edited":
        desk.drag((3400, 1100), (3900, 1100), (4400, 1100))
    elif stale == "dragged":
        desk.drag((3400, 1100), (3900, 1100), (4400, 1100), release=False)
    elif stale == "undone":
        desk.key("ctrl+z")
    else:
        desk.key("ctrl+a", "delete")
    before = desk.state
    desk.do(ev.Packed(plan))
    assert desk.state.live is before.live
    assert desk.state.picture is before.picture
    assert desk.state.history is before.history
    if stale == "dragged":
        # What the plan was made for stands again.
        desk.key("escape")
        (stock,) = desk.state.live.stocks.values()
        assert stock.state != "quick"


def test_a_plan_that_arrives_during_a_drag_leaves_the_drag_alone():
    desk = Desk().drag((3400, 1100), (3900, 1100), release=False)
    gesture, layout = desk.state.gesture, desk.state.layout
    desk.do(*(ev.Packed(exact(problem)) for problem in desk.state.live.problems_to_pack()))
    assert desk.state.gesture is gesture
    assert desk.state.layout is layout
    desk.release(3900, 1100)
    assert desk.document is layout


def test_a_stock_that_cannot_be_packed_is_told():
    assert "The quick figures stand." in Desk().do(ev.WorkerFailed("wool 35x30", "It ended.")).state.message
    assert Desk().do(ev.Told("The journal cannot be written.")).state.message == "The journal cannot be written."


# What is shown.


def test_the_letter_of_a_tool_is_no_text_and_types_in_a_field():
    desk = Desk().click(800, 0).key("l")
    assert desk.state.tool == "leg"
    assert not desk.state.ui.focus
    desk.key("p", "escape").fill("title", "lrisp 5.2 m")
    assert desk.document.title == "lrisp 5.2 m"
    assert desk.state.tool == "pick"


def test_snags_are_chosen_from_the_list_and_centre_the_sheet():
    desk = Desk("plant-room", size=(1600, 1000))
    rows = [name for name in desk.boxes() if name.startswith("snag.") and name.removeprefix("snag.").isdigit()]
    assert rows
    desk.push(rows[0])
    snag = desk.state.live.snags[0]
    assert desk.state.message.startswith(snag.says)
    assert desk.state.picked <= set(snag.where)


def test_menus_open_act_and_close():
    desk = Desk().push("menu-button.Edit")
    assert desk.state.menu == "Edit"
    desk.push("menu.pick-all")
    assert (desk.state.menu, len(desk.state.picked)) == ("", 4)
    desk.push("menu-button.File").key("escape")
    assert desk.state.menu == ""
    desk.push("menu-button.Show").do(ev.PointerPressed(300, 500), ev.PointerReleased(300, 500))
    assert (desk.state.menu, len(desk.state.picked)) == ("", 4), "the press that closes a menu picks nothing"


def test_recent_files_open_from_the_menu():
    desk = Desk(recent=("/job/x.layout.json",)).push("menu-button.File").push("menu.recent:/job/x.layout.json")
    assert desk.requests(rq.OpenLayout) == [rq.OpenLayout("/job/x.layout.json")]


def test_help_theme_scale_bench_and_panel():
    desk = Desk().key("f1")
    assert "What the hand can do" in words_of(desk.scene.top)
    desk.key("f1")
    assert not desk.state.help_open
    assert desk.key("ctrl+d").state.theme == "dark"
    assert desk.key("ctrl+d").asked[-1] == rq.KeepSettings("light", 1.0)
    desk.key("ctrl+shift++")
    assert (desk.state.scale, desk.state.width) == (1.25, 1024)
    assert "100 %" in desk.key("ctrl+shift+-", "ctrl+shift+-").state.message
    heights = [desk.key("b").state.bench.height for _ in range(3)]
    assert heights == ["tall", "low", "normal"]
    assert desk.key("o").state.bench.longest_first
    desk.do(ev.Resized(1000, 700)).key("ctrl+p")
    assert "panel" in {panel.name for panel in desk.scene.panels}
    desk.key("ctrl+p").push("rail")
    assert desk.state.panel_open
    desk.click(800, 500)
    assert not desk.state.panel_open
    assert desk.do(ev.Resized(1000, 700)).state.width == 1000


def test_fit_and_zoom_by_keys_show_everything():
    desk = Desk().do(ev.WheelTurned(300, 300, 9)).key("home")
    sheet = desk.state.regions.sheet
    for node in desk.document.nodes:
        x, y = desk.px(node)
        assert sheet.low_x < x < sheet.high_x
        assert sheet.low_y < y < sheet.high_y
    scale = desk.state.view.scale
    assert desk.key("ctrl++").state.view.scale > scale
    assert desk.key("ctrl+-").state.view.scale == pytest.approx(scale)


def test_an_outline_is_picked_by_the_box_and_moved():
    outlines = {"w1": Outline("plant", ((0, 500), (800, 500), (800, 1100), (0, 1100)))}
    desk = Desk(replace(demo("first-five-minutes"), structure=MappingProxyType(outlines)))
    desk.click(400, 800)
    assert desk.state.picked == {"w1"}
    desk.drag((400, 800), (500, 900), (900, 1300))
    assert desk.document.structure["w1"].outline[0] == (500, 1000)
    assert desk.document.nodes == desk.first.nodes


def test_an_elevation_is_drawn_in_x_and_level():
    desk = Desk("riser")
    assert desk.document.view == "elevation"
    desk.key("ctrl+a", "up")
    for name, node in desk.first.nodes.items():
        assert desk.document.nodes[name] == (node.x_mm, node.y_mm, node.level_mm + desk.document.grid_mm)
    desk.key("ctrl+c")
    text = desk.requests(rq.WriteClipboard)[-1].text
    desk.do(ev.ClipboardRead(text))
    assert len(desk.document.legs) == 2 * len(desk.first.legs)


def test_text_that_is_composed_or_comes_with_no_field_does_nothing():
    desk = Desk().do(ev.TextComposed("か"), ev.TextTyped("か"), ev.TextTyped("5"), ev.KeyReleased("x"))
    assert desk.document is desk.first
    assert not desk.state.ui.focus


def test_a_press_on_the_bench_picks_what_is_cut_there_and_lights_the_sheet():
    desk = Desk().packed()
    bench = desk.state.regions.bench
    desk.do(ev.PointerMoved(bench.low_x + 12 + 24 + 20, bench.low_y + 36 + 8))
    assert desk.state.target.kind == "piece"
    desk.do(ev.PointerRested())
    assert words_of(desk.scene.top)
    x, y = desk.state.pointer
    desk.do(ev.PointerPressed(x, y), ev.PointerReleased(x, y))
    assert desk.state.picked <= set(desk.document.legs)
    assert desk.state.picked
    desk.do(ev.PointerPressed(640, bench.low_y + 4), ev.PointerReleased(640, bench.low_y + 4))
    assert desk.state.bench.height == "tall"


def test_the_bench_scrolls_to_its_end_and_no_farther():
    desk = Desk("plant-room", size=(1300, 800))
    bench = desk.state.regions.bench
    for _ in range(40):
        desk.do(ev.WheelTurned(640, bench.low_y + 60, -1))
    end = desk.state.bench.turned
    assert end > 0
    desk.do(ev.WheelTurned(640, bench.low_y + 60, -1)).key("pagedown")
    assert desk.state.bench.turned == end
    assert desk.key("pageup").state.bench.turned == end - 1


def test_services_of_a_clip_are_added_or_kept():
    clip = set_legs(demo("first-five-minutes"), ("l1", "l2", "l3"), service="HR")
    services = MappingProxyType({"HR": replace(clip.services["HF"], name="Ours")})
    text = layout_text(replace(clip, services=services))
    desk = Desk().do(ev.ClipboardRead(text))
    assert desk.document.services["HR"].name == "Ours"
    desk.do(ev.ClipboardRead(layout_text(replace(clip, services=MappingProxyType({"HR": services["HR"].__class__()})))))
    assert desk.document.services["HR"].name == "Ours"


def test_what_is_begun_does_not_hold_on_to_what_is_cut_away():
    desk = Desk(None).key("l").click(0, 0).click(2000, 0).key("ctrl+x").click(2000, 1000)
    assert not desk.document.legs
    desk.click(500, 1000)
    assert len(desk.document.legs) == 1
    desk = Desk().click(800, 0).key("l", "escape").click(800, 0).key("r")
    desk = Desk().key("l").click(800, 0).do(ev.KeyPressed("a", "ctrl"), ev.KeyPressed("delete")).click(800, 900)
    assert not desk.document.legs
    desk = (
        Desk().key("r").click(800, 0).do(ev.KeyPressed("escape"), ev.KeyPressed("a", "ctrl"), ev.KeyPressed("delete"))
    )
    assert not desk.type("+600", "return").document.legs


def test_a_valve_is_put_on_a_drop_by_pressing_its_end():
    desk = Desk().key("i").click("n4")
    (item,) = desk.state.picked
    assert (desk.document.items[item].leg, desk.document.items[item].at_mm) == ("l3", 600)
    desk = Desk().key("i").click("n1")
    assert desk.document is desk.first
    assert "Press a leg" in desk.state.message


def test_what_would_lie_farther_out_than_a_file_can_hold_is_not_done_and_told():
    desk = Desk(None).key("l").click(0, 0).point(1000, 0).type("999 m", "return").type("999 m", "return")
    assert len(desk.document.legs) == 1
    assert "1 km" in desk.state.message
    desk = Desk().do(ev.WheelTurned(300, 400, -200)).key("ctrl+a")
    x, y = desk.px("n1")
    desk.do(ev.PointerMoved(x, y), ev.PointerPressed(x, y), ev.PointerMoved(x + 600, y), ev.PointerReleased(x + 600, y))
    assert desk.document is desk.first
    assert "1 km" in desk.state.message


def test_a_leg_that_is_dragged_along_itself_stays_and_says_why():
    desk = Desk().drag((1000, 0), (1300, 0), (1600, 0))
    assert desk.document is desk.first
    assert "sideways" in desk.state.message
    assert desk.state.live is desk.state.committed


def test_what_lies_under_the_open_panel_of_a_narrow_window_feels_nothing():
    desk = Desk(size=(800, 500)).key("ctrl+a", "ctrl+p")
    panel, before = desk.state.regions.panel, desk.state
    assert panel.high_y == desk.state.regions.status.low_y, "it lies over the bench too"
    for y in range(int(panel.low_y) + 2, int(panel.high_y), 20):
        at = panel.low_x + 6, y
        desk.do(ev.PointerMoved(*at), ev.PointerPressed(*at), ev.PointerReleased(*at), ev.WheelTurned(*at, 1))
        assert desk.state.panel_open
        assert (desk.state.hit, desk.state.target) == (None, None)
        assert (desk.state.picked, desk.state.view, desk.state.bench) == (before.picked, before.view, before.bench)
    sheet = desk.state.regions.sheet
    desk.do(ev.PointerPressed(sheet.low_x + 5, sheet.low_y + 5))
    assert not desk.state.panel_open
