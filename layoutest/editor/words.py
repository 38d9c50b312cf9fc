"""Words on the sheet: a place for each that is clear of pipes and of other words, or none."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline, Text
from layoutest.editor.clear import Clear
from layoutest.editor.key import key_box
from layoutest.editor.labels import Label, label_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Group, Point, Primitive
    from layoutest.editor.picture import Measure, View

LEAST_LONG_PX = 120.0
LEAST_PLANT_PX = 21.0
LEAST_WIDE_PX = 8.0
# A rise narrower than this is one of very many, and its level could not be told from its neighbours'.
LEAST_RISE_PX = 1.5
OFF_PX = 5.0
HIGH_PX = 13.0
BETWEEN_PX = 4.0
LEADERS_PX = (18.0, 36.0)
SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)
# With more in view than this nobody could read them.
MOST_GROUPS = 2500
MOST_WORDS = 300
_BOLD = True


class Words(NamedTuple):
    """Words that have found their place: what for, and their primitives by the name of their group."""

    view: View
    sheet: Box
    picture: SheetPicture
    clear_of: tuple[Box, ...]
    placed: dict[str, tuple[Primitive, ...]]

    @property
    def parts(self) -> tuple[Primitive, ...]:
        """All of them."""
        return tuple(part for parts in self.placed.values() for part in parts)


class Put(NamedTuple):
    """A place for words: their box, where they begin and half-way up, turned or not, and their leader."""

    box: Box
    at: Point
    turned: bool = False
    leader: tuple[Point, ...] = ()


def place_words(
    picture: SheetPicture,
    view: View,
    sheet: Box,
    measure: Measure,
    before: Words | None = None,
    *,
    held: bool = False,
    clear_of: tuple[Box, ...] = (),
) -> Words:
    """Place the words of all that is in view: rises and drops first, then plant, then straights, from the top down.

    Args:
        picture: the sheet's groups.
        view: which part of it is seen.
        sheet: where it lies in the window, in px.
        measure: widths of words.
        before: the words placed last; they are kept when nothing changed.
        held: something is dragged: words that are in place stay there, and those of what moves wait.
        clear_of: boxes in px that words keep clear of, such as flags.
    """
    if before and before.picture.groups is picture.groups and before[:2] + before[3:4] == (view, sheet, clear_of):
        return before
    if held and before and before[:2] == (view, sheet):
        old, new = before.picture.groups, picture.groups
        kept = {name: parts for name, parts in before.placed.items() if new.get(name) is old.get(name)}
        return Words(view, sheet, picture, clear_of, kept)
    low, high = view.to_mm((sheet.low_x, sheet.high_y)), view.to_mm((sheet.high_x, sheet.low_y))
    names = picture.boxes.touching(Box(*low, *high))
    placed: dict[str, tuple[Primitive, ...]] = {}
    wanted = _wanted(picture, view, names) if len(names) <= MOST_GROUPS else []
    if 0 < len(wanted) <= MOST_WORDS:
        clear = Clear(picture, view, sheet, names)
        clear.keep((key_box(view, sheet), *clear_of))
        for name, label in wanted:
            parts = _placed(picture.groups[name], label, view, measure, clear)
            if parts:
                placed[name] = parts
    return Words(view, sheet, picture, clear_of, placed)


def waiting_words(words: Words, leg: str, pointer: Point, measure: Measure) -> tuple[Primitive, ...]:
    """The words of a leg that found no place and wait for the pointer."""
    covering = words.picture.covering
    key = covering.network.straight_of.get(leg)
    if key is None or key not in covering.laid or key in words.placed:
        return ()
    label, sheet = label_of(covering, key), words.sheet
    wide = sum(measure(*one) for one in ((label.bold, "tiny", _BOLD), (label.rest, "tiny", not _BOLD))) + BETWEEN_PX
    left = max(min(pointer[0] + 16, sheet.high_x - wide - 4), sheet.low_x + 4)
    below = pointer[1] + 20 + HIGH_PX / 2 <= sheet.high_y
    return _level(label, (left, pointer[1] + (20 if below else -20)), measure)


def _wanted(picture: SheetPicture, view: View, names: Sequence[str]) -> list[tuple[str, Label]]:
    """The words that are to be placed, the most important first."""
    upright: list[tuple[str, Label]] = []
    plant: list[tuple[str, Label]] = []
    along: list[tuple[str, Label]] = []
    covering, groups = picture.covering, picture.groups
    for name in reversed(names):
        group = groups[name]
        if name in covering.laid:
            first = group.details[0][0]
            if isinstance(first, Circle) and group.width * view.scale >= LEAST_RISE_PX:
                upright.append((name, label_of(covering, name)))
            elif group.width * view.scale >= LEAST_WIDE_PX and _long(first, view) >= LEAST_LONG_PX:
                along.append((name, label_of(covering, name)))
        elif _is_plant(group) and (group.box.high_y - group.box.low_y) * view.scale >= LEAST_PLANT_PX:
            plant.append((name, Label(name.removeprefix("outline "))))
    return [*upright, *plant, *along]


def _is_plant(group: Group) -> bool:
    shape = group.details[-1][0]
    return isinstance(shape, Polygon) and shape.fill == "plant_fill"


def _long(line: Primitive, view: View) -> float:
    if not isinstance(line, Polyline):
        return 0.0
    (u0, v0), (u1, v1) = line.points[0], line.points[-1]
    return hypot(u1 - u0, v1 - v0) * view.scale


def _placed(group: Group, label: Label, view: View, measure: Measure, clear: Clear) -> tuple[Primitive, ...]:
    wide = measure(label.bold, "tiny", _BOLD)
    if label.rest:
        wide += BETWEEN_PX + measure(label.rest, "tiny", not _BOLD)
    first = group.details[0][0]
    if isinstance(first, Circle):
        places = list(_beside_point(view.to_px(first.centre), first.radius * view.scale, wide))
    elif isinstance(first, Polyline):
        ends = view.to_px(first.points[0]), view.to_px(first.points[-1])
        places = list(_beside_line(*ends, group.width / 2 * view.scale, wide))
    else:
        places = list(_within(view, group.box, wide))
    for edges in (True, False):
        for put in places:
            if isinstance(first, Polyline) and not _leads(put.leader, group.width / 2 * view.scale, clear):
                continue
            if clear.takes(put.box, edges=edges):
                leader = (Polyline(put.leader, "dimension", "dim"),) if put.leader else ()
                return (*leader, *(_turned if put.turned else _level)(label, put.at, measure))
    return ()


def _leads(leader: tuple[Point, ...], half: float, clear: Clear) -> bool:
    """Whether a leader leads to its own pipe alone: between that and the words nothing lies."""
    if not leader:
        return True
    (x0, y0), (x1, y1) = leader
    length = hypot(x1 - x0, y1 - y0)
    steps = range(max(int((length - half - BETWEEN_PX) / BETWEEN_PX), 1))
    shares = ((half + BETWEEN_PX * (step + 1)) / length for step in steps)
    spots = ((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in shares)
    return all(clear.is_free(Box(x - 1, y - 1, x + 1, y + 1)) for x, y in spots)


def _box(left: float, middle: float, wide: float) -> Box:
    return Box(left - 1, middle - HIGH_PX / 2, left + wide + 1, middle + HIGH_PX / 2)


def _beside_point(point: Point, radius: float, wide: float) -> Iterator[Put]:
    """Right, left, above, below; then farther off, slantwise, with a leader."""
    x, y = point
    off = radius + OFF_PX
    for left, middle in ((x + off, y), (x - off - wide, y)):
        yield Put(_box(left, middle, wide), (left, middle))
    for middle in (y - off - HIGH_PX / 2, y + off + HIGH_PX / 2):
        yield Put(_box(x - wide / 2, middle, wide), (x - wide / 2, middle))
    for leader in LEADERS_PX:
        far = (radius + leader) * 0.71
        for across, down in ((far, -far), (-far, -far), (far, far), (-far, far)):
            left = x + across + 3 if across > 0 else x + across - 3 - wide
            at = (left, y + down)
            yield Put(_box(*at, wide), at, leader=((x, y), (x + across, y + down)))


def _beside_line(low: Point, high: Point, half: float, wide: float) -> Iterator[Put]:
    """Beside the middle or another part of it, on one side or the other; at last farther off with a leader."""
    (x0, y0), (x1, y1) = low, high
    if hypot(x1 - x0, y1 - y0) < wide + 12:
        return
    tall, broad = abs(y1 - y0), abs(x1 - x0)
    off = half * 1.12 + OFF_PX
    spots = [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in SHARES]
    if tall > 2 * broad:
        yield from (_upright(spot, side * (off + HIGH_PX / 2), wide) for spot in spots for side in (-1, 1))
    elif broad > 2 * tall:
        lean = tall / broad * wide / 2
        for x, y in spots:
            for side in (-1, 1):
                middle = y + side * (off + lean + HIGH_PX / 2)
                yield Put(_box(x - wide / 2, middle, wide), (x - wide / 2, middle))
    else:
        yield from (put for spot in spots for put in _slanting(spot, (x1 - x0) * (y1 - y0) > 0, off, wide))
    for x, y in spots[:1]:
        for leader in LEADERS_PX:
            for side in (-1, 1):
                left, middle = x + off + leader, y + side * (off + leader)
                yield Put(_box(left + 3, middle, wide), (left + 3, middle), leader=((x, y), (left, middle)))


def _upright(spot: Point, aside: float, wide: float) -> Put:
    x, y = spot[0] + aside, spot[1]
    box = Box(x - HIGH_PX / 2, y - wide / 2 - 1, x + HIGH_PX / 2, y + wide / 2 + 1)
    return Put(box, (x, y + wide / 2), turned=True)


def _slanting(spot: Point, falls: bool, off: float, wide: float) -> Iterator[Put]:  # noqa: FBT001 - which way it slants
    """Level words that touch a slanting pipe's side with a corner: above to the right, or below to the left."""
    x, y = spot
    reach = off * 0.71
    for side in (1, -1):
        left = x + reach if side > 0 else x - reach - wide
        lift = (reach + HIGH_PX / 2) * (-side if falls else side)
        yield Put(_box(left, y + lift, wide), (left, y + lift))


def _within(view: View, box: Box, wide: float) -> Iterator[Put]:
    """In plant: in its upper part, its middle, its lower part; each in the middle, at the left, at the right."""
    (x0, y1), (x1, y0) = view.to_px(box[:2]), view.to_px(box[2:])
    if x1 - x0 < wide + 12 or y1 - y0 < HIGH_PX + 8:
        return
    for down in (0.2, 0.5, 0.8):
        middle = min(max(y0 + (y1 - y0) * down, y0 + HIGH_PX / 2 + 5), y1 - HIGH_PX / 2 - 5)
        for left in ((x0 + x1 - wide) / 2, x0 + 6, x1 - 6 - wide):
            yield Put(_box(left, middle, wide), (left, middle))


def _level(label: Label, at: Point, measure: Measure) -> tuple[Primitive, ...]:
    left, middle = at
    bold = Text(at, label.bold, "tiny", bold=True, halo="sheet")
    if not label.rest:
        return (bold._replace(halo=""),)
    right = left + measure(label.bold, "tiny", _BOLD) + BETWEEN_PX
    return bold, Text((right, middle), label.rest, "tiny", colour="dim", halo="sheet")


def _turned(label: Label, at: Point, measure: Measure) -> tuple[Primitive, ...]:
    x, low = at
    high = low - measure(label.bold, "tiny", _BOLD) - BETWEEN_PX
    return (
        Text(at, label.bold, "tiny", bold=True, turn_deg=90, halo="sheet"),
        Text((x, high), label.rest, "tiny", colour="dim", turn_deg=90, halo="sheet"),
    )
