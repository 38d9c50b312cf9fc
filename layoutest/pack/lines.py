"""Runs from plain lines, `length[,count[,left[,right]]]`, where an end is `square` or an angle from square."""

from __future__ import annotations

from math import ceil, inf, isfinite

from layoutest.errors import UnreadableError
from layoutest.pack.problem import SQUARE, PackRun
from layoutest.pack.row import ROUNDING_MM, both_wedges_mm, shared_gap_mm

MOST_ANGLE_DEG = 80
MOST_LENGTH_MM = 10_000_000
MOST_RUNS = 1_000_000
_SHAPE = "length[,count[,left[,right]]]"


def runs_from_lines(text: str, source: str, radius_mm: float) -> tuple[PackRun, ...]:
    """Read runs, named by their line: `line 3`, or `line 3#2` for the second of a count.

    Lengths are in millimetres and rounded up to whole ones. A run no longer than R·(tan a + tan b) of its two mitres is
    packed as one piece. Blank lines and what follows a # are passed over.

    Args:
        text: the lines.
        source: what the faults call the text, such as the name of its file.
        radius_mm: R of the covering; 0 when it is not known, and then there can be no mitre.

    Raises:
        UnreadableError: with every fault, by line.
    """
    runs: list[PackRun] = []
    faults: list[str] = []
    for number, line in enumerate(text.splitlines(), start=1):
        content = line.partition("#")[0].strip()
        if content:
            found, wrong = _runs_of_line(content, f"line {number}", radius_mm, MOST_RUNS + 1 - len(runs))
            faults += [f"{source}: line {number}: {fault}" for fault in wrong]
            runs += found
    if not runs and not faults:
        faults.append(f"{source}: there is no run in it; expected lines of the form {_SHAPE}")
    if len(runs) > MOST_RUNS:
        faults.append(f"{source}: there are more than {MOST_RUNS} runs in it")
    if faults:
        raise UnreadableError(tuple(faults))
    return tuple(runs)


def _runs_of_line(content: str, name: str, radius_mm: float, most: int) -> tuple[list[PackRun], list[str]]:
    fields = [field.strip() for field in content.split(",")]
    if len(fields) > 4:
        return [], [f"{content!r} has {len(fields)} fields; expected {_SHAPE}"]
    length = _number(fields[0])
    count = _number(fields[1]) if fields[1:] else 1.0
    ends = (_angle(fields[2]) if fields[2:] else SQUARE, _angle(fields[3]) if fields[3:] else SQUARE)
    faults = []
    if not 0 < length <= MOST_LENGTH_MM:
        faults.append(f"the length is {fields[0]!r}; expected millimetres over 0, at most {MOST_LENGTH_MM}")
    if not (1 <= count <= MOST_RUNS and count == int(count)):
        faults.append(f"the count is {fields[1]!r}; expected a whole number from 1 to {MOST_RUNS}")
    faults += [
        f"the {side} end is {field!r}; expected 'square' or an angle over 0 and under {MOST_ANGLE_DEG} degrees"
        for side, field, end in zip(("left", "right"), fields[2:], ends, strict=False)
        if end is None
    ]
    if faults or ends[0] is None or ends[1] is None:
        return [], faults
    length_mm = max(1, ceil(length - ROUNDING_MM))
    faults = _mitre_faults(length_mm, (ends[0], ends[1]), radius_mm)
    one_piece = length_mm <= both_wedges_mm(radius_mm, ends[0], ends[1])
    runs = [
        PackRun(name if copy == 0 else f"{name}#{copy + 1}", length_mm, (ends[0], ends[1]), one_piece)
        for copy in range(0 if faults else min(int(count), most))
    ]
    return runs, faults


def _mitre_faults(length_mm: int, ends: tuple[float, float], radius_mm: float) -> list[str]:
    mitres = [end for end in ends if end > SQUARE]
    if mitres and radius_mm == 0:
        return [f"a mitre of {mitres[0]:g} degrees needs the diameter over the covering, --diameter"]
    between = shared_gap_mm(radius_mm, *ends)
    if mitres and length_mm <= between:
        return [f"the length is {length_mm} mm; its mitres need more than {between} mm on a radius of {radius_mm:g} mm"]
    return []


def _number(field: str) -> float:
    try:
        value = float(field.replace("_", " "))  # no digit groups: 1_5 is more likely a slip than 15
    except ValueError:
        return -inf
    return value if isfinite(value) else -inf


def _angle(field: str) -> float | None:
    if field == "square":
        return SQUARE
    value = _number(field)
    return value if 0 < value < MOST_ANGLE_DEG else None
