"""The angle finder's answers that can stand on a job's table, without those that clash.

Pure.  The one conflict relation decides what clashes.
"""

from collections.abc import Mapping, Sequence

from msgspec import structs

from gridjig.checks.conflicts import conflict, overlap_words, refused
from gridjig.checks.neighbours import box_of
from gridjig.edits.lookup import new_id
from gridjig.model import Job, Placement, Seat
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, AngleResult, Fouled
from gridjig.solve.angles.finder import answer_placements, find_angles
from gridjig.solve.angles.held_face import InTheWay
from gridjig.solve.angles.plate import THICKNESS
from gridjig.solve.angles.wanted import WantedLine
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedSolid
from gridjig.solve.placed.solver import solve_placement
from gridjig.units.progress import SILENT, Progress

from .places import boxes_on, first_place


def answers_on(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    wanted: WantedLine,
    limits: AngleLimits,
    progress: Progress = SILENT,
) -> AngleResult:
    """Return every way to make a line on a job, each where it can stand; raise as `find_angles`.

    An answer that clashes wherever it could stand is left out, and counted in `fouled`.
    """
    if limits.along is not None:
        asked = in_the_way(job, placed_pieces)
        return find_angles(job.table, job.rack, wanted, limits, progress, asked)
    found = find_angles(job.table, job.rack, wanted, limits, progress)
    every = (*found.ranked, *found.nearest, *((found.offer,) if found.offer else ()))
    known: dict[int, AngleAnswer | None] = {}
    why, boxes = "", boxes_on(job, placed_pieces)
    for answer in progress.each(list(every), "Asking what is in the way"):
        if id(answer) in known:
            continue
        holes, reason = first_place(job, placed_pieces, answer, limits, boxes)
        stands = structs.replace(answer, holes=holes, fouled=False) if holes else None
        known[id(answer)] = stands
        why = why or (reason if stands is None else "")
    return structs.replace(
        found,
        ranked=_those(found.ranked, known),
        nearest=_those(found.nearest, known),
        offer=known[id(found.offer)] if found.offer is not None else None,
        fouled=sum(one is None for one in known.values()),
        why_fouled=why,
    )


def _those(
    answers: Sequence[AngleAnswer], known: Mapping[int, AngleAnswer | None]
) -> tuple[AngleAnswer, ...]:
    stand = (known[id(answer)] for answer in answers)
    return tuple(one for one in stand if one is not None)


def in_the_way(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> InTheWay:
    """Return a check for what is in the way of an answer in its own holes, on this job.

    The result for each piece in its holes is cached, as many answers share pins.
    """
    ids = [new_id(job, "asked")]
    ids.append(new_id(job, "asked", ids))
    found: dict[Placement, tuple[PlacedPiece, str | None]] = {}

    def looked_at(placement: Placement) -> tuple[PlacedPiece, str | None]:
        key = structs.replace(placement, id=ids[0])
        if key not in found:
            here = solve_placement(job.table, job.rack, placement)
            found[key] = (here, refused(job, placed_pieces, here))
        return found[key]

    def asked(answer: AngleAnswer) -> Fouled | None:
        stood = []
        for which, placement in enumerate(answer_placements(answer, ids[: len(answer.standing)])):
            here, why = looked_at(placement)
            if why is not None:
                return Fouled(why, which)
            stood.append(here)
        if answer.plate is not None:
            why = refused(job, placed_pieces, laid_plate(job, answer, ids[0]))
            return None if why is None else Fouled(why)
        near = len(stood) == 2 and _near(stood[0], stood[1])
        if near and (clash := conflict(stood[0], stood[1])) is not None:
            return Fouled(f"Its two pieces would overlap by {overlap_words(job, clash)}.")
        return None

    return asked


def _near(a: PlacedPiece, b: PlacedPiece) -> bool:
    """True if the bounding boxes of two pieces touch."""
    one, other = box_of(a), box_of(b)
    if one is None or other is None:
        return False
    return all(one[k] <= other[k + 2] and other[k] <= one[k + 2] for k in (0, 1))


def laid_plate(job: Job, answer: AngleAnswer, name: str) -> PlacedPiece:
    """Return the plate of an answer as it would lie in its holes."""
    assert answer.plate is not None
    x, y = job.table.at(answer.holes[0])
    ring = tuple((x + dx, y + dy) for dx, dy in answer.plate.corners)
    return PlacedPiece(
        Placement(
            id=name,
            piece=name,
            seats=tuple(Seat(f"hole-{k}", hole) for k, hole in enumerate(answer.holes)),
        ),
        piece=None,
        fault=None,
        solids=(PlacedSolid(ring, 0.0, THICKNESS, "body"),),
        holes=answer.holes,
    )
