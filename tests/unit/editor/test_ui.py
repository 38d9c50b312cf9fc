"""The widgets of the panels, driven by events on a small form."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from sitting import COVERED, GO, LENGTH, LEVEL, SERVICE, SERVICES, SHUT, WINDOW, Sitting, measure, middle, words

from layoutest.drawing.primitives import Box, Circle, Polyline, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.field import draft_of
from layoutest.editor.pictograms import pictogram
from layoutest.editor.ui import Option, Ui, UiState
from layoutest.layout.lengths import parse_length

TAB, BACK_TAB, ENTER, SPACE, ESCAPE = (
    ev.KeyPressed("tab"),
    ev.KeyPressed("tab", "shift"),
    ev.KeyPressed("return"),
    ev.KeyPressed("space"),
    ev.KeyPressed("escape"),
)
ALL = ev.KeyPressed("a", "ctrl")
ENABLED = ("length", "level", "service", "go", "covered")


def press(box, clicks=1, mods=""):
    return ev.PointerPressed(*middle(box), 1, clicks, mods)


def click(box):
    return press(box), ev.PointerReleased(*middle(box))


def in_list(row):
    """A place in the list under the drop-down: gap 3, rim 4, rows of 24."""
    return SERVICE.low_x + 60, SERVICE.high_y + 3 + 4 + 24 * row + 12


# Buttons and the keyboard -------------------------------------------------------------------------------------------


def test_tab_walks_the_enabled_widgets_in_order_and_round():
    sitting = Sitting()
    seen = []
    for _ in range(6):
        sitting.turn(TAB)
        seen.append(sitting.state.focus)
        assert sitting.took
    assert seen == [*ENABLED, "length"]
    sitting.turn(BACK_TAB, BACK_TAB)
    assert sitting.state.focus == "go"


@pytest.mark.parametrize("key", [ENTER, SPACE])
def test_enter_and_space_push_the_button_in_focus(key):
    sitting = Sitting()
    assert sitting.turn(BACK_TAB, BACK_TAB, key) == ["go"]
    assert sitting.turn(TAB, key) == ["covered"]
    assert sitting.values["covered"] is False


def test_a_button_is_pushed_where_the_pointer_is_let_go_over_it():
    sitting = Sitting()
    assert sitting.turn(press(GO)) == []
    assert sitting.took
    assert sitting.turn(ev.PointerReleased(*middle(GO))) == ["go"]
    assert sitting.turn(press(GO), ev.PointerMoved(500, 500), ev.PointerReleased(500, 500)) == []
    assert sitting.took, "what was pressed on a widget is let go on it too"
    assert sitting.turn(*click(COVERED)) == ["covered"]


def test_a_button_pressed_by_the_pointer_leaves_enter_and_space_to_the_sheet():
    sitting = Sitting()
    sitting.turn(*click(GO))
    assert sitting.state.focus == ""
    assert sitting.turn(SPACE, ENTER) == []
    assert not sitting.took
    sitting.turn(TAB)
    assert sitting.state.focus == "covered", "Tab goes on from what was pressed"


def test_a_disabled_button_does_nothing_but_keeps_the_press_from_the_sheet():
    sitting = Sitting()
    assert sitting.turn(*click(SHUT)) == []
    assert sitting.took


def test_what_is_beside_the_widgets_is_for_the_sheet():
    sitting = Sitting()
    for event in (ev.PointerMoved(500, 500), ev.PointerPressed(500, 500), ev.PointerReleased(500, 500)):
        sitting.turn(event)
        assert not sitting.took
    sitting.turn(ev.KeyPressed("l"))
    assert not sitting.took
    sitting.turn(ev.PointerMoved(*middle(GO)))
    assert (sitting.took, sitting.state.hot) == (True, "go")
    sitting.turn(ev.PointerLeft())
    assert sitting.state.hot == ""


def test_the_ring_of_focus_is_2_px_off():
    sitting = Sitting()
    sitting.turn(BACK_TAB, BACK_TAB)
    rim = next(part for part in sitting.see().parts if isinstance(part, Rect) and part.style == "focus")
    assert (rim.x, rim.y, rim.x + rim.width) == (GO.low_x - 4, GO.low_y - 4, GO.high_x + 4)
    sitting.turn(ESCAPE)
    assert sitting.state.focus == ""
    assert not any(isinstance(part, Rect) and part.style == "focus" for part in sitting.see().parts)


# Fields -------------------------------------------------------------------------------------------------------------


def test_enter_commits_what_is_accepted_and_gives_the_keys_back():
    sitting = Sitting()
    assert sitting.turn(TAB, ev.TextTyped("5.2"), ev.TextTyped(" m"), ENTER) == [("length", "5.2 m")]
    assert (sitting.state.focus, dict(sitting.state.drafts)) == ("", {})
    sitting.turn(TAB)
    assert sitting.state.focus == "level"


def test_a_value_typed_again_is_committed_again_but_none_untouched():
    sitting = Sitting()
    assert sitting.turn(TAB, ENTER) == []
    assert sitting.turn(TAB, ev.TextTyped("2400"), ENTER) == [("level", "2400")]


@pytest.mark.parametrize(
    "leaving", [TAB, press(GO), ev.PointerPressed(500, 500), ev.CloseAsked(), ev.KeyPressed("s", "ctrl")]
)
def test_leaving_a_field_commits(leaving):
    sitting = Sitting()
    assert sitting.turn(TAB, ev.TextTyped("17'"), leaving) == [("length", "17'")]


def test_a_shortcut_of_the_window_passes_a_field_once_it_is_committed():
    sitting = Sitting()
    sitting.turn(TAB, ev.TextTyped("1"), ev.KeyPressed("s", "ctrl"))
    assert (sitting.took, sitting.state.focus) == (False, "length")
    sitting.turn(ev.KeyPressed("l"))
    assert sitting.took, "a letter is for the field"


def test_what_is_refused_stays_with_the_reason_and_the_value_is_kept():
    sitting = Sitting()
    assert sitting.turn(TAB, ev.TextTyped("52oo"), ENTER) == []
    assert sitting.state.refused == {"length": "'52oo' is no length; 5200 was kept"}
    assert sitting.state.focus == "length"
    assert sitting.turn(TAB) == []
    seen = sitting.see()
    assert "52oo" in words(seen.parts)
    assert words(seen.top) == [], "the plate with the reason waits for the pointer when the field is left"
    sitting.turn(ev.PointerMoved(*middle(LENGTH)))
    assert words(sitting.see().top) == ["'52oo' is no length; 5200 was kept"]
    assert sitting.turn(press(LENGTH, clicks=3), ev.TextTyped("5 300"), ENTER) == [("length", "5 300")]
    assert sitting.state.refused == {}


def test_escape_gives_the_value_back():
    sitting = Sitting()
    sitting.turn(TAB, ev.TextTyped("1"), ESCAPE)
    assert sitting.took
    assert (sitting.state.focus, "5200" in words(sitting.see().parts)) == ("", True)
    sitting.turn(TAB, ESCAPE)
    assert not sitting.took, "with nothing typed, Escape is for the sheet too"


def test_a_refused_draft_goes_when_the_value_is_another():
    sitting = Sitting()
    sitting.turn(TAB, ev.TextTyped("x"), TAB)
    sitting.values["length"] = "700"
    sitting.turn(ev.PointerMoved(500, 500))
    assert (sitting.state.refused, "700" in words(sitting.see().parts)) == ({}, True)


def test_a_field_in_focus_follows_its_value_until_something_is_typed():
    sitting = Sitting()
    sitting.turn(TAB)
    sitting.values["length"] = "700"
    sitting.turn(ev.PointerMoved(500, 500))
    assert sitting.draft.text == "700"
    sitting.turn(ev.TextTyped("8"))
    sitting.values["length"] = "900"
    assert sitting.turn(ev.PointerMoved(501, 500), ENTER) == [("length", "8")]


def test_pressing_puts_the_caret_and_dragging_marks():
    sitting = Sitting()
    # Right edge: 130 - 8 - 2 letters of 6.05 (mm) - 6; letters of 7.15 px.
    right = 130 - 8 - 12.1 - 6
    sitting.turn(ev.PointerPressed(right - 2 * 7.15 + 1, 24))
    assert (sitting.draft.caret, sitting.state.focus) == (2, "length")
    sitting.turn(ev.PointerMoved(right + 200, 200))
    assert sitting.draft.marked_text == "00"
    sitting.turn(ev.PointerReleased(right, 200), ev.PointerMoved(20, 24))
    assert sitting.draft.marked_text == "00"
    sitting.turn(press(LENGTH, clicks=2))
    assert sitting.draft.marked_text == "5200"
    sitting.turn(ev.PointerPressed(12, 24), ev.PointerReleased(12, 24), ev.PointerPressed(right, 24, mods="shift"))
    assert sitting.draft.marked_text == "5200"


def test_the_clipboard_goes_by_values():
    sitting = Sitting()
    sitting.turn(TAB, ALL, ev.KeyPressed("c", "ctrl"))
    assert (sitting.clipboard, sitting.draft.text) == ("5200", "5200")
    sitting.turn(ev.KeyPressed("x", "ctrl"))
    assert sitting.draft.text == ""
    sitting.turn(ev.KeyPressed("v", "ctrl"))
    assert sitting.wants_paste
    sitting.turn(ev.ClipboardRead("205 1/4 in\n"))
    assert sitting.took
    assert sitting.turn(ENTER) == [("length", "205 1/4 in ")]
    sitting.turn(ev.ClipboardRead("x"))
    assert not sitting.took, "with no field in focus it is for the sheet"


def test_undo_is_the_fields_while_it_has_one():
    sitting = Sitting()
    sitting.turn(TAB, ev.TextTyped("1"), ev.KeyPressed("z", "ctrl"))
    assert (sitting.draft.text, sitting.took) == ("5200", True)
    sitting.turn(ev.KeyPressed("z", "ctrl"))
    assert not sitting.took


def test_what_an_input_method_composes_is_underlined_and_not_committed():
    sitting = Sitting()
    sitting.turn(TAB, ev.KeyPressed("end"), ev.TextComposed("mm"))
    seen = sitting.see()
    assert "5200mm" in words(seen.parts)
    assert sitting.draft.text == "5200"
    assert sitting.turn(ENTER) == [], "the key belongs to the input method"
    sitting.turn(ev.TextTyped("0"))
    assert (sitting.draft.text, sitting.draft.composing) == ("52000", "")


def test_a_long_text_is_scrolled_so_that_the_caret_is_seen():
    box = Box(0, 0, 100, 28)
    long = "x" * 40

    def turn(state, event):
        ui = Ui(state, event, measure, WINDOW)
        ui.field("note", box, long, align="left")
        return ui, ui.end()

    _, state = turn(UiState(), TAB)
    _, state = turn(state, ev.KeyPressed("end"))
    assert state.drafts["note"].from_px == pytest.approx(40 * 7.15 - 84)
    _, state = turn(state, ev.KeyPressed("left"))
    assert state.drafts["note"].from_px == pytest.approx(40 * 7.15 - 84)
    _, state = turn(state, ev.KeyPressed("home"))
    assert state.drafts["note"].from_px == 0
    ui, _ = turn(UiState(hot="note", rested=True), None)
    assert words(ui.parts)[0].endswith("…")
    assert "".join(words(ui.top)) == long, "the tooltip has it whole"


# Drop-downs ---------------------------------------------------------------------------------------------------------


def test_a_list_opens_by_press_and_is_chosen_from_by_press():
    sitting = Sitting()
    assert sitting.turn(*click(SERVICE)) == []
    assert sitting.state.open == "service"
    assert words(sitting.see().top)[1::2] == [one.words for one in SERVICES]
    sitting.turn(ev.PointerMoved(*in_list(2)))
    assert (sitting.state.list_at, sitting.took) == (2, True)
    assert sitting.turn(ev.PointerPressed(*in_list(2)), ev.PointerReleased(*in_list(2))) == [("service", "HW")]
    assert (sitting.state.open, sitting.state.focus) == ("", "")


def test_press_drag_and_let_go_chooses_too():
    sitting = Sitting()
    assert sitting.turn(press(SERVICE), ev.PointerMoved(*in_list(0)), ev.PointerReleased(*in_list(0))) == [
        ("service", "HF")
    ]


def test_an_open_list_covers_what_lies_under_it():
    sitting = Sitting()
    sitting.turn(*click(SERVICE))
    assert sitting.turn(ev.PointerPressed(*middle(GO)), ev.PointerReleased(*middle(GO))) == [("service", "HF")]
    sitting.turn(*click(SERVICE))
    assert sitting.turn(ev.PointerPressed(700, 500)) == []
    assert (sitting.state.open, sitting.took) == ("", True), "a press beside it closes it, and is taken"


def test_the_list_by_keys():
    sitting = Sitting()
    sitting.turn(TAB, TAB, TAB, ENTER)
    assert (sitting.state.open, sitting.state.list_at) == ("service", 1)
    sitting.turn(ev.KeyPressed("end"), ev.KeyPressed("up"), ev.KeyPressed("home"), ev.KeyPressed("up"))
    assert sitting.state.list_at == 0
    assert sitting.turn(ev.KeyPressed("down"), ev.KeyPressed("down"), SPACE) == [("service", "HW")]
    assert sitting.state.focus == "service"
    assert sitting.turn(ev.KeyPressed("down"), ESCAPE) == []
    assert (sitting.state.open, sitting.state.focus) == ("", "service")
    assert sitting.turn(SPACE, ev.TextTyped(" "), ENTER) == [], "the one that is chosen already is no change"
    sitting.turn(ENTER, TAB)
    assert (sitting.state.open, sitting.state.focus) == ("", "go")


def test_typed_letters_go_to_an_entry():
    sitting = Sitting()
    sitting.turn(TAB, TAB, TAB, ev.KeyPressed("h"), ev.TextTyped("h"))
    assert (sitting.state.open, sitting.state.list_at) == ("service", 1)
    sitting.turn(ev.TextTyped("o"))
    assert sitting.state.list_at == 2
    sitting.turn(ev.TextTyped("c"))
    assert sitting.state.list_at == 3
    sitting.turn(ev.TextTyped("?"))
    assert sitting.state.list_at == 3
    sitting.turn(ESCAPE, ENTER, ev.TextTyped("HEATING"), SPACE, ev.TextTyped(" "), ev.TextTyped("f"))
    assert sitting.state.list_at == 0


def many(box):
    options = [Option(f"s{size}", f"copper {size}") for size in range(60)]

    def turn(state, event):
        ui = Ui(state, event, measure, WINDOW)
        chosen = ui.dropdown("size", box, options, "s40")
        return ui, ui.end(), chosen

    return turn


def test_a_long_list_scrolls_and_opens_where_there_is_room():
    turn = many(Box(700, 400, 780, 428))
    _, state, _ = turn(UiState(), ev.PointerPressed(710, 410))
    ui, _, _ = turn(state, None)
    frame = ui.top[0]
    assert frame.y + frame.height == 400 - 3
    assert frame.y >= 0
    assert frame.x + frame.width <= WINDOW.high_x
    seen = words(ui.top)
    assert "copper 40" in seen
    assert len(seen) == 16
    _, state, _ = turn(state, ev.WheelTurned(frame.x + 5, frame.y + 20, up=-100))
    assert words(turn(state, None)[0].top)[-1] == "copper 59"
    _, state, _ = turn(state, ev.KeyPressed("home"))
    assert words(turn(state, None)[0].top)[0] == "copper 0"
    _, state, chosen = turn(state, ev.PointerReleased(frame.x + 5, frame.y + 4 + 12))
    assert (chosen, state.open) == ("s0", "")


def test_the_swatch_and_the_dash_of_a_service():
    sitting = Sitting()
    sitting.turn(*click(SERVICE))
    top = sitting.see().top
    assert [part.fill for part in top if isinstance(part, Rect) and part.width == 26] == [
        "tint:HF",
        "tint:HR",
        "tint:HW",
        "tint:CW",
    ]
    dashes = [part for part in top if isinstance(part, Rect) and part.fill == "centre"]
    # HF: long, dot, long (24 3 1 3), within 54 px.
    assert [part.width for part in dashes[:3]] == [24, 1, 23]
    assert next(part for part in top if isinstance(part, Text) and part.words == "Heating return").bold


# Dialogs ------------------------------------------------------------------------------------------------------------


def test_a_dialog_shuts_what_is_behind_it_and_keeps_tab_in():
    sitting = Sitting(asks=True)
    assert sitting.turn(*click(GO)) == []
    assert sitting.took
    focus = []
    for _ in range(4):
        sitting.turn(TAB)
        focus.append(sitting.state.focus)
    assert focus == ["ask.go", "ask.stay", "ask.save", "ask.go"]
    assert sitting.turn(ev.KeyPressed("q", "ctrl"), ev.TextTyped("x"), ev.WheelTurned(5, 5, 1)) == []
    assert sitting.took
    assert sitting.turn(ENTER) == ["go"]


def test_a_dialogs_first_answer_is_ready_and_escape_is_the_last():
    assert Sitting(asks=True).turn(ENTER) == ["save"]
    assert Sitting(asks=True).turn(ESCAPE) == ["stay"]


def test_a_dialogs_buttons_are_pressed_by_the_pointer():
    sitting = Sitting(asks=True)
    top = sitting.see().top
    at = next(part.at for part in top if isinstance(part, Text) and part.words == "Go on")
    assert sitting.turn(ev.PointerPressed(at[0] + 5, at[1]), ev.PointerReleased(at[0] + 5, at[1])) == ["go"]


def test_after_a_dialog_the_focus_is_where_it_was():
    sitting = Sitting()
    sitting.turn(TAB, TAB)
    sitting.asks = True
    sitting.turn(TAB, TAB, ESCAPE, ev.TextTyped("7"))
    assert (sitting.state.focus, sitting.draft.text) == ("level", "7")


def test_anything_can_stand_before_the_panels():
    def turn(state, event):
        ui = Ui(state, event, measure, WINDOW)
        with ui.modal("path"):
            typed = ui.field("path", LENGTH, "a.json", align="left")
            ui.dropdown("path.kind", SERVICE, [*SERVICES, Option("?", "none")], "HR")
            ui.button("path.go", GO, "Go on")
        behind = ui.button("behind", GO, "Estimate")
        return ui, ui.end(), typed, behind

    ui, state, *_ = turn(UiState(focus="behind"), ev.TextTyped("b"))
    assert (state.focus, state.back, state.drafts["path"].text, ui.took) == ("path", "behind", "b", True)
    ui, state, typed, _ = turn(state, ENTER)
    assert (typed, state.focus) == ("b", "path"), "one of its widgets is always in focus"
    _, state, *_ = turn(state, TAB)
    _, state, *_ = turn(state, ENTER)
    assert state.open == "path.kind"
    ui = turn(state, None)[0]
    seen = words(ui.top)
    assert seen.index("Go on") < seen.index("Hot water"), "its list lies on top of it"
    assert words(ui.parts) == ["Estimate"]
    _, state, *_ = turn(state, ev.KeyPressed("down"))
    assert (state.list_at, state.focus) == (2, "path.kind")
    _, state, *_ = turn(state, ESCAPE)
    _, state, *_ = turn(state, TAB)
    assert state.focus == "path.go"
    _, state, *_ = turn(state, ev.KeyPressed("down"))
    assert state.focus == "path"
    _, state, *_ = turn(state, press(GO))
    _, state, _, behind = turn(state, ev.PointerReleased(*middle(GO)))
    assert not behind


def test_a_dialog_is_436_wide_in_the_middle_with_an_edge_of_ink():
    frame = Sitting(asks=True).see().top[0]
    assert (frame.width, frame.x + frame.width / 2, frame.style, frame.colour) == (436, 400, "focus", "text")
    assert frame.y + frame.height / 2 == pytest.approx(300, abs=1)


# Small ones ---------------------------------------------------------------------------------------------------------


def drawn(draw, state=None, event=None):
    ui = Ui(state or UiState(), event, measure, WINDOW)
    draw(ui)
    ui.end()
    return ui


@pytest.mark.parametrize(
    "about", [Box(0, 0, 40, 20), Box(760, 580, 800, 600), Box(0, 20, 800, 590), Box(0, 0, 600, 600)]
)
def test_a_tooltip_is_never_over_its_object_nor_outside(about):
    ui = drawn(lambda ui: ui.tip(about, ["s7.2-1, section 9", "361 long"], "turned"))
    x, y, width, height = ui.top[0][:4]
    inside = x >= 0 and y >= 0 and x + width <= 800 and y + height <= 600
    apart = x >= about.high_x or x + width <= about.low_x or y >= about.high_y or y + height <= about.low_y
    assert apart
    assert inside or about == Box(0, 20, 800, 590), "where nothing is left, it goes beside"


def test_a_tool_underlines_its_key_and_is_a_picture_alone_where_it_is_narrow():
    wide = drawn(lambda ui: ui.tool("leg", Box(0, 0, ui.tool_width("Leg"), 32), "Leg", "L", "leg", chosen=True))
    assert wide.parts[0].fill == "accent"
    assert wide.parts[-1][:4] == (30, 24, pytest.approx(7.15), 1)
    narrow = drawn(lambda ui: ui.tool("leg", Box(0, 0, 32, 32), "Leg", "L", "leg"), UiState(hot="leg", rested=True))
    assert words(narrow.parts) == []
    assert any(isinstance(part, Polyline) for part in narrow.parts)
    assert words(narrow.top) == ["Leg L"]


def test_a_button_is_never_under_76_wide_and_shows_its_hint_at_the_right():
    ui = drawn(lambda ui: ui.button("a", Box(0, 0, 10, 28), "Go"))
    assert ui.parts[0].width == 76
    ui = drawn(lambda ui: ui.button("a", Box(0, 0, 200, 28), "Empty sheet", "Ctrl N", main=True))
    assert [(part.words, part.at[0], part.align) for part in ui.parts if isinstance(part, Text)] == [
        ("Ctrl N", 188, "right"),
        ("Empty sheet", 12, "left"),
    ]


def test_words_that_are_cut_are_whole_in_a_tooltip():
    def draw(ui):
        ui.label(10, 10, "grows as l12 is held", "tiny", width=60)

    ui = drawn(draw, None, ev.PointerMoved(20, 10))
    assert words(ui.parts) == ["grows as…"]
    assert not ui.took
    ui = drawn(draw, UiState(hot=ui.over, rested=True))
    assert words(ui.top) == ["grows as l12 is held"]


def test_a_row_shows_its_flag_and_its_hint():
    ui = drawn(
        lambda ui: ui.row("s", Box(0, 0, 300, 40), "Pipes meet", "Lift one.", flag="error", number="1", chosen=True)
    )
    assert words(ui.parts) == ["1", "Pipes meet", "Lift one."]


def test_a_heading_keeps_its_note_clear_of_its_words():
    ui = drawn(lambda ui: ui.heading(0, 0, 200, "Particulars", "leg l11, grows as l12 is held"))
    assert words(ui.parts)[1].endswith("…")


def test_a_hint_plate_points_at_its_object():
    ui = drawn(lambda ui: ui.plate(Box(100, 100, 400, 156), "1", ("Pick a leg.", "It moves."), (150, 50)))
    assert ui.top[0].points == ((150, 100), (150, 50))


def test_a_paragraph_is_broken_and_says_where_it_ends():
    ends = []
    ui = drawn(lambda ui: ends.append(ui.paragraph(0, 0, 150, "Nothing is picked. Point at a pipe.")))
    assert words(ui.parts) == ["Nothing is picked.", "Point at a pipe."]
    assert ends == [36]


def test_a_reason_that_has_room_stands_below_its_field():
    def draw(ui):
        ui.field("a", LENGTH, "5200", "mm", parse_length, says="below")

    ui = drawn(draw, UiState(drafts={"a": replace(draft_of("5200"), text="52oo")}, refused={"a": "no"}))
    assert words(ui.parts)[-1] == "no"
    assert ui.top == []


def test_a_list_in_focus_is_left_by_escape_and_by_shortcuts():
    sitting = Sitting()
    sitting.turn(TAB, TAB, TAB, ESCAPE)
    assert (sitting.took, sitting.state.focus) == (True, "")
    sitting.turn(*click(SERVICE), ev.KeyPressed("s", "ctrl"))
    assert (sitting.took, sitting.state.open) == (False, "")


def test_words_that_do_not_fit_a_list_are_cut_and_told():
    options = [Option("a", "w" * 200)]
    ui = drawn(lambda ui: ui.dropdown("d", SERVICE, options, "a"), UiState(hot="d", rested=True))
    assert words(ui.parts)[0].endswith("…")
    assert "".join(words(ui.top)) == "w" * 200
    ui = drawn(lambda ui: ui.dropdown("d", SERVICE, options, ""), UiState(focus="d", open="d"))
    assert words(ui.parts) == []
    assert words(ui.top)[0].endswith("…")


def test_too_many_buttons_for_a_dialog_share_its_width():
    buttons = [(str(count), "Do a rather long thing") for count in range(3)]
    ui = drawn(lambda ui: ui.dialog("d", "Title", [], buttons))
    frame, *others = (part for part in ui.top if isinstance(part, Rect))
    assert all(frame.x < part.x and part.x + part.width < frame.x + frame.width for part in others)


@pytest.mark.parametrize(
    "name", ["pick", "leg", "rise", "item", "support", "wall", "plant", "tape", "note", "picture", "undo", "redo"]
)
def test_every_picture_lies_within_16_px(name):
    corners = [corner for part in pictogram(name, (100, 100)) for corner in _corners(part)]
    assert corners
    assert all(92 <= x <= 108 and 92 <= y <= 108 for x, y in corners)
    assert pictogram("nothing", (0, 0)) == []


def _corners(part):
    if isinstance(part, Rect):
        return [(part.x, part.y), (part.x + part.width, part.y + part.height)]
    if isinstance(part, Circle):
        (x, y), radius = part.centre, part.radius
        return [(x - radius, y - radius), (x + radius, y + radius)]
    return part.points


# Anything at all ----------------------------------------------------------------------------------------------------

PLACES = st.sampled_from([middle(box) for box in (LENGTH, LEVEL, SERVICE, GO, SHUT, COVERED)] + [(60, 100), (700, 500)])
MODS = st.sampled_from(["", "", "", "shift", "ctrl", "ctrl+shift", "alt"])
KEYS = ["tab", "return", "space", "escape", "left", "right", "up", "down", "home", "end", "backspace", "delete"]
EVENTS = st.one_of(
    st.builds(lambda at: ev.PointerMoved(*at), PLACES),
    st.builds(
        lambda at, button, clicks: ev.PointerPressed(*at, button, clicks), PLACES, st.integers(1, 3), st.integers(1, 3)
    ),
    st.builds(lambda at: ev.PointerReleased(*at), PLACES),
    st.builds(lambda at, up: ev.WheelTurned(*at, up), PLACES, st.integers(-3, 3)),
    st.builds(ev.KeyPressed, st.sampled_from([*KEYS, "tab", "a", "c", "x", "v", "z", "y", "s", "f1"]), MODS),
    st.builds(ev.TextTyped, st.sampled_from(["5", "200", "o", " m", "'", "h", "c", " "])),
    st.builds(ev.TextComposed, st.sampled_from(["", "ni"])),
    st.builds(ev.ClipboardRead, st.sampled_from(["17' 3\"", "x\ny"])),
    st.sampled_from([ev.PointerRested(), ev.PointerLeft(), ev.CloseAsked(), ev.KeyReleased("space")]),
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(EVENTS, max_size=30), st.integers(0, 30))
def test_any_events_leave_the_form_sound(events, asks_after):
    sitting = Sitting()
    for count, event in enumerate(events):
        sitting.asks = sitting.asks or count == asks_after
        asked = sitting.asks
        for done in sitting.turn(event):
            if isinstance(done, tuple) and done[0] in ("length", "level"):
                parse_length(done[1])
            assert done != "shut"
        state = sitting.state
        assert state.focus in (("ask.save", "ask.go", "ask.stay") if asked else ("", *ENABLED))
        assert state.open in ("", "service")
        assert set(state.drafts) <= {"length", "level"}
        assert set(state.refused) <= set(state.drafts)
        parse_length(sitting.values["length"])
