"""A window without a screen: events go in as a hand makes them, and what is asked of the world outside is kept."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from layoutest.book.reader import example_book_folder, read_book
from layoutest.edit.start import empty_layout
from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.commands import pen_of
from layoutest.editor.panels import faces_of
from layoutest.editor.scene import Scenes
from layoutest.editor.state import first_state
from layoutest.editor.turn import Turn
from layoutest.editor.update import update
from layoutest.files.layout_read import parse_layout, read_layout
from layoutest.files.layout_write import layout_text
from layoutest.layout.plane import spot_of
from layoutest.pack.plan import pack

DEMOS = Path(__file__).parents[3] / "demo_layouts"
NAMES = tuple(sorted(path.name.removesuffix(".layout.json") for path in DEMOS.glob("*.layout.json")))
SIZE_PX = {"tiny": 11, "base": 13, "lead": 15, "figure": 20, "money": 28}


def measure(words, size, bold):
    """Every letter 0.55 of the size wide, a little more when it is bold."""
    return len(words) * SIZE_PX[size] * (0.58 if bold else 0.55)


@cache
def book():
    return read_book(example_book_folder())


@cache
def demo(name):
    return read_layout(DEMOS / f"{name}.layout.json").layout


@cache
def exact(problem):
    return pack(problem)


class Desk:
    """A window on a layout. After every event the scene is made, and the document is one that a file can hold."""

    def __init__(self, layout="first-five-minutes", size=(1280, 800), **kept):
        layout = empty_layout() if layout is None else demo(layout) if isinstance(layout, str) else layout
        self.state = first_state(*size, book(), measure, layout, pen_of(layout), **kept)
        self.first, self.asked, self.scenes = layout, [], Scenes()
        self.scene = self.scenes(self.state)

    # What is there.
    @property
    def document(self):
        return self.state.document

    @property
    def gesture(self):
        return type(self.state.gesture).__name__ if self.state.gesture else ""

    def px(self, *place):
        """Where a node, or a point of the sheet, is seen."""
        if len(place) == 1:
            place = spot_of(self.document.view, self.document.nodes[place[0]])[:2]
        return self.state.view.to_px(place)

    def boxes(self):
        """The boxes of all widgets by name."""
        boxes, declare = {}, Turn.declare

        def noting(turn, name, box, *, enabled=True):
            boxes[name] = box
            return declare(turn, name, box, enabled=enabled)

        Turn.declare = noting
        try:
            faces_of(self.state)
        finally:
            Turn.declare = declare
        return boxes

    def field(self, ending):
        """The name of the widget that ends so."""
        (name,) = [name for name in self.boxes() if name == ending or name.endswith(f".{ending}")]
        return name

    def requests(self, kind):
        return [request for request in self.asked if isinstance(request, kind)]

    # What the hand does.
    def do(self, *events):
        for event in events:
            before = self.document
            self.state, asked = update(self.state, event)
            self.asked += asked
            self.scene = self.scenes(self.state)
            if self.document is not before:
                assert parse_layout(layout_text(self.document).encode(), "drawn").layout == self.document
        return self

    def press(self, *place, **how):
        return self.do(
            ev.PointerMoved(*self.px(*place), how.get("mods", "")), ev.PointerPressed(*self.px(*place), **how)
        )

    def point(self, *place, mods=""):
        return self.do(ev.PointerMoved(*self.px(*place), mods))

    def release(self, *place, button=1, mods=""):
        return self.do(ev.PointerReleased(*self.px(*place), button, mods))

    def click(self, *place, **how):
        self.press(*place, **how)
        return self.do(ev.PointerReleased(*self.px(*place), how.get("button", 1), how.get("mods", "")))

    def drag(self, start, *ends, mods="", button=1, release=True):
        """Press at a point of the sheet in mm, go over others, and let go at the last."""
        self.press(*start, mods=mods, button=button)
        for end in ends:
            self.point(*end, mods=mods)
        return self.release(*ends[-1], mods=mods, button=button) if release else self

    def key(self, *keys):
        for one in keys:
            *mods, key = [*one[:-1].split("+"), "+"] if one.endswith("+") else one.split("+")
            self.do(ev.KeyPressed(key, "+".join(filter(None, mods))))
            if len(key) == 1 and not mods:
                self.do(ev.TextTyped(key))
        return self

    def type(self, text, *keys):
        for char in text:
            self.do(ev.KeyPressed("space" if char == " " else char.lower()), ev.TextTyped(char))
        return self.key(*keys)

    def push(self, ending):
        """Press a widget and let go."""
        box = self.boxes()[self.field(ending)]
        at = (box.low_x + box.high_x) / 2, (box.low_y + box.high_y) / 2
        return self.do(ev.PointerMoved(*at), ev.PointerPressed(*at), ev.PointerReleased(*at))

    def fill(self, ending, text, *keys):
        """Type a text over what stands in a field; with Enter where no keys are given."""
        self.push(ending)
        return self.key("ctrl+a").type(text, *(keys or ("return",)))

    def choose(self, ending, words):
        """Open a drop-down, go to the entry that begins with some words, and take it."""
        return self.push(ending).type(words).key("return")

    def packed(self):
        """Every stock packed as the worker does it."""
        return self.do(*(ev.Packed(exact(problem)) for problem in self.state.live.problems_to_pack()))

    def opens(self, layout, path="room.layout.json", **how):
        return self.do(ev.LayoutOpened(path, layout, **how))

    def saves(self, fault=""):
        """Answer the last request to save."""
        asked = self.requests(rq.SaveLayout)[-1]
        return self.do(ev.LayoutSaved(asked.path, asked.layout, fault))


def words_of(parts):
    """All words of some primitives."""
    found = []
    for part in parts:
        found += words_of(part.parts) if hasattr(part, "parts") else [part.words] if hasattr(part, "words") else []
    return found
