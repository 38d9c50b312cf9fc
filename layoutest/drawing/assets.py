"""Where fonts and the look lie."""

from __future__ import annotations

from pathlib import Path

from layoutest.errors import InternalError

_PACKAGE = Path(__file__).parents[1]


def asset(name: str) -> Path:
    """The path of an asset such as `look.toml`, in the installed package or in a checkout.

    Raises:
        InternalError: it is in neither, so the installation is broken.
    """
    places = (_PACKAGE / "_assets" / name, _PACKAGE.parent / "assets" / name)
    for place in places:
        if place.exists():
            return place
    raise InternalError(f"{places[0]}: a file is missing from this installation; install layoutest again")
