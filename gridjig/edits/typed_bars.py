"""The lengths of bars as they are typed: `20'; 24' of 2x2x1/8; 3 on hand of 60" of 2x2x1/8`.

A number with `on hand` is a bar that the shop has; any other length is bought as needed.
"""

import re
from collections.abc import Iterable

from gridjig.model import StockBar
from gridjig.model.cutting import MOST_BARS
from gridjig.units import Display, ParseError, format_coordinate, format_count, parse_length

ACCEPTS = (
    "type lengths with semicolons between them, such as {example}; 24 of a section is for that"
    " section only, and 3 on hand of 60 of a section are three bars that you have"
)
_HAVE = re.compile(r"(\d{1,6})\s+on\s+hand\s+of\s+(.+)", re.IGNORECASE)
_OF = re.compile(r"(.+?)\s+of\s+(.+)", re.IGNORECASE)


def bars_words(bars: Iterable[StockBar], display: Display) -> str:
    """Return bars as one line that `read_bars` reads back; "" if there are none."""
    said = []
    for bar in bars:
        count = "" if bar.have is None else f"{format_count(bar.have)} on hand of "
        of = f" of {bar.section}" if bar.section else ""
        said.append(f"{count.replace(',', '')}{format_coordinate(bar.length, display)}{of}")
    return "; ".join(said)


def read_bars(text: str, display: Display) -> tuple[StockBar, ...]:
    """Return the bars typed, in order.  Raise ParseError or LimitError with what is wrong."""
    bars: list[StockBar] = []
    start = 0
    for part in text.split(";"):
        said = part.strip()
        if said:
            try:
                bars.append(_bar(said, display))
            except ParseError as fault:
                raise ParseError(text, start, fault.why) from None
        start += len(part) + 1
    if len(bars) > MOST_BARS:
        raise ParseError(text, None, f"these are {len(bars)} lengths; the most is {MOST_BARS}")
    return tuple(bars)


def _bar(said: str, display: Display) -> StockBar:
    counted = _HAVE.fullmatch(said)
    have, rest = (int(counted[1]), counted[2]) if counted else (None, said)
    if have == 0:
        raise ParseError(said, None, "0 on hand is none; leave it out")
    of = _OF.fullmatch(rest)
    length, section = (of[1], of[2].strip()) if of else (rest, "")
    try:
        mm = parse_length(length, display.unit)
    except ParseError as fault:
        example = "6000; 7500" if display.unit == "millimetres" else "20'; 24'"
        why = f"{fault.why}; {ACCEPTS.format(example=example)}"
        raise ParseError(said, None, why) from None
    return StockBar(length=mm, section=section, have=have)
