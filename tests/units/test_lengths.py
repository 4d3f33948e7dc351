"""Typed lengths against exact rationals; shown lengths against the drawing standard's rules."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.units import Display, ParseError, Unit, format_length, parse_length
from gridjig.units.lengths import LIMIT, ON_GRID, dual_length, full_length

INCH = Fraction("25.4")
UNITS: tuple[Unit, ...] = ("inch fractions", "inch decimals", "millimetres")
DISPLAYS = [
    *(Display(unit="inch fractions", denominator=d) for d in (8, 16, 32, 64)),
    Display(unit="inch decimals"),
    Display(unit="millimetres"),
]
BANNED = re.compile(r"invalid|illegal|fatal|failed to|error|please|!|\be\.g\.|\bi\.e\.", re.I)


def inches(text: str) -> Fraction:
    """What a length in inches is in millimetres, exactly."""
    return Fraction(text) * INCH


def refusal(text: str, unit: Unit) -> ParseError | None:
    """Why a text is refused, or None if it is read."""
    try:
        assert abs(parse_length(text, unit)) <= LIMIT
    except ParseError as parse_error:
        return parse_error
    return None


@pytest.mark.source("library", "Python 3.11 fractions", "exact, an inch of 25.4 mm")
@pytest.mark.expectation(28, 29)
@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("5-3/8", inches("43/8")),
        ('5-3/8"', inches("43/8")),
        ('5 3/8"', inches("43/8")),
        ("5 3 / 8 in", inches("43/8")),
        ("5 - 3/8", inches("37/8")),
        ("5⅜", inches("43/8")),
        ("5-⅜", inches("43/8")),
        ("5 ½", inches("11/2")),
        ("½", inches("1/2")),
        ("¼ + ¾", inches("1")),
        ("3⁄4", inches("3/4")),
        ("-3/4", inches("-3/4")),
        ("−3/4", inches("-3/4")),
        ("-5-3/8", inches("-43/8")),
        ("- 5 3/8", inches("-43/8")),
        ("+5", inches("5")),
        ("5.", inches("5")),
        (".875", inches("7/8")),
        ("6'", inches("72")),
        ("1' 6-1/2\"", inches("37/2")),
        ("1' 11-15/16\"", inches("383/16")),
        ("2' 11\"", inches("35")),
        ("1'-6 1/2\"", inches("37/2")),
        ("1'-6-1/2", inches("37/2")),
        ("1′ 6½″", inches("37/2")),
        ("1’6”", inches("18")),
        ("1'6''", inches("18")),
        ("-1' 6\"", inches("-18")),
        ("1 ft. 6 in.", inches("18")),
        ("2 FEET", inches("24")),
        ("1-1/2'", inches("18")),
        ("1.5 foot", inches("18")),
        ("1' + 3\"", inches("15")),
        ("1' + 3", inches("15")),
        ("18\" - 1'", inches("6")),
        ("1'-30mm", inches("12") - 30),
        ("1'-6'", inches("-60")),
        ("42-3/8 - 1.5", inches("327/8")),
        ("42-3/8-1/4", inches("337/8")),
        ("5/8-1/4", inches("3/8")),
        ("42.5-3/8", inches("337/8")),
        ("6-3", inches("3")),
        ("6 - 3 + 1/2", inches("7/2")),
        ("1 inch", inches("1")),
        ("2 inches", inches("2")),
        ("450mm", Fraction(450)),
        ("450 MM", Fraction(450)),
        ("4.5 in", inches("9/2")),
        ("17 cm", Fraction(170)),
        ("1.2 m", Fraction(1200)),
        ("450mm - 3mm", Fraction(447)),
        ("12in - 3mm", inches("12") - 3),
        ("\u00a05\u00a03/8\u202f", inches("43/8")),
    ],
)
def test_reads_what_a_shop_writes(text: str, exact: Fraction) -> None:
    assert parse_length(text, "inch fractions") == float(exact)
    assert parse_length(text, "inch decimals") == float(exact)


@pytest.mark.source("library", "Python 3.11 fractions", "exact")
@pytest.mark.expectation(28)
@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("450", Fraction(450)),
        ("82.5", Fraction("82.5")),
        ("1/2", Fraction(1, 2)),
        ("450 - 17 mm", Fraction(433)),
        ("5-3/8 in", inches("43/8")),
        ("17 cm + 3mm", Fraction(173)),
        ("1' 6", inches("18")),
        ("0", Fraction(0)),
    ],
)
def test_bare_numbers_count_in_the_unit_of_the_display(text: str, exact: Fraction) -> None:
    assert parse_length(text, "millimetres") == float(exact)


@pytest.mark.source("practice", "how lengths are typed and shown")
@pytest.mark.expectation(30)
@pytest.mark.parametrize(
    ("text", "at", "says"),
    [
        ("", None, "type a length such as 5-3/8"),
        ("   ", None, "type a length"),
        ("5,375", 1, "a comma can mean two things"),
        ("1,200", 1, "a comma"),
        ("5-9/8", 2, "must be below one"),
        ("5 8/8", 2, "must be below one"),
        ("3/0", 2, "fraction cannot be 0"),
        ("5-3/0", 4, "fraction cannot be 0"),
        ("5 -3/8", 1, "write 5-3/8 for 5 and 3/8, or 5 - 3/8"),
        ("5- 3/8", 1, "write 5-3/8 for 5 and 3/8, or 5 - 3/8"),
        ("5 in 3 mm", 5, "there are two numbers side by side"),
        ("5 3", 2, "there are two numbers side by side"),
        ('6"5"', 2, "there are two numbers side by side"),
        ("1/2/3", 3, "/ does not belong here"),
        ("5°", 1, "° does not belong here"),
        ("1e3", 1, "e is not a unit"),
        ("5 yd", 2, "yd is not a unit"),
        ("nan", 0, "type a length"),
        ("inf", 0, "type a length"),
        ("Infinity", 0, "type a length"),
        ("-", 0, "type a length"),
        ("5 -", 2, "type a length"),
        ("--5", 1, "type a length"),
        (".", 0, "type a length"),
        ("٣", 0, "type a length"),
        ("450mm - 5", 8, "another number is in mm"),
        ("12 - 3mm", 0, "another number is in mm"),
        ("1' - 6\"", 3, "write 1'-6"),
        ("1' -6", 3, "write 1'-6"),
        ("1.5' 6\"", 0, "feet must be a whole number"),
        ("1' 12\"", 3, "inches after feet must be below 12"),
        ("≈5-3/8", 0, "≈ marks a rounded number"),
        ("101 m", None, "up to 100 m"),
        ("-4000'", None, "up to 100 m"),
        ("9" * 81, 80, "longer than 80 characters"),
    ],
)
def test_refuses_with_the_place_and_what_is_accepted(text: str, at: int | None, says: str) -> None:
    with pytest.raises(ParseError) as caught:
        parse_length(text, "inch fractions")
    assert caught.value.text == text
    assert caught.value.at == at
    assert says in str(caught.value)


@pytest.mark.source("practice", "how lengths are typed and shown")
@pytest.mark.parametrize(
    ("text", "at"), [("17 cm + 3", 8), ("1' + 3", 5), ("3 + 1'", 0), ("5 + 3 in", 0)]
)
def test_a_bare_number_beside_another_unit_is_refused_in_millimetres(text: str, at: int) -> None:
    with pytest.raises(ParseError, match="give this one a unit too") as caught:
        parse_length(text, "millimetres")
    assert caught.value.at == at


@pytest.mark.expectation(31)
def test_the_refusal_shows_lengths_of_the_display() -> None:
    with pytest.raises(ParseError, match=r"such as 136\.5, 450 mm"):
        parse_length("x", "millimetres")


@pytest.mark.expectation(86, 87)
@given(st.text(alphabet="0123456789.-+/ '\"incmft,½≈°xe", max_size=14))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    for unit in UNITS:
        parse_error = refusal(text, unit)
        if parse_error is None:
            assert -LIMIT <= parse_length(text, unit) <= LIMIT
        else:
            assert str(parse_error).endswith(".")
            assert not BANNED.search(parse_error.why)
            assert parse_error.at is None or 0 <= parse_error.at <= len(text)


@given(st.text(max_size=200))
def test_no_text_at_all_breaks_the_reader(text: str) -> None:
    parse_error = refusal(text, "inch fractions")
    assert parse_error is None or str(parse_error).endswith(".")


@pytest.mark.source("library", "Python 3.11 decimal", "Decimal as a reader of decimals")
@given(st.decimals(-99_000, 99_000, places=4))
def test_decimals_are_exact(value: Decimal) -> None:
    assert parse_length(f"{value:f}", "millimetres") == float(value)
    assert parse_length(f"{value / 100:f} in", "millimetres") == float(
        value / 100 * Decimal("25.4")
    )


@pytest.mark.source("library", "Python 3.11 fractions", "exact")
@given(
    st.integers(0, 3000),
    st.integers(1, 64),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.sampled_from(["{w}-{a}/{b}", '{w} {a}/{b}"', "{w} {a} / {b} in", "-{w}-{a}/{b}"]),
)
def test_mixed_numbers_are_exact(whole: int, over: int, under: int, form: str) -> None:
    text = form.format(w=whole, a=over % under, b=under)
    exact = (whole + Fraction(over % under, under)) * INCH * (-1 if text[0] == "-" else 1)
    assert parse_length(text, "inch fractions") == float(exact)


@pytest.mark.source("memory", "ASME Y14.5, number rules")
@pytest.mark.expectation(54, 55, 58)
@pytest.mark.parametrize(
    ("mm", "display", "shown"),
    [
        (136.525, Display(), '5-3/8"'),
        (609.6, Display(), '24"'),
        (19.05, Display(), '3/4"'),
        (-38.1, Display(), '−1-1/2"'),
        (0.0, Display(), '0"'),
        (-0.0, Display(), '0"'),
        (420.6875, Display(), '16-9/16"'),
        (22.225, Display(unit="inch decimals"), '.875"'),
        (12.7, Display(unit="inch decimals"), '.500"'),
        (-12.7, Display(unit="inch decimals"), '−.500"'),
        (609.6, Display(unit="inch decimals"), '24.000"'),
        (0.0, Display(unit="inch decimals"), '0"'),
        (82.5, Display(unit="millimetres"), "82.5 mm"),
        (450.0, Display(unit="millimetres"), "450 mm"),
        (0.5, Display(unit="millimetres"), "0.5 mm"),
        (-0.5, Display(unit="millimetres"), "−0.5 mm"),
        (0.0, Display(unit="millimetres"), "0 mm"),
        (1e5, Display(unit="millimetres"), "100000 mm"),
    ],
)
def test_shows_lengths_as_the_standard_writes_them(mm: float, display: Display, shown: str) -> None:
    assert format_length(mm, display) == shown


@pytest.mark.source("practice", "how lengths are typed and shown")
@pytest.mark.expectation(56)
@pytest.mark.parametrize(
    ("mm", "display", "shown"),
    [
        (421.0, Display(), '≈16-9/16"'),
        (0.1, Display(), '≈0"'),
        (-0.1, Display(), '≈0"'),
        (25.4 / 32, Display(), '≈1/16"'),
        (25.4 / 32, Display(denominator=32), '1/32"'),
        (25.4 / 64, Display(denominator=64), '1/64"'),
        (25.4 * 9 / 16, Display(unit="inch decimals"), '≈.563"'),
        (136.525, Display(unit="millimetres"), "≈136.5 mm"),
        (-136.57, Display(unit="millimetres"), "≈−136.6 mm"),
        (136.525 + 1e-9, Display(), '5-3/8"'),
    ],
)
def test_a_rounded_length_is_marked(mm: float, display: Display, shown: str) -> None:
    assert format_length(mm, display) == shown


@pytest.mark.source("library", "Python 3.11 fractions", "exact, over every display setting")
@pytest.mark.expectation(29)
@pytest.mark.parametrize("display", DISPLAYS, ids=str)
@given(st.integers(-64 * 300, 64 * 300))
def test_what_the_display_can_show_reads_back_the_same(display: Display, count: int) -> None:
    step = {
        "inch fractions": INCH / display.denominator,
        "inch decimals": INCH / 1000,
        "millimetres": Fraction(1, 10),
    }[display.unit]
    mm = float(count * step)
    shown = format_length(mm, display)
    assert "≈" not in shown
    for unit in UNITS:  # the unit is part of what is shown, so any field reads it
        assert parse_length(shown, unit) == mm
    assert format_length(parse_length(shown, display.unit), display) == shown


@pytest.mark.source("library", "Python 3.11 fractions", "exact")
@pytest.mark.expectation(56)
@pytest.mark.parametrize("display", DISPLAYS, ids=str)
@given(st.floats(-99_990, 99_990))
def test_what_is_shown_is_never_further_off_than_half_a_step(display: Display, mm: float) -> None:
    shown = format_length(mm, display)
    back = parse_length(shown.removeprefix("≈"), display.unit)
    step = {
        "inch fractions": 25.4 / display.denominator,
        "inch decimals": 0.0254,
        "millimetres": 0.1,
    }[display.unit]
    assert abs(back - mm) <= step / 2 + 2 * ON_GRID
    if "≈" not in shown:
        assert abs(back - mm) <= ON_GRID + 1e-10


@pytest.mark.source("memory", "ASME Y14.5, dual dimensioning")
@pytest.mark.expectation(59)
def test_both_units_with_the_other_in_brackets() -> None:
    assert dual_length(38.1, Display()) == '1-1/2" (38.1 mm)'
    assert dual_length(136.525, Display(unit="inch decimals")) == '5.375" (≈136.5 mm)'
    assert dual_length(38.1, Display(unit="millimetres")) == '38.1 mm (1.500")'


@pytest.mark.source("memory", "ASME Y14.5, no grouping of thousands")
@pytest.mark.expectation(60)
@pytest.mark.parametrize("display", DISPLAYS, ids=str)
def test_thousands_are_not_grouped(display: Display) -> None:
    assert re.fullmatch(r'≈?[0-9.]+(-[0-9/]+)?( mm|")', format_length(88_900.0, display))


@pytest.mark.source("library", "Python 3.11 fractions", "exact")
@pytest.mark.expectation(56)
@pytest.mark.parametrize(
    ("mm", "said"),
    [
        (420.6875, "420.688 mm = 16.5625 in"),
        (-1.0, "−1 mm = −0.03937 in"),
        (0.0, "0 mm = 0 in"),
    ],
)
def test_the_full_value_for_where_the_shown_one_is_rounded(mm: float, said: str) -> None:
    assert full_length(mm) == said
