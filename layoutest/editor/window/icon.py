"""The window's sign: a covered pipe, seen from its end."""

from __future__ import annotations

import pygame

from layoutest.drawing.look import load_look

SIDE_PX = 64


def icon() -> pygame.Surface:
    """Foil outside, wool inside, and the pipe."""
    theme = load_look().themes["light"]
    surface = pygame.Surface((SIDE_PX, SIDE_PX), pygame.SRCALPHA)
    middle = (SIDE_PX // 2, SIDE_PX // 2)
    for role, radius in (("edge", 31), ("body", 28), ("edge", 24), ("offcut", 22), ("edge", 13), ("tint:HF", 10)):
        pygame.draw.aacircle(surface, theme.rgb(role), middle, radius)
    return surface
