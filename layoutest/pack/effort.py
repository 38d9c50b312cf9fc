"""How long the exact packer searches: a limit in steps, so that a plan does not hang on how busy the machine is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Effort:
    """A limit of the search.

    `level` scales every count of rounds, columns and nodes; 0 is the quick plan alone. `seconds` is an emergency stop:
    a plan that it ended says so and may differ from run to run.
    """

    level: int = 1
    seconds: float = 60.0
