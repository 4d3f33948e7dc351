"""Tolerance classes of welded work: of angles, lengths and straightness.  Numbers and their rule.

Limits: ISO 13920:1996, table 2 (angular dimensions), table 1 (linear ones) and table 3
(straightness, flatness and parallelism), as reproduced by a contract fabricator; classes G and H of
table 3 are from memory.
"""

from bisect import bisect_left

from msgspec import Struct

from gridjig.model.accuracy import LinearClass, StraightClass

AngleClass = LinearClass
CLASSES: tuple[AngleClass, ...] = ("A", "B", "C", "D")

_ARCMIN: dict[AngleClass, tuple[int, int, int]] = {
    "A": (20, 15, 10),
    "B": (45, 30, 20),
    "C": (60, 45, 30),
    "D": (90, 75, 60),
}


def _column(shorter_leg: float) -> int:
    """Which column of the table holds for a leg: lower bound excluded, upper included."""
    if not shorter_leg > 0:
        raise ValueError("leg not positive")
    return 0 if shorter_leg <= 400 else 1 if shorter_leg <= 1000 else 2


def limit_arcmin(angle_class: AngleClass, shorter_leg: float) -> int:
    """Allowed error of an angle, plus or minus, in arc-minutes; `shorter_leg` in mm."""
    return _ARCMIN[angle_class][_column(shorter_leg)]


def finest_class(error_arcmin: float, shorter_leg: float) -> AngleClass | None:
    """The finest class that an error still meets, None if not even the coarsest.

    The error is compared after rounding to a thousandth of an arc-minute, so that an error equal
    to the limit passes whatever its last binary digit.
    """
    column = _column(shorter_leg)
    for name in CLASSES:
        if round(abs(error_arcmin), 3) <= _ARCMIN[name][column]:
            return name
    return None


class AngleVerdict(Struct, frozen=True):
    """The finest class met by the angle as it is set, and with the pins' play at its worst."""

    finest: AngleClass | None
    with_play: AngleClass | None

    def meets(self, angle_class: AngleClass) -> bool:
        """True if the angle as it is set lies within that class."""
        return self.finest is not None and self.finest <= angle_class


def judge(error_arcmin: float, play_arcmin: float, shorter_leg: float) -> AngleVerdict:
    """The verdict on an angle that is out by an error and can move by a play either way."""
    return AngleVerdict(
        finest_class(error_arcmin, shorter_leg),
        finest_class(abs(error_arcmin) + abs(play_arcmin), shorter_leg),
    )


_LENGTHS = (30, 120, 400, 1000, 2000, 4000, 8000, 12000, 16000, 20000)
"""Upper ends of the ranges of length in mm, included; a last range has none."""

_LINEAR: dict[LinearClass, tuple[int, ...]] = {
    "A": (1, 1, 1, 2, 3, 4, 5, 6, 7, 8, 9),
    "B": (1, 2, 2, 3, 4, 6, 8, 10, 12, 14, 16),
    "C": (1, 3, 4, 6, 8, 11, 14, 18, 21, 24, 27),
    "D": (1, 4, 7, 9, 12, 16, 21, 27, 32, 36, 40),
}
"""Limits in mm; up to 30 mm the standard has one and the same for every class."""

SHORTEST = 2.0


def linear_limit(linear_class: LinearClass, length: float) -> float | None:
    """Allowed error of a length, plus or minus, in mm; None up to 2 mm, where there is none."""
    if not length > SHORTEST:
        return None
    return float(_LINEAR[linear_class][bisect_left(_LENGTHS, length)])


_STRAIGHT: dict[StraightClass, tuple[float, ...]] = {
    "E": (0.5, 1, 1.5, 2, 3, 4, 5, 6, 7, 8),
    "F": (1, 1.5, 3, 4.5, 6, 8, 10, 12, 14, 16),
    "G": (1.5, 3, 5.5, 9, 11, 16, 20, 22, 25, 25),
    "H": (2.5, 5, 9, 14, 18, 26, 32, 36, 40, 40),
}
"""Limits in mm.  The standard has none up to 30 mm."""


def straight_limit(straight_class: StraightClass, length: float) -> float:
    """Allowed error of straightness of a face, mm; up to 30 mm long that of the first range."""
    return _STRAIGHT[straight_class][max(bisect_left(_LENGTHS, length), 1) - 1]
