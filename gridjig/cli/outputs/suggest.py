"""What `gridjig suggest --json` prints."""

from gridjig.model import Job, Placement
from gridjig.suggest.values import Alternative, Suggestion, WhyKind

from .base import Output, Pair
from .seat import SeatedFeature, seated


class SuggestedPlacement(Output, frozen=True):
    """A piece that was added: where it stands, how it is set, what is in front of and under it."""

    id: str
    piece: str
    seats: tuple[SeatedFeature, ...]
    flipped: bool
    turn_deg: float
    slide_mm: float
    leaf_deg: float
    reach_mm: float
    packing: tuple[str, ...]
    lift: tuple[str, ...]
    accepted_gap_mm: float
    clamped_by_hand: bool


class WhyOutput(Output, frozen=True):
    """Why a piece stands there; or, without a placement, what a part is left without and why."""

    placement: str | None
    part: str
    kind: WhyKind
    words: str


class MovedOutput(Output, frozen=True):
    """How one of several weldments moved by itself: turned about its middle, then shifted."""

    weldment: str
    shift_mm: Pair
    turn_deg: float


class AlternativeOutput(Output, frozen=True):
    """One set-up: what it costs in points, and what no choice of its candidates costs less than.

    Where several weldments moved each by itself, `moves` has those that did; the shift is then 0.
    """

    score: float
    bound: float
    pieces: int
    packings: int
    shift_mm: Pair
    turn_deg: float
    face_down: bool
    moves: tuple[MovedOutput, ...]
    placements: tuple[SuggestedPlacement, ...]
    why: tuple[WhyOutput, ...]


class SuggestOutput(Output, frozen=True):
    """The set-ups, best first; the first is in the file.  Without any: why there is none."""

    alternatives: tuple[AlternativeOutput, ...]
    none_because: tuple[str, ...]


def suggest_output(found: Suggestion) -> SuggestOutput:
    """A suggestion as it is printed."""
    return SuggestOutput(tuple(map(_alternative, found.alternatives)), found.none_because)


def _alternative(one: Alternative) -> AlternativeOutput:
    new = set(one.added)
    return AlternativeOutput(
        score=round(one.score, 3),
        bound=round(one.bound, 3),
        pieces=one.pieces,
        packings=one.packings,
        shift_mm=_rounded(one.shift),
        turn_deg=one.turn,
        face_down=one.face_down,
        moves=tuple(MovedOutput(m.weldment, _rounded(m.shift), m.turn) for m in one.moves),
        placements=tuple(_placement(one.job, p) for p in one.job.placements if p.id in new),
        why=(
            *(WhyOutput(w.placement, w.part, w.kind, w.words) for w in one.why),
            *(WhyOutput(None, m.part, m.kind, m.words) for m in one.missing),
        ),
    )


def _rounded(shift: Pair) -> Pair:
    return (round(shift[0], 3) + 0.0, round(shift[1], 3) + 0.0)


def _placement(job: Job, one: Placement) -> SuggestedPlacement:
    return SuggestedPlacement(
        id=one.id,
        piece=one.piece,
        seats=seated(job.table, one.seats),
        flipped=one.flipped,
        turn_deg=round(one.turn, 6) + 0.0,
        slide_mm=round(one.slide, 6) + 0.0,
        leaf_deg=round(one.leaf, 6) + 0.0,
        reach_mm=round(one.reach, 6) + 0.0,
        packing=one.packing,
        lift=one.lift,
        accepted_gap_mm=one.accepted_gap,
        clamped_by_hand=one.clamped_by_hand,
    )
