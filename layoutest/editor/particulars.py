"""Particulars: what is picked, or what the next leg will be, editable by typing; and the working."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.drawing.services import code_of
from layoutest.edit.assign import set_item, set_legs, set_length, set_level, set_sheet
from layoutest.edit.items import slide_item
from layoutest.edit.move import move_nodes
from layoutest.edit.places import drawn_mm
from layoutest.edit.start import with_service
from layoutest.editor.commit import done
from layoutest.editor.form import FIELD_PX, HALF_PX, INSET_PX, LABEL_PX, WORKING_PX, Form
from layoutest.editor.offers import outside_mm, services_of, sizes_of, sizes_of_girth, thicknesses_of
from layoutest.editor.ui import Option
from layoutest.editor.working import working_of
from layoutest.editor.wrapping import shortened
from layoutest.layout.lengths import parse_length

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.editor.commit import Outcome
    from layoutest.editor.state import State
    from layoutest.editor.ui import Ui

    Change = Callable[[State], Outcome]

# No file holds a wider one.
WIDEST_GRID_MM = 10_000
KINDS = ("valve", "flange", "strainer", "pump", "meter", "support", "other")
COVERS = (
    ("jacket", "removable jacket"),
    ("through", "covering runs over it"),
    ("bare", "left bare"),
    ("insert", "hard support insert"),
)


def particulars(ui: Ui, state: State, box: Box) -> tuple[Change | None, float]:
    """The part of the panel for what is picked; the change that was typed, and where the next part begins."""
    layout = state.document
    legs = sorted(state.picked & layout.legs.keys())
    items = sorted(state.picked & layout.items.keys())
    nodes = sorted(state.picked & layout.nodes.keys())
    what = _what(state, legs, items, nodes)
    _heading(ui, state, box, "Particulars", what)
    form = Form(ui, state, box, box.low_y + 44)
    if state.tool in ("leg", "rise") and not legs:
        _pen(form)
    elif legs and not items:
        _legs(form, tuple(legs))
    elif len(items) == 1 and not legs:
        _item(form, items[0])
    elif len(nodes) == 1 and not legs and not items:
        _node(form, nodes[0])
    elif state.picked:
        form.note(
            "Parts of several kinds are picked. They can be moved, turned, mirrored, copied and deleted together."
        )
    elif state.tool == "item":
        _kind(form)
    else:
        _sheet(form)
    return form.change, form.y + 6


def _heading(ui: Ui, state: State, box: Box, words: str, note: str) -> None:
    left, right = box.low_x + INSET_PX, box.high_x - INSET_PX
    room = right - left - state.measure(words, "lead", True) - 12
    ui.parts.append(Text((left, box.low_y + 18), words, "lead", bold=True))
    note = shortened(note, room, state.measure, "tiny")
    ui.parts.append(Text((right, box.low_y + 18), note, "tiny", colour="dim", align="right"))
    ui.parts.append(Rect(left, box.low_y + 32, right - left, 1, "rule"))


def _what(state: State, legs: list[str], items: list[str], nodes: list[str]) -> str:
    if not state.picked:
        return {"leg": "of the next leg", "rise": "of the next leg", "item": "of the next item"}.get(
            state.tool, "the sheet"
        )
    if len(state.picked) > 1:
        return f"{len(state.picked)} parts"
    return f"leg {legs[0]}" if legs else f"item {items[0]}" if items else f"node {nodes[0]}" if nodes else "an outline"


def _service_options(state: State) -> list[Option]:
    names = services_of(state.document)
    return [Option(name, words, code=name, dash=code_of(name)) for name, words in names.items()]


def _legs(form: Form, legs: tuple[str, ...]) -> None:
    """Fields of one leg, or of several that are given the same."""
    state, layout = form.state, form.state.document
    leg = layout.legs[legs[0]]

    def all_same(field: str) -> bool:
        return len({getattr(layout.legs[name], field) for name in legs}) == 1

    chosen = form.dropdown("service", "Service", _service_options(state), leg.service if all_same("service") else "")
    if chosen is not None:
        form.change = _service_change(legs, chosen)
    form.next()
    _size(form, legs, leg.pipe if all_same("pipe") else "")
    _covering(form, legs)
    if len(legs) == 1:
        _measures(form, legs[0])
        _working(form, legs[0])


def _service_change(legs: tuple[str, ...], service: str) -> Change:
    def change(state: State) -> Outcome:
        covering = next(iter(sorted(state.book.coverings)), None)
        layout = with_service(state.document, service, covering)
        return done(_with_pen(state, service=service), set_legs(layout, legs, service=service), "Change the service")

    return change


def _with_pen(state: State, **fields: Any) -> State:  # noqa: ANN401 - the fields of a pen
    return replace(state, pen=state.pen._replace(**fields))


def _size(form: Form, legs: tuple[str, ...], pipe: str) -> None:
    state = form.state
    options = [Option(name, name) for name in sizes_of(state.document)]
    chosen = form.dropdown("size", "Size", options, pipe)
    form.next()
    if state.girth_mm is not None:
        for number, name in enumerate(sizes_of_girth(state.document, state.girth_mm, pipe)):
            diameter = outside_mm(state.document, name)
            box = Box(form.left + LABEL_PX, form.y, form.right, form.y + FIELD_PX)
            if form.ui.button(f"particulars.girth.{number}", box, name, hint=f"{diameter:g} mm outside"):
                chosen = name
            form.next()
    if chosen is not None:
        form.change = _size_change(legs, chosen)


def _size_change(legs: tuple[str, ...], pipe: str) -> Change:
    def change(state: State) -> Outcome:
        state = replace(_with_pen(state, pipe=pipe), girth_mm=None)
        return done(state, set_legs(state.document, legs, pipe=pipe), "Change the size") if legs else (state, ())

    return change


def _covering(form: Form, legs: tuple[str, ...]) -> None:
    """Covered with what, how thick; or bare."""
    state, layout = form.state, form.state.document
    leg = layout.legs[legs[0]]
    service = layout.services.get(leg.service)
    usual = service.covering if service and service.covering else ""
    options = [
        Option("", f"as the service: {_named(usual)}" if usual else "as the service"),
        Option("bare", "left bare"),
    ]
    options += [Option(name, _named(name)) for name in sorted(state.book.coverings)]
    chosen = form.dropdown("covering", "Covering", options, "bare" if not leg.covered else leg.covering or "")
    if chosen is not None:
        form.change = _covering_change(legs, chosen)
    form.next()
    covering = leg.covering or usual
    own = leg.thickness_mm
    if leg.covered and covering:
        usual_mm = service.thickness_mm if service else None
        thick = thicknesses_of(state.book, covering, outside_mm(layout, leg.pipe))
        listed = [Option("", f"as the service: {_mm(usual_mm)}")] + [Option(f"{one:g}", f"{one:g} mm") for one in thick]
        picked = form.dropdown(
            "thickness", "Thickness", listed, "" if own is None else f"{own:g}" if own != "auto" else "auto"
        )
        if picked is not None:
            value = float(picked) if picked else None
            form.change = lambda state: done(
                state, set_legs(state.document, legs, thickness_mm=value), "Change the thickness"
            )
        form.next()


def _covering_change(legs: tuple[str, ...], chosen: str) -> Change:
    fields = {"covered": False} if chosen == "bare" else {"covered": True, "covering": chosen or None}
    return lambda state: done(state, set_legs(state.document, legs, **fields), "Change the covering")


def _named(covering: str) -> str:
    return covering.replace("-", " ")


def _mm(value: object) -> str:
    return f"{value:g} mm" if isinstance(value, int | float) else str(value or "none")


def _measures(form: Form, name: str) -> None:
    """Length as drawn, length as taped, and the level of a leg that lies level."""
    layout = form.state.layout if name in form.state.layout.legs else form.state.document
    leg = layout.legs[name]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    typed = form.field("length", "Length", f"{drawn_mm(layout, leg):.0f}", "mm", _positive, half=1)
    if typed is not None:
        length_mm = parse_length(typed)
        form.change = lambda state: done(state, set_length(state.document, name, length_mm), "Type a length")
    if start.level_mm == end.level_mm:
        level = form.field("level", "Level", f"{start.level_mm}", "mm", _level, half=2)
        if level is not None:
            level_mm = parse_length(level, signed=True)
            form.change = lambda state: done(
                state, set_level(state.document, (leg.start, leg.end), level_mm), "Change the level"
            )
    form.next()
    taped = form.field("taped", "Taped", "" if leg.measured_mm is None else f"{leg.measured_mm}", "mm", _taped, half=1)
    if taped is not None:
        measured = parse_length(taped) if taped.strip() else None
        form.change = lambda state: done(
            state, set_legs(state.document, (name,), measured_mm=measured), "Type a taped length"
        )
    _girth(form, half=2)
    form.next()


def _girth(form: Form, *, half: int) -> None:
    """For a pipe that nobody marked: its girth, taped round it; the nearest sizes are then offered under Size."""
    girth = form.field("girth", "Girth", "", "mm", _positive, half=half)
    if girth is not None:
        girth_mm = parse_length(girth)
        form.change = lambda state: (replace(state, girth_mm=float(girth_mm)), ())


def _positive(text: str) -> object:
    value = parse_length(text)
    if value <= 0:
        raise ValueError("a leg is longer than 0 mm")
    return value


def _grid(text: str) -> object:
    value = parse_length(text)
    if not 1 <= value <= WIDEST_GRID_MM:
        raise ValueError(f"a grid is from 1 to {WIDEST_GRID_MM:,} mm")
    return value


def _level(text: str) -> object:
    return parse_length(text, signed=True)


def _taped(text: str) -> object:
    return _positive(text) if text.strip() else None


def _working(form: Form, name: str) -> None:
    steps = working_of(form.state.committed if form.state.gesture is None else form.state.live, name)
    if not steps:
        return
    room = int((form.bottom - form.y - 24) // WORKING_PX)
    if room < 2:
        return
    form.ui.parts.append(Text((form.left, form.y + 9), "The working, mm", bold=True))
    form.y += 20
    if len(steps) > room:
        steps = tuple(step for step in steps if step.sign or step.total or "longest side" not in step.words)
    for step in steps[:room]:
        words = shortened(step.words, form.right - form.left - 84, form.state.measure, bold=step.total)
        colour = "text" if step.total else "dim"
        form.ui.parts.append(Text((form.left, form.y + 8), words, bold=step.total, colour=colour))
        if step.sign:
            form.ui.parts.append(Text((form.right - 64, form.y + 8), step.sign, colour="dim", align="right"))
        form.ui.parts.append(Text((form.right, form.y + 8), step.figure, bold=step.total, align="right"))
        if step.total:
            form.ui.parts.append(Rect(form.right - 60, form.y - 2, 60, 1, "text"))
        form.y += WORKING_PX


def _pen(form: Form) -> None:
    """What the next leg is made of."""
    state = form.state
    chosen = form.dropdown("service", "Service", _service_options(state), state.pen.service)
    if chosen is not None:
        form.change = lambda state: (_with_pen(state, service=chosen), ())
    form.next()
    _size(form, (), state.pen.pipe)
    _girth(form, half=1)
    form.ui.label(
        form.left + LABEL_PX + HALF_PX + 10,
        form.y + FIELD_PX / 2,
        "taped: offers sizes",
        "tiny",
        colour="dim",
        width=form.right - form.left - LABEL_PX - HALF_PX - 10,
    )
    form.next()
    form.note("A leg that begins or ends on another makes a tee. Type a length and press Enter to draw it.")


def _kind(form: Form) -> None:
    options = [Option(kind, kind) for kind in KINDS if kind != "support"]
    chosen = form.dropdown("kind", "Kind", options, form.state.item_kind)
    if chosen is not None:
        form.change = lambda state: (replace(state, item_kind=chosen), ())  # type: ignore[arg-type]
    form.next()
    form.note("Press a leg where its middle stands.")


def _item(form: Form, name: str) -> None:
    item = form.state.layout.items[name]
    kind = form.dropdown("kind", "Kind", [Option(one, one) for one in KINDS], item.kind)
    if kind is not None:
        form.change = lambda state: done(state, set_item(state.document, name, kind=kind), "Change the kind")
    form.next()
    covered = form.dropdown("covered", "Covered", [Option(value, words) for value, words in COVERS], item.covered)
    if covered is not None:
        form.change = lambda state: done(state, set_item(state.document, name, covered=covered), "Change the cover")
    form.next()
    at = form.field("at", "From start", f"{item.at_mm}", "mm", parse_length, half=1)
    if at is not None:
        at_mm = parse_length(at)
        form.change = lambda state: done(state, slide_item(state.document, name, at_mm), "Move along the leg")
    form.ui.parts.append(
        Text((form.left + LABEL_PX + 86, form.y + FIELD_PX / 2), f"of leg {item.leg}", "tiny", colour="dim")
    )
    form.next()
    long = form.field("long", "Length", "" if item.length_mm is None else f"{item.length_mm}", "mm", _taped, half=1)
    if long is not None:
        length_mm = parse_length(long) if long.strip() else None
        form.change = lambda state: done(state, set_item(state.document, name, length_mm=length_mm), "Change a length")
    note = "empty: from the price book" if item.length_mm is None else ""
    form.ui.parts.append(Text((form.left + LABEL_PX + 86, form.y + FIELD_PX / 2), note, "tiny", colour="dim"))
    form.next()


def _node(form: Form, name: str) -> None:
    """The place of a node, by typing."""
    node = form.state.layout.nodes[name]
    for place, (words, value) in enumerate((("x", node.x_mm), ("y", node.y_mm), ("Level", node.level_mm))):
        typed = form.field(words, words, f"{value}", "mm", _level, half=1)
        if typed is not None:
            form.change = _node_change(name, place, parse_length(typed, signed=True))
        form.next()
    legs = [leg for leg in form.state.document.legs.values() if name in (leg.start, leg.end)]
    form.note(f"{len(legs)} leg{'s' if len(legs) != 1 else ''} end here. Dragging moves the node; legs follow.")


def _node_change(name: str, place: int, value: int) -> Change:
    def change(state: State) -> Outcome:
        by = [0, 0, 0]
        by[place] = value - state.document.nodes[name][place]
        return done(state, move_nodes(state.document, (name,), (by[0], by[1], by[2])), "Move a node")

    return change


def _sheet(form: Form) -> None:
    layout = form.state.document
    for field, words in (("title", "Title"), ("revision", "Revision")):
        typed = form.field(field, words, getattr(layout, field), "", str)
        if typed is not None:
            form.change = _sheet_change(field, typed)
        form.next()
    grid = form.field("grid", "Grid", f"{layout.grid_mm}", "mm", _grid, half=1)
    if grid is not None:
        form.change = _sheet_change("grid_mm", parse_length(grid))
    form.next()
    form.note("Nothing is picked. Press a pipe or a piece, and its figures stand here.")


def _sheet_change(field: str, value: object) -> Change:
    name = f"Change the {field.split('_', 1)[0]}"
    return lambda state: done(state, set_sheet(state.document, **{field: value}), name)
