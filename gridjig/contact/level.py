"""What lies on a rest, and what a clamp presses down on: contacts of horizontal flats."""

import math
from collections.abc import Iterable, Iterator, Sequence

from gridjig.geometry.box_index import BoxIndex
from gridjig.geometry.part_solids import PartFace, PartSolid
from gridjig.geometry.shapes import bounds
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedTip

from .features import RestFeature
from .sides import off_ring, onto_ring
from .upright import meaning
from .values import TOUCH, Contact, Means

_ON = 1e-6
"""The least overlap of a disc and a flat, in mm, to touch: only allows for rounding."""


class Lying:
    """The prisms of all parts, indexed by position."""

    def __init__(self, solids: Iterable[PartSolid]) -> None:
        self._solids = tuple(solids)
        self._nearby: BoxIndex[int] = BoxIndex()
        for index, solid in enumerate(self._solids):
            self._nearby.put(index, bounds(solid.ring))

    def under(self, centre: Point, radius: float) -> Iterator[PartSolid]:
        """The prisms whose plan a disc overlaps, in order."""
        x, y = centre
        box = (x - radius, y - radius, x + radius, y + radius)
        for index in sorted(self._nearby.touching(box)):
            solid = self._solids[index]
            if off_ring(solid.ring, centre) < radius - _ON and not any(
                off_ring(opening, centre) <= _ON - radius for opening in solid.openings
            ):
                yield solid


def _onto_flat(solid: PartSolid, p: Point) -> Point:
    """The point of the flat of a prism that is nearest to a point; in a hole, one of its edge."""
    for opening in solid.openings:
        if off_ring(opening, p) < 0.0:
            return onto_ring(opening, p, edge=True)
    return onto_ring(solid.bottom, p)


def rest_contacts(
    piece: str, rest: RestFeature, every: Lying, conflicting: Sequence[str], within: float
) -> Iterator[Contact]:
    """The lowest part above a rest, all parts it carries, and those it overlaps."""
    found = []
    for solid in every.under(rest.centre, rest.radius):
        gap = solid.z_low - rest.z
        if -TOUCH <= gap <= within or (solid.part in conflicting and solid.z_high > rest.z > 0.0):
            found.append((gap, solid))
    found.sort(key=lambda pair: pair[0])
    seen: set[str] = set()
    for index, (gap, solid) in enumerate(found):
        if solid.part in seen or (index and gap > max(found[0][0], TOUCH)):
            continue
        seen.add(solid.part)
        at = _onto_flat(solid, rest.centre)
        off = math.dist(at, rest.centre)
        flat = off < rest.radius - _ON
        means = meaning(gap, flat, solid.part in conflicting)
        yield _level(
            piece, rest.id, solid, "rest under", means, gap, solid.z_low, at, rest.radius, off
        )


def pad_contacts(piece: str, tip: PlacedTip, every: Lying, within: float) -> Iterator[Contact]:
    """The highest part below a clamp's tip, which holds if its centre is over the flat.

    A clamp is screwed down until it touches, within the heights its tip can reach: the gap is how
    far the part is below the lowest of these (positive) or above the highest (negative).
    """
    under = list(every.under(tip.at, tip.pad_radius))
    if not under:
        return
    top = max(solid.z_high for solid in under)
    if top < tip.z_low - within:
        return
    seen: set[str] = set()
    for solid in under:
        if top - solid.z_high > TOUCH or solid.part in seen:
            continue
        seen.add(solid.part)
        gap = max(tip.z_low - solid.z_high, 0.0) + min(tip.z_high - solid.z_high, 0.0)
        at = _onto_flat(solid, tip.at)
        off = math.dist(at, tip.at)
        means: Means = "touches" if off <= _ON else "radius"
        if abs(gap) > TOUCH:
            means = "out of reach"
        yield _level(
            piece, "tip", solid, "pad on top", means, gap, solid.z_high, at, tip.pad_radius, off
        )


def _level(
    piece: str,
    feature: str,
    solid: PartSolid,
    kind: str,
    means: Means,
    gap: float,
    z: float,
    at: Point,
    radius: float,
    off: float,
) -> Contact:
    """A contact of a disc; its length is that of the chord over the flat."""
    under = kind == "rest under"
    return Contact(
        piece,
        feature,
        solid.part,
        PartFace("bottom" if under else "top"),
        "rest under" if under else "pad on top",
        means,
        gap,
        0.0,
        2.0 * math.sqrt(max(radius * radius - off * off, 0.0)),
        z,
        z,
        (at,),
        (0.0, 0.0, -1.0 if under else 1.0),
    )
