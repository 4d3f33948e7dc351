"""A feature of a piece in a hole of the table, as several verbs print it."""

from collections.abc import Iterable

from gridjig.model import Seat, Table
from gridjig.model.labels import address

from .base import Output


class SeatedFeature(Output, frozen=True):
    """A feature of a piece, and the hole that it stands over."""

    feature: str
    hole: str


def seated(table: Table, seats: Iterable[Seat]) -> tuple[SeatedFeature, ...]:
    """Seats as they are printed."""
    return tuple(SeatedFeature(seat.feature, address(table, seat.hole)) for seat in seats)
