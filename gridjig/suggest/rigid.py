"""Pieces that stand only as their holes say: squares, angle blocks, V-blocks before a face.

Each face of a piece can look at the work, the piece may be turned over, and it is packed if it
takes packing.  A V holds the work where its corner happens to lie right for it.
"""

import math
from collections.abc import Iterator, Sequence

from gridjig.contact.touching import to_touch
from gridjig.contact.values import TOUCH
from gridjig.geometry import unit
from gridjig.model import Hole, Placement, Seat, Table
from gridjig.rack import Piece, Point, RoundHole, Shank
from gridjig.solve.packing.stops import stop_of
from gridjig.solve.weldment.faces import WorkFace

from .site import Atom, Site
from .stops import PACKED_MOST, Span, both_ends, fits, holes_before, looking, raised_to, settled

ON_HOLES = 0.05
"""The holes of a piece lie on those of the table to within this, mm; its pins' play is more."""
EACH = 2
"""How many places from each end of a face are considered for each face of a piece."""


def rigid_atoms(site: Site, face: WorkFace, kind: str, spans: Sequence[Span]) -> Iterator[Atom]:
    """Pieces with all their holes pinned and a face that then lies along a face of the work."""
    for piece in site.job.rack.pieces:
        if site.left(piece) < 1 or not rigid(piece):
            continue
        seen: set[frozenset[Hole]] = set()
        for flipped in (False, True) if piece.flips else (False,):
            for number in range(len(piece.faces)):
                for atom in _before(site, face, kind, spans, piece, number, flipped):
                    holes = frozenset(atom.here.holes)
                    if holes not in seen:  # a square turned over is the same square
                        seen.add(holes)
                        yield atom


def rigid(piece: Piece) -> bool:
    """True for a piece that locates and has only holes or shanks, more than one, and is no stop."""
    return (
        bool(piece.faces)
        and len(piece.mounts) > 1
        and piece.pivot is None
        and piece.tip is None
        and all(isinstance(m, RoundHole | Shank) for m in piece.mounts)
        and stop_of(piece) is None
    )


def _before(
    site: Site,
    face: WorkFace,
    kind: str,
    spans: Sequence[Span],
    piece: Piece,
    number: int,
    flipped: bool,
) -> Iterator[Atom]:
    own = piece.faces[number]
    lift = raised_to(site, face, own.z_low, own.z_high)
    turn = looking(piece, face, number, flipped)
    steps = on_holes(site.job.table, piece, turn, flipped)
    if lift is None or steps is None:
        return
    a, b = (_turned_over(p, piece.mounts[0], turn, flipped) for p in (own.a, own.b))
    nx, ny = face.normal
    ux, uy = -ny, nx
    out = -(a[0] * nx + a[1] * ny)  # how far its face lies towards the work from its first hole
    ends = [p[0] * ux + p[1] * uy for p in (a, b)]
    low, high = min(ends), max(ends)
    # Along the grid there are stops to pack; what is packed in front of a square is not square.
    packs = piece.takes_packing and number == 0 and face.axis is None and piece.kind != "V-block"
    most = PACKED_MOST if packs else TOUCH
    near = [
        (along, off, hole)
        for along, off, hole in holes_before(
            site, face, out + most, high, -low, min(out - 2.0 * TOUCH, 0.0)
        )
        if -TOUCH <= off - out <= most
    ]
    near.sort(key=lambda one: one[:2])
    for _, _, hole in both_ends(near, EACH):
        seats = seats_at(piece, hole, steps)
        if not all(site.free(seat.hole) for seat in seats):
            continue
        placement = Placement(
            id="new", piece=piece.id, seats=seats, turn=turn, flipped=flipped, lift=lift
        )
        made = to_touch(site.job, placement, face.of, site.used)
        if fits(made):
            atom = settled(site, made.placement, made, kind, face, spans)
            if atom is not None:
                yield atom


def _turned_over(p: Point, first: object, turn: float, flipped: bool) -> Point:
    """A point of a piece from its first hole, after it is turned over and turned."""
    assert isinstance(first, RoundHole | Shank)
    x, y = p[0] - first.at[0], (p[1] - first.at[1]) * (-1.0 if flipped else 1.0)
    c, s = unit(turn)
    return (c * x - s * y, s * x + c * y)


def on_holes(
    table: Table, piece: Piece, turn: float, flipped: bool = False
) -> list[tuple[int, int]] | None:
    """From the hole of its first mount to those of all, in columns and rows; None between holes."""
    found = []
    for mount in piece.mounts:
        if not isinstance(mount, RoundHole | Shank):
            return None
        x, y = _turned_over(mount.at, piece.mounts[0], turn, flipped)
        col, row = round(x / table.pitch_x), round(y / table.pitch_y)
        if math.hypot(x - col * table.pitch_x, y - row * table.pitch_y) > ON_HOLES:
            return None
        found.append((col, row))
    return found


def seats_at(piece: Piece, hole: Hole, steps: Sequence[tuple[int, int]]) -> tuple[Seat, ...]:
    """The seats of a piece with its first mount in a hole."""
    return tuple(
        Seat(mount.id, Hole(hole.col + dc, hole.row + dr))
        for mount, (dc, dr) in zip(piece.mounts, steps, strict=True)
    )
