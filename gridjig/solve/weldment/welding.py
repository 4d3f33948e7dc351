"""What is welded at each joint: the seam all round, the sides taken, the deposit; sums by kind.

Lengths in mm, volumes in mm3, masses in kg.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from msgspec import Struct

from gridjig.model import Job, Part, WeldKind
from gridjig.model.by_weldment import parts_of
from gridjig.rack.same import Same

from .all_round import SeamSide, SideName, seam_sides
from .deposit import area, mass_of, plug_volume
from .welds import KINDS, Welded, welded

_NAMES: Mapping[str, tuple[SideName, ...]] = {
    "all round": ("top", "upright", "flush", "underside"),
    "top": ("top",),
    "uprights": ("upright",),
    "underside": ("underside",),
    "top and uprights": ("top", "upright"),
    "top and underside": ("top", "underside"),
}
"""The sides of a seam that each choice of sides takes in."""


class WeldLine(Struct, frozen=True):
    """One joint: its weld, all sides of its seam, and of those welded the length and the volume.

    `volume` is None as long as there is no size.
    """

    one: Welded
    sides: tuple[SeamSide, ...]
    taken: tuple[SeamSide, ...]
    length: float
    volume: float | None


class WeldTotal(Struct, frozen=True):
    """The sum of one kind of weld; `open` of its joints have no size, and no volume here.

    Each joint counts as often as its weldment is made, if the sum is that of all that are made.
    """

    kind: WeldKind
    count: int
    open: int
    length: float
    volume: float

    @property
    def mass(self) -> float:
        """The mass of the deposit, kg."""
        return mass_of(self.volume)


def weld_lines(job: Job) -> tuple[WeldLine, ...]:
    """Return what is welded at every joint of a job, in part order.

    The same parts and welds give the same tuple.
    """
    return _lines(Same(job.parts), Same(welded(job)))


def weld_lines_of(job: Job, weldment: str) -> tuple[WeldLine, ...]:
    """Return what is welded at every joint of one weldment, in part order."""
    mine = {part.id for part in parts_of(job, weldment)}
    return tuple(line for line in weld_lines(job) if line.one.joint.a in mine)


@lru_cache(maxsize=8)
def _lines(
    parts_key: Same[tuple[Part, ...]], welds_key: Same[tuple[Welded, ...]]
) -> tuple[WeldLine, ...]:
    parts, every = {part.id: part for part in parts_key.value}, welds_key.value
    beside: dict[str, set[str]] = {}
    for one in every:
        beside.setdefault(one.joint.a, set()).add(one.joint.b)
        beside.setdefault(one.joint.b, set()).add(one.joint.a)
    return tuple(_line(one, parts, beside) for one in every)


def _line(one: Welded, parts: Mapping[str, Part], beside: Mapping[str, set[str]]) -> WeldLine:
    joint = one.joint
    a, b = parts[joint.a], parts[joint.b]
    third = sorted((beside[a.id] & beside[b.id]) - {a.id, b.id})
    sides = seam_sides(joint, a, b, [parts[name] for name in third])
    taken = taken_sides(one, sides)
    volume = None
    if one.sized:
        volume = sum(area(one.kind, one.leg, one.throat, s.angle) * s.length for s in taken)
        if one.kind == "plug":
            upper = a if a.z_low + a.z_high >= b.z_low + b.z_high else b
            volume = plug_volume(one.leg, upper.z_high - upper.z_low)
    length = sum(side.length for side in taken)
    return WeldLine(one, sides, taken, length, volume)


def taken_sides(one: Welded, sides: Iterable[SeamSide]) -> tuple[SeamSide, ...]:
    """Return the sides that are welded: those chosen, where a torch can reach."""
    if one.kind in ("none", "plug"):
        return ()
    names = _NAMES[one.sides]
    return tuple(side for side in sides if side.name in names and not side.closed)


def weld_totals(
    lines: Iterable[WeldLine], made: Mapping[str, int] | None = None
) -> tuple[WeldTotal, ...]:
    """Return the sum of each kind of weld, in the order of KINDS.

    `made` is how often each part is made, by its id; None counts each joint once.
    """
    by_kind: dict[WeldKind, list[tuple[WeldLine, int]]] = {}
    for line in lines:
        if line.one.kind != "none":
            times = 1 if made is None else made[line.one.joint.a]
            by_kind.setdefault(line.one.kind, []).append((line, times))
    return tuple(
        WeldTotal(
            kind=kind,
            count=sum(times for _, times in by_kind[kind]),
            open=sum(times for line, times in by_kind[kind] if line.volume is None),
            length=sum(line.length * times for line, times in by_kind[kind]),
            volume=sum((line.volume or 0.0) * times for line, times in by_kind[kind]),
        )
        for kind in KINDS
        if kind in by_kind
    )


def times_made(job: Job) -> Mapping[str, int]:
    """Return how often each part of a job is made, by its id."""
    quantity = {one.id: one.quantity for one in job.weldments}
    return {part.id: quantity[part.weldment] for part in job.parts}
