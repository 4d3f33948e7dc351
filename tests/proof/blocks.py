"""Blocks on pins, with clamps that push along the table: jigs small enough to reckon by hand.

The block is 300 x 80 mm with its corner at (215, 265).  Two pins stand under it at x = 250 and 450,
one at its left end at y = 300; pins have a radius of 15 mm.
"""

from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.model import Job, Part, Placement, Plate
from gridjig.proof.held.report import held
from gridjig.proof.held.values import Held, HeldReport, Reaction
from gridjig.proof.located.report import located
from gridjig.proof.located.values import Located
from gridjig.rack import Piece
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import PUSH, lay
from tests.workshop import RACK, box, pin, put, seat

assert PUSH.tip is not None
HIGH_PUSH: Piece = structs.replace(
    PUSH,
    id="high",
    tip=structs.replace(PUSH.tip, z_low=60.0, z_high=70.0, bar_z_low=60.0, bar_z_high=70.0),
)
RACK_WITH_PUSH = structs.replace(RACK, pieces=(*RACK.pieces, PUSH, HIGH_PUSH))


def block(height: float = 6.0, width: float = 300.0, depth: float = 80.0) -> Plate:
    return Plate(
        id="block",
        name="Block",
        corners=box(0.0, 0.0, width, depth),
        z_low=0.0,
        z_high=height,
        x=215.0,
        y=265.0,
    )


LEFT, RIGHT, END = pin("left", 4, 4), pin("right", 8, 4), pin("end", 3, 5)
PINS = (LEFT, RIGHT, END)


def push_down(col: int, piece: str = "push", thing: str = "") -> Placement:
    """A clamp behind the block that pushes it towards the two pins, at the x of a column."""
    return put(thing or f"push-{col}", piece, seat("p", col, 8), turn=-90.0, reach=105.0)


def push_left(row: int = 5) -> Placement:
    """A clamp at the right end that pushes the block towards the end pin."""
    return put(f"side-{row}", "push", seat("p", 12, row), turn=180.0, reach=135.0)


def press(col: int) -> Placement:
    """A clamp that presses down in the middle of the block's depth."""
    return put(f"down-{col}", "clamp", seat("p", col, 8), turn=-90.0, reach=145.0)


class Block:
    """The reports of a job of one part."""

    def __init__(self, *things: Placement | Part, friction: float = 0.15) -> None:
        job = lay(*things, rack=RACK_WITH_PUSH)
        holding = structs.replace(job.holding, friction=friction)
        self.job: Job = structs.replace(job, holding=holding)
        placed = PlacedPieces().of(self.job)
        assert [one.fault for one in placed.values() if one.fault is not None] == []
        self.contacts = contacts(self.job, placed)
        self.report: HeldReport = held(self.job, placed, self.contacts)
        self.held: Held = self.report.parts[0]
        self.located: Located = located(self.job, placed, self.contacts).parts[0]
        self.reactions: dict[str, Reaction] = {one.placement: one for one in self.report.locators}

    def force(self, name: str) -> float:
        return self.reactions[name].reaction
