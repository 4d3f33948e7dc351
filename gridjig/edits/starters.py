"""Starters: common weldments made from a few sizes, as ordinary members and plates.

A starter is data (its sizes with label, default and range, its sections, its choices), so one form
serves them all.  The parts it makes are independent of it and can be edited freely.
"""

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Literal

from msgspec import Struct, structs

from gridjig.model import Job, Part, Plate, Section
from gridjig.rack import Point
from gridjig.units import INCH, format_angle, format_millimetres, format_number
from gridjig.units.spelling import spelled

from . import starter_assemblies as assemblies
from . import starter_shapes as shapes
from .copies import moved
from .lookup import new_id, numbered_name
from .starter_shapes import StarterInput

Measure = Literal["length", "angle", "count"]


class StarterSize(Struct, frozen=True):
    """A number of a starter: a length in mm, an angle in degrees, or a count.

    `inches` is the default if lengths are shown in inches.
    """

    key: str
    label: str
    default: float
    inches: float
    low: float
    high: float
    measure: Measure = "length"


class StarterChoice(Struct, frozen=True):
    """A choice of a starter; the first option is the default."""

    key: str
    label: str
    options: tuple[str, ...]


class StarterPlaces(Struct, frozen=True):
    """A list of places of a starter, mm from where its label says, such as 0, 600, 1200.

    `inches` are the defaults if lengths are shown in inches.  `none` says what no place means; if
    it is empty, at least one is needed.
    """

    key: str
    label: str
    default: tuple[float, ...]
    inches: tuple[float, ...]
    none: str = ""


class StarterStock(Struct, frozen=True):
    """A section of a starter, with the names of its metric and inch defaults.

    `without` is a choice by its key and the option with which no part has this section.
    """

    key: str
    label: str
    metric: str
    inches: str
    without: tuple[str, str] | None = None

    def used(self, chosen: Mapping[str, str]) -> bool:
        """True if the starter makes parts of it with these options."""
        return self.without is None or chosen.get(self.without[0]) != self.without[1]


class Starter(Struct, frozen=True):
    """A common weldment: its inputs, and the function that builds it from them."""

    key: str
    name: str
    about: str
    sizes: tuple[StarterSize, ...]
    stock: tuple[StarterStock, ...]
    choices: tuple[StarterChoice, ...]
    shape: Callable[[StarterInput], tuple[Part, ...]]
    places: tuple[StarterPlaces, ...] = ()


def build(
    starter: Starter,
    sections: Mapping[str, Section],
    numbers: Mapping[str, float] | None = None,
    chosen: Mapping[str, str] | None = None,
    places: Mapping[str, tuple[float, ...]] | None = None,
) -> tuple[Part, ...]:
    """The parts of a starter, with the front left corner at (0, 0) and the lowest on the table.

    Inputs that are not given take their metric defaults.  Raises ValueError for a number outside
    its range, an unknown option, or sizes that do not go together.
    """
    numbers, chosen = numbers or {}, chosen or {}
    wanted = {size.key: numbers.get(size.key, size.default) for size in starter.sizes}
    for size in starter.sizes:
        _require_range(size, wanted[size.key])
    options = {one.key: chosen.get(one.key, one.options[0]) for one in starter.choices}
    for one in starter.choices:
        if options[one.key] not in one.options:
            raise ValueError(f"{one.label}: choose one of {', '.join(one.options)}")
    missing = [one.label for one in starter.stock if one.key not in sections]
    if missing:
        raise ValueError(f"choose a section for {', '.join(missing)}")
    lists = {one.key: _in_order(one, (places or {}).get(one.key)) for one in starter.places}
    return starter.shape(StarterInput(wanted, options, sections, lists))


MOST_PLACES = 200
"""The most places in one list: nobody types more."""


def _in_order(asked: StarterPlaces, given: tuple[float, ...] | None) -> tuple[float, ...]:
    """The places from the lowest to the highest.  Raises ValueError for one typed twice."""
    found = tuple(sorted(asked.default if given is None else given))
    if not found and not asked.none:
        raise ValueError(f"{asked.label}: type at least one place")
    if len(found) > MOST_PLACES:
        raise ValueError(f"{asked.label}: at most {format_number(MOST_PLACES)} places fit here")
    for one, then in pairwise(found):
        if then - one < 1e-6:
            raise ValueError(f"{asked.label}: {format_millimetres(one)} stands there twice")
    if found and not -20_000 <= found[0] <= found[-1] <= 20_000:
        raise ValueError(f"{asked.label}: a place can be up to {format_millimetres(20_000)} away")
    return found


def put_starter(
    job: Job, parts: tuple[Part, ...], at: Point, z_low: float = 0.0
) -> tuple[Job, frozenset[str]]:
    """Add these parts at a position and height, mm; also returns their new ids."""
    made: list[Part] = []
    ids: set[str] = set()
    named = {part.name for part in job.parts}
    for part in parts:
        fresh = new_id(job, part.id, ids)
        ids.add(fresh)
        there = structs.replace(moved(part, *at, z_low), id=fresh)
        if isinstance(there, Plate):
            there = structs.replace(there, name=numbered_name(there.name, named))
            named.add(there.name)
        made.append(there)
    return structs.replace(job, parts=(*job.parts, *made)), frozenset(ids)


def _require_range(size: StarterSize, value: float) -> None:
    if size.measure == "count" and value != int(value):
        raise ValueError(f"{size.label}: type a whole number")
    if not size.low <= value <= size.high:
        say = {"length": format_millimetres, "angle": format_angle, "count": format_number}
        low, high = (say[size.measure](end) for end in (size.low, size.high))
        raise ValueError(f"{size.label}: type a value from {low} to {high}")


def _length(
    key: str, label: str, default: float, inches: float, low: float = 10, high: float = 20_000
) -> StarterSize:
    return StarterSize(key, label, default, inches * INCH, low, high)


def _count(key: str, label: str, default: int, low: int, high: int) -> StarterSize:
    return StarterSize(key, label, default, default, low, high, "count")


_CORNERS = StarterChoice("corners", "Corners", shapes.CORNERS)
_FRAME = StarterStock("frame", "Frame", "50x50x3", "2x2x1/8")
_OUTSIDE = (
    _length("width", "Overall width", 600, 24),
    _length("depth", "Overall depth", 400, 18),
)

STARTERS: tuple[Starter, ...] = (
    Starter(
        key="frame",
        name="Rectangular frame",
        about=spelled("Four members, mitred or butted at the corners."),
        sizes=_OUTSIDE,
        stock=(_FRAME,),
        choices=(_CORNERS,),
        shape=shapes.frame,
    ),
    Starter(
        key="railed-frame",
        name="Frame with mid-rails",
        about="A rectangular frame with evenly spaced rails from front to back.",
        sizes=(*_OUTSIDE, _count("rails", "Mid-rails", 2, 1, 40)),
        stock=(_FRAME, StarterStock("rail", "Mid-rails", "50x50x3", "2x2x1/8")),
        choices=(_CORNERS,),
        shape=shapes.railed_frame,
    ),
    Starter(
        key="gusset-frame",
        name="Frame with gussets",
        about="A rectangular frame with a triangular plate in each corner. Inside, the legs of a"
        " gusset are measured from the inside corner; on top, from the outside corner.",
        sizes=(
            *_OUTSIDE,
            _length("leg", "Legs of the gussets", 100, 4),
            _length("thick", "Gusset thickness", 6, 0.25, low=0.5, high=200),
        ),
        stock=(_FRAME,),
        choices=(_CORNERS, StarterChoice("height", "Gussets", assemblies.GUSSETS)),
        shape=assemblies.gusset_frame,
    ),
    Starter(
        key="gate",
        name="Gate",
        about="Two stiles that run through, and rails between them. Rails are measured from the"
        " bottom of the gate to their undersides.",
        sizes=(
            _length("width", "Overall width", 1200, 48),
            _length("height", "Overall height", 1100, 44),
        ),
        stock=(
            StarterStock("stile", "Stiles", "50x50x3", "2x2x1/8"),
            StarterStock("rail", "Rails", "50x50x3", "2x2x1/8"),
            StarterStock(
                "brace", "Brace", "40x40x3", "1-1/2x1-1/2x1/8", ("brace", assemblies.BRACES[0])
            ),
        ),
        choices=(StarterChoice("brace", "Brace in the lowest bay", assemblies.BRACES),),
        shape=assemblies.gate,
        places=(
            StarterPlaces(
                "rails",
                "Rails at",
                (0.0, 500.0, 1050.0),
                (0.0, 20.0 * INCH, 42.0 * INCH),
            ),
        ),
    ),
    Starter(
        key="bracket",
        name="Corner bracket with brace",
        about="An upright and an arm at a right angle. The brace is measured from the inside "
        "corner "
        "to its middle.",
        sizes=(
            _length("upright", "Upright, overall", 450, 18),
            _length("arm", "Arm, overall", 450, 18),
            _length("up", "Brace, along the upright", 250, 10),
            _length("out", "Brace, along the arm", 250, 10),
        ),
        stock=(_FRAME, StarterStock("brace", "Brace", "40x40x3", "1-1/2x1-1/2x1/8")),
        choices=(
            StarterChoice("position", "Where the corner is", shapes.POSITIONS),
            StarterChoice("corner", "Corner", shapes.BRACKET_CORNERS),
            StarterChoice("height", "Height of the brace", shapes.HEIGHTS),
        ),
        shape=shapes.bracket,
    ),
    Starter(
        key="a-frame",
        name="A-frame",
        about=spelled(
            "Two legs mitred at the top and cut level at the feet. The crossbar is measured to"
            " its underside."
        ),
        sizes=(
            _length("spread", "Spread at the feet", 600, 24),
            _length("height", "Overall height", 800, 32),
            _length("bar", "Crossbar above the feet", 250, 10, low=0),
        ),
        stock=(
            StarterStock("leg", "Legs", "40x40x3", "1-1/2x1-1/2x1/8"),
            StarterStock("bar", "Crossbar", "40x40x3", "1-1/2x1-1/2x1/8"),
        ),
        choices=(),
        shape=shapes.a_frame,
    ),
    Starter(
        key="trestle",
        name="Trestle end",
        about="Two legs, straight or tapered, cut level under a top bar, and spreaders between"
        " them. Spreaders are measured from the feet to their undersides.",
        sizes=(
            _length("feet", "Over the legs at the feet", 750, 30),
            _length("top", "Over the legs at the top", 250, 10),
            _length("height", "Height under the top bar", 900, 36),
            _length("bar", "Length of the top bar", 350, 14),
        ),
        stock=(
            StarterStock("leg", "Legs", "40x40x3", "1-1/2x1-1/2x1/8"),
            StarterStock("top", "Top bar", "40x40x3", "1-1/2x1-1/2x1/8"),
            StarterStock("spreader", "Spreaders", "40x40x3", "1-1/2x1-1/2x1/8"),
        ),
        choices=(),
        shape=assemblies.trestle,
        places=(
            StarterPlaces(
                "spreaders",
                "Spreaders at",
                (225.0, 600.0),
                (9.0 * INCH, 24.0 * INCH),
                "no spreader",
            ),
        ),
    ),
    Starter(
        key="ladder",
        name="Ladder",
        about=spelled(
            "Two rails with rungs between them or on top. Rungs are measured to their centres;"
            " typed positions are measured from the first rung."
        ),
        sizes=(
            _length("length", "Length of the rails", 1000, 40),
            _length("width", "Overall width", 400, 16),
            _count("rungs", "Rungs", 5, 1, 100),
            _length("first", "End rungs from the ends", 150, 6, low=0),
        ),
        stock=(
            StarterStock("rail", "Rails", "50x30x3", "2x1x1/8"),
            StarterStock("rung", "Rungs", "30x30x3", "1x1x1/8"),
        ),
        choices=(
            StarterChoice("rungs_lie", "Rungs lie", assemblies.RUNGS),
            StarterChoice("rails_lie", "Rails lie", assemblies.RAILS),
        ),
        shape=assemblies.ladder,
        places=(StarterPlaces("places", "Or rungs at", (), (), "evenly spaced"),),
    ),
    Starter(
        key="gable",
        name="Truss",
        about="A tie with two rafters at a given pitch. A king post runs up to the ridge between"
        " the rafters, or ends in a point where they meet over it.",
        sizes=(
            _length("span", "Overall span", 1200, 48),
            StarterSize("pitch", "Pitch", 30, 30, 3, 80, "angle"),
        ),
        stock=(
            StarterStock("frame", "Tie and rafters", "50x50x3", "2x2x1/8"),
            StarterStock(
                "post", "King post", "40x40x3", "1-1/2x1-1/2x1/8", ("post", assemblies.POSTS[-1])
            ),
        ),
        choices=(StarterChoice("post", "King post", assemblies.POSTS),),
        shape=assemblies.truss,
    ),
    Starter(
        key="ring",
        name="Polygon ring",
        about=spelled(
            "Equal members mitred into a ring, measured across flats; with an odd number of "
            "sides, twice the distance from the centre to a flat."
        ),
        sizes=(
            _count("sides", "Sides", 6, 3, 60),
            _length("across", "Size across flats", 600, 24),
        ),
        stock=(StarterStock("frame", "Ring", "40x40x3", "1-1/2x1-1/2x1/8"),),
        choices=(),
        shape=shapes.ring,
    ),
    Starter(
        key="tripod",
        name="Tripod of plates",
        about="Three plates on edge under a hexagonal top plate.",
        sizes=(
            _length("reach", spelled("Foot from the centre"), 250, 10),
            _length("high", "Height of the legs", 120, 5, low=1),
            _length("thick", "Plate thickness", 8, 0.375, low=0.5, high=200),
            _length("top", "Top plate across flats", 150, 6),
        ),
        stock=(),
        choices=(),
        shape=shapes.tripod,
    ),
)


def starter(key: str) -> Starter:
    """The starter with that key.  Raises KeyError if there is none."""
    for one in STARTERS:
        if one.key == key:
            return one
    raise KeyError(key)
