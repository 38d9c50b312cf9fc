"""The hand on the sheet: picking, dragging, drawing, rising and placing, as steps from state to state."""

from __future__ import annotations

from dataclasses import replace
from itertools import compress
from math import hypot
from operator import is_not
from typing import TYPE_CHECKING, Literal

from layoutest.edit.assign import set_length
from layoutest.edit.draw import draw_leg, rise
from layoutest.edit.items import add_item, slide_item
from layoutest.edit.move import move_nodes, move_selection, stretch
from layoutest.edit.places import OnLeg, drawn_mm
from layoutest.edit.start import with_service
from layoutest.editor.bench_columns import arranged, shown_at
from layoutest.editor.commit import done, settled
from layoutest.editor.hit import Hit, hit, in_box
from layoutest.editor.picture import View
from layoutest.editor.snap import Snapped, at_spot, reach, snap_end, snap_on_leg, snap_start, step_mm
from layoutest.editor.state import FARTHEST, NEAREST, Boxing, Dragging, Drawing, Panning, Pressed, Rising, showing
from layoutest.layout.ids import natural_key
from layoutest.layout.plane import Spot, spot_of
from layoutest.live.lit import lit_leg

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point
    from layoutest.edit.draw import Drawn
    from layoutest.editor.commit import Outcome
    from layoutest.editor.events import PointerPressed, WheelTurned
    from layoutest.editor.state import State
    from layoutest.layout.document import Layout

DRAG_FROM_PX = 4
STAYED = "It stays where it was: a leg moves sideways, and nothing goes farther out than 1 km."
NO_LEG = "No leg: it would have no length or end farther out than 1 km, or one lies there already."
LEAST_GROWN_MM = 0.5
ZOOM_STEP = 1.2
WHEEL_PAN_PX = 60


def pressed(state: State, event: PointerPressed) -> Outcome:
    """A button went down on the sheet."""
    point = (event.x, event.y)
    if isinstance(state.gesture, Dragging) and event.button != 3:
        # The button that drags was let go where the window could not see it.
        return released(state, point) if event.button == 1 else (state, ())
    if event.button == 2 or (event.button == 1 and state.space_held):
        return replace(state, gesture=Panning(point, state.view)), ()
    if event.button == 3:
        return let_go(state)
    if event.button != 1:
        return state, ()
    if state.tool == "leg":
        return _draw(state, point, twice=event.clicks > 1)
    if state.tool == "rise":
        return replace(state, gesture=Rising(_start(state, point)), message=""), ()
    if state.tool in ("item", "support"):
        return _place_item(state, point)
    return _pick(state, point, add="shift" in event.mods or "ctrl" in event.mods)


def moved(state: State, point: Point) -> State:
    """The pointer moved on the sheet, or anywhere during a gesture."""
    gesture = state.gesture
    if isinstance(gesture, Panning):
        view, (x, y) = gesture.view, gesture.from_px
        return replace(
            state,
            view=View(
                view.scale, view.left_mm - (point[0] - x) / view.scale, view.top_mm + (point[1] - y) / view.scale
            ),
        )
    if (
        isinstance(gesture, Pressed)
        and hypot(point[0] - gesture.from_px[0], point[1] - gesture.from_px[1]) >= DRAG_FROM_PX
    ):
        gesture = Dragging(gesture.from_px, gesture.hit, state.document)
        state = replace(state, gesture=gesture)
    if isinstance(gesture, Dragging):
        return _dragged(state, gesture, point)
    if isinstance(gesture, Pressed | Boxing):
        return state
    found = _hit(state, point)
    if isinstance(gesture, Drawing):
        end = snap_end(state.layout, gesture.start.spot, state.view.to_mm(point), found, free=_free(state))
        state = replace(state, gesture=Drawing(gesture.start, end))
    return state if found == state.hit else replace(state, hit=found)


def released(state: State, point: Point) -> Outcome:
    """A button went up: what was dragged is done."""
    gesture = state.gesture
    if isinstance(gesture, Dragging):
        if gesture.layout is state.document:
            return settled(replace(state, gesture=None, message=STAYED if any(gesture.by) else state.message))
        return done(replace(state, gesture=None), gesture.layout, f"Move {_what(gesture.hit, state)}")
    if isinstance(gesture, Boxing):
        return replace(state, gesture=None, picked=gesture.kept | _boxed(state, gesture, point)), ()
    if isinstance(gesture, Panning | Pressed):
        return replace(state, gesture=None), ()
    return state, ()


def let_go(state: State) -> Outcome:
    """End what is begun; when nothing is, let go of what is picked, then of the tool."""
    if isinstance(state.gesture, Dragging):
        return settled(replace(state, gesture=None, message="Put back."))
    if state.gesture is not None:
        return replace(state, gesture=None, message=""), ()
    if state.picked:
        return replace(state, picked=frozenset(), message=""), ()
    return replace(state, tool="pick", message=""), ()


def wheel(state: State, event: WheelTurned) -> State:
    """Zoom at the pointer; with Shift, or a wheel that goes sideways, move the view."""
    if "shift" in event.mods or (event.right and not event.up):
        steps = event.right or event.up
        view = state.view
        return replace(state, view=view._replace(left_mm=view.left_mm + steps * WHEEL_PAN_PX / view.scale))
    return zoomed(state, (event.x, event.y), ZOOM_STEP**event.up)


def zoomed(state: State, at: Point, factor: float) -> State:
    """Zoom by a factor; the point of the sheet at a place of the window stays there."""
    view = state.view
    scale = min(max(view.scale * factor, FARTHEST), NEAREST)
    u, v = view.to_mm(at)
    return replace(state, view=View(scale, u - at[0] / scale, v + at[1] / scale))


def typed_length(state: State, length_mm: int) -> Outcome:
    """Draw a leg of a typed length in the direction of the pointer."""
    gesture = state.gesture
    if not isinstance(gesture, Drawing):
        return state, ()
    toward = gesture.end.spot if gesture.end else gesture.start.spot
    return _drawn_to(state, gesture.start, reach(state.layout, gesture.start.spot, toward, length_mm))


def dragged_to(state: State, leg: str, length_mm: int) -> Outcome:
    """End a drag, not where the pointer is but where a leg that grows has a typed length."""
    gesture = state.gesture
    if not isinstance(gesture, Dragging):
        return state, ()
    old_mm, new_mm = (drawn_mm(layout, layout.legs[leg]) for layout in (state.document, gesture.layout))
    share = (length_mm - old_mm) / (new_mm - old_mm)
    by = round(gesture.by[0] * share), round(gesture.by[1] * share)
    layout = moved_layout(state, state.document, by, gesture.hit)
    if abs(drawn_mm(layout, layout.legs[leg]) - length_mm) > 1:
        # It does not grow evenly, as when a node is dragged aside.
        start = layout.legs[leg].start
        fixed: Literal["start", "end"] = (
            "start" if gesture.layout.nodes[start] == state.document.nodes[start] else "end"
        )
        layout = set_length(gesture.layout, leg, length_mm, fixed)
    return done(state, layout, f"Move {_what(gesture.hit, state)}")


def typed_level(state: State, depth_mm: int) -> Outcome:
    """Rise or drop to a depth from where a rise has begun, or from the end of what is drawn."""
    gesture = state.gesture
    if not isinstance(gesture, Rising | Drawing):
        return replace(state, depth_mm=depth_mm), ()
    start = gesture.start
    if depth_mm == start.spot.depth_mm:
        return replace(state, message=f"It is at {depth_mm} already."), ()
    word = "Rise" if depth_mm > start.spot.depth_mm else "Drop"
    base = with_service(state.document, state.pen.service, _covering(state))
    drawn = rise(base, start.place, depth_mm, state.pen)
    end = Spot(start.spot.u_mm, start.spot.v_mm, depth_mm)
    return _after(state, drawn, end, f"{word} to {depth_mm}", going_on=isinstance(gesture, Drawing) or gesture.drawing)


def nudged(state: State, du: int, dv: int) -> Outcome:
    """Move what is picked by a step."""
    if not state.picked or state.gesture is not None:
        return state, ()
    return done(state, moved_layout(state, state.document, (du, dv), None), "Move by a step")


def moved_layout(state: State, layout: Layout, by: tuple[int, int], held: Hit | None) -> Layout:
    """What moving does: a leg alone is stretched sideways, a node alone is moved, an item slides, else all moves."""
    only = next(iter(state.picked)) if len(state.picked) == 1 else ""
    if held and held.id not in state.picked:
        only = held.id
    if only in layout.legs:
        return stretch(layout, only, by)
    if only in layout.items:
        return _slid(layout, only, by)
    vector = (by[0], by[1], 0) if layout.view == "plan" else (by[0], 0, by[1])
    standing = _standing_at(layout, only) if only in layout.nodes else None
    if standing:
        # A node of a rise is one of two in one place of the sheet: they move together.
        return stretch(layout, standing.id, by)
    if only in layout.nodes:
        return move_nodes(layout, (only,), vector)
    return move_selection(layout, state.picked, vector)


def _hit(state: State, point: Point) -> Hit | None:
    return hit(state.picture, state.layout, state.view, point)


def _free(state: State) -> bool:
    return state.free_angle or "alt" in state.mods


def _start(state: State, point: Point) -> Snapped:
    return snap_start(state.document, state.view.to_mm(point), _hit(state, point), state.depth_mm, free=_free(state))


def _pick(state: State, point: Point, *, add: bool) -> Outcome:
    found = _hit(state, point)
    if found is None or found.kind == "flag":
        return replace(state, gesture=Boxing(point, state.picked if add else frozenset()), message=""), ()
    if add:
        return replace(state, picked=state.picked ^ {found.id}), ()
    picked = state.picked if found.id in state.picked else frozenset({found.id})
    state = _bench_at(state, found)
    return replace(state, picked=picked, gesture=Pressed(point, found), message="", girth_mm=None), ()


def _bench_at(state: State, found: Hit) -> State:
    """Turn the bench to the first piece of a leg, where none of its straight's pieces is in view."""
    key = state.live.covering.network.straight_of.get(found.id) if found.kind == "leg" else None
    pieces = lit_leg(state.live, found.id).pieces if key else ()
    if key is None or not pieces:
        return state
    stock, box = state.live.covering.laid[key].straight.spec.stock, state.regions.bench
    seen = {
        number + 1
        for one in arranged(state.live, box, state.bench).columns
        if one.key == stock
        for number in one.sections
    }
    if seen.intersection(piece.section for piece in pieces):
        return state
    return replace(state, bench=shown_at(state.live, box, state.bench, stock, pieces[0].section))


def _dragged(state: State, gesture: Dragging, point: Point) -> State:
    scale, step = state.view.scale, 1 if "alt" in state.mods else step_mm(state.document)
    by = tuple(round(px / scale / step) * step for px in (point[0] - gesture.from_px[0], gesture.from_px[1] - point[1]))
    offset = (by[0], by[1])
    if offset == gesture.by:
        return state
    layout = moved_layout(state, state.document, offset, gesture.hit) if any(offset) else state.document
    shown = showing(state, layout)
    moved, grown = _changed_legs(shown, layout)
    return replace(shown, gesture=gesture._replace(layout=layout, by=offset, moved=moved, grown=grown))


def _changed_legs(state: State, layout: Layout) -> tuple[tuple[str, ...], str]:
    """The legs that moved bodily, and the one whose length changed most; of equals the first by id."""
    old, new = state.document.nodes, layout.nodes
    if new is old:
        return (), ""
    nodes = set(compress(new, map(is_not, new.values(), map(old.get, new))))
    meetings = state.live.covering.network.meetings
    touched = {leg.id for node in nodes if node in meetings for leg in meetings[node].legs}
    legs = {name: layout.legs[name] for name in sorted(touched, key=natural_key) if name in state.document.legs}
    moved = tuple(name for name, leg in legs.items() if leg.start in nodes and leg.end in nodes)
    before = state.document
    changes = {name: abs(drawn_mm(layout, leg) - drawn_mm(before, before.legs[name])) for name, leg in legs.items()}
    grown = max(changes, key=lambda name: round(changes[name]), default="")
    return moved, grown if grown and changes[grown] > LEAST_GROWN_MM else ""


def _slid(layout: Layout, item: str, by: tuple[int, int]) -> Layout:
    leg = layout.legs[layout.items[item].leg]
    start, end = (spot_of(layout.view, layout.nodes[node]) for node in (leg.start, leg.end))
    du, dv = end.u_mm - start.u_mm, end.v_mm - start.v_mm
    seen = hypot(du, dv)
    if not seen:
        return layout
    return slide_item(layout, item, layout.items[item].at_mm + round((by[0] * du + by[1] * dv) / seen))


def _boxed(state: State, gesture: Boxing, point: Point) -> frozenset[str]:
    (u0, v0), (u1, v1) = state.view.to_mm(gesture.from_px), state.view.to_mm(point)
    if hypot(point[0] - gesture.from_px[0], point[1] - gesture.from_px[1]) < DRAG_FROM_PX:
        return frozenset()
    return frozenset(in_box(state.picture, state.layout, (min(u0, u1), min(v0, v1), max(u0, u1), max(v0, v1))))


def _draw(state: State, point: Point, *, twice: bool) -> Outcome:
    gesture = state.gesture
    if not isinstance(gesture, Drawing):
        return replace(state, gesture=Drawing(_start(state, point)), message="", picked=frozenset()), ()
    if twice:
        return replace(state, gesture=None), ()
    found = _hit(state, point)
    end = snap_end(state.document, gesture.start.spot, state.view.to_mm(point), found, free=_free(state))
    return _drawn_to(state, gesture.start, end)


def _drawn_to(state: State, start: Snapped, end: Snapped) -> Outcome:
    base = with_service(state.document, state.pen.service, _covering(state))
    drawn = draw_leg(base, start.place, end.place, state.pen)
    if not drawn.legs:
        return replace(state, message=NO_LEG), ()
    return _after(state, drawn, end.spot, "Draw a leg", going_on=end.holds == "grid")


def _after(state: State, drawn: Drawn, end: Spot, name: str, *, going_on: bool) -> Outcome:
    """Keep what was drawn; drawing goes on from its end, unless it ended on what was there."""
    if not drawn.legs:
        return replace(state, message="No leg: one lies there already."), ()
    state, requests = done(state, drawn.layout, name, picked=frozenset(drawn.legs[-1:]))
    gesture = Drawing(at_spot(state.document, end)) if going_on else None
    return replace(state, gesture=gesture, depth_mm=end.depth_mm), requests


def _covering(state: State) -> str | None:
    return state.pen.covering or next(iter(sorted(state.book.coverings)), None)


def _place_item(state: State, point: Point) -> Outcome:
    found = _hit(state, point)
    if found and found.kind == "node":
        found = _standing_at(state.document, found.id) or found
    if found is None or found.kind != "leg":
        return replace(
            state, message=f"Press a leg: a{' support' if state.tool == 'support' else 'n item'} stands in a leg."
        ), ()
    on_leg = snap_on_leg(state.document, found.id, state.view.to_mm(point), free=_free(state))
    at_mm = on_leg.place.at_mm if isinstance(on_leg.place, OnLeg) else found.at_mm
    kind = "support" if state.tool == "support" else state.item_kind
    layout, item = add_item(state.document, found.id, at_mm, kind)
    return done(state, layout, f"Put a {kind}", picked=frozenset({item}))


def _standing_at(layout: Layout, node: str) -> Hit | None:
    """The rise or drop that ends at a node, at its middle."""
    here = spot_of(layout.view, layout.nodes[node])[:2]
    for name, leg in layout.legs.items():
        if node in (leg.start, leg.end) and all(
            spot_of(layout.view, layout.nodes[end])[:2] == here for end in (leg.start, leg.end)
        ):
            return Hit("leg", name, round(drawn_mm(layout, leg) / 2))
    return None


def _what(found: Hit, state: State) -> str:
    if len(state.picked) > 1 and found.id in state.picked:
        return f"{len(state.picked)} parts"
    return f"{found.kind} {found.id}"
