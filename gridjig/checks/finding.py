"""What a finding is, and how it names a thing that shares its name with others."""

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Literal, get_args

from msgspec import Struct

from gridjig.model import Job, Placement, Table
from gridjig.model.labels import OFF, address
from gridjig.model.titles import thing_of, title, title_of
from gridjig.rack import Point, Rack
from gridjig.rack.same import Same

Level = Literal["stop", "look", "note", "fine"]
LEVELS: tuple[Level, ...] = get_args(Level)
"""Levels, worst first: cannot be set up or used like this; look at it first; good to know; well."""

FindingKind = Literal[
    "loose",
    "over-located",
    "not-seated",
    "lifts",
    "friction-only",
    "inexact",
    "clash",
    "height",
    "falls",
    "access",
    "welds-in",
    "trapped",
    "tight",
    "overhang",
    "hole",
    "shortage",
    "weight",
    "idle",
    "gap",
    "allowance",
]
KINDS: tuple[FindingKind, ...] = get_args(FindingKind)
"""What a finding is about.  `gridjig check` prints these words: none is renamed or dropped."""

FigureUnit = Literal["", "mm", "deg", "kg", "N", "pieces"]
"""The unit of a finding's value and limit."""


class Finding(Struct, frozen=True):
    """One thing found.  `what` and `do` are sentences; `ids` are the things it is about.

    `id` is the name of the rule and the ids of the things, with "/" between them; the same thing
    found in the next version of a job, or of the program, has the same id.  `value` is how much of
    `unit` was found, against `limit`; `source` says where the limit comes from, empty where it is
    what the words say (overlapping at all, more pieces than there are).  What says that all is well
    has the level "fine" and no kind.
    """

    id: str
    kind: FindingKind | Literal[""]
    level: Level
    what: str
    where: Point | None
    ids: tuple[str, ...]
    do: str
    value: float | None = None
    limit: float | None = None
    unit: FigureUnit = ""
    source: str = ""


SignPlaces = Mapping[str, tuple[Point, ...]]
"""By thing, where its sign may stand: the first of these places that is on the thing."""

_IN_ONE_PLACE = ("clash", "hole")


def marked_ids(findings: Iterable[Finding]) -> tuple[frozenset[str], frozenset[str]]:
    """Return the ids of things that clash or do not fit, and of those to look at for other reasons.

    A weldment that is loose is no less wrong, but none of its parts is in the way of anything.
    """
    clash: set[str] = set()
    check: set[str] = set()
    for one in findings:
        if one.level == "stop" and one.kind in _IN_ONE_PLACE:
            clash.update(one.ids)
        elif one.level in ("stop", "look"):
            check.update(one.ids)
    return frozenset(clash), frozenset(check)


def sign_places(findings: Iterable[Finding]) -> SignPlaces:
    """Where the sign of each thing belongs: where what it is marked for was found, in order.

    The findings come the worst first.  What was found of one thing is often beside another that it
    is about as well.
    """
    found: dict[str, tuple[Point, ...]] = {}
    for one in findings:
        if one.level in ("stop", "look") and one.where is not None:
            for thing in one.ids:
                found[thing] = (*found.get(thing, ()), one.where)
    return found


def told_apart(job: Job, thing_id: str) -> str:
    """Return the title of a thing, with its hole if another piece has the same title."""
    told = _told(Same(job))
    name = told.get(thing_id)
    if name is None:
        name = told[thing_id] = _tell(job, thing_id)
    return name


@lru_cache(maxsize=4)
def _told(_job: Same[Job]) -> dict[str, str]:
    """What the things of a job were called so far."""
    return {}


def _tell(job: Job, thing_id: str) -> str:
    thing = thing_of(job, thing_id)
    if not isinstance(thing, Placement):
        return title(job, thing_id)
    return _piece_told(Same(thing), Same(job.rack), Same(job.table), names_of(job)[
        title_of(thing, job.rack)] < 2)  # fmt: skip


@lru_cache(maxsize=4096)
def _piece_told(
    placement: Same[Placement], rack: Same[Rack], table: Same[Table], alone: bool
) -> str:
    name = title_of(placement.value, rack.value)
    if alone:
        return name
    where = address(table.value, placement.value.seats[0].hole)
    return f"{name}, {OFF}" if where == OFF else f"{name} at {where}"


def names_of(job: Job) -> Counter[str]:
    """Return how many placements have each title; what a thing is called depends on it."""
    return _called(Same(job.placements), Same(job.rack))


@lru_cache(maxsize=4)
def _called(placements: Same[tuple[Placement, ...]], rack: Same[Rack]) -> Counter[str]:
    """Return how many placements have each title."""
    return Counter(title_of(placement, rack.value) for placement in placements.value)
