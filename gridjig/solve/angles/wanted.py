"""The wanted angle, read from what a drawing says, as a line direction on the table.

The complement and the mirror image are included, as mixing them up is the classic mistake.  The
finder finds the holes for the angle.
"""

import math
import re
from typing import Literal

from msgspec import Struct

from gridjig.units import ParseError, Unit, parse_angle, parse_length

from .faults import AngleFault, AskedWrong

Share = Literal["whole", "each side", "included"]
Origin = Literal["table x", "table y", "face"]


class WantedLine(Struct, frozen=True):
    """A wanted line: its direction on the table in degrees, 0 <= angle_deg < 180, from table x.

    `complement` and `mirror` are the directions that the two usual mistakes would give: measuring
    from the perpendicular, and measuring to the other side.  `drawn` is the angle as measured from
    its origin: table x, table y, or a face that runs at `base` degrees.  It comes from the `typed`
    angle: half of it if `halved`, then the complement if `complemented`.
    """

    angle_deg: float
    complement: float
    mirror: float
    drawn: float
    origin: Origin
    base: float
    typed: float
    halved: bool
    complemented: bool


_RISE = re.compile(r"\s*rise\b(?P<rise>.+?)[,;]?\s*\brun\b(?P<run>.+)", re.IGNORECASE)


class _Word(Struct, frozen=True):
    """Words after an angle, and what they mean."""

    pattern: str
    origin: Origin | None = None
    share: Share | None = None
    complement: bool = False
    mirror: bool = False

    def cut(self, text: str) -> str | None:
        """Return the text without these words at its end; None if it does not end with them."""
        found = re.search(rf"(?:^|(?<=[\W\d])){self.pattern}\s*$", text, re.IGNORECASE)
        return None if found is None else text[: found.start()].rstrip(" ,;")


_WORDS = (
    _Word(r"(?:from|off|to)\s+(?:the\s+)?(?:table\s+)?x", origin="table x"),
    _Word(r"(?:from|off|to)\s+(?:the\s+)?(?:table\s+)?(?:y|plumb)", origin="table y"),
    _Word("included", share="included"),
    _Word(r"(?:each|per)\s+side", share="each side"),
    _Word("complement", complement=True),
    _Word(r"mirror(?:ed)?", mirror=True),
)


def read_wanted(
    text: str,
    *,
    origin: Origin = "table x",
    face: float = 0.0,
    share: Share = "whole",
    complement: bool = False,
    mirror: bool = False,
    unit: Unit = "millimetres",
) -> WantedLine:
    """Read a wanted angle: `37.5`, `37 30'`, `4:12`, `rise 300 run 400`.

    It is measured counter-clockwise from table x or from the direction `face`, and clockwise from
    table y (so that 15.5 off y is 74.5 from x).  An angle "included" between two symmetric members
    is halved; "each side" is taken as it is, and `mirror` is the other member.
    The words `from y`, `from x`, `included`, `each side`, `complement` and `mirrored` may also
    follow the angle.  Bare rise and run are in `unit`.  Raises AngleFault.
    """
    rest: str | None = text
    angle = text
    while rest is not None:
        angle, rest = rest, None
        for word in _WORDS:
            rest = word.cut(angle)
            if rest is not None:
                origin, share = word.origin or origin, word.share or share
                complement, mirror = complement != word.complement, mirror != word.mirror
                break
    base = {"table x": 0.0, "table y": 90.0, "face": face}[origin]
    return _made(_drawn(angle, unit), base, origin, share, complement, mirror)


def as_edge(
    direction: float, share: Share = "whole", complement: bool = False, mirror: bool = False
) -> WantedLine:
    """Return the wanted line along a picked edge or face, degrees on the table."""
    return _made(direction % 180.0, 0.0, "table x", share, complement, mirror)


def between_faces(
    first: float,
    second: float,
    share: Share = "whole",
    complement: bool = False,
    mirror: bool = False,
) -> WantedLine:
    """Return the wanted line along the second of two faces, measured from the first; degrees."""
    drawn = (second - first + 90.0) % 180.0 - 90.0
    return _made(drawn, first % 180.0, "face", share, complement, mirror)


def _drawn(text: str, unit: Unit) -> float:
    """The angle as typed, degrees."""
    try:
        sloping = _RISE.fullmatch(text)
        if sloping is None:
            return parse_angle(text)
        rise = parse_length(sloping["rise"], unit)
        run = parse_length(sloping["run"], unit)
    except ParseError as parse_error:
        raise AngleFault("wanted", parse_error) from parse_error
    if not rise and not run:
        raise AngleFault("wanted", AskedWrong("no rise and run"))
    return slope_angle(rise, run)


def slope_angle(rise: float, run: float) -> float:
    """Return the angle of a rise over a run in degrees, -90 to 90."""
    return math.degrees(math.atan2(rise, run))


def _made(
    drawn: float, base: float, origin: Origin, share: Share, complement: bool, mirror: bool
) -> WantedLine:
    """The wanted line, with all directions in 0 <= d < 180."""
    sign = -1.0 if origin == "table y" else 1.0
    typed = drawn
    if share == "included":
        drawn /= 2.0
    if complement:
        drawn = 90.0 - drawn
    if mirror:
        drawn = -drawn

    def line(angle: float) -> float:
        on = (base + sign * angle) % 180.0
        return 0.0 if on == 180.0 else on

    return WantedLine(
        angle_deg=line(drawn),
        complement=line(90.0 - drawn),
        mirror=line(-drawn),
        drawn=drawn,
        origin=origin,
        base=base,
        typed=typed,
        halved=share == "included",
        complemented=complement,
    )
