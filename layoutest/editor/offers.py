"""What can be chosen for a leg: services, sizes, coverings, thicknesses; and the sizes that a girth points to."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from layoutest.edit.start import usual_services
from layoutest.tables.reference import shipped_pipes

if TYPE_CHECKING:
    from layoutest.book.records import PriceBook
    from layoutest.layout.document import Layout

MOST_OFFERED = 3


def services_of(layout: Layout) -> dict[str, str]:
    """The layout's services by id with their names, then the usual ones that it does not have yet."""
    names = {name: service.name or name for name, service in layout.services.items()}
    usual = {name: service.name for name, service in usual_services(None).items() if name not in names}
    return {**names, **usual}


def sizes_of(layout: Layout) -> tuple[str, ...]:
    """The names of all pipes: the layout's own first."""
    return tuple(dict.fromkeys((*layout.pipes, *shipped_pipes())))


def outside_mm(layout: Layout, pipe: str) -> float | None:
    """The outside diameter of a pipe by its name."""
    own, shipped = layout.pipes.get(pipe), shipped_pipes().get(pipe)
    if own and own.outside_diameter_mm is not None:
        return own.outside_diameter_mm
    return shipped.outside_diameter_mm if shipped else None


def sizes_of_girth(layout: Layout, girth_mm: float, like: str = "") -> tuple[str, ...]:
    """The sizes whose outside diameter is nearest to girth ÷ π, the nearest first; one name for each diameter.

    Of pipes with one diameter it is the one of the kind that another is: `steel DN65`, not `copper 76.1`.
    """
    kind = like.rpartition(" ")[0]
    sizes: dict[float, str] = {}
    for pipe in sorted(sizes_of(layout), key=lambda name: name.rpartition(" ")[0] != kind):
        diameter_mm = outside_mm(layout, pipe)
        if diameter_mm is not None:
            sizes.setdefault(diameter_mm, pipe)
    nearest = sorted(sizes, key=lambda diameter_mm: (abs(diameter_mm - girth_mm / pi), diameter_mm))
    return tuple(sizes[diameter_mm] for diameter_mm in nearest[:MOST_OFFERED])


def thicknesses_of(book: PriceBook, covering: str, outside_diameter_mm: float | None) -> tuple[float, ...]:
    """The thicknesses that the book sells for a pipe: those of the narrowest bore that goes over it."""
    if outside_diameter_mm is None:
        return ()
    bores = [bore for bore in book.bores_mm(covering) if bore >= outside_diameter_mm - 0.6]
    return book.thicknesses_mm(covering, bores[0]) if bores else ()
