"""Words on the screen: the shipped fonts at an interface scale, measured and drawn, each drawing kept."""

from __future__ import annotations

from functools import lru_cache
from math import floor
from typing import TYPE_CHECKING, NamedTuple

import pygame
import pygame.freetype

from layoutest.drawing.assets import asset
from layoutest.drawing.look import load_look

if TYPE_CHECKING:
    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Size

FACES = {
    False: ("IBMPlexSans-Regular.ttf", "DejaVuSans.ttf"),
    True: ("IBMPlexSans-SemiBold.ttf", "DejaVuSans-Bold.ttf"),
}
# Plex Sans capitals are 698 of 1000 units high.
CAP_SHARE = 0.698
HALO_PX = 3
KEPT_WORDS = 6000
UNKNOWN = "\ufffd"


class Words(NamedTuple):
    """Words as a picture; how far the middle of their capitals lies from its top, or from its left where turned."""

    picture: pygame.Surface
    middle: float


class Type:
    """The fonts at one interface scale."""

    def __init__(self, scale: float) -> None:
        if not pygame.font.get_init():
            pygame.font.init()
        if not pygame.freetype.get_init():
            pygame.freetype.init()
        self.scale = scale
        self.rim_px = floor(HALO_PX * scale + 0.5)
        self._fonts: dict[tuple[int, bool, int], pygame.font.Font] = {}
        self._middles: dict[int, float] = {}
        self._faces: dict[tuple[bool, int], pygame.freetype.Font] = {}
        self._has: dict[tuple[str, bool, int], bool] = {}
        self._widths: dict[tuple[str, str, bool], float] = {}
        self.drawn = lru_cache(maxsize=KEPT_WORDS)(self._drawn)

    def measure(self, words: str, size: Size | str, bold: bool) -> float:  # noqa: FBT001 - as `Measure` is called
        """Width in logical pixels of words in a size of the look."""
        key = (words, size, bold)
        width = self._widths.get(key)
        if width is None:
            if len(self._widths) > 4 * KEPT_WORDS:
                self._widths.clear()
            px = self.px_of(size)
            width = self._widths[key] = (
                sum(font.size(part)[0] for font, part in self._parts(words, px, bold)) / self.scale
            )
        return width

    def px_of(self, size: str) -> int:
        """The size of type in device pixels."""
        return floor(load_look().type_px[size][0] * self.scale + 0.5)

    @staticmethod
    def px_of_capital(height_px: float) -> int:
        """The size of type whose capitals are so high."""
        return floor(height_px / CAP_SHARE + 0.5)

    def _font(self, px: int, bold: bool, face: int) -> pygame.font.Font:  # noqa: FBT001
        key = (px, bold, face)
        font = self._fonts.get(key)
        if font is None:
            font = self._fonts[key] = pygame.font.Font(str(asset("fonts") / FACES[bold][face]), px)
        return font

    def _parts(self, words: str, px: int, bold: bool) -> list[tuple[pygame.font.Font, str]]:  # noqa: FBT001
        """The words split where a glyph is only in the second face."""
        first = self._font(px, bold, 0)
        if words.isascii() and words.isprintable():
            return [(first, words)] if words else []
        parts: list[tuple[pygame.font.Font, str]] = []
        for char in words:
            if char < " " or 0xD800 <= ord(char) <= 0xDFFF:
                char = UNKNOWN  # noqa: PLW2901 - a control character, or half of one, cannot be drawn
            font = first if self._shows(char, bold, 0) else self._font(px, bold, 1)
            if parts and parts[-1][0] is font:
                parts[-1] = (font, parts[-1][1] + char)
            else:
                parts.append((font, char))
        return parts

    def _shows(self, char: str, bold: bool, face: int) -> bool:  # noqa: FBT001
        """Whether a face has a glyph of its own; `pygame.font` gives the measures of an empty box for one it lacks."""
        key = (char, bold, face)
        shows = self._has.get(key)
        if shows is None:
            font = self._faces.get((bold, face))
            if font is None:
                path = str(asset("fonts") / FACES[bold][face])
                font = self._faces[bold, face] = pygame.freetype.Font(path, 13)
            shows = self._has[key] = font.get_metrics(char)[0] is not None
        return shows

    def _drawn(
        self,
        words: str,
        px: int,
        bold: bool,  # noqa: FBT001
        colour: Rgb,
        halo: Rgb | None,
        turned: bool,  # noqa: FBT001
    ) -> Words:
        """The words on a surface of their own."""
        # A part of no width, as a lone accent may be, cannot be drawn.
        parts = [(font, part) for font, part in self._parts(words, px, bold) if font.size(part)[0]]
        ascent = max((font.get_ascent() for font, _ in parts), default=px)
        width = sum(font.size(part)[0] for font, part in parts)
        height = max((font.get_height() for font, _ in parts), default=px)
        rim = self.rim_px if halo else 0
        surface = pygame.Surface((max(width + 2 * rim, 1), height + 2 * rim), pygame.SRCALPHA)
        x = rim
        for font, part in parts:
            at = (x, rim + ascent - font.get_ascent())
            if halo:
                _rimmed(surface, font.render(part, True, halo), at, rim)
            x += font.size(part)[0]
        x = rim
        for font, part in parts:
            surface.blit(font.render(part, True, colour), (x, rim + ascent - font.get_ascent()))
            x += font.size(part)[0]
        middle = rim + ascent - self._middle(px)
        return Words(pygame.transform.rotate(surface, 90) if turned else surface, middle)

    def _middle(self, px: int) -> float:
        """How far above the line the middle of a capital lies, as it is painted."""
        middle = self._middles.get(px)
        if middle is None:
            font = self._font(px, bold=False, face=0)
            capital = font.render("H", True, (0, 0, 0)).get_bounding_rect()
            middle = self._middles[px] = font.get_ascent() - capital.top - capital.height / 2
        return middle

    def missing_glyphs(self, words: str) -> str:
        """The characters that none of the shipped fonts can show."""
        missing = ""
        for char in sorted(set(words)):
            if not all(self._shows(char, bold, 0) or self._shows(char, bold, 1) for bold in (False, True)):
                missing += char
        return missing


def _rimmed(surface: pygame.Surface, letters: pygame.Surface, at: tuple[int, int], rim: int) -> None:
    for dx in range(-rim, rim + 1):
        for dy in range(-rim, rim + 1):
            if dx * dx + dy * dy <= rim * rim + 1:
                surface.blit(letters, (at[0] + dx, at[1] + dy))
