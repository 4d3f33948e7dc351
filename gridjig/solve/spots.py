"""What a piece can do about one hole: every partner hole that suits it and can be used.

Values and questions; the search itself is in `spot_search`, loaded with the first question.
"""

from collections.abc import Collection
from typing import NamedTuple

from gridjig.geometry import Pose
from gridjig.model import Hole, Seat, Table
from gridjig.model.marks import mark_index
from gridjig.rack import MountFeature, Piece

from .way import LeafWay

Taken = Collection[Hole]


class Spot(NamedTuple):
    """One way of standing about a hole: degrees low..high, mm slide_low..slide_high, as in `Way`.

    `base` is the distance in mm between the two holes, 0 with a single one.
    """

    seats: tuple[Seat, ...]
    flipped: bool
    low: float
    high: float
    slide_low: float
    slide_high: float
    play_deg: float
    base: float


class Spots(NamedTuple):
    """All spots about a hole, and the holes that would have suited but cannot be used, with why."""

    found: tuple[Spot, ...]
    left_out: tuple[tuple[Hole, str], ...]


def unusable(table: Table, hole: Hole, taken: Taken) -> str:
    """Why a hole is left out, in a word or three; empty if it can be used."""
    if not table.has(hole):
        return "off the table"
    mark = mark_index(table).get(hole)
    if mark is not None and mark.closed:
        return mark.state
    return "taken" if hole in taken else ""


class LeafSpot(NamedTuple):
    """One pin that holds an arm's second body: the seat, and the angles it leaves."""

    seat: Seat
    way: LeafWay


def spots(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    hole: Hole,
    taken: Taken = frozenset(),
    flipped: bool | None = None,
    first: MountFeature | None = None,
) -> Spots:
    """Every spot of the piece with its first feature (or `first`) in the hole.

    `flipped` None asks for both ways up, where the piece works both.  A piece with a single
    feature has one spot, all round.
    """
    from .spot_search import search_spots  # noqa: PLC0415  # late: numpy costs 0.1 s at the start

    return search_spots(table, piece, pin_diameter, hole, taken, flipped, first)


def leaf_spots(
    table: Table, piece: Piece, base: Pose, pin_diameter: float, taken: Taken = frozenset()
) -> tuple[tuple[LeafSpot, ...], tuple[tuple[Hole, str], ...]]:
    """Every hole that can lock the second body with the base where it is, and those left out.

    Only holes on the table are looked at, as an arm has no edge to point past.
    """
    from .spot_search import search_leaf_spots  # noqa: PLC0415  # late, as above

    return search_leaf_spots(table, piece, base, pin_diameter, taken)
