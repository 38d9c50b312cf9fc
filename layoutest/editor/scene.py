"""From a state to what the window shows. Whatever did not change since the last scene is the same object."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box
from layoutest.editor.bench import BenchMarks, BenchPicture, bench_picture, tip_of
from layoutest.editor.over import flags_of, over_sheet
from layoutest.editor.panels import faces_of
from layoutest.editor.picture import Panel, Scene, SheetScene
from layoutest.editor.state import Boxing, Dragging, Drawing, Panning, Rising
from layoutest.editor.tips import tip_parts
from layoutest.editor.words import Words, place_words
from layoutest.live.lit import NOTHING_LIT, lit_leg, lit_section

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.state import State
    from layoutest.editor.ui import Ui
    from layoutest.live.lit import Lit
    from layoutest.live.live import Live


@dataclass(frozen=True, slots=True)
class Shown:
    """A scene with what it was made from, so that the next one is made of the same parts."""

    scene: Scene
    words: Words
    bench_of: tuple[object, ...]
    bench: BenchPicture


def scene(state: State, before: Shown | None = None) -> Shown:
    """Make the scene of a state."""
    regions = state.regions
    faces = faces_of(state)
    held = isinstance(state.gesture, Dragging)
    flags = flags_of(state)
    words = place_words(
        state.picture,
        state.view,
        regions.sheet,
        state.measure,
        before.words if before else None,
        held=held,
        clear_of=tuple(flag.box for flag in flags),
    )
    lit = lit_of(state)
    sheet = SheetScene(
        regions.sheet,
        state.view,
        state.layout.grid_mm,
        state.picture.groups,
        state.picture.boxes,
        over_sheet(state, words, lit, flags),
    )
    bench, bench_of, drawn = _bench(state, lit, before)
    kept = {panel.name: panel for panel in before.scene.panels} if before else {}
    panels = [bench, *(_same(panel, kept.get(panel.name)) for panel in faces.panels)]
    title = state.document.title or "Untitled"
    top = (*_hints(faces.ui, state), *faces.ui.top, *_tips(state))
    made = Scene(
        state.width,
        state.height,
        sheet,
        tuple(panels),
        top,
        f"{'• ' if state.is_dirty else ''}{title} – layoutest",
        _cursor(state),
    )
    return Shown(made, words, bench_of, drawn)


def lit_of(state: State) -> Lit:
    """What the pointer lights up: a section of the bench, or the straight of a leg on the sheet."""
    if state.gesture is not None or state.dialog or state.menu:
        return NOTHING_LIT
    if state.target and state.target.key and state.target.section:
        return lit_section(state.live, state.target.key, state.target.section)
    if state.hit and state.hit.kind == "leg" and state.tool == "pick":
        return lit_leg(state.live, state.hit.id)
    return NOTHING_LIT


def _same(panel: Panel, kept: Panel | None) -> Panel:
    return kept if kept == panel else panel


def _bench(state: State, lit: Lit, before: Shown | None) -> tuple[Panel, tuple[object, ...], BenchPicture]:
    """The bench; made again only when what it shows is another."""
    picked = _picked_runs(state)
    changes = dict(state.change.sections)
    made_of = (state.live.stocks, state.regions.bench, state.bench, lit, picked, changes)
    if before and before.bench_of[0] is made_of[0] and before.bench_of[1:] == made_of[1:]:
        return next(panel for panel in before.scene.panels if panel.name == "bench"), before.bench_of, before.bench
    marks, last = BenchMarks(lit, picked, changes), before.bench if before else None
    drawn = bench_picture(state.live, state.regions.bench, state.bench, marks, state.measure, last)
    return Panel("bench", state.regions.bench, "bench", drawn.parts), made_of, drawn


def _picked_runs(state: State) -> frozenset[str]:
    """The runs of the straights that hold picked legs, when only a few are picked."""
    if not 0 < len(state.picked) <= 12:
        return frozenset()
    live: Live = state.live
    keys = {live.covering.network.straight_of.get(leg) for leg in state.picked}
    names = {live.covering.network.names[key] for key in keys if key is not None}
    return frozenset(
        f"{name}.{run.number}"
        for name, key in ((live.covering.network.names[key], key) for key in keys if key is not None)
        for run in live.covering.laid[key].runs
        if names
    )


def _tips(state: State) -> tuple[Primitive, ...]:
    """The tooltip of what the pointer rests on, on the bench."""
    if not (state.rested and state.target) or state.dialog or state.menu:
        return ()
    lines = tip_of(state.live, state.target)
    if not lines:
        return ()
    window = Box(0, 0, state.width, state.height)
    small = lines[2] if len(lines) > 2 else ""
    return tuple(tip_parts(state.target.box, list(lines[:2]), small, window, state.measure))


def _hints(ui: Ui, state: State) -> tuple[Primitive, ...]:
    """The three hints of a first launch, where there is room for them."""
    regions = state.regions
    if (
        not state.sample
        or regions.narrow
        or regions.low
        or state.gesture
        or state.picked
        or state.help_open
        or state.dialog
    ):
        return ()
    begin = len(ui.top)
    sheet, bench, status = regions.sheet, regions.bench, regions.status
    middle = (sheet.low_x + sheet.high_x) / 2
    leg = _longest_leg(state)
    if leg:
        x, y = leg
        left = min(max(x - 150, sheet.low_x + 20), sheet.high_x - 320)
        ui.plate(
            Box(left, y + 36, left + 300, y + 92),
            "1",
            ("Pick a leg and move it.", "The bench fills again as it goes."),
            leg,
        )
    ui.plate(
        Box(middle - 60, bench.low_y - 84, middle + 240, bench.low_y - 28),
        "2",
        ("Point at a piece below.", "Its place on the sheet lights up."),
        (middle + 20, bench.low_y + 44),
    )
    ui.plate(
        Box(middle - 60, status.low_y - 76, middle + 240, status.low_y - 20),
        "3",
        ("Type a length and press Enter.", "5.2 m, 5200 or 17' all work."),
        (150, status.low_y + 6),
    )
    made = tuple(ui.top[begin:])
    del ui.top[begin:]
    return made


def _longest_leg(state: State) -> tuple[float, float] | None:
    """The middle of the longest level leg that is seen, away from the lower edge, for the first hint."""
    sheet = state.regions.sheet
    best: tuple[float, tuple[float, float]] | None = None
    for laid in state.live.covering.laid.values():
        box = state.picture.groups[laid.straight.key].box
        (x0, y1), (x1, y0) = state.view.to_px(box[:2]), state.view.to_px(box[2:])
        inside = x0 > sheet.low_x and x1 < sheet.high_x and y0 > sheet.low_y and y1 < sheet.high_y - 200
        if inside and x1 - x0 > y1 - y0 and (best is None or x1 - x0 > best[0]):
            best = (x1 - x0, ((x0 + x1) / 2, (y0 + y1) / 2))
    return best[1] if best else None


def _cursor(state: State) -> str:
    gesture = state.gesture
    if isinstance(gesture, Panning) or state.space_held:
        return "hand"
    if isinstance(gesture, Drawing | Rising | Boxing) or state.tool != "pick":
        return "cross"
    return "hand" if state.hit or state.ui.hot else "arrow"


class Scenes:
    """Makes scenes one after the other, each from the parts of the last."""

    def __init__(self) -> None:
        self._last: Shown | None = None

    def __call__(self, state: State) -> Scene:
        """The scene of a state."""
        self._last = scene(state, self._last)
        return self._last.scene
