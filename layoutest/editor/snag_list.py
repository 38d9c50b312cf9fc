"""The snags as a list; choosing one centres the sheet on it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Text
from layoutest.editor.commit import ended
from layoutest.layout.plane import spot_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutest.drawing.primitives import Point
    from layoutest.editor.commit import Outcome
    from layoutest.editor.state import State
    from layoutest.editor.ui import Ui
    from layoutest.layout.document import Layout
    from layoutest.layout.snags import Snag

    Change = Callable[[State], Outcome]

INSET_PX = 16
ROW_PX = 40
PITCH_PX = 42
HEADING_PX = 34
FOOT_PX = 36


def snag_list(ui: Ui, state: State, box: Box) -> Change | None:
    """Heading, rows, and what was chosen."""
    snags = state.live.snags
    left, right = box.low_x + INSET_PX, box.high_x - INSET_PX
    room = box.high_y - box.low_y - HEADING_PX - 8
    rows = int((room + PITCH_PX - ROW_PX) // PITCH_PX)
    more = len(snags) > rows >= 1
    # Where there is no room below the rows, the buttons that turn the list stand in its heading.
    above = more and room - FOOT_PX < PITCH_PX
    if more and not above:
        rows = int((room - FOOT_PX) // PITCH_PX)
    y = ui.heading(left, box.low_y, right - left, "Snags", "" if above else _note(snags))
    if not snags:
        ui.paragraph(left, y + 10, right - left, "Nothing stands in the way of this layout.")
        return None
    if rows < 1:
        return None
    begin = min(state.snags_from, max(len(snags) - rows, 0))
    change: Change | None = None
    for number, snag in enumerate(snags[begin : begin + rows], start=begin):
        row = Box(left - 8, y + 8, right + 8, y + 8 + ROW_PX)
        picked = bool(state.picked) and state.picked <= set(snag.where)
        head = f"{snag.where[0]}: {snag.says}" if snag.where else snag.says
        if ui.row(f"snag.{number}", row, head, snag.do, flag=snag.severity, number=f"{number + 1}", chosen=picked):
            change = go_to(snag)
        y += PITCH_PX
    if more:
        foot = Box(left + 64, box.low_y + 2, right, box.low_y + 30) if above else Box(left, y + 10, right, y + 38)
        change = _turn(ui, state, foot, begin, rows) or change
    return change


def _turn(ui: Ui, state: State, box: Box, begin: int, rows: int) -> Change | None:
    """Buttons to go up and down a list that is longer than its room."""
    total = len(state.live.snags)
    ui.parts.append(
        Text((box.low_x, box.low_y + 14), f"{begin + 1} to {min(begin + rows, total)} of {total}", "tiny", colour="dim")
    )
    up = Box(box.high_x - 160, box.low_y, box.high_x - 84, box.low_y + 28)
    down = Box(box.high_x - 76, box.low_y, box.high_x, box.low_y + 28)
    if ui.button("snags.up", up, "Up", enabled=begin > 0):
        return lambda state: (replace(state, snags_from=max(begin - rows, 0)), ())
    if ui.button("snags.down", down, "Down", enabled=begin + rows < total):
        return lambda state: (replace(state, snags_from=begin + rows), ())
    return None


def _note(snags: tuple[Snag, ...]) -> str:
    if not snags:
        return "none"
    counts = [(word, sum(snag.severity == word for snag in snags)) for word in ("error", "warning", "note")]
    return " · ".join(f"{count} {word}{'s' if count != 1 else ''}" for word, count in counts if count)


def snag_point(layout: Layout, snag: Snag) -> Point | None:
    """Where on the sheet a snag is: the middle of what it names, nodes and items before legs."""
    spots = [spot_of(layout.view, layout.nodes[place]) for place in snag.where if place in layout.nodes]
    if spots:
        return spots[0].u_mm, spots[0].v_mm
    for place in snag.where:
        if place in layout.items and layout.items[place].leg in layout.legs:
            item = layout.items[place]
            return _along(layout, item.leg, item.at_mm)
    for place in snag.where:
        if place in layout.legs:
            return _along(layout, place, None)
    return None


def _along(layout: Layout, name: str, at_mm: int | None) -> Point:
    leg = layout.legs[name]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    length = sum((b - a) ** 2 for a, b in zip(start, end, strict=True)) ** 0.5
    share = 0.5 if at_mm is None or not length else at_mm / length
    first, last = spot_of(layout.view, start), spot_of(layout.view, end)
    return first.u_mm + (last.u_mm - first.u_mm) * share, first.v_mm + (last.v_mm - first.v_mm) * share


def go_to(snag: Snag) -> Change:
    """Centre the sheet on a snag, pick what it names and say what to do."""

    def change(state: State) -> Outcome:
        layout = state.document
        here = frozenset(place for place in snag.where if place in layout.legs or place in layout.items)
        point = snag_point(layout, snag)
        state, requests = ended(replace(state, picked=here, message=f"{snag.says} {snag.do}"))
        if point is None:
            return state, requests
        sheet, view = state.regions.sheet, state.view
        left = point[0] - (sheet.low_x + sheet.high_x) / 2 / view.scale
        top = point[1] + (sheet.low_y + sheet.high_y) / 2 / view.scale
        return replace(state, view=view._replace(left_mm=left, top_mm=top)), requests

    return change
