"""How far the work is turned and moved, as the operator sees it."""

import math

from gridjig.model import Display
from gridjig.units import format_angle, format_length

_SEEN = 0.005
"""A shorter move is not told, mm."""


def turned_words(degrees: float) -> str:
    """Return by how much the work is turned, the short way round; "" for not at all."""
    by = math.remainder(degrees, 360.0)
    return f"turned {format_angle(by)}" if by else ""


def shifted_words(
    shift: tuple[float, float], display: Display, towards: str = "to the "
) -> list[str]:
    """Return how far the work is moved to the right or left, and to the back or front."""
    told = []
    for by, ways in zip(shift, (("right", "left"), ("back", "front")), strict=True):
        if abs(by) > _SEEN:
            told.append(f"{format_length(abs(by), display)} {towards}{ways[by < 0.0]}")
    return told
