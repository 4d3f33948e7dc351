"""What a finding is, and how it names a thing that shares its name with others."""

from collections import Counter
from functools import lru_cache
from typing import Literal, get_args

from msgspec import Struct

from gridjig.model import Job, Placement
from gridjig.model.labels import OFF, address
from gridjig.model.titles import thing_of, title, title_of
from gridjig.rack import Point, Rack
from gridjig.rack.same import Same

Level = Literal["clash", "check", "fine"]
LEVELS: tuple[Level, ...] = get_args(Level)
"""Severities, worst first."""


class Finding(Struct, frozen=True):
    """One thing found.  `what` and `do` are sentences; `ids` are the things it is about.

    "clash" cannot be set up, "check" can but needs a look, "fine" says that all is well.
    """

    id: str
    level: Level
    what: str
    where: Point | None
    ids: tuple[str, ...]
    do: str


def told_apart(job: Job, thing_id: str) -> str:
    """Return the title of a thing, with its hole if another piece has the same title."""
    name = title(job, thing_id)
    called = _called(Same(job.placements), Same(job.rack))
    placement = thing_of(job, thing_id)
    if not isinstance(placement, Placement) or called[name] < 2:
        return name
    where = address(job.table, placement.seats[0].hole)
    return f"{name}, {OFF}" if where == OFF else f"{name} at {where}"


@lru_cache(maxsize=4)
def _called(placements: Same[tuple[Placement, ...]], rack: Same[Rack]) -> Counter[str]:
    """Return how many placements have each title."""
    return Counter(title_of(placement, rack.value) for placement in placements.value)
