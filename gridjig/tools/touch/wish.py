"""How a piece is held that is about to be placed."""

from msgspec import Struct


class Wish(Struct, frozen=True):
    """The turn in degrees, and which side is up.

    `exact`: the person chose the turn, so it takes precedence over a face.  `touching` is False
    while the key that turns touching off is held.
    """

    turn: float = 0.0
    flipped: bool = False
    exact: bool = False
    touching: bool = True
