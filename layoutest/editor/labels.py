"""What stands beside each straight: service and size, a taped length; or whether it rises or drops, and how far."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.run_parts import rises
from layoutest.drawing.straight import seen

if TYPE_CHECKING:
    from layoutest.cover.covering import Covering


class Label(NamedTuple):
    """Words of one thing on the sheet: SemiBold ones first, then the rest."""

    bold: str
    rest: str = ""


def label_of(covering: Covering, key: str) -> Label:
    """What stands beside a straight."""
    laid = covering.laid[key]
    layout = covering.network.chosen.layout
    nodes = layout.nodes
    first, last = nodes[laid.straight.nodes[0]], nodes[laid.straight.nodes[-1]]
    plan = layout.view == "plan"
    if first.x_mm == last.x_mm and (first.y_mm == last.y_mm if plan else first.level_mm == last.level_mm):
        near = rises(covering, laid, seen(layout, laid.straight))
        if plan:
            levels = first.level_mm, last.level_mm
            return Label("RISE", _signed(max(levels))) if near else Label("DROP", _signed(min(levels)))
        ys = first.y_mm, last.y_mm
        return Label("TO FRONT", f"y {_signed(min(ys))}") if near else Label("TO BACK", f"y {_signed(max(ys))}")
    spec = laid.straight.spec
    rest = spec.pipe
    if any(leg.leg.measured_mm is not None for leg in laid.straight.legs):
        rest += f" · {laid.straight.centre_line_mm:.0f} taped"
    return Label(spec.service, rest)


def _signed(value_mm: int) -> str:
    return f"{value_mm}".replace("-", "−")
