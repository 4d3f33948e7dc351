"""What is asked of a suggestion and what it answers, as plain values."""

from collections.abc import Callable
from typing import Annotated, Literal

from msgspec import Meta, Struct

from gridjig.model import Hole, Job
from gridjig.proof.report import ProofReport
from gridjig.units.limits import require_within

MOST_ALTERNATIVES = 10
"""The most alternatives that can be asked for: more than anyone compares."""
MOST_SECONDS = 600.0
"""The longest search that can be asked for, s."""

PointsEach = Annotated[float, Meta(ge=0.0, le=1000.0, extra={"quantity": "number"})]
Many = Annotated[int, Meta(ge=1, le=MOST_ALTERNATIVES)]
Seconds = Annotated[float, Meta(ge=0.1, le=MOST_SECONDS, extra={"quantity": "number"})]
Seed = Annotated[int, Meta(ge=0, le=2_147_483_647)]


class Weights(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a set-up costs in points, by preference; 0 leaves a preference out.

    `piece`: each piece on the table, and a twentieth of it each locking pin.  `packing`: each shim.
    `spacing`: a pair of stops as close together as can be, against 0 for one as far apart as the
    member is long.  `critical`: each packed or slid stop at a critical face.  `weld`: each piece
    nearer to a joint than the shop keeps, or held only by its own clamp on one pin or by a scale.
    `reach`: each metre of a piece from the operator's side of the table.  `room`: each metre that a
    piece stands out from the work, so that more of the table is left.  `askew`: work that lies at
    an angle to the grid.  `loose`: each contact or clamp that a member is left without.  `look`:
    each finding of the level "look" about a piece that was added.
    """

    piece: PointsEach = 10.0
    packing: PointsEach = 4.0
    spacing: PointsEach = 20.0
    critical: PointsEach = 15.0
    weld: PointsEach = 15.0
    reach: PointsEach = 2.0
    room: PointsEach = 2.0
    askew: PointsEach = 20.0
    loose: PointsEach = 60.0
    look: PointsEach = 20.0

    def __post_init__(self) -> None:
        require_within(self)


class Wishes(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is asked for.

    `keep` leaves the work and every piece on the table where they are, and adds what is missing;
    without it the pieces on the table are set anew.  `move` lets the work be moved and turned, so
    that it runs along the grid, never with `keep`; `face_down` lets it be turned over as well, and
    `slopes` lets it be turned so that each of its sloping members runs along the grid in its place.
    `forbidden` holes are left free.  `inside` allows
    stops inside the work, where shrinkage tightens it on them.  The same wishes for the same job
    give the same answers if `seconds` are enough to end the search.
    """

    alternatives: Many = 3
    seconds: Seconds = 30.0
    seed: Seed = 0
    keep: bool = False
    move: bool = True
    face_down: bool = False
    slopes: bool = False
    inside: bool = False
    forbidden: frozenset[Hole] = frozenset()
    weights: Weights = Weights()

    def __post_init__(self) -> None:
        require_within(self)


WhyKind = Literal["long face", "end", "support", "clamp"]


class Because(Struct, frozen=True):
    """Why one piece stands where it does: what it does for which part, in a sentence."""

    placement: str
    part: str
    kind: WhyKind
    words: str


class Lack(Struct, frozen=True):
    """What one part is left without, and why, in a sentence."""

    part: str
    kind: WhyKind
    words: str


class Moved(Struct, frozen=True):
    """How one of several weldments was moved by itself: turned about its middle, then shifted."""

    weldment: str
    shift: tuple[float, float]
    turn: float


class Alternative(Struct, frozen=True, eq=False):
    """A whole job, proved, without a finding of the level "stop".

    `score` is what it costs by the weights, the less the better; `bound` is what no set-up with
    the work lying like this can cost less than, of the candidates that were considered.  `pieces`
    and `packings` count the pieces and shims that were added.  The work was moved by `shift` mm
    after a turn of `turn` degrees about the middle of its box, and before both turned over, left
    to right, if it is `face_down`.  Where several weldments were each moved by itself, `moves` has
    those that were, and `shift` and `turn` are 0.  `added` are the ids of the new placements; `why`
    has an entry for each thing that each of them does.  `missing` is what parts are left without.
    `sorts` says of each new placement for which part it is, what for, at which side, which piece.
    """

    job: Job
    score: float
    bound: float
    pieces: int
    packings: int
    shift: tuple[float, float]
    turn: float
    added: tuple[str, ...]
    why: tuple[Because, ...]
    missing: tuple[Lack, ...]
    report: ProofReport
    face_down: bool = False
    sorts: tuple[tuple[str, str, int, str], ...] = ()
    moves: tuple[Moved, ...] = ()

    @property
    def still(self) -> bool:
        """True if the work stays where it lies."""
        together = self.shift != (0.0, 0.0) or self.turn or self.face_down
        return not together and not self.moves

    @property
    def changes(self) -> bool:
        """True if there is anything to take over: a piece that was added, or work that moves."""
        return bool(self.added) or not self.still


class Suggestion(Struct, frozen=True, eq=False):
    """The alternatives, best first; without any, `none_because` says why in sentences.

    `ended` is False if the time was up before everything had been looked at; then there may be
    no alternative and yet a set-up.  `left_out` says in sentences what was not tried at all.
    """

    alternatives: tuple[Alternative, ...]
    none_because: tuple[str, ...] = ()
    ended: bool = True
    left_out: tuple[str, ...] = ()


Hears = Callable[[Suggestion], None]
"""Receives the best so far, each time there is something better, in the thread of the search."""
