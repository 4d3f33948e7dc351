"""What the things of a job are called in a sentence."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from gridjig.rack import Rack
from gridjig.rack.same import Same

from .changes import Things
from .job import Job, Part, Placement
from .member import Member


def title(job: Job, thing_id: str) -> str:
    """What a thing is called in a sentence: its own name, or else its piece's."""
    thing = thing_of(job, thing_id)
    if thing is None:
        return thing_id
    if isinstance(thing, Part):
        return thing.name or ("member" if isinstance(thing, Member) else "plate")
    return title_of(thing, job.rack)


def title_of(placement: Placement, rack: Rack) -> str:
    """What a placement is called: its own name, or else its piece's."""
    piece = None if placement.name else rack.find(placement.piece)
    return placement.name or (piece.name if piece is not None else placement.piece)


def titles(job: Job, ids: Iterable[str]) -> str:
    """What several things are called together: the title of a single one, or their number."""
    chosen = list(ids)
    return title(job, chosen[0]) if len(chosen) == 1 else f"{len(chosen)} items"


def thing_of(job: Job, thing_id: str) -> Placement | Part | None:
    """Like `Job.find`, but fast for thousands of things of one job."""
    for things in (job.placements, job.parts):
        found = _by_id(Same(things)).get(thing_id)
        if found is not None:
            return found
    return None


@lru_cache(maxsize=4)  # a list may name thousands of things of one job
def _by_id(things: Same[Things]) -> Mapping[str, Placement | Part]:
    return {thing.id: thing for thing in reversed(things.value)}
