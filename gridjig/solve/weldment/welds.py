"""Welds: what was chosen for each joint, filled up with what suits it.  Chosen values stay choices.

A joint is called J1, J2, .. in the order of the parts, which no moving of parts changes.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import count
from types import MappingProxyType

from msgspec import Struct

from gridjig.model import Job, Part, Weld, WeldKind
from gridjig.rack.same import Same

from .joints import Joint, joints

JointKey = tuple[frozenset[str], int]

KINDS: tuple[WeldKind, ...] = ("fillet", "butt", "flare bevel", "corner", "plug", "none")

WELD_WORDS: Mapping[WeldKind, str] = MappingProxyType(
    {
        "fillet": "in the corner between two faces",
        "butt": "between two edges in line or mitred",
        "flare bevel": "in the hollow beside a round corner",
        "corner": "on the outer corner of two edges",
        "plug": "through a hole in the upper part",
        "none": "not welded",
    }
)


class Welded(Struct, frozen=True):
    """A joint with its name and weld; `chosen` is what the job holds for it, `leg` in mm or 0."""

    joint: Joint
    name: str
    kind: WeldKind
    leg: float
    chosen: Weld | None


def welded(job: Job) -> tuple[Welded, ...]:
    """The joints of a job in the order of their parts, each with its name and weld.

    The same parts and welds give the same tuple.
    """
    return _welded(Same(job.parts), Same(job.welds))


@lru_cache(maxsize=16)
def _welded(parts: Same[tuple[Part, ...]], welds: Same[tuple[Weld, ...]]) -> tuple[Welded, ...]:
    chosen = {key_of(weld): weld for weld in welds.value}
    free = _free_names({weld.name for weld in welds.value})
    made = []
    for joint in joints(parts.value):
        weld = chosen.get(key_of(joint))
        name = (weld.name if weld else "") or next(free)
        kind = (weld.kind if weld else None) or suits(joint)
        made.append(Welded(joint, name, kind, weld.leg if weld else 0.0, weld))
    return tuple(made)


def _free_names(taken: set[str]) -> Iterator[str]:
    return (name for name in map("J{}".format, count(1)) if name not in taken)


def key_of(one: Joint | Weld) -> JointKey:
    """What a weld is known by: its two parts in either order, and the number of the joint."""
    return (frozenset((one.a, one.b)), one.nth)


def suits(joint: Joint) -> WeldKind:
    """The weld that a joint gets where none was chosen.

    Faces that meet along all of both make a butt weld, whether in line or mitred; parts that are in
    one another are to be trimmed first.  Common practice, no source.
    """
    if joint.kind == "overlap":
        return "none"
    if joint.kind == "corner":
        return "corner"
    return "butt" if joint.whole else "fillet"
