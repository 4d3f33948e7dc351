"""Whether risers still fit under a raised part once pieces beside it are set.

The risers go in last, so pins close to the part can take the holes that they need.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice

from gridjig.contact.values import TOUCH
from gridjig.geometry import unit
from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Member, Part, Placement, Seat
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Piece
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.units.progress import look

from .conflicts import refused
from .neighbours import box_of

MOST_HOLES = 400
"""A part over more holes than this is not looked at: pieces beside it leave room enough.  At most
0.2 s go into one part.
"""
MOST_PARTS = 20
"""How many raised parts beside a piece that has been set are looked at."""
SHORTER = 0.5
"""Risers this much closer together than before are worth a word."""

Pieces = Mapping[str, PlacedPiece]


def riser_span(job: Job, placed_pieces: Pieces, part: Part) -> tuple[Hole, Hole] | None:
    """Return the holes under a raised part, nearest to each end, in which a riser can stand; both
    are the same if only one can.  None if no riser fits, or the rack has none that is low enough.
    """
    riser = _riser(job, part)
    if riser is None:
        return None
    holes = _below(job, part)

    def first(some: Iterable[Hole]) -> Hole | None:
        return next((h for h in some if _stands(job, placed_pieces, riser, h)), None)

    low = first(holes)
    high = first(reversed(holes)) if low is not None else None
    return None if low is None or high is None else (low, high)


def riser_warning(before: Job, was: Pieces, after: Job, now: Pieces) -> str:
    """Return a sentence if pieces that came leave a raised part much less room for risers, or none;
    "" if they do not, or if two things carry it already.
    """
    known = {placement.id for placement in before.placements}
    came = [now[p.id] for p in after.placements if p.id not in known]
    boxes = [box for one in came if not one.rests and (box := box_of(one)) is not None]
    for part in islice(_raised_beside(after, boxes), MOST_PARTS):
        look()
        if _carried(part, now) >= 2 or len(_below(after, part)) > MOST_HOLES:
            continue
        had = riser_span(before, was, part)
        if had is None:
            continue
        has = riser_span(after, now, part)
        name, first = title(after, part.id), "Undo, and set its risers first."
        if has is None:
            return f"No riser fits under {name} any more. {first}"
        if _apart(after, has) < SHORTER * _apart(after, had):
            a, b = (address(after.table, hole) for hole in has)
            where = f"only in {a}" if a == b else f"only from {a} to {b}"
            return f"Risers now fit under {name} {where}. {first}"
    return ""


def _riser(job: Job, part: Part) -> Piece | None:
    """The slimmest riser that is no higher than the underside of a part."""
    low_enough = [
        piece
        for piece in job.rack.pieces
        if piece.kind == "riser"
        and piece.mounts
        and piece.owned
        and piece.thickness <= part.z_low + TOUCH
    ]
    return min(low_enough, key=_radius, default=None)


def _radius(piece: Piece) -> float:
    return max((math.hypot(x, y) for s in piece.solids for x, y in s.outline), default=0.0)


def _below(job: Job, part: Part) -> list[Hole]:
    """The holes under a part, from one of its ends to the other."""
    import shapely  # noqa: PLC0415 - late: a table alone does not need it

    table, ring = job.table, part_ring(part)
    x0, y0, x1, y1 = bounds(ring)
    first, last = table.nearest(x0, y0), table.nearest(x1, y1)
    holes = [
        Hole(col, row)
        for col in range(first.col, last.col + 1)
        for row in range(first.row, last.row + 1)
    ]
    plan = shapely.Polygon(ring)
    inside = shapely.contains_xy(plan, [table.at(hole) for hole in holes])
    along = part.turn if isinstance(part, Member) else (0.0 if x1 - x0 >= y1 - y0 else 90.0)
    ux, uy = unit(along)

    def place(hole: Hole) -> float:
        x, y = table.at(hole)
        return round(x * ux + y * uy, 6)

    return sorted((h for h, yes in zip(holes, inside, strict=True) if yes), key=place)


def _stands(job: Job, placed_pieces: Pieces, riser: Piece, hole: Hole) -> bool:
    placement = Placement(id="a riser", piece=riser.id, seats=(Seat(riser.mounts[0].id, hole),))
    there = solve_placement(job.table, job.rack, placement)
    return refused(job, placed_pieces, there) is None


def _raised_beside(job: Job, boxes: list[Box]) -> Iterator[Part]:
    """The raised parts that are within a pitch of some boxes."""
    pitch = max(job.table.pitch_x, job.table.pitch_y)
    for part in job.parts:
        if part.z_low > TOUCH:
            x0, y0, x1, y1 = bounds(part_ring(part))
            if any(
                x0 - pitch <= u1 and u0 <= x1 + pitch and y0 - pitch <= v1 and v0 <= y1 + pitch
                for u0, v0, u1, v1 in boxes
            ):
                yield part


def _carried(part: Part, placed_pieces: Pieces) -> int:
    """How many placed rests reach the underside of a part."""
    import shapely  # noqa: PLC0415 - late: a table alone does not need it

    plan = shapely.Polygon(part_ring(part))
    return sum(
        abs(rest.z - part.z_low) <= TOUCH and bool(shapely.contains_xy(plan, *rest.centre))
        for one in placed_pieces.values()
        for rest in one.rests
    )


def _apart(job: Job, holes: tuple[Hole, Hole]) -> float:
    return math.dist(*(job.table.at(hole) for hole in holes))
