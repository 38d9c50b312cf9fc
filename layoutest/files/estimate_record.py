"""The estimate as plain data for scripts, in the shape of version 1 of its JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from layoutest.layout.ids import natural_key
from layoutest.pack.record import Placed, packing_record

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from decimal import Decimal

    from layoutest.cover.copies import Copy, NamedRun
    from layoutest.cover.joints import Fitting
    from layoutest.cover.runs import RunEnd
    from layoutest.job import Estimate
    from layoutest.layout.snags import Snag
    from layoutest.network.straights import Straight
    from layoutest.pack.placing import PlacedPiece, Stock
    from layoutest.price.lines import Line

Record = dict[str, Any]

FORMAT = "layoutest-estimate"
VERSION = 1


def estimate_record(estimate: Estimate) -> Record:
    """Tell an estimate as dictionaries, lists, numbers and strings; money as strings."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "layouts": [
            {
                "file": source.file,
                "title": source.layout.title,
                "revision": source.layout.revision,
                "times": source.layout.times,
                "sha256": source.sha256,
            }
            for source in estimate.sources
        ],
        "complete": estimate.complete,
        "left_out": list(estimate.left_out),
        "straights": [record for copy in estimate.copies for record in _straights(copy)],
        "runs": [_run(named, copy) for copy in estimate.copies for named in copy.runs],
        "fittings": [record for copy in estimate.copies for record in _fittings(copy)],
        "packing": [stock_record(stock, estimate.book.decimals) for stock in estimate.stocks],
        "counts": counts_record(estimate),
        "cost": _cost(estimate),
        "snags": [snag_record(snag) for snag in estimate.snags],
    }


def estimate_text(estimate: Estimate) -> str:
    """The record as JSON, one straight, run, fitting, cut, line or snag a line."""
    return json_lines(estimate_record(estimate))


def json_lines(record: Mapping[str, Any]) -> str:
    """Write a record as JSON with one entry a line in each list of records."""
    parts = [f"{json.dumps(key)}: {_value(value)}" for key, value in record.items()]
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _value(value: object) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n  " + ",\n  ".join(_entry(entry) for entry in value) + "\n]"
    return _entry(value)


def _entry(value: object) -> str:
    """One line, but for the cuts of a stock and the lines of a cost, which take one each."""
    if isinstance(value, dict) and ("cuts" in value or "lines" in value):
        return "{" + ", ".join(f"{json.dumps(key)}: {_deep(key, part)}" for key, part in value.items()) + "}"
    return json.dumps(value, ensure_ascii=False)


def _deep(key: str, value: object) -> str:
    if key in ("cuts", "lines") and isinstance(value, list) and value:
        return "[\n    " + ",\n    ".join(json.dumps(entry, ensure_ascii=False) for entry in value) + "\n  ]"
    return json.dumps(value, ensure_ascii=False)


def number(value: float, places: int = 3) -> float:
    """Round to so many places, and to a whole number where that is what it is."""
    rounded = round(value, places)
    return int(rounded) if rounded == int(rounded) else rounded


def _straights(copy: Copy) -> Iterator[Record]:
    network = copy.covering.network
    for key in sorted(network.straights, key=natural_key):
        yield _straight(network.straights[key], copy)


def _straight(straight: Straight, copy: Copy) -> Record:
    spec = straight.spec
    return {
        "id": copy.straight(straight.key),
        "service": spec.service,
        "pipe": spec.pipe,
        "outside_diameter_mm": number(spec.outside_diameter_mm),
        "covering": spec.covering or None,
        "bore_mm": number(spec.bore_mm) if spec.covered else None,
        "thickness_mm": number(spec.thickness_mm) if spec.covered else None,
        "legs": [copy.prefix + leg.id for leg in straight.legs],
        "nodes": [copy.prefix + node for node in straight.nodes],
        "centre_line_mm": round(straight.centre_line_mm, 3),
    }


def _run(named: NamedRun, copy: Copy) -> Record:
    run = named.run
    of = {"straight": copy.straight(run.of)} if named.straight else {"bend": copy.prefix + run.of}
    return {
        "id": named.name,
        **of,
        "covered_mm": round(run.covered_mm, 3),
        "packed_mm": run.packed_mm,
        "twist_deg": None if run.twist_deg is None else round(run.twist_deg, 2) + 0.0,
        "ends": [_end(end, copy) for end in run.ends],
    }


def _end(end: RunEnd, copy: Copy) -> Record:
    record: Record = {"cut": end.cut}
    if end.cut == "mitre":
        record["angle_deg"] = round(end.angle_deg, 2)
    if end.node is not None:
        record["node"] = copy.prefix + end.node
    if end.item is not None:
        record["item"] = copy.prefix + end.item
    return record


def _fittings(copy: Copy) -> Iterator[Record]:
    joined = copy.covering.joined
    for node in sorted(joined, key=natural_key):
        for fitting in joined[node].fittings:
            yield _fitting(fitting, copy)


def _fitting(fitting: Fitting, copy: Copy) -> Record:
    record: Record = {"node": copy.prefix + fitting.node, "kind": fitting.kind}
    first, *others = (copy.straight(key) for key in fitting.straights)
    if fitting.kind == "bend":
        record |= {
            "turn_deg": round(fitting.angle_deg, 2),
            "mitres": fitting.mitres,
            "hollow_mm": round(fitting.hollow_mm, 3),
        }
        record |= {"cover": "preformed"} if fitting.mitres == 0 else {}
        record |= {"pipe": fitting.leg.spec.pipe, "service": fitting.leg.spec.service}
    elif fitting.kind == "tee":
        record |= {"branch_deg": round(fitting.angle_deg, 2), "cut": fitting.cut, "main": first, "branch": others[0]}
    elif fitting.kind == "reducer":
        record |= {"larger": first, "smaller": others[0]}
    elif fitting.kind == "change":
        record |= {"between": sorted([first, *others], key=natural_key)}
    else:
        record |= {"straight": first}
    return record


def stock_record(stock: Stock, decimals: int) -> Record:
    """The packing of one stock, with the label, the place and the holes of every piece."""
    placed = {piece.place: _placed(piece) for run in stock.placed for piece in run.pieces}
    names = {index: _end_names(run.named) for index, run in enumerate(stock.placed)}
    record: Record = packing_record(stock.plan, placed, names, decimals)
    if stock.section.price is None:
        record |= dict.fromkeys(("section_price", "joint_price", "cost", "cost_at_least", "by_hand_cost"))
        record["proven"] = False
    return record


def _placed(piece: PlacedPiece) -> Placed:
    holes = [
        {"node": hole.node, "at_mm": hole.at_mm, "around_deg": number(hole.around_deg, 2), "cut": hole.cut}
        for hole in piece.holes
    ]
    return Placed(piece.run_from_mm, piece.label, tuple(holes))


def _end_names(named: NamedRun) -> tuple[str, str]:
    return end_name(named.run.ends[0]), end_name(named.run.ends[1])


def end_name(end: RunEnd) -> str:
    """How an end is told on a cut sheet."""
    return f"mitre {number(end.angle_deg, 2)}" if end.cut == "mitre" else end.cut


def counts_record(estimate: Estimate) -> Record:
    """The counts of a job."""
    quantities, stocks = estimate.quantities, estimate.stocks
    joints = {kind: quantities.joint_count(kind) for kind in ("square", "mitre", "notch", "saddle")}
    return {
        "sections": sum(stock.plan.bought for stock in stocks),
        "covered_m": round(quantities.covered_um / 1e6, 3),
        "joints": joints,
        "tape_m": round(quantities.tape_um(estimate.book.tape_the_seam) / 1e6, 1),
        "tape_rolls": estimate.cost.tape_rolls,
        "end_seals": quantities.count("end-seal"),
        "elbow_covers": quantities.count("elbow-cover"),
        "jackets": quantities.count("jacket"),
        "inserts": quantities.count("insert"),
        "bends": quantities.bends,
        "tees": quantities.count("tee"),
        "reducers": quantities.reducers,
        "labour_hours": float(estimate.cost.hours),
        "waste_percent": round(waste_percent(estimate), 1),
    }


def waste_percent(estimate: Estimate) -> float:
    """Offcuts, scrap, wedges and kerf of the bought sections, as a share of their length."""
    bought = [cut for stock in estimate.stocks for cut in stock.plan.sections if not cut.from_van]
    waste_mm = sum(cut.waste_mm for cut in bought)
    length_mm = sum(cut.length_mm for cut in bought)
    return 100 * waste_mm / length_mm if length_mm else 0.0


def _cost(estimate: Estimate) -> Record:
    cost, decimals = estimate.cost, estimate.book.decimals
    return {
        "currency": cost.currency,
        "lines": [_line(line, decimals) for line in cost.lines],
        "known": money_text(cost.known, decimals),
        "net": money_text(cost.net, decimals),
        "vat": money_text(cost.vat, decimals),
        "total": money_text(cost.total, decimals),
    }


def money_text(amount: Decimal | None, decimals: int) -> str | None:
    """Money with the book's decimals."""
    return None if amount is None else f"{amount:.{decimals}f}"


def plain(value: Decimal, least_decimals: int = 0) -> str:
    """A number without needless zeros, but with at least so many decimals."""
    text = f"{value.normalize():f}"
    decimals = len(text.partition(".")[2])
    return text if decimals >= least_decimals else f"{value:.{least_decimals}f}"


def _line(line: Line, decimals: int) -> Record:
    return {
        "what": line.what,
        "quantity": plain(line.quantity),
        "unit": line.unit,
        "rate": plain(line.rate, decimals),
        "amount": money_text(line.amount, decimals),
        "cause": line.cause,
        "area": line.area,
        "from": list(line.sources),
    }


def snag_record(snag: Snag) -> Record:
    """One snag."""
    return {
        "id": snag.id,
        "code": snag.code,
        "severity": snag.severity,
        "where": list(snag.where),
        "says": snag.says,
        "do": snag.do,
    }
