"""How the window is to look next time, and the files opened last: a small file that is never a reason to fail."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, NamedTuple

from layoutest.errors import LayoutestError
from layoutest.files.whole import write_whole

if TYPE_CHECKING:
    from pathlib import Path

THEMES = ("light", "dark")
LEAST_SCALE, MOST_SCALE = 1.0, 2.0
MOST_RECENT = 10


class WindowSettings(NamedTuple):
    """The look, the interface scale (1 to 2) and the paths opened last, the last first."""

    theme: str = "light"
    scale: float = 1.0
    recent: tuple[str, ...] = ()


def read_settings(place: Path) -> WindowSettings:
    """Return what was kept; what is missing or damaged has its usual value."""
    usual = WindowSettings()
    try:
        raw = json.loads(place.read_bytes())
    except (OSError, ValueError, RecursionError):
        return usual
    if not isinstance(raw, dict):
        return usual
    return WindowSettings(
        raw["theme"] if raw.get("theme") in THEMES else usual.theme,
        float(raw["scale"]) if _is_scale(raw.get("scale")) else usual.scale,
        tuple(path for path in _listed(raw.get("recent")) if isinstance(path, str))[:MOST_RECENT],
    )


def _is_scale(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and LEAST_SCALE <= value <= MOST_SCALE


def _listed(value: object) -> list[Any]:
    return value if isinstance(value, list) else []


def keep_look(place: Path, theme: str, scale: float) -> None:
    """Keep the look and the interface scale.

    Raises:
        LayoutestError: the file cannot be written; what stood there is unchanged.
    """
    _write(place, read_settings(place)._replace(theme=theme, scale=scale))


def remember_recent(place: Path, path: str) -> None:
    """Put a path at the head of the recent files.

    Raises:
        LayoutestError: the file cannot be written; what stood there is unchanged.
    """
    # Read anew: another window may have opened something meanwhile.
    kept = read_settings(place)
    others = tuple(other for other in kept.recent if other != path)
    _write(place, kept._replace(recent=(path, *others)[:MOST_RECENT]))


def _write(place: Path, settings: WindowSettings) -> None:
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        write_whole(place, (json.dumps(settings._asdict(), indent=2) + "\n").encode(), like=place)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise LayoutestError(f"'{place}': how the window looks cannot be kept: {reason}") from error
