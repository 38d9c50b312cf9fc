"""The look: colours, weights and sizes by role, from `assets/look.toml`, for the screen and for paper."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from layoutest.drawing.assets import asset

if TYPE_CHECKING:
    from collections.abc import Mapping

Rgb = tuple[int, int, int]
THEMES = ("light", "dark")
# How much of the edge's colour is in a service's tint where a pipe is one thin line.
FAR_MIX = 0.55


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours of one theme by role, as #RRGGBB; tints go by the code letters of a service."""

    name: str
    colours: Mapping[str, str]
    tints: Mapping[str, str]
    sheet_mix: float

    def rgb(self, role: str) -> Rgb:
        """The colour of a role. `tint:HF` is a service's tint, `body:HF` the tint mixed with the sheet.

        `far:HF` is the tint mixed with the edge, strong enough for a thin line on the sheet.

        Raises:
            KeyError: no such role.
        """
        kind, _, code = role.partition(":")
        if not code:
            return _rgb(self.colours[role])
        tint = _rgb(self.tints[code])
        if kind == "tint":
            return tint
        if kind == "far":
            return _mixed(tint, _rgb(self.colours["edge"]), FAR_MIX)
        return _mixed(tint, _rgb(self.colours["sheet"]), self.sheet_mix)


@dataclass(frozen=True, slots=True)
class Look:
    """Everything that is the same in both themes. Lines are (px at 100 %, mm on paper); dashes in line weights."""

    lines_px: Mapping[str, float]
    lines_mm: Mapping[str, float]
    type_px: Mapping[str, tuple[float, float]]
    type_pt: Mapping[str, float]
    dashes: Mapping[str, tuple[float, ...]]
    radius_px: Mapping[str, float]
    space_px: Mapping[str, float]
    tooltip_delay_ms: int
    themes: Mapping[str, Theme]

    def line_px(self, style: str) -> float:
        """The weight of a style on the screen at 100 %; 1 for a role that is only a colour."""
        return self.lines_px.get(style, 1.0)


@cache
def load_look() -> Look:
    """Read the look once."""
    data = tomllib.loads(asset("look.toml").read_text(encoding="utf-8"))
    themes = {}
    for name in THEMES:
        colours = {role: value for role, value in data[name].items() if isinstance(value, str)}
        tints = MappingProxyType(data[name]["service"])
        themes[name] = Theme(name, MappingProxyType(colours), tints, data["sheet_mix"])
    lines = data["line"]
    return Look(
        MappingProxyType({role: value[0] for role, value in lines.items()}),
        MappingProxyType({role: value[1] for role, value in lines.items()}),
        MappingProxyType({role: (value[0], value[1]) for role, value in data["type"]["px"].items()}),
        MappingProxyType(data["type"]["pt"]),
        MappingProxyType({role: tuple(value) for role, value in data["dash"].items()}),
        MappingProxyType(data["radius"]),
        MappingProxyType(data["space"]),
        data["motion"]["tooltip_delay_ms"],
        MappingProxyType(themes),
    )


def _rgb(value: str) -> Rgb:
    return int(value[1:3], 16), int(value[3:5], 16), int(value[5:7], 16)


def _mixed(tint: Rgb, other: Rgb, share: float) -> Rgb:
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(tint, other, strict=True))
    return red, green, blue
