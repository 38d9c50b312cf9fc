"""The main job: layouts and a price book in, an estimate out. It only walks through the rooms below it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layoutest.check.places import place_snags
from layoutest.check.structure import structure_snags
from layoutest.choose import choice_snags, choose
from layoutest.cover.copies import Copy, copy_of, prefixes
from layoutest.cover.covering import Covering, cover
from layoutest.errors import UsageError
from layoutest.layout.ids import natural_key
from layoutest.network import derive
from layoutest.network.findings import network_snags
from layoutest.pack.placing import Stock, place_runs
from layoutest.pack.plan import pack, unpackable
from layoutest.pack.stocks import Task, tasks_of, unpackable_snags
from layoutest.price.cost import Cost, price
from layoutest.quantities import Quantities, count_quantities

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layoutest.book.records import PriceBook
    from layoutest.layout.document import Layout, Settings
    from layoutest.layout.ids import IdKey
    from layoutest.layout.snags import Snag

# Pieces of all layouts of a job are cut from the same sections, so these must be the same in all of them.
SHARED_SETTINGS = ("least_piece_mm", "kerf_mm", "slit", "joints", "joint_overlap_mm")


@dataclass(frozen=True, slots=True)
class Source:
    """A layout with the name and the checksum of the file it came from."""

    file: str
    sha256: str
    layout: Layout

    @property
    def stem(self) -> str:
        """The file's name without folders, suffixes and spaces, as it stands before ids."""
        name = self.file.replace("\\", "/").rsplit("/", 1)[-1]
        return name.removesuffix(".json").removesuffix(".layout").replace(" ", "-") or "layout"


@dataclass(frozen=True, slots=True)
class Estimate:
    """Everything that is known about a job. `copies` are the layouts as often as they are built.

    `complete` is False while an error stands, something drawn is left out or a price is missing; the totals of `cost`
    are None then.
    """

    sources: tuple[Source, ...]
    book: PriceBook
    complete: bool
    left_out: tuple[str, ...]
    copies: tuple[Copy, ...]
    stocks: tuple[Stock, ...]
    quantities: Quantities
    cost: Cost
    snags: tuple[Snag, ...]


def estimate_job(
    sources: Sequence[Source], book: PriceBook, progress: Callable[[str, int, int], None] = lambda *_: None
) -> Estimate:
    """Estimate layouts as one job: what they have in common is cut from the same sections.

    Args:
        sources: the layouts, at least one.
        book: the prices.
        progress: called with what is being done, how many steps are done and how many there are.

    Raises:
        UsageError: the layouts differ in a setting that they have to share.
    """
    settings = _shared_settings(sources)
    snags: list[Snag] = []
    copies: list[Copy] = []
    names = prefixes([source.stem for source in sources], [source.layout.times for source in sources])
    for number, (source, own) in enumerate(zip(sources, names, strict=True)):
        progress(f"deriving {source.file}", number, len(sources))
        covering = cover(derive(choose(source.layout, book)))
        snags += [_prefixed(snag, own[0]) for snag in layout_snags(covering)]
        copies += [copy_of(prefix, covering) for prefix in own]
    stocks: list[Stock] = []
    tasks = tasks_of(copies, settings, book)
    for number, task in enumerate(tasks):
        progress(f"packing {task.problem.stock}", number, len(tasks))
        stock, refused = _packed(task)
        stocks += [stock] if stock else []
        snags += refused
    progress("pricing", 1, 1)
    return _totalled(sources, book, copies, stocks, snags)


def _totalled(
    sources: Sequence[Source], book: PriceBook, copies: list[Copy], stocks: list[Stock], snags: list[Snag]
) -> Estimate:
    quantities = count_quantities(copies, stocks)
    left_out = tuple(name for copy in copies for name in _left_out(copy))
    complete = not left_out and not any(snag.severity == "error" for snag in snags)
    cost, missing = price(stocks, quantities, book, complete=complete)
    return Estimate(
        tuple(sources),
        book,
        complete and not missing,
        left_out,
        tuple(copies),
        tuple(stocks),
        quantities,
        cost,
        ordered([*snags, *missing]),
    )


def layout_snags(covering: Covering) -> tuple[Snag, ...]:
    """All snags of one layout, whatever it costs."""
    chosen = covering.network.chosen
    return (
        *choice_snags(chosen),
        *network_snags(covering.network),
        *covering.snags(),
        *place_snags(chosen),
        *structure_snags(chosen),
    )


def ordered(snags: Iterable[Snag]) -> tuple[Snag, ...]:
    """Put snags in the order of importance and then of their places, each once."""
    once = {snag.id: snag for snag in snags}
    return tuple(sorted(once.values(), key=place_in_list))


def place_in_list(snag: Snag) -> tuple[int, list[IdKey], str]:
    """Sorts snags by importance, then by their places; the last part is the snag's id."""
    return snag.rank, [natural_key(place) for place in snag.where], snag.id


def _prefixed(snag: Snag, prefix: str) -> Snag:
    return replace(snag, where=tuple(prefix + place for place in snag.where)) if prefix else snag


def _shared_settings(sources: Sequence[Source]) -> Settings:
    first = sources[0]
    faults = []
    for source in sources[1:]:
        for name in SHARED_SETTINGS:
            here, there = getattr(source.layout.settings, name), getattr(first.layout.settings, name)
            if here != there:
                faults.append(f"{source.file}: settings.{name}: {here} stands here, and {there} in {first.file}")
    if faults:
        raise UsageError(
            "\n".join([*faults, "Layouts of one job are cut from the same sections: make these the same."])
        )
    return first.layout.settings


def _packed(task: Task) -> tuple[Stock | None, list[Snag]]:
    """Pack one stock; runs that no section can hold are left out with a snag."""
    refused = set(unpackable(task.problem))
    kept = [named for named in task.named if named.name not in refused]
    snags = unpackable_snags((named for named in task.named if named.name in refused), task.section)
    if not kept:
        return None, snags
    problem = task.problem
    if refused:
        problem = replace(problem, runs=tuple(run for run in problem.runs if run.name not in refused))
    plan = pack(problem)
    return Stock(task.key, task.section, plan, place_runs(plan, kept), task.joint_tape_um), snags


def _left_out(copy: Copy) -> list[str]:
    """Legs and items that are drawn but in no quantity."""
    chosen = copy.covering.network.chosen
    placed = {placed.id for laid in copy.covering.laid.values() for placed in laid.items}
    legs = sorted(chosen.refused, key=natural_key)
    items = sorted(chosen.layout.items.keys() - placed, key=natural_key)
    return [copy.prefix + name for name in (*legs, *items)]
