"""Sections for tests, sizes easy to reckon, and members cut from them."""

from typing import Any

from msgspec import structs

from gridjig.model import Member, Section

SQUARE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
OBLONG = Section(
    name="60x40x3", kind="rectangular tube", width=60, height=40, wall=3, radius=6, toe=3
)
ROUND = Section(name="Ø48.3x3.2", kind="round tube", width=48.3, height=48.3, wall=3.2)
BAR = Section(name="Ø20", kind="round bar", width=20, height=20)
FLAT = Section(name="50x6", kind="flat", width=50, height=6)
ANGLE = Section(name="L60x40x5", kind="angle", width=60, height=40, wall=5, radius=6, toe=3)
EVEN_ANGLE = Section(name="L50x50x5", kind="angle", width=50, height=50, wall=5, radius=7, toe=3.5)
CHANNEL = Section(
    name="U100x55x4.5",
    kind="channel",
    width=55,
    height=100,
    wall=4.5,
    flange=7.5,
    radius=10,
)
EVERY = (SQUARE, OBLONG, ROUND, BAR, FLAT, ANGLE, EVEN_ANGLE, CHANNEL)


def bar(section: Section = SQUARE, length: float = 500, **more: Any) -> Member:
    made = Member(id="bar", name="bar", section=section, length=length)
    return structs.replace(made, **more)
