"""Welds: what was chosen for each joint, completed with suggestions.

Joints are named J1, J2, ... in part order, so that moving parts does not rename them.
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import count

from msgspec import Struct

from gridjig.model import Job, Part, Weld, WeldKind
from gridjig.rack.same import Same

from .joints import Joint, joints

JointKey = tuple[frozenset[str], int]

KINDS: tuple[WeldKind, ...] = ("fillet", "butt", "flare bevel", "corner", "plug", "none")


class Welded(Struct, frozen=True):
    """A joint with its name and weld; `chosen` is the job's own weld for it, `leg` in mm or 0."""

    joint: Joint
    name: str
    kind: WeldKind
    leg: float
    chosen: Weld | None


def welded(job: Job) -> tuple[Welded, ...]:
    """The joints of a job in part order, each with its name and weld.

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
    """What identifies a weld: its two parts in either order, and the number of the joint."""
    return (frozenset((one.a, one.b)), one.nth)


def suits(joint: Joint) -> WeldKind:
    """The weld for a joint if none was chosen.

    Faces that meet along their full length make a butt weld, in line or mitred; parts that overlap
    have to be trimmed first.  Common practice, no source.
    """
    if joint.kind == "overlap":
        return "none"
    if joint.kind == "corner":
        return "corner"
    return "butt" if joint.whole else "fillet"
