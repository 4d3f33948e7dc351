"""Frames of square tube with stops round them or pegs inside them, on the test table."""

from collections.abc import Mapping
from typing import NamedTuple

from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.values import JobContacts
from gridjig.model import (
    Allowances,
    Hole,
    Job,
    JointAllowance,
    Member,
    Part,
    Placement,
    Seat,
    Weld,
)
from gridjig.rack import Piece, Rack, Round, Solid
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.stock import SQUARE
from tests.workshop import CLAMP, PIN, RACK, disc, laid, put, seat

LEFT, FRONT = 220.0, 220.0
"""The front left corner of the frame: against stops in column and row 3."""
WIDE, DEEP = 510.0, 410.0
"""Its size: outside stops in column 14 and row 12 close it without packing."""


class Rig(NamedTuple):
    """A job with its placed pieces and contacts."""

    job: Job
    placed: Mapping[str, PlacedPiece]
    contacts: JobContacts


def rig(job: Job) -> Rig:
    placed = PlacedPieces().of(job)
    for k, one in placed.items():
        assert one.fault is None, k
    return Rig(job, placed, contacts(job, placed))


def tube(name: str, x: float, y: float, turn: float, length: float) -> Member:
    """A tube with its start's middle at (x, y)."""
    return Member(id=name, name=name, section=SQUARE, length=length, x=x, y=y, turn=turn)


def frame(wide: float = WIDE, deep: float = DEEP) -> tuple[Member, ...]:
    """Front and back run through, left and right stand between them."""
    return (
        tube("front", LEFT, FRONT + 25, 0, wide),
        tube("back", LEFT, FRONT + deep - 25, 0, wide),
        tube("left", LEFT + 25, FRONT + 50, 90, deep - 100),
        tube("right", LEFT + wide - 25, FRONT + 50, 90, deep - 100),
    )


def welded(leg: float = 6.0) -> tuple[Weld, ...]:
    return tuple(Weld(a=a, b=b, leg=leg) for a in ("front", "back") for b in ("left", "right"))


def stops() -> tuple[Placement, ...]:
    """Two stops along each long side, one at each end, all outside."""

    def at(name: str, turn: float, a: tuple[int, int], b: tuple[int, int]) -> Placement:
        return put(name, "stop", seat("h1", *a), seat("h2", *b), turn=turn)

    return (
        at("front-1", 180, (5, 3), (4, 3)),
        at("front-2", 180, (13, 3), (12, 3)),
        at("left-1", 90, (3, 7), (3, 8)),
        at("back-1", 0, (4, 12), (5, 12)),
        at("back-2", 0, (12, 12), (13, 12)),
        at("right-1", -90, (14, 8), (14, 7)),
    )


def peg(radius: float) -> Piece:
    """A peg that stands in one hole."""
    return structs.replace(
        PIN,
        id="peg",
        name="peg",
        solids=(Solid(disc(radius), 0, 40),),
        rounds=(Round("r", (0, 0), radius, 0, 40),),
    )


def pegged(radius: float, *holes: tuple[int, int], job: Job | None = None) -> Job:
    """The frame welded about pegs of that radius in these holes."""
    rack = Rack(name="pegs", pieces=(*RACK.pieces, peg(radius)))
    base = structs.replace(job or laid(*frame()), rack=rack, welds=welded())
    placed = tuple(
        Placement(id=f"peg-{k}", piece="peg", seats=(Seat("p", Hole(*hole)),))
        for k, hole in enumerate(holes)
    )
    return structs.replace(base, placements=(*base.placements, *placed))


def measured(job: Job, mm: float, spread: float = 0.0) -> Job:
    """The job with each joint's closing measured."""
    own = tuple(
        JointAllowance(a=a, b=b, measured=mm, spread=spread)
        for a in ("front", "back")
        for b in ("left", "right")
    )
    return structs.replace(job, allowances=Allowances(joints=own))


INSIDE = ((6, 5), (11, 5), (6, 10), (11, 10))
"""Pegs of 30 mm in these holes touch the inner faces of the front and back tube."""


def jigged(*more: Placement | Part) -> Job:
    """The frame with stops outside and two clamps."""
    return structs.replace(laid(*frame(), *stops(), *more), welds=welded())


def clamps() -> tuple[Placement, ...]:
    """Down-clamps on the front and on the back tube, reaching in from outside."""
    assert CLAMP.tip is not None
    return (
        put("clamp-front", "clamp", seat("p", 8, 2), turn=90, reach=95),
        put("clamp-back", "clamp", seat("p", 8, 13), turn=-90, reach=95),
    )
