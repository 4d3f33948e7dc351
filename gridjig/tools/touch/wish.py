"""How a piece is held that is about to be put down."""

from msgspec import Struct


class Wish(Struct, frozen=True):
    """The turn in degrees, and which side is up.

    `exact` says that the person chose the turn, so that it goes before a face; `touching` is False
    while the key is held that turns touching off.
    """

    turn: float = 0.0
    flipped: bool = False
    exact: bool = False
    touching: bool = True
