"""The state of the window: a layout with its history, what is derived from it, and where the eye and the hand are."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.pipes import SheetPicture, sheet_groups
from layoutest.edit.history import History
from layoutest.editor.bench_state import BenchState, height_px
from layoutest.editor.picture import View
from layoutest.editor.regions import Regions, regions_of
from layoutest.editor.ui import UiState
from layoutest.live.alike import Compared, compared
from layoutest.live.live import Live, live_of, with_plans

if TYPE_CHECKING:
    from layoutest.book.records import PriceBook
    from layoutest.drawing.primitives import Point
    from layoutest.edit.draw import Pen
    from layoutest.editor.bench import BenchTarget
    from layoutest.editor.hit import Hit
    from layoutest.editor.picture import Measure
    from layoutest.editor.snap import Snapped
    from layoutest.layout.document import ItemKind, Layout
    from layoutest.pack.problem import Plan

PLANS_KEPT = 24
FIT_MARGIN_PX = 56
NEAREST, FARTHEST = 4.0, 0.0005


class Panning(NamedTuple):
    """The view is dragged."""

    from_px: Point
    view: View


class Boxing(NamedTuple):
    """A box is drawn to pick what lies in it; `kept` stays picked."""

    from_px: Point
    kept: frozenset[str]


class Pressed(NamedTuple):
    """Something was pressed and is not dragged yet."""

    from_px: Point
    hit: Hit


class Dragging(NamedTuple):
    """What is picked is dragged: `layout` is what it would make, `by` how far it is.

    `moved` are the legs that moved bodily, `grown` the one whose length changed most.
    """

    from_px: Point
    hit: Hit
    layout: Layout
    by: tuple[int, int] = (0, 0)
    moved: tuple[str, ...] = ()
    grown: str = ""


class Drawing(NamedTuple):
    """Legs are drawn click by click; the next begins at `start` and would end at `end`."""

    start: Snapped
    end: Snapped | None = None


class Rising(NamedTuple):
    """A rise or drop begins at a place; its level is typed. `drawing` says that legs are drawn on from there."""

    start: Snapped
    drawing: bool = False


Gesture = Panning | Boxing | Pressed | Dragging | Drawing | Rising


class Dialog(NamedTuple):
    """A question: its buttons are (id of what it does, words), the safe one first."""

    id: str
    title: str
    words: tuple[str, ...]
    buttons: tuple[tuple[str, str], ...]


class Pinned(NamedTuple):
    """A routing to compare the present one with."""

    live: Live


@dataclass(frozen=True, slots=True)
class State:
    """Everything the window is a function of.

    `committed` is derived from `history.now`, `live` from what is shown, `basis` from the layout before the last edit;
    `change` is what that edit changed, or what the hand would change while it holds something.
    """

    width: float
    height: float
    book: PriceBook
    history: History[Layout]
    saved: Layout
    committed: Live
    live: Live
    picture: SheetPicture
    view: View
    pen: Pen
    basis: Live
    change: Compared
    measure: Measure
    theme: str = "light"
    scale: float = 1.0
    path: str = ""
    tool: str = "pick"
    free_angle: bool = False
    depth_mm: int = 0
    item_kind: ItemKind = "valve"
    picked: frozenset[str] = frozenset()
    gesture: Gesture | None = None
    bench: BenchState = field(default_factory=BenchState)
    ui: UiState = field(default_factory=UiState)
    pointer: Point | None = None
    mods: str = ""
    space_held: bool = False
    hit: Hit | None = None
    target: BenchTarget | None = None
    rested: bool = False
    pinned: Pinned | None = None
    message: str = ""
    dialog: Dialog | None = None
    after_saving: str = ""
    opening: str = ""
    given_up: Layout | None = None
    begun: bool = False
    usual_depth_mm: int = 0
    sample: bool = False
    panel_open: bool = False
    help_open: bool = False
    path_asked: str = ""
    path_start: str = ""
    menu: str = ""
    key_taken: str = ""
    snags_from: int = 0
    girth_mm: float | None = None
    recent: tuple[str, ...] = ()
    plans: tuple[Plan, ...] = ()
    actions: int = 0

    @property
    def layout(self) -> Layout:
        """What is shown: the document, or what the hand would make of it."""
        return self.live.layout

    @property
    def document(self) -> Layout:
        """The layout as it was last left."""
        return self.history.now

    @property
    def is_dirty(self) -> bool:
        """Whether something is not in the file."""
        return self.document is not self.saved and not self.sample

    @property
    def regions(self) -> Regions:
        """How the window is divided now."""
        return regions_of(
            self.width, self.height, height_px(self.bench, self.width, self.height), panel_open=self.panel_open
        )


def derived(state: State, layout: Layout) -> tuple[Live, SheetPicture]:
    """What follows from a layout, from what is shown now; plans that were found before are used again."""
    live = with_plans(live_of(layout, state.book, state.live), state.plans)
    return live, sheet_groups(live.covering, live.joints, state.picture)


def showing(state: State, layout: Layout) -> State:
    """Show what the hand would make of the document."""
    if layout is state.live.layout:
        return state
    live, picture = derived(state, layout)
    return told(replace(state, live=live, picture=picture))


def told(state: State) -> State:
    """The state with what changed, after something that it is told from has."""
    before = state.basis if state.live is state.committed else state.committed
    return replace(state, change=compared(before, state.live))


def fitted(state: State) -> State:
    """Show everything that is drawn."""
    return replace(state, view=fit_view(state.picture, state.regions, state.layout.grid_mm))


def fit_view(picture: SheetPicture, regions: Regions, grid_mm: int) -> View:
    """The view in which all of a picture is seen, with a margin."""
    sheet = regions.sheet
    width, height = sheet.high_x - sheet.low_x, sheet.high_y - sheet.low_y
    if not picture.groups:
        scale = 24 / max(grid_mm, 1)
        return View(scale, -(sheet.low_x + 2 * FIT_MARGIN_PX) / scale, (sheet.high_y - 2 * FIT_MARGIN_PX) / scale)
    box = picture.box
    inner = max(width - 2 * FIT_MARGIN_PX, 40), max(height - 2 * FIT_MARGIN_PX, 40)
    scale = min(inner[0] / max(box.high_x - box.low_x, 500), inner[1] / max(box.high_y - box.low_y, 500), NEAREST / 4)
    scale = min(max(scale, FARTHEST), NEAREST)
    middle = (box.low_x + box.high_x) / 2, (box.low_y + box.high_y) / 2
    left = middle[0] - (sheet.low_x + width / 2) / scale
    return View(scale, left, middle[1] + (sheet.low_y + height / 2) / scale)


def first_state(
    width: float,
    height: float,
    book: PriceBook,
    measure: Measure,
    layout: Layout,
    pen: Pen,
    *,
    path: str = "",
    theme: str = "light",
    scale: float = 1.0,
    recent: tuple[str, ...] = (),
    sample: bool = False,
    begun: bool = False,
) -> State:
    """The state of a window that has just opened a layout; `begun`: it is not in its file yet."""
    live = live_of(layout, book)
    picture = sheet_groups(live.covering, live.joints, None)
    state = State(
        width,
        height,
        book,
        History(layout),
        layout,
        live,
        live,
        picture,
        View(0.1, 0.0, 0.0),
        pen,
        live,
        compared(live, live),
        measure,
        theme,
        scale,
        path,
        depth_mm=usual_depth_mm(layout),
        usual_depth_mm=usual_depth_mm(layout),
        recent=recent,
        sample=sample,
        begun=begun,
    )
    return fitted(state)


def opened(state: State, layout: Layout, pen: Pen, *, path: str = "", sample: bool = False) -> State:
    """The same window with another layout open."""
    fresh = first_state(
        state.width,
        state.height,
        state.book,
        state.measure,
        layout,
        pen,
        path=path,
        theme=state.theme,
        scale=state.scale,
        recent=state.recent,
        sample=sample,
    )
    return fitted(replace(fresh, bench=replace(fresh.bench, height=state.bench.height), pointer=state.pointer))


def usual_depth_mm(layout: Layout) -> int:
    """The depth at which most nodes lie; where nothing is drawn, 2400 mm in a plan, as pipes hang, and 0 else."""
    depths: dict[int, int] = {}
    for node in layout.nodes.values():
        depth = node.level_mm if layout.view == "plan" else node.y_mm
        depths[depth] = depths.get(depth, 0) + 1
    if not depths:
        return 2400 if layout.view == "plan" else 0
    return max(depths, key=lambda depth: (depths[depth], -depth))
