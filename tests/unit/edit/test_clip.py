from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.edit.clip import copy, paste
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_write import layout_text
from layoutest.layout.document import FittingChoice, Item, Layout, Leg, Node, PipeSize, Service


@pytest.fixture
def room(drawn, with_leg):
    layout = drawn(
        {"n1": (0, 0, 0), "n2": (1000, 0, 0), "n3": (1000, 900, 0), "n4": (5, 5, 5)},
        {"l1": "n1 n2", "l2": "n2 n3"},
        [("l1", 300), ("l2", 300)],
        {"w1": ("plant", ((0, 0), (9, 0), (9, 9)), (0, 1500))},
        title="Room",
    )
    return replace(
        with_leg(layout, "l1", pipe="our pipe"),
        pipes=MappingProxyType({"our pipe": PipeSize(76.1, 114), "their pipe": PipeSize(60.3, 76)}),
        services=MappingProxyType({**layout.services, "CW": Service("Chilled water")}),
        fittings=MappingProxyType({"n2": FittingChoice(mitres=2), "n3": FittingChoice(mitres=1)}),
    )


def test_a_clip_holds_what_was_picked_and_what_that_refers_to(room):
    clip = copy(room, {"l1", "w1", "was deleted"})
    assert clip.legs == {"l1": room.legs["l1"]}
    assert clip.nodes.keys() == {"n1", "n2"}
    assert clip.items == {"v1": room.items["v1"]}
    assert clip.fittings == {"n2": FittingChoice(mitres=2)}
    assert clip.pipes.keys() == {"our pipe"}
    assert clip.services.keys() == {"HF"}
    assert clip.structure == room.structure


def test_a_clip_travels_as_the_text_of_a_layout(room):
    clip = copy(room, {"l1", "l2", "w1"})
    assert parse_layout(layout_text(clip).encode(), "clip").layout == clip


def test_pasted_parts_have_ids_of_their_own(room):
    pasted, ids = paste(room, copy(room, {"l1", "w1"}), (100, 200, 300))
    assert ids == ("l3", "w2")
    assert pasted.legs["l3"] == Leg("n5", "n6", "HF", "our pipe")
    assert pasted.nodes["n5"] == Node(100, 200, 300)
    assert pasted.items["v3"] == Item("l3", 300)
    assert pasted.fittings["n6"] == FittingChoice(mitres=2)
    assert pasted.structure["w2"].outline == ((100, 200), (109, 200), (109, 209))
    assert pasted.structure["w2"].levels_mm == (300, 1800)
    assert all(pasted.legs[name] is leg for name, leg in room.legs.items())


def test_services_and_pipes_come_along_but_change_none(room):
    there = Layout(services=MappingProxyType({"HF": Service("Heating, ours")}))
    pasted, _ = paste(there, copy(room, {"l1", "l2"}), (0, 0, 0))
    assert pasted.services == {"HF": Service("Heating, ours")}
    assert pasted.pipes == {"our pipe": PipeSize(76.1, 114)}
    added, _ = paste(Layout(), copy(room, {"l2"}), (0, 0, 0))
    assert added.services == {"HF": room.services["HF"]}
    assert not added.pipes


def test_what_is_pasted_does_not_hang_on_the_order_of_a_clip(room):
    clip = copy(room, {"l1", "l2"})
    turned = replace(
        clip, **{name: MappingProxyType(dict(reversed(getattr(clip, name).items()))) for name in ("nodes", "legs")}
    )
    assert paste(room, clip, (0, 0, 1)) == paste(room, turned, (0, 0, 1))


def test_nothing_is_pasted_of_nothing_or_too_far_out(room):
    assert paste(room, copy(room, ()), (0, 0, 0)) == (room, ())
    assert paste(room, copy(room, {"l1"}), (999_500, 0, 0)) == (room, ())
