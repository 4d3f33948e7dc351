"""What the things of a job are called in a sentence."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from gridjig.rack.same import Same

from .changes import Things
from .job import Job, Part, Placement


def title(job: Job, thing_id: str) -> str:
    """What a thing is called in a sentence: its own name, else its piece's."""
    thing = _by_id(Same(job.placements)).get(thing_id) or _by_id(Same(job.outlines)).get(thing_id)
    if thing is None:
        return thing_id
    if isinstance(thing, Part):
        return thing.name or "outline"
    piece = job.rack.find(thing.piece)
    return thing.name or (piece.name if piece is not None else thing.piece)


def titles(job: Job, ids: Iterable[str]) -> str:
    """What several things are called together: the one's title, or their number."""
    chosen = list(ids)
    return title(job, chosen[0]) if len(chosen) == 1 else f"{len(chosen)} parts"


@lru_cache(maxsize=4)  # a list names thousands of things of the same job
def _by_id(things: Same[Things]) -> Mapping[str, Placement | Part]:
    return {thing.id: thing for thing in reversed(things.value)}
