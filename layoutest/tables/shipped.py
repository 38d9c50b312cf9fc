"""Where the demo layouts and the invented example price book lie."""

from __future__ import annotations

from pathlib import Path

from layoutest.errors import InternalError

_PACKAGE = Path(__file__).parents[1]


def demo_folder() -> Path:
    """The folder of the demo layouts, with the example book in `prices/`: in the installed package or in a checkout.

    Raises:
        InternalError: neither is there, so the installation is broken.
    """
    places = (_PACKAGE / "_demo_layouts", _PACKAGE.parent / "demo_layouts")
    for place in places:
        if place.is_dir():
            return place
    raise InternalError(f"{places[0]}: the demo layouts are missing from this installation; install layoutest again")
