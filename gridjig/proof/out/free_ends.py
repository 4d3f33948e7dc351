"""Ends of members that only one joint holds: how far they swing for each degree that it pulls.

Fillets on one side pull the free end towards them; plain geometry: length x sin(angle).
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from gridjig.geometry import Pose
from gridjig.model import Member, Part
from gridjig.rack.same import Same
from gridjig.solve.weldment.joints import Joint

from .values import FreeEnd

_REACH = 2.0
"""An end within this many widths of its joint swings too little to speak of."""


def pulled_in(length: float, degrees: float) -> float:
    """How far the end of a leg of that length swings in, mm."""
    return length * math.sin(math.radians(degrees))


def free_ends(parts: Sequence[Part], joints: Sequence[Joint]) -> tuple[FreeEnd, ...]:
    """The free ends of all members that are joined at one place only.

    The same parts and joints give the same tuple.
    """
    return _free_ends(Same(parts), Same(joints))


@lru_cache(maxsize=8)
def _free_ends(those: Same[Sequence[Part]], met: Same[Sequence[Joint]]) -> tuple[FreeEnd, ...]:
    parts, joints = those.value, met.value
    by_part: dict[str, list[Joint]] = {}
    for joint in joints:
        if joint.kind != "overlap":
            by_part.setdefault(joint.a, []).append(joint)
            by_part.setdefault(joint.b, []).append(joint)
    found = []
    for part in parts:
        mine = by_part.get(part.id, [])
        if not isinstance(part, Member) or not mine:
            continue
        frame = Pose(part.x, part.y, part.turn)
        places = [frame.back(joint.place)[0] for joint in mine]
        if max(places) - min(places) > _REACH * part.width:
            continue
        middle = sum(places) / len(places)
        ends: tuple[tuple[Literal["start", "end"], float, float], ...] = (
            ("start", 0.0, middle),
            ("end", part.length, part.length - middle),
        )
        for end, along, length in ends:
            if length > _REACH * part.width:
                at = frame.point((along, 0.0))
                swing = pulled_in(length, 1.0)
                found.append(FreeEnd(part.id, end, mine[0].id, at, length, swing))
    return tuple(found)
