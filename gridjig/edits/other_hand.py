"""The opposite hand of a weldment beside it: parts and pieces mirrored about a line of holes."""

from collections.abc import Set

from msgspec import Struct, structs

from gridjig.geometry.lines import through
from gridjig.model import FaceOf, Job
from gridjig.rack import Point
from gridjig.solve.weldment.faces import Axis

from .copies import mirrored, mirrored_side
from .lookup import part_of
from .setup_mirror import MirrorImages, fresh_copies, images
from .weldment_list import copy_weldment


class OtherHand(Struct, frozen=True):
    """A job with the opposite hand of one of its weldments added.

    `weldment` is the id of the new one, `made` are the ids of its parts and pieces.  `no_twin` and
    `no_hole` are sentences about pieces left out: the rack has none of their opposite hand, or
    there is no hole for them.  `single` stand on the line and serve both hands; `exchanged` are
    copies that are another piece of the rack, `over` those turned over.
    """

    job: Job
    weldment: str
    made: frozenset[str]
    no_twin: tuple[str, ...]
    no_hole: tuple[str, ...]
    single: tuple[str, ...]
    exchanged: tuple[str, ...]
    over: tuple[str, ...]


def other_hand(job: Job, weldment: str, pieces: Set[str], axis: Axis, at: float) -> OtherHand:
    """Add the opposite hand of a weldment, with these pieces, across the line at `at` mm.

    Axis "x" mirrors left to right.  Raises ValueError if the line is neither a line of holes nor
    midway between two, or the weldment has no parts.  Clashes are not checked.
    """
    found: MirrorImages = images(job, pieces, axis, at)
    a: Point = (at, 0.0) if axis == "x" else (0.0, at)
    b: Point = (at, 1.0) if axis == "x" else (1.0, at)
    line = through(a, b)

    def face(chosen: FaceOf) -> FaceOf:
        return FaceOf(chosen.part, mirrored_side(part_of(job, chosen.part), chosen.side))

    beside, made, copies = copy_weldment(
        job, weldment, lambda part: mirrored(part, line), face, hand=True
    )
    fresh = fresh_copies(beside, found)
    placements = [copy for copy, _ in fresh.copies]
    return OtherHand(
        structs.replace(beside, placements=(*beside.placements, *placements)),
        made,
        frozenset([*copies.values(), *(one.id for one in placements)]),
        found.no_twin,
        found.no_hole,
        fresh.single,
        fresh.exchanged,
        tuple(one.id for one, original in fresh.copies if one.flipped != original.flipped),
    )
