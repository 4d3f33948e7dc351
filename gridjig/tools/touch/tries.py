"""One piece, one face: the settings that touch it with nothing in the way."""

import math
from typing import NamedTuple

from msgspec import structs

from gridjig.contact.setting import Touching
from gridjig.contact.touching import ways_to_touch
from gridjig.contact.values import TOUCH
from gridjig.model import Placement

from .faces import UprightFace
from .ground import Ground


class Try(NamedTuple):
    """A setting of a piece at a face, or without one, and what is in its way, if anything.

    `near` is how many faces are nearer to the pointer than its own.  `missed` is a setting that
    would touch but for what is in its way, if the piece stands without touching for that reason.
    """

    placement: Placement
    touching: Touching | None = None
    face: UprightFace | None = None
    near: int = 0
    why: str = ""
    missed: "Try | None" = None

    @property
    def touches(self) -> bool:
        """True if it touches the face."""
        return self.touching is not None and self.touching.touches

    @property
    def packed(self) -> bool:
        """True if packing is in front of its face and leaves less than a shim open."""
        return (
            self.touching is not None
            and self.touching.stands
            and bool(self.touching.packing.pieces)
        )

    @property
    def open(self) -> float:
        """The gap that stays open, mm; 0 if it touches."""
        if self.touching is None:
            return math.inf
        return 0.0 if self.touches else max(self.touching.gap, 0.0)

    @property
    def rank(self) -> tuple[bool, int, bool, int, int]:
        """Sort key, best first: at a face, a near face, touching, less packing, a smaller gap."""
        count = self.touching.packing.count if self.touching is not None else 0
        left = round(self.open / TOUCH) if math.isfinite(self.open) else 1 << 30
        return (not (self.touches or self.packed), self.near, not self.touches, count, left)


def tries(
    ground: Ground, placement: Placement, face: UprightFace, near: int, most: float = math.inf
) -> list[Try]:
    """Return all settings that touch a face or stand in front of it, unobstructed ones first.

    `most` is the thickest packing that is worth it, mm.
    """
    found: list[Try] = []
    for one in ways_to_touch(ground.job, placement, face.of, ground.used, True):
        if not one.stands or one.packing.total > most + TOUCH or not one.gap <= most:
            continue
        thinnest = min((ground.job.rack.piece(k).thickness for k in one.packing.ids), default=most)
        if one.gap > TOUCH and one.packing.pieces and one.gap >= thinnest:
            continue  # a stack that leaves more open than a shim holds nothing
        made = _tidied(one)
        stop = ground.in_the_way(made.placement)
        found.append(Try(made.placement, made, face, near, stop.why if stop is not None else ""))
    return sorted(found, key=lambda t: (bool(t.why), t.rank))


def _tidied(one: Touching) -> Touching:
    """Round values that differ from a decimal only by binary noise to that decimal."""
    placement = one.placement
    names = ("turn", "slide", "leaf", "reach")
    tidy = {k: t for k in names if (t := round(v := getattr(placement, k), 9)) != v}
    return one if not tidy else structs.replace(
        one, placement=structs.replace(placement, **tidy)
    )  # fmt: skip
