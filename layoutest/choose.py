"""Choosing: each leg gets its outside diameter, bore, thickness and covered diameter, or is left out with a snag."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from layoutest.layout.contacts import Contacts, Line, find_contacts
from layoutest.layout.geometry import Vector, length, minus
from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag
from layoutest.tables.near import near
from layoutest.tables.reference import shipped_pipes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.book.records import PriceBook
    from layoutest.layout.document import Layout, Leg, Node, Thickness

# Sections are made slightly under their nominal bore's pipe; the least bore is this much below the outside diameter.
BORE_BELOW_MM = 0.6
LOOSE_MM = 2.0
_EXACT = 1e-9

SpecKey = tuple[str, str, str | None, object, bool]
Snags = tuple["Snag", ...]


@dataclass(frozen=True, slots=True)
class Spec:
    """What a leg is made of. Legs are alike when they have the same one.

    `covered_diameter_mm` is D = bore + 2 × thickness, or the pipe's own diameter where it is bare. `elbow_radius_mm`
    is 0 for a tight elbow and None where nobody gave one (taken as tight). `section_mm` is the length of a section.
    """

    pipe: str
    service: str
    outside_diameter_mm: float
    elbow_radius_mm: float | None
    covered: bool
    covering: str = ""
    bore_mm: float = 0
    thickness_mm: float = 0
    covered_diameter_mm: float = 0
    section_mm: int = 0

    @property
    def stock(self) -> tuple[str, float, float]:
        """The key of the sections it is covered with: covering, bore, thickness."""
        return self.covering, self.bore_mm, self.thickness_mm

    @property
    def size_rank(self) -> tuple[bool, float, float]:
        """Sorts the larger first: covered before bare, then by outside diameter, then by covered diameter."""
        return not self.covered, -self.outside_diameter_mm, -self.covered_diameter_mm

    @property
    def text(self) -> str:
        """Pipe and covering in a few words."""
        return f"{self.pipe}, {stock_text(self.stock)}" if self.covered else f"{self.pipe}, bare"


def stock_text(stock: tuple[str, float, float]) -> str:
    """Name sections as `covering borexthickness`, such as `stone-wool-foil 60x40`."""
    covering, bore_mm, thickness_mm = stock
    return f"{covering} {bore_mm:g}x{thickness_mm:g}"


@dataclass(frozen=True, slots=True)
class ChosenLeg:
    """A leg that takes part: its spec, where it lies, its drawn length and the one that counts."""

    id: str
    leg: Leg
    spec: Spec
    start: str
    end: str
    line: Line
    drawn_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Chosen:
    """All legs of a layout that take part, and the snags of those that do not."""

    layout: Layout
    book: PriceBook
    candidates: Mapping[str, ChosenLeg]
    legs: Mapping[str, ChosenLeg]
    refused: Mapping[str, Snags]
    contacts: Contacts
    specs: dict[SpecKey, Spec | Snags] = field(repr=False)


def choose(layout: Layout, book: PriceBook, before: Chosen | None = None) -> Chosen:
    """Choose for every leg. What did not change since `before` is kept, object for object."""
    kept = before if before and _same_ground(layout, book, before) else None
    specs = kept.specs if kept else {}
    candidates: dict[str, ChosenLeg] = {}
    refused: dict[str, Snags] = {}
    moved = _moved_nodes(layout, kept)
    held: Mapping[str, ChosenLeg] = kept.candidates if kept else {}
    for leg_id, leg in layout.legs.items():
        old = held.get(leg_id)
        if old and old.leg is leg and leg.start not in moved and leg.end not in moved:
            candidates[leg_id] = old
            continue
        chosen = _chosen_leg(leg_id, leg, layout, book, specs)
        if isinstance(chosen, ChosenLeg):
            candidates[leg_id] = chosen
        else:
            refused[leg_id] = chosen
    contacts = _contacts(candidates, layout, kept)
    refused |= _doubles(candidates, contacts)
    legs = candidates if not refused else {leg_id: leg for leg_id, leg in candidates.items() if leg_id not in refused}
    return Chosen(layout, book, candidates, MappingProxyType(legs), MappingProxyType(refused), contacts, specs)


def _same_ground(layout: Layout, book: PriceBook, before: Chosen) -> bool:
    old = before.layout
    return book is before.book and (layout.settings, layout.pipes, layout.services) == (
        old.settings,
        old.pipes,
        old.services,
    )


def _moved_nodes(layout: Layout, before: Chosen | None) -> set[str]:
    if before is None or layout.nodes is before.layout.nodes:
        return set()
    old = before.layout.nodes
    return {name for name, node in layout.nodes.items() if old.get(name) is not node}


def _contacts(candidates: Mapping[str, ChosenLeg], layout: Layout, before: Chosen | None) -> Contacts:
    lines = {leg_id: leg.line for leg_id, leg in candidates.items()}
    return find_contacts(lines, layout.settings.angle_tolerance_deg, before.contacts if before else None)


def _chosen_leg(
    leg_id: str, leg: Leg, layout: Layout, book: PriceBook, specs: dict[SpecKey, Spec | Snags]
) -> ChosenLeg | Snags:
    key = (leg.pipe, leg.service, leg.covering, leg.thickness_mm, leg.covered)
    spec = specs.get(key)
    if spec is None:
        spec = specs[key] = _interned(_spec(leg, layout, book), specs)
    if not isinstance(spec, Spec):
        return tuple(replace(snag, where=(leg_id,)) for snag in spec)
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    drawn_mm = length(minus(end, start))
    if drawn_mm == 0:
        return (Snag("zero-length", (leg_id,), "The leg has no length: both its ends are in one place.", "Delete it."),)
    line = Line(leg.start, leg.end, start, _heading(start, end, drawn_mm), drawn_mm)
    length_mm = float(leg.measured_mm) if leg.measured_mm is not None else drawn_mm
    return ChosenLeg(leg_id, leg, spec, leg.start, leg.end, line, drawn_mm, length_mm)


def _interned(spec: Spec | Snags, specs: Mapping[SpecKey, Spec | Snags]) -> Spec | Snags:
    # Legs that reach the same spec by different ways (own thickness, or the service's) are alike: one object for both.
    return next((known for known in specs.values() if known == spec), spec)


def _heading(start: Node, end: Node, drawn_mm: float) -> Vector:
    return (
        (end.x_mm - start.x_mm) / drawn_mm,
        (end.y_mm - start.y_mm) / drawn_mm,
        (end.level_mm - start.level_mm) / drawn_mm,
    )


def _spec(leg: Leg, layout: Layout, book: PriceBook) -> Spec | Snags:
    """The spec of a leg, or snags without a place: one for each name that is not known, or one of another kind."""
    pipe, service = _pipe(leg.pipe, layout), layout.services.get(leg.service)
    faults = [pipe] if isinstance(pipe, Snag) else []
    if service is None:
        says = f"No service is called '{leg.service}'{near(leg.service, layout.services)}."
        faults.append(Snag("unknown-service", (), says, "Name one of the services.", leg.service))
    covering = leg.covering or (service.covering if service else None)
    if leg.covered and (covering or service) and not (covering and book.bores_mm(covering)):
        faults.append(_unknown_covering(covering, book))
    if isinstance(pipe, Snag) or service is None or faults:
        return tuple(faults)
    bare = Spec(leg.pipe, leg.service, *pipe, covered=False, covered_diameter_mm=pipe[0])
    if not leg.covered or covering is None:
        return bare
    wanted = leg.thickness_mm if leg.thickness_mm is not None else service.thickness_mm
    spec = _covered(bare, covering, wanted, book)
    return spec if isinstance(spec, Spec) else (spec,)


def _pipe(name: str, layout: Layout) -> tuple[float, float | None] | Snag:
    own, shipped = layout.pipes.get(name), shipped_pipes().get(name)
    diameter = own.outside_diameter_mm if own and own.outside_diameter_mm is not None else None
    radius = own.elbow_radius_mm if own and own.elbow_radius_mm is not None else None
    if diameter is None and shipped:
        diameter = shipped.outside_diameter_mm
    if radius is None and shipped:
        radius = shipped.elbow_radius_mm
    if diameter is not None:
        return diameter, radius
    if own:
        says = f"The pipe '{name}' has no outside diameter."
        return Snag("unknown-pipe", (), says, f"Give outside_diameter_mm under pipes, '{name}'.", name)
    says = f"No pipe is called '{name}'{near(name, [*layout.pipes, *shipped_pipes()])}."
    do = "Name a shipped pipe, or add it under pipes with its outside diameter."
    return Snag("unknown-pipe", (), says, do, name)


def _covered(bare: Spec, covering: str, wanted: Thickness | None, book: PriceBook) -> Spec | Snag:
    """The spec of a pipe with a covering that the book sells."""
    if wanted is None or wanted == "auto":
        what = "is to be chosen by calculation, which is not built yet" if wanted else "is not given"
        do, group = "Give thickness_mm as a number of mm.", f"{covering}, thickness {wanted or 'not given'}"
        return Snag("bad-thickness", (), f"The thickness {what}.", do, group)
    bores, pipe_mm = book.bores_mm(covering), bare.outside_diameter_mm
    bore_mm = next((bore for bore in bores if bore >= pipe_mm - BORE_BELOW_MM - _EXACT), None)
    if bore_mm is None:
        says = f"No section of {covering} fits a pipe of {pipe_mm:g} mm; the largest bore is {bores[-1]:g} mm."
        do = "Choose another covering, or add the section to sections.csv."
        return Snag("no-bore", (), says, do, f"{bare.pipe}, {covering}")
    section = book.sections.get((covering, bore_mm, wanted))
    if section is None:
        return _bad_thickness(bare.pipe, (covering, bore_mm, wanted), book)
    return replace(
        bare,
        covered=True,
        covering=covering,
        bore_mm=bore_mm,
        thickness_mm=wanted,
        covered_diameter_mm=bore_mm + 2 * wanted,
        section_mm=section.length_mm,
    )


def _unknown_covering(covering: str | None, book: PriceBook) -> Snag:
    known = sorted({name for name, _, _ in book.sections})
    if not covering:
        says = "No covering is given, neither by the leg nor by its service."
    else:
        says = f"The price book '{book.name}' sells no covering called '{covering}'{near(covering, known)}."
    do = f"Name one that it sells: {', '.join(known) or 'it has none'}."
    return Snag("unknown-covering", (), says, do, covering or "none given")


def _bad_thickness(pipe: str, stock: tuple[str, float, float], book: PriceBook) -> Snag:
    covering, bore_mm, wanted = stock
    sold = book.thicknesses_mm(covering, bore_mm)
    larger = [thickness for thickness in sold if thickness > wanted]
    next_text = f"the next larger is {larger[0]:g} mm" if larger else f"the largest is {sold[-1]:g} mm"
    says = f"{covering} with a bore of {bore_mm:g} mm is not sold {wanted:g} mm thick; {next_text}."
    do = f"Choose one of {', '.join(f'{t:g}' for t in sold)} mm."
    return Snag("bad-thickness", (), says, do, f"{pipe}, {stock_text(stock)}")


def _doubles(candidates: Mapping[str, ChosenLeg], contacts: Contacts) -> dict[str, Snags]:
    """Legs that lie on an earlier leg that takes part."""
    rivals: dict[str, list[str]] = {}
    for (first, second), contact in contacts.found.items():
        if contact.kind == "overlap" and _is_true(candidates[first], candidates[second]):
            rivals.setdefault(second, []).append(first)
    out: dict[str, Snags] = {}
    for later in sorted(rivals, key=natural_key):
        earlier = min((leg for leg in rivals[later] if leg not in out), key=natural_key, default=None)
        if earlier is not None:
            out[later] = (_double(candidates[later], candidates[earlier]),)
    return out


def _is_true(first: ChosenLeg, second: ChosenLeg) -> bool:
    # Legs that leave one node the same way overlap however long they are; others only where they are drawn to scale.
    shared = {first.start, first.end} & {second.start, second.end}
    return bool(shared) or (first.leg.measured_mm is None and second.leg.measured_mm is None)


def _double(later: ChosenLeg, earlier: ChosenLeg) -> Snag:
    where = (later.id, earlier.id)
    if {earlier.start, earlier.end} == {later.start, later.end}:
        says = f"Leg {later.id} joins the same nodes as leg {earlier.id}."
        return Snag("duplicate-leg", where, says, "Delete one.")
    says = f"Leg {later.id} lies on leg {earlier.id} over part of its length."
    return Snag("overlapping-legs", where, says, "Delete one of them, or end one where the other begins.")


def choice_snags(chosen: Chosen) -> tuple[Snag, ...]:
    """The snags of the legs left out, and one for each doubtful pipe, bore or temperature with all its legs."""
    by_spec: dict[int, list[ChosenLeg]] = {}
    for leg in chosen.legs.values():
        by_spec.setdefault(id(leg.spec), []).append(leg)
    snags = [snag for refused in chosen.refused.values() for snag in refused]
    tight: dict[str, list[str]] = {}
    served: dict[tuple[str, str], list[str]] = {}
    for legs in by_spec.values():
        spec, names = legs[0].spec, tuple(sorted((leg.id for leg in legs), key=natural_key))
        snags += _loose_bore(spec, names, chosen.book)
        if spec.elbow_radius_mm is None:
            tight.setdefault(spec.pipe, []).extend(names)
        if spec.covered:
            served.setdefault((spec.service, spec.covering), []).extend(names)
    for (service, covering), legs_served in served.items():
        snags += _limits(service, covering, legs_served, chosen)
    snags += [_elbow_unknown(pipe, bent) for pipe, bent in tight.items()]
    snags += [_not_checked(leg) for leg in chosen.legs.values() if leg.leg.measured_mm is not None]
    return tuple(snags)


def _loose_bore(spec: Spec, legs: tuple[str, ...], book: PriceBook) -> list[Snag]:
    gap_mm = spec.bore_mm - spec.outside_diameter_mm
    if not spec.covered or gap_mm <= LOOSE_MM + _EXACT:
        return []
    below = max((bore for bore in book.bores_mm(spec.covering) if bore < spec.bore_mm), default=None)
    other = f"the bore below is {below:g} mm" if below is not None else "there is no smaller bore"
    says = f"Bore {spec.bore_mm:g} mm is {gap_mm:.1f} mm loose on a pipe of {spec.outside_diameter_mm:g} mm; {other}."
    return [Snag("loose-bore", legs, says, "Ask the merchant for a nearer bore, or pack the gap.", spec.text)]


def _limits(service: str, name: str, legs: list[str], chosen: Chosen) -> list[Snag]:
    fluid_c, covering = chosen.layout.services[service].fluid_c, chosen.book.coverings.get(name)
    if fluid_c is None or covering is None or covering.limits_c[0] <= fluid_c <= covering.limits_c[1]:
        return []
    low, high = covering.limits_c
    says = f"{service} runs at {fluid_c:g} °C; {name} is for {low:g} to {high:g} °C."
    do, where = "Choose a covering made for this temperature.", tuple(sorted(legs, key=natural_key))
    return [Snag("outside-limits", where, says, do, f"{service}, {name}")]


def _elbow_unknown(pipe: str, legs: list[str]) -> Snag:
    says = f"No elbow radius is given for '{pipe}': its elbows are taken as tight, with one mitre."
    where = tuple(sorted(legs, key=natural_key))
    return Snag("elbow-unknown", where, says, f"Give elbow_radius_mm under pipes, '{pipe}' (0 for tight elbows).", pipe)


def _not_checked(leg: ChosenLeg) -> Snag:
    says = "The leg has a measured length, so its drawn place was not checked against other pipes, walls and slabs."
    return Snag("measured-not-checked", (leg.id,), says, "Check on site that nothing is in its way.", leg.spec.text)
