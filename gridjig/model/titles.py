"""What the things of a job are called in a sentence: by what can be seen of their names."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from gridjig.rack import Rack
from gridjig.rack.same import Same, kept_for
from gridjig.units.seen import seen

from .changes import Things
from .job import Job, Part, Placement
from .member import Member
from .weldment import Weldment


def title(job: Job, thing_id: str) -> str:
    """What a thing is called in a sentence: its own name, or else its piece's.

    A part is named with its weldment where another weldment has one of the same name.
    """
    thing = thing_of(job, thing_id)
    if thing is None:
        return thing_id
    if isinstance(thing, Part):
        name = part_name(thing)
        if len(job.weldments) > 1 and name in _ambiguous(Same(job.parts)):
            return f"{name} of {weldment_title(job, thing.weldment)}"
        return name
    return title_of(thing, job.rack)


def part_name(part: Part) -> str:
    """What a part is called by itself: its name, or what it is."""
    return seen(part.name) or ("member" if isinstance(part, Member) else "plate")


def weldment_title(job: Job, weldment_id: str) -> str:
    """What a weldment is called: its name, or else its number; the only one is the weldment."""
    for number, one in enumerate(job.weldments, 1):
        if one.id == weldment_id:
            alone = len(job.weldments) == 1
            return seen(one.name) or ("the weldment" if alone else numbered(number))
    return weldment_id


def numbered(number: int) -> str:
    """What the weldment of that number is called if it has no name."""
    return f"Weldment {number}"


def hand_words(job: Job, weldment: Weldment) -> str:
    """Which hand a weldment is."""
    if weldment.opposite_of is None:
        return "as drawn"
    return f"opposite hand of {weldment_title(job, weldment.opposite_of)}"


@lru_cache(maxsize=4)
def _ambiguous(parts: Same[tuple[Part, ...]]) -> frozenset[str]:
    """The names that parts of different weldments share."""
    first: dict[str, str] = {}
    found: set[str] = set()
    for part in parts.value:
        name = part_name(part)
        if first.setdefault(name, part.weldment) != part.weldment:
            found.add(name)
    return frozenset(found)


def title_of(placement: Placement, rack: Rack) -> str:
    """What a placement is called: its own name, or else its piece's."""
    name = seen(placement.name)
    piece = None if name else rack.find(placement.piece)
    return name or (piece.name if piece is not None else placement.piece)


def titles(job: Job, ids: Iterable[str]) -> str:
    """What several things are called together: the title of a single one, or how many pieces and
    parts.
    """
    chosen = list(ids)
    if len(chosen) == 1:
        return title(job, chosen[0])
    pieces = sum(isinstance(thing_of(job, one), Placement) for one in chosen)
    counted = ((pieces, "piece"), (len(chosen) - pieces, "part"))
    told = [f"{many} {word}{'s' if many > 1 else ''}" for many, word in counted if many]
    return " and ".join(told)


def thing_of(job: Job, thing_id: str) -> Placement | Part | None:
    """Like `Job.find`, but fast for thousands of things of one job."""
    for things in (job.placements, job.parts):
        found = _by_id(things).get(thing_id)
        if found is not None:
            return found
    return None


@kept_for(8)  # a list may name thousands of things of one job
def _by_id(things: Things) -> Mapping[str, Placement | Part]:
    return {thing.id: thing for thing in reversed(things)}
