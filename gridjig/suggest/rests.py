"""Stacks of risers under parts that neither the table nor another part carries."""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from gridjig.contact.carrying import carried, supports_of, weight_of
from gridjig.contact.values import TOUCH
from gridjig.contact.weldment import part_contacts
from gridjig.geometry import unit
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Part, Placement, Seat
from gridjig.rack import Piece, Point
from gridjig.units.progress import look

from .site import Atom, Site

STACK_MOST = 4
"""The most pieces in one stack: a higher one rocks (common practice, no source)."""
LEVEL = 0.02
"""A stack has to be as high as it should be to within this, mm: half of what a shim may be off."""
PLACES = 5
"""How many places from each end of a part are considered."""


def needs_rests(site: Site, part: Part) -> bool:
    """True if a part would hang in the air, tip or rock on what is there."""
    own = [c for p in _touching(site) for c in p if c.part == part.id]
    return not carried(part, supports_of(part, own, part_contacts(site.job.parts))).well


def _touching(site: Site) -> Iterator[tuple]:  # type: ignore[type-arg]
    from gridjig.contact.book import contacts  # noqa: PLC0415 - only where pieces are kept

    if site.placed:
        for one in contacts(site.job, site.placed).pieces.values():
            yield one.contacts


def rest_atoms(site: Site, part: Part) -> list[Atom]:
    """Stacks that can stand under a part, those nearest to its ends first."""
    stacks = list(_stacks(site, part.z_low))
    if not stacks:
        return []
    holes = sorted(_under(site, part))
    if len(holes) > 2 * PLACES:
        holes = [*holes[:PLACES], holes[len(holes) // 2], *holes[-PLACES:]]
    found: list[Atom] = []
    for _, hole in holes:
        for base, lift in stacks:
            seat = Seat(base.mounts[0].id, hole)
            placement = Placement(id="new", piece=base.id, seats=(seat,), lift=lift)
            here = site.standing(placement)
            if here is not None and here.rests:
                found.append(site.atom(here, part.id, "support", here.rests[0].centre))
    return found


def _stacks(site: Site, height: float) -> Iterator[tuple[Piece, tuple[str, ...]]]:
    """The stacks of fewest pieces of a height: the piece that is pinned on top of the others.

    At most two different ones of each number of pieces, so that a rack with few of one riser
    still has another way.
    """
    rack = site.job.rack
    loose = [p for p in (*rack.risers, *rack.shims) if site.left(p) > 0]
    bases = [p for p in loose if p.rests and len(p.mounts) == 1]
    found = 0
    for many in range(STACK_MOST):
        look()
        for base in bases:
            for below in combinations_with_replacement(loose, many):
                top = base.rests[0].z + sum(p.thickness for p in below)
                if abs(top - height) <= LEVEL:
                    under = sorted(below, key=lambda p: -p.thickness)
                    yield base, tuple(p.id for p in under)
                    found += 1
        if found >= 2:
            return


def _under(site: Site, part: Part) -> Iterator[tuple[float, Hole]]:
    """Free holes below a part, clear of its joints, with their place along it."""
    import shapely  # noqa: PLC0415 - late, as everywhere

    plan = shapely.Polygon(part_ring(part))
    table, (ux, uy) = site.job.table, unit(part.turn)
    x0, y0, x1, y1 = site.boxes[part.id]
    low, high = table.nearest(x0, y0), table.nearest(x1, y1)
    for col in range(low.col, high.col + 1):
        for row in range(low.row, high.row + 1):
            hole = Hole(col, row)
            if not site.free(hole):
                continue
            x, y = table.at(hole)
            if not plan.contains(shapely.Point(x, y)):
                continue
            if _from(site.seams, (x, y)) < site.job.shop.weld_clear:
                continue
            yield x * ux + y * uy, hole


def _from(points: Sequence[Point], at: Point) -> float:
    return min((math.dist(p, at) for p in points), default=math.inf)


def carries(part: Part, atoms: Sequence[Atom]) -> bool:
    """True if these stacks alone carry a part: its centre of gravity is over them."""
    import shapely  # noqa: PLC0415 - late, as everywhere

    weight = weight_of(part)
    discs = [
        shapely.Point(*rest.centre).buffer(rest.radius, quad_segs=8)
        for atom in atoms
        for rest in atom.here.rests
    ]
    hull = shapely.convex_hull(shapely.union_all(discs))
    return float(shapely.distance(hull, shapely.Point(weight.x, weight.y))) <= TOUCH
