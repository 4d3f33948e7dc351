"""The limits of values: each limit on both sides of its edge, and the words for it."""

import math
from typing import Annotated

import pytest
from msgspec import Meta, Struct, ValidationError, convert, structs

from gridjig.units import Display
from gridjig.units.limits import (
    DENSITY,
    HEAVIEST,
    LEAST,
    LONGEST,
    PIECE,
    PITCH,
    Angle,
    Density,
    Extent,
    Length,
    LimitError,
    Mass,
    PieceExtent,
    PieceLength,
    PieceSize,
    Pitch,
    Size,
    Turning,
    fault_of,
    require_within,
    span,
    value_text,
)

MM = Display(unit="millimetres")
INCHES = Display(unit="inch fractions")


class Thing(Struct, frozen=True):
    length: Length = 0.0
    extent: Extent = 0.0
    size: Size = 1.0
    piece_length: PieceLength = 0.0
    piece_extent: PieceExtent = 0.0
    piece_size: PieceSize = 1.0
    pitch: Pitch = 50.0
    angle: Angle = 0.0
    turning: Turning = 0.0
    mass: Mass = 0.0
    density: Density = 7850.0
    count: Annotated[int, Meta(ge=1, le=9)] = 1
    name: Annotated[str, Meta(min_length=1, max_length=3)] = "a"
    at: tuple[Length, Length] = (0.0, 0.0)
    corners: Annotated[tuple[tuple[Length, Length], ...], Meta(max_length=2)] = ()
    other: tuple[Length, Length] | None = None

    def __post_init__(self) -> None:
        require_within(self)


@pytest.mark.source("method", "arithmetic: the next float beyond each limit")
@pytest.mark.parametrize(
    ("field", "low", "high"),
    [
        ("length", -LONGEST, LONGEST),
        ("extent", 0.0, LONGEST),
        ("size", LEAST, LONGEST),
        ("piece_length", -PIECE, PIECE),
        ("piece_extent", 0.0, PIECE),
        ("piece_size", LEAST, PIECE),
        ("pitch", *PITCH),
        ("angle", -720.0, 720.0),
        ("turning", 0.0, 360.0),
        ("mass", 0.0, HEAVIEST),
        ("density", *DENSITY),
    ],
)
def test_each_limit_is_kept_on_both_sides(field: str, low: float, high: float) -> None:
    for edge, beyond in ((low, -math.inf), (high, math.inf)):
        assert getattr(structs.replace(Thing(), **{field: edge}), field) == edge
        assert getattr(convert({field: edge}, Thing), field) == edge
        outside = math.nextafter(edge, beyond)
        for bad in (outside, beyond, math.nan):
            with pytest.raises(LimitError, match=r"it must be from|finite"):
                structs.replace(Thing(), **{field: bad})
        with pytest.raises(ValidationError, match="Expected"):
            convert({field: outside}, Thing)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"count": 0}, "the count is 0; it must be from 1 to 9"),
        ({"count": 10}, "the count is 10; it must be from 1 to 9"),
        ({"name": ""}, "the name is empty; type at least one character"),
        ({"name": "abcd"}, "the name has 4 characters; the most is 3"),
        ({"at": (0.0, 1e6)}, "the place is 1000000 mm"),
        ({"corners": ((0, 0), (0, 0), (0, 0))}, "has 3 entries; the most is 2"),
        ({"corners": ((0, 0), (0, -1e6))}, "the position of a corner is −1000000 mm"),
        ({"other": (1e6, 0)}, "the other is 1000000 mm"),
    ],
)
def test_what_a_value_says_that_lies_beyond(change: dict[str, object], says: str) -> None:
    with pytest.raises(LimitError) as caught:
        structs.replace(Thing(), **change)
    assert says in str(caught.value)
    with pytest.raises(ValidationError):
        convert(change, Thing)


def test_optional_fields_may_be_left_out() -> None:
    assert structs.replace(Thing(), other=None).other is None
    assert fault_of(Thing, "other", None) == ""
    assert fault_of(Thing, "no such field", 1e99) == ""


@pytest.mark.source("method", "arithmetic: 100 m = 3937.00787 in, 1 mm = 0.03937 in")
def test_limits_are_shown_in_the_units_of_the_display() -> None:
    assert (
        fault_of(Thing, "pitch", 0.5, MM) == "the pitch is 0.5 mm; it must be from 1 mm to 1000 mm"
    )
    told_in_inches = fault_of(Thing, "pitch", 2540.0, INCHES)
    assert told_in_inches.startswith('the pitch is 100" (2540 mm); it must be from ')
    assert "(1 mm)" in told_in_inches
    assert value_text(LONGEST, "length", INCHES) == '≈3937" (100000 mm)'
    assert value_text(LEAST, "length", INCHES) == "0.00004 in (0.001 mm)"
    assert value_text(LONGEST, "length") == "100000 mm (3937.01 in)"
    assert value_text(5.0, "mass") == "5 kg"
    assert value_text(0.0, "length") == "0 mm"
    assert span(None, 5.0, "angle") == "at most 5°"
    assert span(5.0, None, "angle") == "at least 5°"
