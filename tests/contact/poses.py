"""Random pieces and parts for the contact tests, and a helper for a single contact."""

import math
import random

from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.values import Contact, JobContacts
from gridjig.model import EndCut, Job, Member, Part, Placement, Plate
from gridjig.rack import Face, Piece, Rack, RoundHole, Solid, StraightSlot
from gridjig.solve.placed.cache import PlacedPieces
from tests.stock import ANGLE, CHANNEL, FLAT, OBLONG, ROUND, SQUARE
from tests.workshop import BORE, CLAMP, RACK, box, laid, put, seat

TURNING = Piece(
    id="turning",
    name="one-pin stop",
    kind="fixed stop",
    flips=True,
    solids=(Solid(box(-20, -30, 30, 12), 0, 30),),
    mounts=(RoundHole("h", (0, 0), BORE),),
    faces=(Face("f", (30, 12), (-20, 12), 0, 30),),
    takes=("bolt",),
    owned=9,
)
"""A stop that may be turned as one likes; its face looks along y, 12 mm from its pin."""

WITH_TURNING = structs.replace(RACK, pieces=(*RACK.pieces, TURNING))

ADJUSTABLE = Piece(
    id="adjustable",
    name="adjustable stop",
    kind="adjustable stop",
    solids=(Solid(box(-20, -100, 20, 12), 0, 30),),
    mounts=(StraightSlot("s", (0, 0), (0, -80), BORE),),
    faces=(Face("f", (20, 12), (-20, 12), 0, 30),),
    takes=("bolt",),
    owned=9,
)
"""Its slot lies behind its face: slid by t the face stands 12 + t from the pin."""

assert CLAMP.tip is not None
PUSH = structs.replace(
    CLAMP, id="push", tip=structs.replace(CLAMP.tip, push="along", z_high=30.0, bar_z_low=5.0,
                                          bar_z_high=25.0)
)  # fmt: skip


def shims(*thick: float, each: int = 2) -> tuple[Piece, ...]:
    return tuple(
        Piece(id=f"s{t:g}", name=f"shim {t:g}", kind="shim", thickness=t, owned=each) for t in thick
    )


PIECES = (*WITH_TURNING.pieces, ADJUSTABLE, PUSH)
BARE = Rack(name="No shims", pieces=tuple(p for p in PIECES if p.kind != "shim"))
FULL = Rack(name="Shims", pieces=(*BARE.pieces, *shims(10.0, 5.0, 2.0, 1.0, 0.5)))


SECTIONS = (SQUARE, OBLONG, ROUND, ANGLE, CHANNEL, FLAT)


def lay(*things: Placement | Part, rack: Rack = WITH_TURNING) -> Job:
    """A job with these."""
    job = laid(*things)
    return structs.replace(job, rack=rack)


def look(*things: Placement | Part, within: float = 150.0) -> JobContacts:
    """The contacts of a job with these things."""
    job = lay(*things)
    return contacts(job, PlacedPieces().of(job), within)


def only(found: JobContacts, piece: str) -> Contact:
    """The one contact that a piece has."""
    (contact,) = found.pieces[piece].contacts
    return contact


def turned(thing_id: str, col: int, row: int, turn: float) -> Placement:
    return put(thing_id, "turning", seat("h", col, row), turn=turn)


def polygon(rng: random.Random, name: str, x: float, y: float, size: float) -> Plate:
    """A star-shaped polygon about a place, often with hollow corners."""
    count = rng.randint(3, 9)
    angles = sorted(rng.uniform(0.0, 2.0 * math.pi) for _ in range(count))
    while (
        max((b - a) % (2 * math.pi) for a, b in zip(angles, angles[1:] + angles[:1], strict=True))
        > 2.6
    ):
        angles = sorted(rng.uniform(0.0, 2.0 * math.pi) for _ in range(count + 2))
    corners = tuple(
        (r * math.cos(a), r * math.sin(a)) for a in angles for r in (rng.uniform(0.3, 1.0) * size,)
    )
    if rng.random() < 0.3:
        corners = corners[::-1]
    low = rng.choice((0.0, 10.0, 40.0))
    return Plate(
        id=name, name=name, corners=corners, x=x, y=y, turn=rng.uniform(-180, 180),
        z_low=low, z_high=low + rng.choice((5.0, 25.0, 60.0)),
    )  # fmt: skip


def member(rng: random.Random, name: str, x: float, y: float, length: float = 300.0) -> Member:
    """A bar of any section, in any position and with any cuts."""
    section = rng.choice(SECTIONS)
    made = Member(
        id=name, name=name, section=section, length=length, x=x, y=y,
        turn=rng.choice((0.0, 90.0, 37.5, rng.uniform(-180.0, 180.0))),
        z_low=rng.choice((0.0, 6.0, 12.0)), way_up=rng.choice((0, 90, 180, 270)),
        mirrored=rng.random() < 0.3 and section.handed,
    )  # fmt: skip
    cuts = [EndCut(), EndCut("mitre", rng.uniform(-45.0, 45.0))]
    if section.kind in ("square tube", "rectangular tube"):
        cuts.append(EndCut("notch", along=20.0, across=15.0, side=rng.choice(("left", "right"))))
    return structs.replace(made, start=rng.choice(cuts), end=rng.choice(cuts))
