"""The job: one frozen value with every choice the person made, and nothing derived."""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.rack import Rack
from gridjig.rack.piece import Ident, Name
from gridjig.units.display import Display
from gridjig.units.limits import (
    CORNERS,
    PARTS,
    PLACED,
    SEATS,
    STACKED,
    WELDMENTS,
    WELDS,
    Angle,
    Extent,
    Force,
    Length,
    require_within,
)

from .accuracy import Accuracy
from .allowances import Allowances
from .cutting import Sawing
from .endcut import MAX_CUT, EndCut
from .holding import Holding
from .member import Member
from .paperwork import TitleBlock, WeldPlan
from .plate_holes import HOLES, PlateHole
from .shop import Shop
from .table import Hole, Table
from .weldment import FIRST, FaceOf, Weld, Weldment

MOST_TEXT = 4000
"""The most characters of a note."""
Text = Annotated[str, Meta(max_length=MOST_TEXT)]
Short = Annotated[str, Meta(max_length=120)]
SawAngle = Annotated[float, Meta(ge=0, le=MAX_CUT, extra={"quantity": "angle"})]


class Seat(Struct, frozen=True, forbid_unknown_fields=True):
    """One mount feature of a piece, pinned in one hole of the table."""

    feature: Ident
    hole: Hole


class Placement(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A piece on the table: which piece, in which holes, which way, how far.

    `turn` is the angle in degrees of the base body's x axis from the table's, counter-clockwise;
    `slide` is the distance in mm from end `a` of the first pinned slot to its pin; `leaf` is the
    angle of the second body from the base.  If the seats allow several poses or a range, the one
    nearest to these choices is taken.  `reach` is a clamp's.  `lift` is the stack of risers and
    shims below the piece, bottom first; `packing` lists the shims in front of its locating face.
    `clamped_by_hand`: the shop clamps the piece where its pins leave it free, and trusts that.
    `accepted_gap`: a gap to the work of at most this, mm, is left open on purpose; 0: none is.
    `force` is what a clamp presses with here, N; 0: as its piece, or else the shop, says.
    """

    id: Ident
    piece: Ident
    seats: Annotated[tuple[Seat, ...], SEATS]
    flipped: bool = False
    turn: Angle = 0.0
    slide: Length = 0.0
    leaf: Angle = 0.0
    reach: Length = 0.0
    lift: Annotated[tuple[Ident, ...], STACKED] = ()
    packing: Annotated[tuple[Ident, ...], STACKED] = ()
    clamped_by_hand: bool = False
    accepted_gap: Extent = 0.0
    force: Force = 0.0
    name: Short = ""
    note: Text = ""

    def __post_init__(self) -> None:
        require_within(self)
        if not self.seats:
            raise ValueError(f"placement {self.id} is in no hole; it needs at least one")


class Plate(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="plate"):
    """A part of the weldment as a polygon with a height range: a plate, or any drawn shape.

    `corners` (not closed, in mm) are in the plate's own frame, which lies at (x, y), turned by
    `turn` degrees; so are its `holes`, which go right through it, inside the corners and clear of
    one another.  Moving and turning never change either, so nothing drifts.
    """

    id: Ident
    name: Short
    weldment: Ident = FIRST
    corners: Annotated[tuple[tuple[Length, Length], ...], CORNERS]
    holes: Annotated[tuple[PlateHole, ...], HOLES] = ()
    z_low: Length = 0.0
    z_high: Length = 50.0
    x: Length = 0.0
    y: Length = 0.0
    turn: Angle = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        if len(self.corners) < 3:
            raise ValueError(f"plate {self.name or self.id} needs at least three corners")
        if self.z_high <= self.z_low:
            raise ValueError(
                f"plate {self.name or self.id}: its top must be higher than its underside"
            )


Part = Plate | Member
"""A part of the weldment.  Both have id, name, weldment, corners, z_low, z_high, x, y and turn."""


class Job(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything the person chose: the ground truth that everything else is derived from.

    `weldments` are what it builds, at least one; each part names its own.  `critical` are the faces
    that must lie on the grid without packing.  `saw` is how far from square the shop's saw cuts,
    degrees.  `origin` is the point of the table that typed points are measured from, mm; None is
    the table's front left corner.  `sawing` is what its members are sawn from.
    the table's front left corner.  `holding` is what the shop reckons clamps and friction with,
    `shop` what it needs room for and what it lets one person lift, `accuracy` the tolerance class
    and how exactly the shop sets up; `allowances` is what is allowed for as joints shrink.
    `title_block` and `weld_plan` are for its papers.
    """

    name: Name
    table: Table
    rack: Rack
    display: Display = Display()
    drawing: Short = ""
    revision: Short = ""
    notes: Text = ""
    weldments: Annotated[tuple[Weldment, ...], WELDMENTS] = (Weldment(id=FIRST),)
    parts: Annotated[tuple[Part, ...], PARTS] = ()
    placements: Annotated[tuple[Placement, ...], PLACED] = ()
    welds: Annotated[tuple[Weld, ...], WELDS] = ()
    critical: Annotated[tuple[FaceOf, ...], WELDS] = ()
    saw: SawAngle = 60.0
    origin: tuple[Length, Length] | None = None
    sawing: Sawing = Sawing()
    holding: Holding = Holding()
    shop: Shop = Shop()
    accuracy: Accuracy = Accuracy()
    allowances: Allowances = Allowances()
    title_block: TitleBlock = TitleBlock()
    weld_plan: WeldPlan = WeldPlan()

    def __post_init__(self) -> None:
        require_within(self)

    def beyond_saw(self, cut: EndCut) -> bool:
        """True if an end has a saw cut further from square than the shop's saw goes."""
        return any(abs(saw.angle) > self.saw + 1e-6 for saw in cut.saws)

    def find(self, thing_id: str) -> Placement | Part | None:
        """The placement or part with that id; None if there is none."""
        for placement in self.placements:
            if placement.id == thing_id:
                return placement
        for part in self.parts:
            if part.id == thing_id:
                return part
        return None


def require_whole(job: Job) -> None:
    """Raises ValueError, saying where, if ids are duplicated or a piece is not on the job's rack.

    For jobs that come from outside.  Edits preserve both, and checking the whole job at every edit
    would cost more than the edit.
    """
    seen: set[str] = set()
    groups: tuple[tuple[str, tuple[Part | Placement, ...]], ...] = (
        ("parts", job.parts),
        ("placements", job.placements),
    )
    for where, things in groups:
        for index, thing in enumerate(things):
            if thing.id in seen:
                raise ValueError(f"{where}[{index}].id: {thing.id} is used twice; ids are unique")
            seen.add(thing.id)
    _require_weldments(job)
    _require_single_welds(job)
    known = {p.id: p for p in job.rack.pieces}
    for index, placement in enumerate(job.placements):
        for piece in (placement.piece, *placement.lift, *placement.packing):
            if piece not in known:
                raise ValueError(f"placements[{index}]: piece {piece} is not on the job's rack")
        features = {m.id for m in known[placement.piece].mounts}
        for seat in placement.seats:
            if seat.feature not in features:
                raise ValueError(
                    f"placements[{index}].seats: piece {placement.piece} has no mount feature"
                    f" {seat.feature}"
                )


def _require_weldments(job: Job) -> None:
    """Each part is in a weldment of the job, and the opposite hands lead back to one as drawn."""
    known: dict[str, Weldment] = {}
    for index, one in enumerate(job.weldments):
        if one.id in known:
            raise ValueError(f"weldments[{index}].id: {one.id} is used twice; ids are unique")
        known[one.id] = one
    for index, part in enumerate(job.parts):
        if part.weldment not in known:
            raise ValueError(f"parts[{index}]: the job has no weldment {part.weldment}")
    for index, one in enumerate(job.weldments):
        passed, at = {one.id}, one.opposite_of
        while at is not None:
            if at not in known:
                raise ValueError(f"weldments[{index}].opposite_of: the job has no weldment {at}")
            if at in passed:
                raise ValueError(
                    f"weldments[{index}].opposite_of: {one.id} is in the end the opposite hand of"
                    " itself; one of them has to be as drawn"
                )
            passed.add(at)
            at = known[at].opposite_of


def _require_single_welds(job: Job) -> None:
    """A joint has one weld.  Welds whose parts are gone do no harm."""
    joints: set[tuple[frozenset[str], int]] = set()
    for index, weld in enumerate(job.welds):
        joint = (frozenset((weld.a, weld.b)), weld.nth)
        if joint in joints:
            raise ValueError(f"welds[{index}]: this joint of {weld.a} and {weld.b} has two welds")
        joints.add(joint)
