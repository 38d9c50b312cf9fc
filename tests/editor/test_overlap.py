"""No words lie over other words or outside their part of the window, whatever the window shows and at every scale.

A line of words is as wide as the shipped fonts make it, and as high as its size of type.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

import pytest

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Clip, Polygon, Rect, Text
from layoutest.editor import events as ev
from layoutest.editor.scene import Scenes
from layoutest.editor.window.type import Type

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "editor"))
from desk import Desk, demo

SIZES = {"large": (1600, 1000), "narrow": (1024, 700), "small": (800, 500)}
SCALES = (1.0, 1.5, 2.0)
# What two lines may touch by: a pixel of rounding at 100 %.
TOUCH_PX = 1.0


@cache
def measure(scale):
    return Type(scale).measure


@cache
def begun(name, size, scale, sample):
    layout = with_error("plant-room") if name == "error" else name
    made = Desk(layout, SIZES[size], scale=scale, sample=sample)
    made.state, made.scenes = replace(made.state, measure=measure(scale)), Scenes()
    return made.packed().state


def desk(name, size, scale, sample=False):
    """A window on a demo layout, packed, with the words as wide as they are at a scale."""
    made = Desk(None, SIZES[size])
    made.state, made.scenes = begun(name, size, scale, sample), Scenes()
    made.scene = made.scenes(made.state)
    return made


def longest_leg(made):
    """The leg that is seen longest, and its middle on the sheet in mm."""
    layout = made.document
    spots = {name: (made.px(leg.start), made.px(leg.end)) for name, leg in layout.legs.items()}
    name = max(sorted(spots), key=lambda leg: max(abs(a - b) for a, b in zip(*spots[leg], strict=True)))
    (x0, y0), (x1, y1) = spots[name]
    return name, made.state.view.to_mm(((x0 + x1) / 2, (y0 + y1) / 2))


def with_error(name):
    """A layout of which a leg has a covering that no book has."""
    layout = demo(name)
    leg = min(layout.legs)
    legs = {**layout.legs, leg: replace(layout.legs[leg], covered=True, covering="no such wool")}
    return replace(layout, legs=MappingProxyType(legs))


def picked(made):
    leg, _ = longest_leg(made)
    made.state = replace(made.state, picked=frozenset({leg}))
    made.scene = made.scenes(made.state)
    return made


def pointed(made):
    """The pointer rests on the longest leg."""
    _, spot = longest_leg(made)
    return made.point(*spot).do(ev.PointerRested())


def lit(made):
    """The pointer rests on a piece of the bench."""
    bench = made.state.regions.bench
    return made.do(ev.PointerMoved(bench.low_x + 100, bench.low_y + 46), ev.PointerRested())


def dragged(made):
    _, spot = longest_leg(made)
    return made.press(*spot).point(spot[0] + 200, spot[1] + 300)


def drawn(made):
    """A leg from one place of the sheet to another, its end not set yet."""
    sheet, view = made.state.regions.sheet, made.state.view
    start = view.to_mm((sheet.low_x + 60, sheet.low_y + 60))
    end = view.to_mm((sheet.low_x + 260, sheet.low_y + 61))
    return made.key("l").click(*start).point(*end)


def full(made):
    """Everything picked, and the routing pinned before an edit."""
    return made.key("k", "ctrl+a", "right").packed()


def listed(made):
    """The drop-down of the picked leg's service is open."""
    picked(made)
    if made.state.regions.narrow:
        made.key("ctrl+p")
    return made.push("service")


def menu(made):
    return made.push("menu-button." + ("Menu" if made.state.regions.narrow else "Show"))


def unsaved(made):
    return made.key("ctrl+a", "right", "ctrl+n")


def refused(made):
    """A length that is none."""
    return picked(made).type("5 2oo", "return")


DOING = {
    "nothing picked": lambda made: made,
    "a leg picked": picked,
    "a leg pointed at": pointed,
    "a piece pointed at": lit,
    "a leg dragged": dragged,
    "a leg drawn": drawn,
    "all picked and pinned": full,
    "the bench tall": lambda made: made.key("b"),
    "the bench low": lambda made: made.key("b", "b"),
    "the bench scrolled": lambda made: made.key("pagedown"),
    "panel open": lambda made: picked(made).key("ctrl+p"),
    "a menu": menu,
    "help": lambda made: made.key("f1"),
    "unsaved": unsaved,
    "a list open": listed,
    "refused": refused,
}


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["plant-room", "riser"])
@pytest.mark.parametrize("doing", DOING)
def test_no_words_lie_over_words_or_leave_their_place(doing, name, size, scale):
    assert faults(DOING[doing](desk(name, size, scale))) == []


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
def test_nor_in_the_sample_room_with_its_hints(size, scale):
    assert faults(desk("plant-room", size, scale, sample=True)) == []


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
def test_nor_where_something_is_left_out_and_no_total_stands(size, scale):
    made = desk("error", size, scale)
    assert not made.state.live.complete
    assert faults(made) == []
    assert faults(picked(made)) == []


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("keys", ["", "l", "r", "i"])
def test_nor_on_an_empty_sheet(keys, size, scale):
    assert faults(desk(None, size, scale).key(*keys)) == []


def test_words_that_overlap_or_leave_are_found():
    made = desk("riser", "large", 1.0)
    sheet = made.scene.sheet
    box = sheet.box
    extra = (Text((box.low_x + 40, 300), "one", "base"), Text((box.low_x + 50, 305), "two", "base"))
    extra += (Text((box.high_x - 10, 500), "leaves", "base"),)
    made.scene = made.scene._replace(sheet=sheet._replace(over=extra))
    assert [fault.split(":")[0] for fault in faults(made)] == ["sheet 'leaves' leaves", "sheet 'one' over 'two'"]


# The check ------------------------------------------------------------------------------------------------------------


def faults(made):
    """Words that lie over others or outside their part of the window."""
    scene, scale = made.scene, made.state.scale
    whole = Box(0, 0, scene.width, scene.height)
    layers = [("sheet", scene.sheet.box, scene.sheet.over), ("top", whole, scene.top)]
    layers += [(panel.name, panel.box, panel.parts) for panel in scene.panels]
    found = []
    for name, frame, parts in layers:
        seen = seen_words(parts, scale, frame if name == "sheet" else None)
        found += [
            f"{name} '{words}' leaves: {rounded(place)}"
            for words, place, cut in seen
            if not cut and not inside(place, frame)
        ]
        found += [
            f"{name} '{one}' over '{other}': {rounded(first)} {rounded(second)}"
            for (one, first, _), (other, second, _) in combinations(seen, 2)
            if meet(first, second)
        ]
    return found


def rounded(box):
    return tuple(round(value) for value in box)


def seen_words(parts, scale, frame, clip=None):
    """(words, box, whether a clip may cut them) of all that can be seen: what is painted over whole is not."""
    seen = []
    for part in parts:
        if isinstance(part, Clip):
            seen += seen_words(part.parts, scale, frame, part.box if clip is None else both(part.box, clip))
        elif isinstance(part, Text) and part.words.strip():
            place = box_of(part, scale)
            shown = place if clip is None else both(place, clip)
            if shown.low_x < shown.high_x and shown.low_y < shown.high_y:
                seen.append((part.words, shown, clip is not None))
        elif isinstance(part, Rect | Polygon) and part.fill and clip is None:
            cover = ground_of(part)
            seen = [one for one in seen if not inside(one[1], cover)]
    return seen


def ground_of(part):
    if isinstance(part, Rect):
        return Box(part.x, part.y, part.x + part.width, part.y + part.height)
    xs, ys = [x for x, _ in part.points], [y for _, y in part.points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def box_of(text, scale):
    wide = measure(scale)(text.words, text.size, text.bold)
    high = load_look().type_px[text.size][0]
    x, y = text.at
    before = {"left": 0.0, "middle": wide / 2, "right": wide}[text.align]
    if text.turn_deg:
        return Box(x - high / 2, y + before - wide, x + high / 2, y + before)
    return Box(x - before, y - high / 2, x - before + wide, y + high / 2)


def both(one, other):
    return Box(
        max(one.low_x, other.low_x),
        max(one.low_y, other.low_y),
        min(one.high_x, other.high_x),
        min(one.high_y, other.high_y),
    )


def inside(box, frame):
    return (
        box.low_x >= frame.low_x - TOUCH_PX
        and box.high_x <= frame.high_x + TOUCH_PX
        and box.low_y >= frame.low_y - TOUCH_PX
        and box.high_y <= frame.high_y + TOUCH_PX
    )


def meet(one, other):
    common = both(one, other)
    return common.high_x - common.low_x > TOUCH_PX and common.high_y - common.low_y > TOUCH_PX
