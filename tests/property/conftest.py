"""Makes the strategies beside the tests importable, and keeps the clock and chance out of the tests."""

from __future__ import annotations

import sys
from pathlib import Path

from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))

settings.register_profile("repeatable", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("repeatable")
