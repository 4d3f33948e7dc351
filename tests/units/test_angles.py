"""Typed angles against exact sums and the arc tangent; shown angles against their own rounding."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.units import ParseError, format_angle, parse_angle


def refusal(text: str) -> ParseError | None:
    """Why a text is refused, or None if it is read."""
    try:
        assert abs(parse_angle(text)) <= 360
    except ParseError as parse_error:
        return parse_error
    return None


@pytest.mark.source("library", "Python 3.11 fractions", "exact, 60 minutes to a degree")
@pytest.mark.expectation(28)
@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("37.5", Fraction("37.5")),
        ("37.5°", Fraction("37.5")),
        ("37.5 deg", Fraction("37.5")),
        ("37.5 Degrees", Fraction("37.5")),
        ("37-1/2", Fraction("37.5")),
        ("37½°", Fraction("37.5")),
        ("37 30'", Fraction("37.5")),
        ("37°30'", Fraction("37.5")),
        ("37° 30.6′", Fraction("37.51")),
        ("37°30'15\"", 37 + Fraction(30 * 60 + 15, 3600)),
        ("37° 30′ 15″", 37 + Fraction(30 * 60 + 15, 3600)),
        ("37°15''", 37 + Fraction(15, 3600)),
        ("30'", Fraction(1, 2)),
        ('36"', Fraction(1, 100)),
        ("-15", Fraction(-15)),
        ("−15°", Fraction(-15)),
        ("-1° 30'", Fraction("-1.5")),
        ("90 - 37.5", Fraction("52.5")),
        ("90° - 37° 30'", Fraction("52.5")),
        ("45 + 1/2°", None),
        ("360", Fraction(360)),
        ("-360", Fraction(-360)),
        ("0", Fraction(0)),
    ],
)
def test_reads_degrees_minutes_and_seconds(text: str, degrees: Fraction | None) -> None:
    if degrees is None:
        with pytest.raises(ParseError, match="could be a slope"):
            parse_angle(text)
    else:
        assert parse_angle(text) == float(degrees)


@pytest.mark.source("library", "Python 3.11 math", "atan2")
@pytest.mark.expectation(28)
@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("4:12", math.degrees(math.atan2(4, 12))),
        ("4 in 12", math.degrees(math.atan2(4, 12))),
        ("4IN12", math.degrees(math.atan2(4, 12))),
        ("1:1", 45.0),
        ("3:4", 36.86989764584402),
        ("-4:12", -math.degrees(math.atan2(4, 12))),
        ("+4 : 12", math.degrees(math.atan2(4, 12))),
        ("4-1/2:12", math.degrees(math.atan2(4.5, 12))),
        ("5:0", 90.0),
        ("0:5", 0.0),
    ],
)
def test_reads_slopes(text: str, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.source("practice", "how angles are typed")
@pytest.mark.expectation(30, 31)
@pytest.mark.parametrize(
    ("text", "at", "says"),
    [
        ("", None, "type an angle such as 37.5"),
        ("x", 0, "type an angle"),
        ("-", 0, "type an angle"),
        ("37,5", 2, "a comma can mean two things"),
        ("4/12", 0, "could be a slope"),
        ("37° 75'", 4, "minutes must be below 60"),
        ("37° 30' 60\"", 8, "seconds must be below 60"),
        ("37.5° 30'", 6, "the number before minutes must be whole"),
        ("37° 30.5' 2\"", 10, "the number before seconds must be whole"),
        ("37-30", 2, "write 37° 30' for degrees and minutes"),
        ("90° -37", 4, "with spaces to subtract"),
        ("90 -", 3, "with spaces to subtract"),
        ("90 - ", 4, "type an angle"),
        ("37 30", 3, "side by side"),
        ("37%", 2, "% does not belong here"),
        ("0:0", 0, "has no direction"),
        ("4:", 1, "rise and run"),
        ("4:x", 2, "rise and run"),
        ("4:12:3", 4, "rise and run"),
        ("361", None, "from -360 to 360"),
        ("nan", 0, "type an angle"),
        ("≈36.87°", 0, "≈ marks"),
    ],
)
def test_refuses_with_the_place_and_what_is_accepted(text: str, at: int | None, says: str) -> None:
    with pytest.raises(ParseError) as caught:
        parse_angle(text)
    assert (caught.value.at, caught.value.text) == (at, text)
    assert says in str(caught.value)


@given(st.text(alphabet="0123456789.-+/: '\"in°deg½", max_size=12) | st.text(max_size=90))
def test_any_text_is_read_or_refused(text: str) -> None:
    parse_error = refusal(text)
    if parse_error is None:
        assert -360 <= parse_angle(text) <= 360
    else:
        assert str(parse_error).endswith(".")
        assert parse_error.at is None or 0 <= parse_error.at <= len(text)


@pytest.mark.source("practice", "how angles are shown")
@pytest.mark.expectation(34, 56)
@pytest.mark.parametrize(
    ("degrees", "shown"),
    [
        (36.87, "36.87°"),
        (36.86989764584402, "≈36.87°"),
        (90.0, "90°"),
        (37.5, "37.5°"),
        (-15.0, "−15°"),
        (-0.0, "0°"),
        (0.001, "≈0°"),
        (-0.001, "≈0°"),
        (1e-9, "0°"),
        (100.0, "100°"),
        (37.5 + 1e-9, "37.5°"),
    ],
)
def test_shows_at_most_two_decimals_and_marks_what_is_rounded(degrees: float, shown: str) -> None:
    assert format_angle(degrees) == shown


@pytest.mark.source("method", "exact hundredths")
@given(st.integers(-36_000, 36_000))
def test_hundredths_read_back_the_same(count: int) -> None:
    degrees = count / 100
    assert parse_angle(format_angle(degrees)) == degrees
