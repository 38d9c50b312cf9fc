"""What the tooltips of the bench say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.editor.bench_cut import cuts_of
from layoutest.editor.bench_heads import counted, stock_words
from layoutest.editor.tally import money_words

if TYPE_CHECKING:
    from layoutest.editor.bench_cut import Cut
    from layoutest.editor.bench_state import BenchTarget
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock


def tip_of(live: Live, target: BenchTarget) -> tuple[str, ...]:
    """What the tooltip of a place on the bench says; the first line is its head, the third stands small."""
    stock = live.stocks.get(target.key) if target.key else None
    if target.kind == "grip":
        return ("Bench low, normal or tall (B)",)
    if stock is None or target.section > stock.count:
        return ()
    if not target.section:
        return _stock_tip(live, stock)
    if target.piece >= len(stock.plan.sections[target.section - 1].pieces):
        return ()  # The stock was packed anew under a pointer that rests.
    if target.piece >= 0:
        return _piece_tip(stock, target)
    return _section_tip(stock, target)


def _stock_tip(live: Live, stock: LiveStock) -> tuple[str, ...]:
    size, covering = stock_words(stock.key)
    head = f"{size} {covering}, {counted(stock.count)}"
    left_out = stock.refused_snags[0].says if stock.refused_snags else ""
    if stock.state == "quick":
        return tuple(filter(None, (head, "Packed quickly; the proof runs.", left_out)))
    plan = stock.plan
    if stock.state == "proven":
        second = "Proven: no plan costs less."
    else:
        second = f"No plan takes fewer than {counted(plan.at_least)}"
        if stock.section.price is not None:
            second += f", nor costs less than {money_words(plan.cost_at_least, live.book.currency)}"
        second += "."
    hand = f"cut with care by hand: {counted(plan.by_hand_sections)}"
    return head, second, left_out or hand


def _piece_tip(stock: LiveStock, target: BenchTarget) -> tuple[str, ...]:
    cut, number = stock.plan.sections[target.section - 1], target.section
    piece, (placed, labelled) = cut.pieces[target.piece], stock.by_place[target.section - 1, target.piece]
    shown = cuts_of(stock, (number - 1,))[0].pieces[target.piece]
    area = placed.named.leg.leg.area
    ends = [(side, angle) for side, angle in (("left", shown.left_deg), ("right", shown.right_deg)) if angle]
    notes = [f"{side} end slanted {angle:g}°" for side, angle in ends]
    if len(ends) == 2 and shown.left_deg == shown.right_deg:
        notes = [f"both ends slanted {shown.left_deg:g}°"]
    if piece.turned:
        notes.append("turned")
    if labelled.holes:
        notes.append(f"{len(labelled.holes)} hole{'s' if len(labelled.holes) > 1 else ''}")
    head = f"{labelled.label}, section {number}, {stock_words(stock.key)[0]}"
    second = f"{area + ', ' if area else ''}{piece.length_mm} long"
    return (head, second, ", ".join(notes)) if notes else (head, second)


def _section_tip(stock: LiveStock, target: BenchTarget) -> tuple[str, ...]:
    (cut,) = cuts_of(stock, (target.section - 1,))
    van = f", {cut.length_mm} from the van" if stock.plan.sections[target.section - 1].from_van else ""
    head = f"Section {target.section}{van}, {stock_words(stock.key)[0]}"
    used = sum(piece.length_mm for piece in cut.pieces)
    sums = " + ".join(f"{piece.length_mm}" for piece in cut.pieces)
    second = f"{sums} = {used}" if len(cut.pieces) > 1 else f"{used} used"
    rest = _rest_words(cut)
    return (head, second, rest) if rest else (head, second)


def _rest_words(cut: Cut) -> str:
    """What of a section is in no piece: the offcut, and the sum of all that is lost."""
    lost = {"wedges": cut.wedge_mm, "cuts": cut.kerf_mm, "scrap": cut.scrap_mm}
    names = [name for name, length_mm in lost.items() if length_mm]
    told = [f"offcut {cut.offcut_mm}"] if cut.offcut_mm else []
    if names:
        listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
        told.append(f"{listed} {sum(lost.values())}")
    return ", ".join(told)
