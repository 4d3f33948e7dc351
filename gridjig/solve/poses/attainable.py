"""One pose that a piece can take about a hole, as values; and why a hole is left out."""

from collections.abc import Collection
from typing import NamedTuple

from gridjig.model import Hole, Seat, Table
from gridjig.model.marks import mark_index
from gridjig.solve.mounting.ways import LeafWay

from .faults import WhyUnusable

TakenHoles = Collection[Hole]


class AttainablePose(NamedTuple):
    """One pose or range of poses about a hole: degrees low..high, mm slide_low..slide_high.

    These are as in `Way`.  `base` is the distance in mm between the two holes, 0 with only one.
    """

    seats: tuple[Seat, ...]
    flipped: bool
    low: float
    high: float
    slide_low: float
    slide_high: float
    play_deg: float
    base: float


class AttainablePoses(NamedTuple):
    """All poses about a hole, and the holes that would fit but cannot be used, each with why."""

    found: tuple[AttainablePose, ...]
    left_out: tuple[tuple[Hole, WhyUnusable], ...]


def unusable(table: Table, hole: Hole, taken: TakenHoles) -> WhyUnusable | None:
    """Why a hole is left out; None if it can be used."""
    if not table.has(hole):
        return "off the table"
    mark = mark_index(table).get(hole)
    if mark is not None and mark.closed:
        return mark.state
    return "taken" if hole in taken else None


class LeafLock(NamedTuple):
    """One pin that locks an arm's second body: the seat, and the angles it allows."""

    seat: Seat
    way: LeafWay
