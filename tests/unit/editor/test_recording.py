"""A sitting as text: every event goes into a line and comes back from it."""

from decimal import Decimal
from types import MappingProxyType
from typing import get_args

import pytest

from layoutest.editor import events as ev
from layoutest.editor.recording import event_text, read_events
from layoutest.errors import UnreadableError
from layoutest.layout.document import Layout, Leg, Node
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Problem

LAYOUT = Layout(
    title="Attic 'Süd'\n",
    nodes=MappingProxyType({"n1": Node(0, 0, 0), "n2": Node(4000, 0, 0)}),
    legs=MappingProxyType({"l1": Leg("n1", "n2", "HF", "copper 35")}),
)
EVENTS = (
    ev.PointerMoved(1.5, 2, "ctrl+alt+shift"),
    ev.PointerMoved(1, 2),
    ev.PointerPressed(3, 4.25, 2, 3, "shift"),
    ev.PointerReleased(3, 4, 3),
    ev.PointerRested(),
    ev.PointerLeft(),
    ev.WheelTurned(1, 2, -1.0, 0.5, "ctrl"),
    ev.KeyPressed("z", "ctrl"),
    ev.KeyReleased("space"),
    ev.TextTyped('5.2 m "é"\u2028'),
    ev.TextComposed("か"),
    ev.Resized(1600, 1000.5),
    ev.FileDropped("/job/attic.layout.json"),
    ev.CloseAsked(),
    ev.PathChosen("open", None),
    ev.PathChosen("save", "C:\\job\\x"),
    ev.ChooserMissing("open", "", "There is none."),
    ev.LayoutOpened("a", LAYOUT, saved=Layout(), recovered=True),
    ev.LayoutOpened("a", None, ("a: the file is empty", "and so on")),
    ev.LayoutSaved("a", LAYOUT, "full"),
    ev.ClipboardRead("x\ny"),
    ev.WorkerFailed("wool 60x40", "It ended."),
    ev.Told("The journal cannot be written."),
)


def test_every_event_but_a_plan_is_here():
    assert {type(event) for event in EVENTS} == set(get_args(ev.Event)) - {ev.Packed}


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_an_event_comes_back_from_its_line(event):
    text = event_text(event)
    assert text.count("\n") == 1
    (back,) = read_events(text)
    assert back == event
    assert type(back) is type(event)


def test_a_sitting_comes_back_in_order():
    assert read_events("".join(map(event_text, EVENTS))) == EVENTS


def test_what_has_its_usual_value_is_left_out():
    assert event_text(ev.PointerPressed(1, 2)) == '{"event": "PointerPressed", "x": 1, "y": 2}\n'


def test_a_plan_is_not_recorded():
    problem = Problem("wool", 1000, 55.0, (PackRun("a", 600),), section_price=Decimal(1))
    assert event_text(ev.Packed(pack(problem))) == ""


def faults_of(text):
    with pytest.raises(UnreadableError) as told:
        read_events(text)
    return told.value.faults


def test_every_fault_is_told_with_its_line():
    text = (
        '{"event": "PointerMoved", "x": "3", "z": 1}\n'
        "\n"
        "PointerLeft\n"
        '{"event": "PointerLeft"}\n'
        '{"event": "KeyPressed", "key": 5, "mods": null}\n'
        "[]\n"
        '{"event": "Packed"}\n'
    )
    kinds = ", ".join(kind.__name__ for kind in get_args(ev.Event) if kind is not ev.Packed)
    assert faults_of(text) == (
        "line 1: PointerMoved has no 'z'",
        "line 1: x: '3' stands here; expected a number",
        "line 1: PointerMoved lacks 'y'",
        "line 3: 'PointerLeft' is no JSON; expected an event as an object in braces",
        "line 5: key: 5 stands here; expected text",
        "line 5: mods: null stands here; expected text",
        f"line 6: nothing stands under 'event'; expected one of {kinds}",
        f"line 7: 'Packed' stands under 'event'; expected one of {kinds}",
    )


@pytest.mark.parametrize(
    ("field", "expected"),
    [
        ('"x": true, "y": 0', "x: true stands here; expected a number"),
        ('"x": NaN, "y": 0', "x: NaN stands here; expected a number"),
        ('"x": 1e999, "y": 0', "x: Infinity stands here; expected a number"),
        ('"x": 0, "y": 0, "clicks": 1.0', "clicks: 1.0 stands here; expected a whole number"),
    ],
)
def test_numbers_are_numbers(field, expected):
    assert faults_of(f'{{"event": "PointerPressed", {field}}}') == (f"line 1: {expected}",)


def test_layouts_are_read_with_all_their_faults():
    text = event_text(ev.LayoutOpened("a", LAYOUT)).replace("4000", "4000.5").replace("n1", "n3", 1)
    assert faults_of(text) == (
        "line 1: layout: nodes.n2[0]: 4000.5 stands here; expected a whole number of mm from -1,000,000 to 1,000,000",
        "line 1: layout: legs.l1.from: no node is called 'n1'",
    )


@pytest.mark.parametrize("value", ["5", "null"])
def test_what_was_saved_is_a_layout(value):
    (fault,) = faults_of(f'{{"event": "LayoutSaved", "path": "a", "layout": {value}}}')
    assert fault.startswith(f"line 1: layout: {value} stands here; expected the text of a layout's file")


def test_half_a_character_can_be_recorded_but_is_no_layout():
    event = ev.ClipboardRead("\ud800")
    assert event_text(event).isascii()
    assert read_events(event_text(event)) == (event,)
    text = event_text(ev.LayoutOpened("a", LAYOUT)).replace("Attic", "\\ud800")
    assert read_events(text)[0].layout.title.startswith("?")
