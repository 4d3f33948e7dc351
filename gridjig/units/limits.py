"""The limits of lengths, angles, masses and counts, all in one place.

The types carry their limits, so that reading a file refuses values outside them and the JSON Schema
shows them.  `require_within` applies the same types to values made in the program.
"""

import math
from collections.abc import Callable
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from msgspec import Meta, Struct

from .decimals import true_minus
from .display import Display
from .forces import MOST_N
from .lengths import INCH, LIMIT, format_length
from .masses import MOST_KG

Quantity = Literal["length", "angle", "mass", "density", "force", "number"]

LONGEST = float(LIMIT)
"""The longest length and furthest place, mm: what can be typed."""
LEAST = 0.001
"""The smallest size of anything, mm: a micrometre, finer than any shop measures."""
PIECE = 10_000.0
"""The largest size of a loose piece, mm: nobody lifts a larger one onto a table."""
PITCH = (1.0, 1_000.0)
"""The least and the greatest distance from hole to hole, mm."""
HEAVIEST = MOST_KG
"""The most a loose piece can weigh, kg."""
DENSITY = (1.0, 25_000.0)
"""From foam to more than osmium (22 590), kg/m3."""


def _float(low: float, high: float, quantity: Quantity) -> Any:
    return Meta(ge=low, le=high, extra={"quantity": quantity})


Length = Annotated[float, _float(-LONGEST, LONGEST, "length")]
"""A position, a height or a signed distance, mm."""
Across = Annotated[float, _float(-2.0 * LONGEST, 2.0 * LONGEST, "length")]
"""A position on a part measured from its own corner, or from any other place on it, mm."""
Extent = Annotated[float, _float(0.0, LONGEST, "length")]
"""A size that may be 0, mm."""
Size = Annotated[float, _float(LEAST, LONGEST, "length")]
"""A size that must be greater than 0, mm."""
PieceLength = Annotated[float, _float(-PIECE, PIECE, "length")]
"""A position on a loose piece, in its own frame, mm."""
PieceExtent = Annotated[float, _float(0.0, PIECE, "length")]
"""A size of a loose piece that may be 0, mm."""
PieceSize = Annotated[float, _float(LEAST, PIECE, "length")]
"""A size of a loose piece, mm."""
Pitch = Annotated[float, _float(*PITCH, "length")]
Angle = Annotated[float, _float(-720.0, 720.0, "angle")]
"""A direction or a turn, degrees; a range that starts below a full turn may end above it."""
Turning = Annotated[float, _float(0.0, 360.0, "angle")]
"""How far something turns, or how accurately, degrees."""
Mass = Annotated[float, _float(0.0, HEAVIEST, "mass")]
Force = Annotated[float, _float(0.0, MOST_N, "force")]
"""The force of a clamp, N."""
Density = Annotated[float, _float(*DENSITY, "density")]

# How many there can be.  A longer list was not made by a person.
FEATURES = Meta(max_length=200)
SIZES = Meta(max_length=1_000)
"""Solids, faces, mounts and the like of one piece."""
OUTLINE = Meta(max_length=2_000)
"""Corners of one solid of a piece."""
CORNERS = Meta(max_length=20_000)
"""Corners of one part: a curve drawn to 0.05 mm has a few hundred."""
STACKED = Meta(max_length=100)
"""Risers, shims or packing in one stack."""
SEATS = Meta(max_length=8)
PIECES = Meta(max_length=5_000)
PLACED = Meta(max_length=10_000)
PARTS = Meta(max_length=50_000)
WELDS = Meta(max_length=200_000)
WELDMENTS = Meta(min_length=1, max_length=1_000)
"""Weldments of one job; a table holds a few at a time."""

WORDS = {
    "pitch_x": "pitch along x",
    "pitch_y": "pitch along y",
    "first_x": "distance from the left edge to the first holes",
    "first_y": "distance from the front edge to the first holes",
    "hole_tolerance": "hole position tolerance",
    "at": "place",
    "a": "position of an end",
    "b": "position of an end",
    "x": "position along x",
    "y": "position along y",
    "z": "height",
    "z_low": "lower height",
    "z_high": "upper height",
    "bar_z_low": "lower height of the bar",
    "bar_z_high": "upper height of the bar",
    "corners": "position of a corner",
    "outline": "position of a corner",
    "measured": "measured size",
    "leg": "size of the weld",
    "turn": "angle",
    "leaf": "angle of the leaf",
    "around": "diameter that it is coped to",
    "along": "length of the notch",
    "across": "width of the notch",
    "col": "column of the hole",
    "row": "row of the hole",
    "owned": "number of pieces on hand",
    "nth": "number of the joint",
    "outlines": "list of parts",
    "weldments": "list of weldments",
    "seats": "list of holes",
    "low": "lower end of the range",
    "high": "upper end of the range",
    "reach_min": "minimum reach",
    "reach_max": "maximum reach",
    "loading": "order of loading",
}
"""Names of fields for people; other names only lose their underscores."""


class LimitError(ValueError):
    """A value outside its limits.  str() is one clause, in millimetres and inches; `words` gives it
    in the unit of a display.
    """

    def __init__(self, text: str, again: "Callable[[Display], str] | None" = None) -> None:
        super().__init__(text)
        self._again = again

    def words(self, display: Display) -> str:
        """Return the clause in the unit of a display."""
        return self._again(display) if self._again is not None else str(self)


def words_of(fault: ValueError, display: Display) -> str:
    """Return what is wrong, in the unit of a display if a value is beyond its limits."""
    return fault.words(display) if isinstance(fault, LimitError) else str(fault)


def field_text(name: str) -> str:
    """The name of a field for people."""
    return WORDS.get(name, name.replace("_", " "))


def value_text(value: float, quantity: str, display: Display | None = None) -> str:
    """A value with its unit: lengths in the unit of the display, or in both if it is None.

    A length that the display would round to nothing is written out.
    """
    number = true_minus(f"{value:.10g}")
    if quantity == "length":
        if not value or (display is not None and display.unit == "millimetres"):
            return f"{number} mm"
        inches = value / INCH
        shown = f"{inches:.5f}" if LEAST <= abs(value) < 1.0 else f"{inches:.6g}"
        shown = f"{true_minus(shown)} in"
        if display is None:
            return f"{number} mm ({shown})"
        if 1.0 <= abs(value) <= LONGEST:
            shown = format_length(value, display)
        return f"{shown} ({number} mm)"
    unit = {"angle": "°", "mass": " kg", "density": " kg/m3", "force": " N"}.get(quantity, "")
    return f"{number}{unit}"


def span(
    low: float | None, high: float | None, quantity: str, display: Display | None = None
) -> str:
    """A range of values in words, such as `from 1 mm to 100 m`."""
    if low is None or high is None:
        word, end = ("at most", high) if low is None else ("at least", low)
        return f"{word} {value_text(end or 0.0, quantity, display)}"
    return f"from {value_text(low, quantity, display)} to {value_text(high, quantity, display)}"


def require_within(value: Struct) -> None:
    """Raises LimitError, with a clause for people, if a field is outside what its type allows.

    Reading a file checks the types anyway; this is for values made in the program.  Values inside
    the value were checked when they were made.
    """
    for name, check in _checks(type(value)):
        try:
            check(name, getattr(value, name), None)
        except LimitError as limit_error:
            begins = _called(value)

            def again(display: Display, name: str = name, begins: str = begins) -> str:
                return begins + fault_of(type(value), name, getattr(value, name), display)

            raise LimitError(f"{begins}{limit_error}", again) from None


def fault_of(kind: type[Struct], name: str, value: object, display: Display | None = None) -> str:
    """What is wrong with a value for a field of a type, as a clause; "" if nothing is."""
    try:
        for field, check in _checks(kind):
            if field == name:
                check(name, value, display)
    except LimitError as limit_error:
        return str(limit_error)
    return ""


def _called(value: Struct) -> str:
    """The kind and name of a thing, to begin a sentence; "" if it has no name."""
    kind = type(value).__name__.lower()
    name = getattr(value, "name", "") or getattr(value, "id", "")
    return f"{kind} {name[:60]}: " if isinstance(name, str) and name else ""


Check = Callable[[str, Any, Display | None], None]


@cache
def _checks(kind: type[Struct]) -> tuple[tuple[str, Check], ...]:
    hints = get_type_hints(kind, include_extras=True)
    found = ((name, _check(hints[name])) for name in kind.__struct_fields__)
    return tuple((name, check) for name, check in found if check is not None)


def _check(hint: Any) -> Check | None:
    """The check for values of a type; None if there is nothing to check."""
    made: Check | None = None
    if get_origin(hint) is Annotated:
        inner, meta = get_args(hint)
        made = _number(meta) if inner in (int, float) else _counted(meta, inner)
    elif hint is float:
        made = _number(Meta())
    elif get_origin(hint) is tuple:
        made = _each(get_args(hint))
    elif hasattr(hint, "_fields"):  # a named tuple, such as a hole
        hints = get_type_hints(hint, include_extras=True)
        made = _named(tuple((name, _check(hints[name])) for name in hint._fields))
    elif get_origin(hint) in (Union, UnionType):
        kinds = [kind for kind in get_args(hint) if kind is not NoneType]
        made = _optional(_check(kinds[0]) if len(kinds) == 1 else None)
    return made


def _number(meta: Meta) -> Check:
    low = -math.inf if meta.ge is None else meta.ge
    high = math.inf if meta.le is None else meta.le
    bounded = math.isfinite(low) and math.isfinite(high)
    quantity = (meta.extra or {}).get("quantity", "number")

    def check(name: str, value: float, display: Display | None) -> None:
        if low <= value <= high and (bounded or math.isfinite(value)):
            return
        if not math.isfinite(value):
            raise LimitError(f"the {field_text(name)} is not a finite number")
        can = span(meta.ge, meta.le, quantity, display)
        raise LimitError(
            f"the {field_text(name)} is {value_text(value, quantity, display)}; it must be {can}"
        )

    return check


def _counted(meta: Meta, kind: Any) -> Check:
    low, high = meta.min_length or 0, meta.max_length or math.inf
    what = "characters" if kind is str else "entries"
    inner = _check(kind)

    def check(name: str, value: Any, display: Display | None) -> None:
        size = len(value)
        if size > high:
            raise LimitError(f"the {field_text(name)} has {size} {what}; the most is {high}")
        if size < low:
            least = "type at least one character" if kind is str else f"it needs at least {low}"
            raise LimitError(f"the {field_text(name)} is empty; {least}")
        if inner is not None:
            inner(name, value, display)

    return check


def _each(kinds: tuple[Any, ...]) -> Check | None:
    """The check for a list of one type, or for a fixed tuple."""
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        one = _check(kinds[0])
        return one and _all(one)
    row = [(at, check) for at, kind in enumerate(kinds) if (check := _check(kind)) is not None]

    def each(name: str, value: Any, display: Display | None) -> None:
        for at, inner in row:
            inner(name, value[at], display)

    return each if row else None


def _all(one: Check) -> Check:
    def check(name: str, value: Any, display: Display | None) -> None:
        for entry in value:
            one(name, entry, display)

    return check


def _named(parts: tuple[tuple[str, Check | None], ...]) -> Check:
    def each(_: str, value: Any, display: Display | None) -> None:
        for entry, (name, inner) in zip(value, parts, strict=True):
            if inner is not None:
                inner(name, entry, display)

    return each


def _optional(inner: Check | None) -> Check | None:
    if inner is None:
        return None

    def check(name: str, value: Any, display: Display | None) -> None:
        if value is not None:
            inner(name, value, display)

    return check
