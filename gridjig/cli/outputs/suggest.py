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
    turn_deg: float
    slide_mm: float
    reach_mm: float
    packing: tuple[str, ...]
    lift: tuple[str, ...]
    accepted_gap_mm: float
    clamped_by_hand: bool


class WhyOutput(Output, frozen=True):
    """Why a piece stands there: what it does for which part."""

    placement: str
    part: str
    kind: WhyKind
    words: str


class AlternativeOutput(Output, frozen=True):
    """One set-up: what it costs in points, and what none of its candidates can cost less than.

    `missing` says what members are left without, `looks` what the check says to look at.
    """

    score: float
    bound: float
    pieces: int
    packings: int
    shift_mm: Pair
    turn_deg: float
    placements: tuple[SuggestedPlacement, ...]
    why: tuple[WhyOutput, ...]
    missing: tuple[str, ...]
    looks: tuple[str, ...]


class SuggestOutput(Output, frozen=True):
    """The set-ups, best first; the first is in the file.  `ended` is false if time ran out."""

    alternatives: tuple[AlternativeOutput, ...]
    none_because: tuple[str, ...]
    ended: bool


def suggest_output(found: Suggestion) -> SuggestOutput:
    """A suggestion as it is printed."""
    return SuggestOutput(
        tuple(_alternative(one) for one in found.alternatives), found.none_because, found.ended
    )


def _alternative(one: Alternative) -> AlternativeOutput:
    new = set(one.added)
    return AlternativeOutput(
        score=round(one.score, 3),
        bound=round(one.bound, 3),
        pieces=one.pieces,
        packings=one.packings,
        shift_mm=(round(one.shift[0], 3) + 0.0, round(one.shift[1], 3) + 0.0),
        turn_deg=one.turn,
        placements=tuple(_placement(one.job, p) for p in one.job.placements if p.id in new),
        why=tuple(WhyOutput(w.placement, w.part, w.kind, w.words) for w in one.why),
        missing=one.missing,
        looks=tuple(f.what for f in one.report.findings if f.level == "look"),
    )


def _placement(job: Job, one: Placement) -> SuggestedPlacement:
    return SuggestedPlacement(
        id=one.id,
        piece=one.piece,
        seats=seated(job.table, one.seats),
        turn_deg=round(one.turn, 6) + 0.0,
        slide_mm=round(one.slide, 6) + 0.0,
        reach_mm=round(one.reach, 6) + 0.0,
        packing=one.packing,
        lift=one.lift,
        accepted_gap_mm=one.accepted_gap,
        clamped_by_hand=one.clamped_by_hand,
    )
