"""What is wrong, or worth a look, in a whole job: what, where, by how much, what to do."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING

from gridjig.contact.features import NO_FEATURES, features_of
from gridjig.contact.values import TOUCH
from gridjig.geometry import Pose
from gridjig.model import Job, Member, Placement, Table
from gridjig.model.labels import address
from gridjig.rack import Point
from gridjig.solve.placed.face_distance import face_of_slide
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_angle, format_count, format_length
from gridjig.units.progress import SILENT, Progress, look
from gridjig.words.placing_text import placing_text

from .carried import carried_findings
from .conflicts import MOST_PAIRS, Clash, every_clash, overlap_words
from .contact_findings import contact_findings
from .finding import LEVELS, Finding, Level, told_apart
from .hands import hand_findings
from .needs import needs, short_by
from .neighbours import placed_part
from .table_findings import edge_findings, hole_findings
from .way_up import too_high

if TYPE_CHECKING:
    from gridjig.contact.book import Contacts

__all__ = ["LEVELS", "Finding", "Level", "findings"]


_Check = Callable[[Job, Mapping[str, PlacedPiece]], Iterator[Finding]]

NOT_LOOKED_AT = (
    "Not checked: whether the work is located and held, strength, and room for the torch."
)


def findings(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    progress: Progress = SILENT,
    kept: "Contacts | None" = None,
) -> tuple[Finding, ...]:
    """Return all findings, the worst first, or a single finding that all is well.

    `kept` are the contacts of the previous check; what did not change is not searched again.
    Raises Cancelled through `progress`.
    """
    steps: tuple[_Check, ...] = (*_CHECKS, partial(_contacts, kept=kept))
    found: list[Finding] = []
    with progress.heeded():
        for check in progress.each(steps, "Checking"):
            for one in check(job, placed_pieces):
                look()
                found.append(one)
    if not found and (job.placements or job.parts):
        found.append(_fine(job, placed_pieces))
    return tuple(sorted(found, key=lambda f: LEVELS.index(f.level)))


def _contacts(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], kept: "Contacts | None" = None
) -> Iterator[Finding]:
    """What does not touch, what is not carried, what presses on nothing."""
    if not job.parts:
        return
    from gridjig.contact.book import Contacts  # noqa: PLC0415  # late: a table needs no numpy

    found = (kept or Contacts()).of(job, placed_pieces)
    yield from contact_findings(job, placed_pieces, found)
    yield from carried_findings(job, found)


def _fine(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Finding:
    """Say what was checked; a job without a weldment has nothing to touch."""
    if not job.placements:
        parts = (
            "No parts overlap and none hangs" if len(job.parts) > 1 else "The part does not hang"
        )
        what = f"{parts} over the edge. No piece is placed yet, so nothing else was checked."
        return Finding("fine/parts", "", "fine", what, None, (), "")
    count = len(job.placements)
    holes = sum(len(s.holes) for s in placed_pieces.values())
    pieces = "1 piece sits" if count == 1 else f"{count} pieces sit"
    stands = f"Nothing overlaps; {pieces} in {'1 hole' if holes == 1 else f'{holes} holes'}"
    if not job.parts:
        what = f"{stands}. There is no weldment, so contact with the work was not checked."
        return Finding("fine", "", "fine", what, None, (), "")
    able = sum(features_of(placed) != NO_FEATURES for placed in placed_pieces.values())
    every = {0: "none has a face to touch the work with", count: "each touches the work"}
    touch = every.get(able, f"{able} touch the work and the others have no face to touch it with")
    told = [stands, touch]
    if any(part.z_low > TOUCH for part in job.parts):
        told.append("every raised part is supported")
    if any(placed.tip is not None for placed in placed_pieces.values()):
        told.append("every clamp has a support behind it")
    trusted = sum(p.clamped_by_hand for p in job.placements)
    if trusted:
        many = "1 piece is" if trusted == 1 else f"{trusted} pieces are"
        told.append(f"{many} trusted to be clamped by hand")
    what = f"{'; '.join(told)}."
    return Finding("fine/contacts", "", "fine", f"{what} {NOT_LOOKED_AT}", None, (), "")


def _hole_at(table: Table, placement: Placement) -> Point:
    return table.at(placement.seats[0].hole)


def _faults(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Placements that cannot stand at all."""
    for placement in job.placements:
        stood = placed_pieces[placement.id]
        if stood.fault is not None:
            why = placing_text(stood.fault, job.table, job.display)
            yield Finding(
                f"fault/{placement.id}",
                "hole",
                "stop",
                f"{told_apart(job, placement.id)} does not fit there. {why}",
                _hole_at(job.table, placement),
                (placement.id,),
                "Use other holes or another piece, or take it off the table.",
            )


def _clashes(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Shared holes, and bodies that overlap each other or the weldment."""
    stood = [placed_pieces[p.id] for p in job.placements]
    parts = {o.id for o in job.parts}
    found = every_clash(stood, map(placed_part, job.parts))
    for clash in found.found:
        yield _clash(job, clash, clash.b in parts)
    if not found.all:
        yield Finding(
            "crowded",
            "clash",
            "stop",
            f"More than {format_count(MOST_PAIRS)} pairs of pieces and parts overlap;"
            " only the first ones were compared.",
            None,
            (),
            "Remove the duplicates and check again.",
        )


def _joints_left_out(job: Job, _stands: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Places with so many parts that not all joints were searched."""
    if len(job.parts) < 2:
        return
    from gridjig.solve.weldment.joints import left_out  # noqa: PLC0415  # late: a table needs no numpy
    from gridjig.words.joints_text import pairs_left_out_text  # noqa: PLC0415  # late, as above

    if left_out(job.parts):
        what, do = pairs_left_out_text()
        yield Finding("joints left out", "access", "look", what, None, (), do)


def _clash(job: Job, clash: Clash, with_part: bool) -> Finding:
    a, b = told_apart(job, clash.a), told_apart(job, clash.b)
    ids = (clash.a, clash.b)
    mark = f"{clash.kind}/{clash.a}/{clash.b}"
    if clash.hole is not None:
        what = f"Hole {address(job.table, clash.hole)} is taken by {a} and by {b}."
        do = "Move one of the two: a hole takes one pin."
        return Finding(mark, "hole", "stop", what, job.table.at(clash.hole), ids, do)
    by = overlap_words(job, clash)
    if clash.kind == "handle":
        what = f"A clamp's handle swings {by} into {b}: {a} and {b} are too close."
        do = "Turn the clamp, or make sure its handle never has to go there."
        return Finding(mark, "clash", "look", what, clash.where, ids, do, clash.depth, 0.0, "mm")
    if with_part:
        what = f"{a} runs {by} into {b}."
        do = f"Move {a} back by {by}, or move the work."
    else:
        what = f"{a} and {b} overlap by {by}."
        do = "Move one of the two, or raise one clear of the other."
    return Finding(mark, "clash", "stop", what, clash.where, ids, do, clash.depth, 0.0, "mm")


def _loose(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Locating faces on one pin that can turn.  Round bodies and clamps may turn."""
    for placement in job.placements:
        stood = placed_pieces[placement.id]
        way, piece = stood.way, stood.piece
        if stood.fault is not None or way is None or piece is None or not piece.faces:
            continue
        if placement.clamped_by_hand:
            continue  # the shop trusts it; `_fine` says so
        if way.kind in ("turns", "slides and turns"):
            one = len(placement.seats) == 1
            how = "turns freely on one pin" if one else "can still turn on its pins"
            yield Finding(
                f"turns/{placement.id}",
                "loose",
                "look",
                f"{told_apart(job, placement.id)} {how}: nothing holds its angle.",
                _hole_at(job.table, placement),
                (placement.id,),
                "Pin it in one more hole, or set its angle by a gauge and clamp it down; if the"
                " shop trusts that, tick “clamped by hand” in its form.",
            )


def _missed(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Settings that the holes do not allow, so the nearest possible one is shown."""
    for placement in job.placements:
        stood = placed_pieces[placement.id]
        if stood.fault is not None:
            continue
        for choice in stood.off:
            wanted, had = getattr(placement, choice), getattr(stood, choice)
            cannot = _CHOICES[choice]
            if choice == "slide":
                ends = [face_of_slide(job, stood, mm) for mm in (wanted, had)]
                if None not in ends:
                    (wanted, had), cannot = ends, "have its face {} from the hole"
            turns = choice in ("turn", "leaf")
            say: Callable[[float], str] = (
                format_angle if turns else lambda mm: format_length(mm, job.display)
            )
            name = told_apart(job, placement.id)
            yield Finding(
                f"{choice}/{placement.id}",
                "inexact",
                "look",
                f"{name} cannot {cannot.format(say(wanted))} in these holes; it is at {say(had)}.",
                _hole_at(job.table, placement),
                (placement.id,),
                "Choose other holes, or accept the value it has.",
                had,
                wanted,
                "deg" if turns else "mm",
            )


def _shortages(job: Job, _stands: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Pieces of which more are needed than the rack has.

    This is not a clash: each can stand where it is, and one may be borrowed or made.
    """
    for piece_id, need in needs(job).items():
        piece = job.rack.find(piece_id)
        short = short_by(piece, need)
        if short:
            owned = piece.owned if piece else 0
            name = piece.full_name if piece else _name(job, piece_id)
            yield Finding(
                f"short/{piece_id}",
                "shortage",
                "look",
                f"{name}: {need.count} needed, {owned} on the rack, short by {short}.",
                None,
                need.placements,
                "Use a different piece, or correct the count on the rack.",
                float(need.count),
                float(owned),
                "pieces",
            )


def _name(job: Job, piece_id: str) -> str:
    piece = job.rack.find(piece_id)
    return piece.name if piece else piece_id


def _way_up(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """A way up that the rack's risers cannot make, however they are stacked."""
    found = too_high(job)
    if found is not None:
        yield Finding(
            "way up",
            "shortage",
            "look",
            found.what,
            found.where,
            found.ids,
            found.do,
            found.needed,
            found.owned,
            "mm",
        )


_CHOICES = {
    "turn": "be turned to {}",
    "leaf": "have its arm open to {}",
    "slide": "slide to {}",
    "reach": "reach {}",
}


def _saw(job: Job, _stands: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Ends that are cut further from square than the shop's saw goes."""
    for part in job.parts:
        if not isinstance(part, Member):
            continue
        pose = Pose(part.x, part.y, part.turn)
        for end, cut, along in (("start", part.start, 0.0), ("end", part.end, part.length)):
            if job.beyond_saw(cut):
                steepest = max(abs(saw.angle) for saw in cut.saws)
                yield Finding(
                    f"saw/{part.id}/{end}",
                    "shortage",
                    "look",
                    f"The {end} of {told_apart(job, part.id)} is cut"
                    f" {format_angle(steepest)} from square; the shop's saw goes to"
                    f" {format_angle(job.saw)}.",
                    pose.point((along, 0.0)),
                    (part.id,),
                    "Cut it another way, or correct the saw's limit where the job is described.",
                    steepest,
                    job.saw,
                    "deg",
                    "the shop's saw, as the job describes it",
                )


_CHECKS: tuple[_Check, ...] = (
    _faults,
    _clashes,
    hole_findings,
    edge_findings,
    _loose,
    _missed,
    _shortages,
    _way_up,
    hand_findings,
    _saw,
    _joints_left_out,
)
