"""`pack FILE`: the packer alone, on a plain list of lengths."""

from __future__ import annotations

import sys
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from layoutest.pack.problem import Offcut

_EPILOG = """\b
Example, three runs of 1960 mm mitred at their right end and one of 480 mm:
  printf '1960,3,square,45\\n480\\n' | layoutest pack - --diameter 110
"""

# An effort that only the clock ends.
_UNTIL_PROVEN = 1000


def _money(context: click.Context, parameter: click.Parameter, value: str) -> Decimal:  # noqa: ARG001
    amount = _amount(value)
    if amount is None:
        raise click.BadParameter(f"{value!r} is no amount of money; expected a number, 0 or more")
    return amount


def _stock(context: click.Context, parameter: click.Parameter, values: tuple[str, ...]) -> tuple[Offcut, ...]:  # noqa: ARG001
    from layoutest.pack.problem import Offcut

    offcuts = []
    for value in values:
        fields = [field.strip() for field in value.split(",")]
        fields += ["1", "0"][len(fields) - 1 :]
        cost = _amount(fields[2])
        whole = all(field.isdecimal() and len(field) <= 8 and int(field) > 0 for field in fields[:2])
        if len(fields) > 3 or not whole or cost is None:
            raise click.BadParameter(f"{value!r} is no stock; expected LENGTH[,COUNT[,COST]], such as 640,2,1.50")
        offcuts.append(Offcut(int(fields[0]), int(fields[1]), cost))
    return tuple(offcuts)


@click.command("pack", epilog=_EPILOG)
@click.argument("file")
@click.option("--section", default=1000, show_default=True, type=click.IntRange(1, 1_000_000), help="Section, mm.")
@click.option(
    "--diameter",
    default=0.0,
    show_default=True,
    type=click.FloatRange(0, 10_000),
    help="Diameter over the covering, mm; needed where there is a mitre.",
)
@click.option(
    "--kerf", default=0, show_default=True, type=click.IntRange(0, 100), help="What one square cut takes, mm."
)
@click.option("--least", default=150, show_default=True, type=click.IntRange(0, 1_000_000), help="Least piece, mm.")
@click.option(
    "--slit",
    default="free",
    show_default=True,
    type=click.Choice(["free", "in-line"]),
    help="In-line: no cut serves two mitres.",
)
@click.option(
    "--section-cost", default="1", show_default=True, callback=_money, metavar="AMOUNT", help="Cost of a section."
)
@click.option(
    "--joint-cost",
    default="0",
    show_default=True,
    callback=_money,
    metavar="AMOUNT",
    help="Cost of a joint within a run.",
)
@click.option("--fewest-joints", is_flag=True, help="Whole sections first and one rest, as is the habit of the trade.")
@click.option(
    "--stock",
    multiple=True,
    callback=_stock,
    metavar="LENGTH[,COUNT[,COST]]",
    help="Offcuts on hand, mm; may be given more than once.",
)
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, min_open=True),
    help="Search until proven or for so long; without it, for a set number of steps.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object in place of the text.")
def command(
    *,
    file: str,
    section: int,
    diameter: float,
    kerf: int,
    least: int,
    slit: str,
    section_cost: Decimal,
    joint_cost: Decimal,
    fewest_joints: bool,
    stock: tuple[Offcut, ...],
    seconds: float | None,
    as_json: bool,
) -> None:
    """Cut a plain list of runs from sections, at the least cost of sections and joints that is found.

    FILE (- for standard input) has a run a line, length[,count[,left[,right]]]: millimetres, and for each end `square`
    or the angle of its mitre from square, over 0 and under 80 degrees. Lengths are rounded up to whole millimetres.
    """
    import json
    from time import perf_counter

    from layoutest.pack.effort import Effort
    from layoutest.pack.lines import runs_from_lines
    from layoutest.pack.plan import pack
    from layoutest.pack.problem import Problem
    from layoutest.pack.record import packing_record
    from layoutest.pack.show import plan_text

    started = perf_counter()
    source = "standard input" if file == "-" else file
    problem = Problem(
        stock=source,
        section_mm=section,
        radius_mm=diameter / 2,
        runs=runs_from_lines(_text(file, source), source, diameter / 2),
        kerf_mm=kerf,
        least_mm=least,
        slit_in_line=slit == "in-line",
        rule="fewest" if fewest_joints else "priced",
        section_price=section_cost,
        joint_price=joint_cost,
        van=stock,
    )
    plan = pack(problem, Effort() if seconds is None else Effort(_UNTIL_PROVEN, seconds))
    if plan.ended == "clock":
        click.echo("The time was up: the best plan so far, not proven.", err=True)
    decimals = max(2, *(_decimals(price) for price in (section_cost, joint_cost, *(kind.value for kind in stock))))
    if as_json:
        record = packing_record(plan, decimals=decimals) | {"seconds": round(perf_counter() - started, 3)}
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
    else:
        click.echo(plan_text(plan, decimals))


def _text(file: str, source: str) -> str:
    from pathlib import Path

    from layoutest.errors import UnreadableError

    try:
        data = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        return data.decode("utf-8-sig")
    except OSError as error:
        raise UnreadableError((f"{source}: cannot be read: {error.strerror}",)) from error
    except UnicodeDecodeError as error:
        raise UnreadableError((f"{source}: byte {error.start} is not UTF-8 text; expected plain lines",)) from error


def _amount(text: str) -> Decimal | None:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        return None
    return amount if amount.is_finite() and 0 <= amount <= 10**9 and _decimals(amount) <= 9 else None


def _decimals(amount: Decimal) -> int:
    exponent = amount.as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0
