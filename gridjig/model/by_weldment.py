"""What belongs to which weldment of a job."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from msgspec import structs

from gridjig.rack.same import Same

from .job import Job, Part
from .titles import weldment_title
from .weldment import Weldment


def weldment_of(job: Job, weldment_id: str | None = None) -> Weldment:
    """The weldment with that id; None means the first.  Raises KeyError if there is none."""
    if weldment_id is None:
        return job.weldments[0]
    for one in job.weldments:
        if one.id == weldment_id:
            return one
    raise KeyError(weldment_id)


def parts_of(job: Job, weldment_id: str) -> tuple[Part, ...]:
    """The parts of a weldment, in job order; the same parts of a job give the same tuple."""
    return parts_by_weldment(job.parts).get(weldment_id, ())


def parts_by_weldment(parts: tuple[Part, ...]) -> Mapping[str, tuple[Part, ...]]:
    """The parts by the id of their weldment, in the order in which they come up.

    Parts that are all of one weldment give the tuple itself.
    """
    return _by_weldment(Same(parts))


@lru_cache(maxsize=16)
def _by_weldment(key: Same[tuple[Part, ...]]) -> Mapping[str, tuple[Part, ...]]:
    parts = key.value
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(part.weldment, []).append(part)
    if len(found) == 1:
        return dict.fromkeys(found, parts)
    return {weldment: tuple(some) for weldment, some in found.items()}


def number_to_make(job: Job, parts: Iterable[Part]) -> int:
    """The number to make of these parts: each as often as its weldment is made."""
    made = {one.id: one.quantity for one in job.weldments}
    return sum(made[part.weldment] for part in parts)


def several(job: Job) -> bool:
    """True if the job has more than one weldment, so that each has to be named."""
    return len(job.weldments) > 1


def weldments_of(job: Job, ids: Iterable[str]) -> tuple[str, ...]:
    """The ids of the weldments that these parts are in, in job order; other ids are ignored."""
    wanted = frozenset(ids)
    met = {part.weldment for part in job.parts if part.id in wanted}
    return tuple(one.id for one in job.weldments if one.id in met)


def only(job: Job, weldment_id: str) -> Job:
    """The job without its other weldments and their parts; the pieces all stay.

    The weldment keeps what it is called.  A job with one weldment is returned as it is.  Raises
    KeyError if there is no such weldment.
    """
    return _only(Same(job), weldment_of(job, weldment_id).id) if several(job) else job


@lru_cache(maxsize=32)
def _only(key: Same[Job], weldment_id: str) -> Job:
    job = key.value
    parts = parts_of(job, weldment_id)
    ids = {part.id for part in parts}
    called = weldment_title(job, weldment_id)
    alone = structs.replace(weldment_of(job, weldment_id), name=called, opposite_of=None)
    return structs.replace(
        job,
        weldments=(alone,),
        parts=parts,
        welds=tuple(weld for weld in job.welds if weld.a in ids and weld.b in ids),
        critical=tuple(face for face in job.critical if face.part in ids),
    )
