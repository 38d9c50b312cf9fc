"""What lights up on the sheet and on the bench at once: the pieces of a section, or the pieces of a leg's straight."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from layoutest.live.live import Live
    from layoutest.pack.stocks import StockKey


class LitPiece(NamedTuple):
    """A piece between two places along a straight, by its key, cut from a section, numbered from 1.

    A piece of a bend lies along the bend, which is named by its node: `bend n3`.
    """

    straight: str
    from_mm: float
    to_mm: float
    section: int


class Lit(NamedTuple):
    """The pieces that are lit, the section they are all cut from where there is one, and the runs they belong to."""

    pieces: tuple[LitPiece, ...] = ()
    section: tuple[StockKey, int] | None = None
    runs: frozenset[str] = frozenset()


NOTHING_LIT = Lit()


def lit_section(live: Live, key: StockKey, number: int) -> Lit:
    """All pieces cut from one section of a stock; `number` counts from 1."""
    stock = live.stocks.get(key)
    if stock is None or not 1 <= number <= len(stock.plan.sections):
        return NOTHING_LIT
    cut = stock.plan.sections[number - 1]
    runs = {piece.run for piece in cut.pieces}
    pieces: list[LitPiece] = []
    for run in runs:
        placed = stock.placed[run]
        named = placed.named
        for piece in placed.pieces:
            if piece.place[0] != number - 1:
                continue
            if named.straight is None:
                begin, long = (named.run.number - 1) * named.run.covered_mm, named.run.covered_mm
                pieces.append(LitPiece(f"bend {named.run.of}", begin, begin + long, number))
                continue
            begin, long = named.run.from_mm + piece.run_from_mm, cut.pieces[piece.place[1]].length_mm
            pieces.append(LitPiece(named.straight.key, begin, begin + long, number))
    return Lit(tuple(pieces), (key, number), frozenset())


def lit_leg(live: Live, leg: str) -> Lit:
    """The pieces of the straight that holds a leg."""
    key = live.covering.network.straight_of.get(leg)
    laid = live.covering.laid.get(key) if key is not None else None
    stock = live.stocks.get(laid.straight.spec.stock) if laid else None
    if laid is None or stock is None:
        return NOTHING_LIT
    pieces: list[LitPiece] = []
    runs: set[str] = set()
    for placed in stock.placed:
        named = placed.named
        if named.straight is not laid.straight or "#" in named.prefix:
            continue
        runs.add(named.name)
        for piece in placed.pieces:
            begin = named.run.from_mm + piece.run_from_mm
            long = stock.plan.sections[piece.place[0]].pieces[piece.place[1]].length_mm
            pieces.append(LitPiece(named.straight.key, begin, begin + long, piece.place[0] + 1))
    return Lit(tuple(pieces), None, frozenset(runs))
