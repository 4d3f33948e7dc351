"""Packing typed as a thickness: the thickest stack of the rack's shims that is no thicker."""

from collections import Counter
from collections.abc import Iterable, Set

from msgspec import Struct, structs

from gridjig.model import Job, Placement
from gridjig.model.titles import title
from gridjig.solve.packing.pack import SAME, Packing, pack_down
from gridjig.units import format_length, format_measure

from .lookup import with_placement


class TypedPacking(Struct, frozen=True):
    """What a typed thickness led to: the job with the stacks, and in words what they are.

    `job` is None if none of the pieces takes packing.
    """

    job: Job | None
    says: str


def takes_packing(job: Job, ids: Iterable[str]) -> tuple[Placement, ...]:
    """Those of some placements that packing can stand before, in the order of the job."""
    chosen = set(ids)
    return tuple(
        placement
        for placement in job.placements
        if placement.id in chosen
        and (piece := job.rack.find(placement.piece)) is not None
        and piece.takes_packing
    )


def thickness(job: Job, placement: Placement) -> float:
    """How thick the packing of a placement is, mm; a shim that the rack has not counts nothing."""
    found = (job.rack.find(piece) for piece in placement.packing)
    return sum(piece.thickness for piece in found if piece is not None)


def type_packing(job: Job, ids: Set[str], mm: float) -> TypedPacking:
    """Put packing of at most `mm` before each of these pieces, from what the rack has left.

    It is rounded down, never up, so that it does not push the piece into the work; what is missing
    to the thickness is said.  Pieces that take no packing are left as they are.
    """
    if mm < 0.0:
        return TypedPacking(None, "Packing cannot be less than 0.")
    chosen = takes_packing(job, ids)
    if not chosen:
        return TypedPacking(None, "None of these has a face to put packing in front of.")
    freed = {placement.id for placement in chosen}
    used = Counter(
        loose
        for placement in job.placements
        for loose in (*placement.lift, *(() if placement.id in freed else placement.packing))
    )
    said: dict[str, list[str]] = {}
    for placement in chosen:
        made = pack_down(job.rack, mm, used)
        used.update(made.ids)
        stack = tuple(sorted(made.ids, key=lambda k: -job.rack.piece(k).thickness))
        job = with_placement(job, structs.replace(placement, packing=stack))
        said.setdefault(_words(job, made), []).append(title(job, placement.id))
    if len(said) == 1:
        each = "each has " if len(chosen) > 1 else ""
        return TypedPacking(job, f"{each}{next(iter(said))}")
    return TypedPacking(job, "; ".join(f"{_names(who)}: {words}" for words, who in said.items()))


def shared_packing(job: Job, ids: Iterable[str]) -> tuple[str, ...] | None:
    """The packing that each of these pieces has, from the piece out; None if they differ."""
    stacks = {placement.packing for placement in takes_packing(job, ids)}
    return stacks.pop() if len(stacks) == 1 else None


def add_packing(job: Job, ids: Iterable[str], shim: str) -> Job:
    """Put one more shim before each of these pieces that takes packing, outermost."""
    job.rack.piece(shim)
    for placement in takes_packing(job, ids):
        job = with_placement(job, structs.replace(placement, packing=(*placement.packing, shim)))
    return job


def drop_packing(job: Job, ids: Iterable[str]) -> Job:
    """Take the outermost shim away from before each of these pieces."""
    for placement in takes_packing(job, ids):
        job = with_placement(job, structs.replace(placement, packing=placement.packing[:-1]))
    return job


def _words(job: Job, made: Packing) -> str:
    """A stack, and what is missing to the thickness that was typed."""
    thick = sorted((job.rack.piece(k).thickness for k in made.ids), reverse=True)
    stack = " + ".join(format_length(mm, job.display) for mm in thick)
    told = f"packing {stack}" if stack else "no packing"
    if made.residual <= SAME:
        return told
    return f"{told}, leaving a gap of {format_measure(made.residual, job.display)}"


def _names(who: list[str]) -> str:
    return who[0] if len(who) == 1 else f"{len(who)} of them"
