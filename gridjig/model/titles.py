"""What the things of a job are called in a sentence."""

from collections.abc import Iterable

from .job import Job, Part


def title(job: Job, thing_id: str) -> str:
    """What a thing is called in a sentence: its own name, else its piece's."""
    thing = job.find(thing_id)
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
