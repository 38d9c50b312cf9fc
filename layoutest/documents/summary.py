"""The summary of an estimate: what a person wants to see first, within 80 columns."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.documents.cautions import CAUTIONS
from layoutest.documents.page import WIDTH, paragraph
from layoutest.documents.snag_list import snag_list
from layoutest.files.estimate_record import counts_record, money_text, waste_percent
from layoutest.pack.plan import pack

if TYPE_CHECKING:
    from layoutest.job import Estimate
    from layoutest.pack.placing import Stock
    from layoutest.pack.problem import Plan


def summary_text(estimate: Estimate) -> str:
    """The whole summary, each line ended."""
    parts = [
        _head(estimate),
        _section("To order", _order(estimate)),
        _section("Counted", _counts(estimate)),
        _section(f"How it is packed, {estimate.cost.currency}", _packing(estimate)),
        _section(f"Price, {estimate.cost.currency}", _price(estimate)),
        _section("Snags", snag_list(estimate.snags)),
        _section("Cautions", [line for caution in CAUTIONS for line in paragraph(caution, WIDTH - 2)]),
    ]
    return "\n".join(line for part in parts for line in part) + "\n"


def not_complete(estimate: Estimate) -> list[str]:
    """The line that stands on top of everything while the estimate is incomplete."""
    if estimate.complete:
        return []
    errors = sum(snag.severity == "error" for snag in estimate.snags)
    left_out = f", {len(estimate.left_out)} drawn but left out" if estimate.left_out else ""
    return [f"NOT COMPLETE: {errors} error{'s' if errors != 1 else ''}{left_out}. The totals stay open; see Snags.", ""]


def origin(estimate: Estimate) -> list[str]:
    """The layouts and the price book an estimate was made from."""
    lines = []
    for source in estimate.sources:
        layout = source.layout
        parts = [
            layout.title or "untitled",
            f"revision {layout.revision}" if layout.revision else "",
            f"{layout.times} times" if layout.times > 1 else "",
        ]
        lines += [*paragraph(", ".join(part for part in parts if part)), source.file]
    book = estimate.book
    invented = " INVENTED PRICES: not for quoting." if book.invented else ""
    return [*lines, *paragraph(f"Prices: {book.name}, {book.date}.{invented}")]


def _head(estimate: Estimate) -> list[str]:
    return [*not_complete(estimate), *origin(estimate)]


def _section(title: str, lines: list[str]) -> list[str]:
    return ["", title.upper(), *(f"  {line}" if line else "" for line in lines)] if lines else []


def _order(estimate: Estimate) -> list[str]:
    if not estimate.stocks:
        return ["Nothing to cover."]
    decimals = estimate.book.decimals
    lines = [f"{'sections':34}{'number':>8}{'covers m':>11}{'waste %':>9}{'price each':>12}"]
    for stock in estimate.stocks:
        plan = stock.plan
        covers_m = sum(placed.named.run.covered_mm for placed in stock.placed) / 1000
        each = money_text(stock.section.price, decimals) or "missing"
        lines.append(f"{plan.problem.stock[:33]:34}{plan.bought:8}{covers_m:11.2f}{_waste(plan):9.1f}{each:>12}")
    counts = counts_record(estimate)
    lines.append(f"{'all':34}{counts['sections']:8}{counts['covered_m']:11.2f}{waste_percent(estimate):9.1f}")
    breakage = _quantity(estimate, "Breakage")
    cartons = _quantity(estimate, "To fill cartons")
    lines += [f"{'for breakage, whole per size':34}{breakage:8}"] if breakage else []
    lines += [f"{'to fill cartons, on top':34}{cartons:8}"] if cartons else []
    return lines + _van(estimate) + ["", *_sundries(estimate, counts)]


def _waste(plan: Plan) -> float:
    bought = [cut for cut in plan.sections if not cut.from_van]
    waste_mm = sum(cut.waste_mm for cut in bought)
    return 100 * waste_mm / max(sum(cut.length_mm for cut in bought), 1)


def _quantity(estimate: Estimate, what: str) -> int:
    return int(sum(line.quantity for line in estimate.cost.lines if line.what.startswith(what)))


def _van(estimate: Estimate) -> list[str]:
    used = sum(cut.from_van for stock in estimate.stocks for cut in stock.plan.sections)
    return [f"{'offcuts taken from the van':34}{used:8}"] if used else []


def _sundries(estimate: Estimate, counts: dict[str, object]) -> list[str]:
    tape = estimate.book.sundry("tape")
    roll = f"of {tape.roll_m:g} m" if tape and tape.roll_m else ""
    rows = [
        (f"rolls of foil tape {roll}", counts["tape_rolls"], f"{counts['tape_m']} m used"),
        ("end seals", counts["end_seals"], ""),
        ("elbow covers", counts["elbow_covers"], ""),
        ("jackets", counts["jackets"], ""),
        ("support inserts", counts["inserts"], ""),
    ]
    return [f"{what:34}{number:>8}   {note}".rstrip() for what, number, note in rows if number]


def _counts(estimate: Estimate) -> list[str]:
    counts = counts_record(estimate)
    joints = counts["joints"]
    straights = sum(len(copy.covering.network.straights) for copy in estimate.copies)
    return [
        f"straights {straights}; bends {counts['bends']}, tees {counts['tees']}, reducers {counts['reducers']}",
        "joints: " + ", ".join(f"{kind} {count}" for kind, count in joints.items()),
        f"labour {counts['labour_hours']:.1f} h",
    ]


def _packing(estimate: Estimate) -> list[str]:
    """Each stock's cost of sections and joints, the bound under it, and what other ways would cost."""
    if not estimate.stocks:
        return []
    head = f"{'':25}{'joints':>6} {'rule':7}{'cost':>9}{'at least':>10}{'other rule':>11}{'by hand':>9}"
    return [head, *(_packed(stock, estimate) for stock in estimate.stocks), *_saved(estimate)]


def _packed(stock: Stock, estimate: Estimate) -> str:
    plan, decimals = stock.plan, estimate.book.decimals
    name = plan.problem.stock[:24]
    if stock.section.price is None:
        return f"{name:25}{plan.joints:6} packed for the fewest sections: no price"
    other = pack(replace(plan.problem, rule="fewest" if plan.problem.rule == "priced" else "priced"))
    least = "proven" if plan.proven else money_text(plan.cost_at_least, decimals)
    return (
        f"{name:25}{plan.joints:6} {plan.problem.rule:7}{money_text(plan.cost, decimals):>9}{least:>10}"
        f"{money_text(other.cost, decimals):>11}{money_text(plan.by_hand_cost, decimals):>9}"
    )


def _saved(estimate: Estimate) -> list[str]:
    """What the plans save against careful cutting by hand."""
    plans = [stock.plan for stock in estimate.stocks if stock.section.price is not None]
    sections = sum(plan.by_hand_sections - plan.bought for plan in plans)
    money = sum((plan.by_hand_cost - plan.cost for plan in plans), Decimal(0))
    text = (
        f"Saved against careful cutting by hand: {money_text(money, estimate.book.decimals)} (sections: {sections}). "
        "Costs are of sections and joints between pieces, before cartons; proven: no plan can cost less. "
        "Rule priced: joints where they save money; fewest: whole sections first, one cut remainder."
    )
    return ["", *paragraph(text, WIDTH - 2)] if plans else []


_GROUPS = (
    ("Sections", ("Sections", "Offcut from the van")),
    ("Tape, seals, jackets, inserts", ("Foil tape", "End seal", "Elbow cover", "Jacket", "Support insert")),
    ("Labour and access", ("Labour", "Access")),
    ("Breakage and cartons", ("Breakage", "To fill cartons")),
    ("Delivery and disposal", ("Delivery", "Disposal")),
    ("Contingency", ("Contingency",)),
    ("Margin", ("Margin",)),
)


def _price(estimate: Estimate) -> list[str]:
    cost, decimals = estimate.cost, estimate.book.decimals
    amounts: dict[str, Decimal] = {}
    for line in cost.lines:
        group = next((name for name, starts in _GROUPS if line.what.startswith(starts)), "Own lines")
        amounts[group] = amounts.get(group, Decimal(0)) + line.amount
    order = [name for name, _ in _GROUPS[:-2]] + ["Own lines"] + [name for name, _ in _GROUPS[-2:]]
    rows = [(name, money_text(amounts[name], decimals)) for name in order if name in amounts]
    if cost.total is None:
        rows += [("Known so far", money_text(cost.known, decimals)), ("Total", "NOT COMPLETE")]
    else:
        vat = f"VAT {estimate.book.vat_percent:g} %"
        rows += [("Net", money_text(cost.net, decimals)), (vat, money_text(cost.vat, decimals))]
        rows += [("Total", money_text(cost.total, decimals))]
    causes = [f"{cause} {money_text(amount, decimals)}" for cause, amount in cost.by_cause().items() if amount]
    return [
        *(f"{name:34}{amount:>14}" for name, amount in rows),
        "",
        *paragraph(f"By cause: {', '.join(causes)}.", WIDTH - 2),
    ]
