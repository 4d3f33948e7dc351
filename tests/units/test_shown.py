"""Every number as shown, read back: it gives the value to the digit shown.

Texts are read by a small reader in this test and, where the program can read such a text itself,
by the program too.  Digits are compared with Decimal and Fraction, which round exactly.
"""

import math
import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from msgspec import Struct

from gridjig import units
from gridjig.units import Display, parse_angle, parse_length, parse_mass

MM = Display(unit="millimetres")
FRACTIONS = [Display(denominator=d) for d in (8, 16, 32, 64)]
DECIMALS = Display(unit="inch decimals")
EXACT = ("library", "Python 3.11 decimal and fractions", "exact values")
ON_GRID_MM, ON_GRID_DEG = 1e-5, 1e-6

SIZES = st.floats(-6.0, 6.0).map(lambda power: 10.0**power)
VALUES = st.one_of(
    st.just(0.0), st.just(-0.0), SIZES, SIZES.map(lambda v: -v), st.integers(-3000, 3000).map(float)
)
"""From 1e-6 to 1e6 of both signs, every size as often as another; both zeros; whole numbers."""


def number(text: str) -> Fraction:
    """A shown number without its unit, exactly: 5-3/8, −.02, 1,235."""
    found = re.fullmatch(r"([-−]?)(?:([\d,]*\.\d+|[\d,]+)(?:-(\d+/\d+))?|(\d+/\d+))", text)
    assert found, text
    sign, whole, part, alone = found.groups()
    size = Fraction((whole or "0").replace(",", "")) + Fraction(part or alone or 0)
    return -size if sign else size


def half_up(exact: Fraction, step: Fraction) -> Fraction:
    """The nearest multiple of a step, halves away from zero."""
    count = math.floor(abs(exact) / step + Fraction(1, 2))
    return (-1 if exact < 0 else 1) * count * step


# -- lengths ---------------------------------------------------------------------------------------


def step_of(display: Display) -> Fraction:
    if display.unit == "millimetres":
        return Fraction(1, 10)
    fine = Fraction(1, 1000 if display.unit == "inch decimals" else display.denominator)
    return fine * Fraction("25.4")


def read_length(text: str) -> Fraction:
    """A shown length in mm."""
    metric = text.endswith(" mm")
    bare = text.removesuffix(" mm" if metric else '"')
    assert bare != text
    assert not bare.startswith("-")
    return number(bare.replace("−", "-")) * (1 if metric else Fraction("25.4"))


@pytest.mark.source(*EXACT)
@pytest.mark.expectation(56)
@pytest.mark.parametrize("display", [*FRACTIONS, DECIMALS, MM], ids=str)
@given(VALUES)
def test_a_length_reads_back_to_the_digit_shown(display: Display, mm: float) -> None:
    shown = units.format_length(mm, display)
    back, step = read_length(units.unmarked(shown)), step_of(display)
    off = abs(back - Fraction(mm))
    assert off <= step / 2 + 2 * Fraction(ON_GRID_MM)
    assert units.is_rounded(shown) == (off > ON_GRID_MM)
    assert units.unmarked(shown).startswith("−") == (mm < 0 and back != 0) == (back < 0)
    if abs(back) <= units.lengths.LIMIT:
        assert parse_length(units.unmarked(shown), display.unit) == float(back)


@pytest.mark.source(*EXACT)
@pytest.mark.parametrize("display", [*FRACTIONS, DECIMALS, MM], ids=str)
@given(VALUES)
def test_a_length_is_the_nearest_that_the_display_has(display: Display, mm: float) -> None:
    step = step_of(display)
    between = abs(Fraction(mm)) / step % 1
    assume(abs(between - Fraction(1, 2)) * step > 2 * Fraction(ON_GRID_MM))  # nearer to one of two
    shown = units.unmarked(units.format_length(mm, display))
    assert read_length(shown) == half_up(Fraction(mm), step)


@pytest.mark.source("method", "arithmetic by hand: the last fraction below a whole inch carries")
@pytest.mark.expectation(56)
@pytest.mark.parametrize(
    ("inches", "display", "shown"),
    [
        (Fraction(15, 16), Display(), '15/16"'),
        (Fraction(63, 64), Display(), '≈1"'),
        (1 + Fraction(31, 32), Display(), '≈2"'),
        (11 + Fraction(127, 128), Display(denominator=32), '≈12"'),
        (-Fraction(63, 64), Display(), '≈−1"'),
        (-Fraction(1, 64), Display(denominator=8), '≈0"'),
        (Fraction("0.9996"), DECIMALS, '≈1.000"'),
        (Fraction("9.9996"), DECIMALS, '≈10.000"'),
        (Fraction("20.05"), DECIMALS, '20.050"'),
        (Fraction("100.001"), DECIMALS, '100.001"'),
    ],
)
def test_what_rounds_to_the_next_inch(inches: Fraction, display: Display, shown: str) -> None:
    assert units.format_length(float(inches * Fraction("25.4")), display) == shown


@pytest.mark.source(*EXACT)
@given(VALUES)
def test_both_units_at_once_and_the_full_value(mm: float) -> None:
    first, second = re.fullmatch(r"(.+) \((.+)\)", units.dual_length(mm, MM)).groups()  # type: ignore[union-attr]
    assert abs(read_length(units.unmarked(first)) - Fraction(mm)) <= Fraction("0.05002")
    assert abs(read_length(units.unmarked(second)) - Fraction(mm)) <= Fraction("0.01272")
    in_mm, inches = units.full_length(mm).split(" = ")
    assert abs(number(in_mm.removesuffix(" mm").replace("−", "-")) - Fraction(mm)) <= Fraction(
        "0.0005"
    )
    assert abs(
        number(inches.removesuffix(" in").replace("−", "-")) - Fraction(mm) / Fraction("25.4")
    ) <= Fraction("0.000005")


@pytest.mark.source(*EXACT)
@pytest.mark.parametrize("display", [Display(), DECIMALS, MM], ids=str)
@given(VALUES)
def test_a_coordinate_is_typed_again_as_it_was(display: Display, mm: float) -> None:
    shown = units.format_coordinate(mm, display)
    assert "≈" not in shown
    metric = display.unit == "millimetres" or shown.endswith(" mm")
    scale = 1 if metric else Fraction("25.4")
    back = number(shown.removesuffix(" mm")) * scale
    assert abs(back - Fraction(mm)) <= (Fraction("0.00005") if metric else Fraction("0.0000128"))
    if abs(back) <= units.lengths.LIMIT:
        assert parse_length(shown, display.unit) == float(back)


@pytest.mark.source("method", "arithmetic by hand")
def test_what_a_coordinate_and_a_section_are_called_by() -> None:
    assert units.format_coordinate(136.525, Display()) == "5-3/8"
    assert units.format_coordinate(25.4 * 2.0625, DECIMALS) == "2.0625"
    assert units.format_coordinate(45.0, Display()) == "45 mm"
    assert units.format_coordinate(1 / 3, Display()) == "0.013123"
    assert units.format_coordinate(-0.00001, MM) == "0"
    assert units.size_name((44.45, 44.45, 3.175), Display()) == "1-3/4x1-3/4x1/8"
    assert units.size_name((48.3, 3.0), MM) == "48.3x3"
    assert units.size_name((48.3, 3.0), DECIMALS) == "1.902x.118"


# -- angles ----------------------------------------------------------------------------------------


@pytest.mark.source(*EXACT)
@pytest.mark.expectation(56)
@given(VALUES)
@example(-0.004)
@example(89.996)
def test_an_angle_reads_back_to_the_digit_shown(degrees: float) -> None:
    shown = units.format_angle(degrees)
    back = number(units.unmarked(shown).removesuffix("°"))
    off = abs(back - Fraction(degrees))
    assert off <= Fraction("0.005") + Fraction(ON_GRID_DEG)
    assert units.is_rounded(shown) == (off > ON_GRID_DEG)
    assert back or "-" not in shown
    if abs(back) <= 360:
        assert parse_angle(units.unmarked(shown)) == float(back)


# -- whatever has a fixed number of decimals -------------------------------------------------------


class Kind(Struct, frozen=True):
    """How one kind of number is shown: decimals, scale, unit, and whether it drops zeros."""

    say: Callable[[float], str]
    digits: int
    unit: str
    scale: Callable[[float], float] = lambda value: value
    trim: bool = False
    inch: bool = False
    sign: str = ""
    """What stands before a number that is not 0: "" for nothing, "+" or "±"."""


def inches(mm: float) -> float:
    return mm / 25.4


def pounds(kg: float) -> float:
    return kg / 0.45359237


def per_foot(mm_per_m: float) -> float:
    return mm_per_m * 0.012


KINDS = {
    "deviation, mm": Kind(lambda v: units.format_deviation(v, MM), 1, " mm", sign="+"),
    "deviation, in": Kind(
        lambda v: units.format_deviation(v, Display()), 2, " in", inches, inch=True, sign="+"
    ),
    "range, mm": Kind(lambda v: units.format_deviation_range(v, MM), 1, " mm", sign="±"),
    "range, in": Kind(
        lambda v: units.format_deviation_range(v, DECIMALS), 2, " in", inches, inch=True, sign="±"
    ),
    "slope, mm/m": Kind(lambda v: units.format_slope(v, MM), 1, "", sign="+"),
    "slope, in/ft": Kind(
        lambda v: units.format_slope(v, Display()), 3, "", per_foot, inch=True, sign="+"
    ),
    "angle error": Kind(units.format_angle_error, 1, "′", sign="+"),
    "angle tolerance": Kind(lambda v: units.format_angle_tolerance(v, "under "), 1, "′", sign="±"),
    "arc-minutes": Kind(units.format_arcminutes, 1, "′"),
    "rounded angle": Kind(units.format_rounded_angle, 2, "°", trim=True),
    "full angle": Kind(units.full_angle, 6, "°", trim=True),
    "mass, kg": Kind(lambda v: units.format_mass(v, MM), 1, " kg"),
    "mass, lb": Kind(lambda v: units.format_mass(v, Display()), 1, " lb", pounds),
    "line mass, kg/m": Kind(lambda v: units.format_line_mass(v, MM), 2, " kg/m"),
    "line mass, lb/ft": Kind(
        lambda v: units.format_line_mass(v, DECIMALS), 2, " lb/ft", lambda v: pounds(v * 0.3048)
    ),
    "area, cm²": Kind(lambda v: units.format_area(v, MM), 2, " cm²", lambda v: v / 100),
    "area, in²": Kind(
        lambda v: units.format_area(v, Display()), 3, " in²", lambda v: v / 25.4 / 25.4
    ),
    "length in whole mm": Kind(lambda v: units.format_coarse_length(v, MM), 0, ""),
    "fineness, mm": Kind(lambda v: units.format_fineness(v, MM), 6, " mm", trim=True),
    "fineness, in": Kind(
        lambda v: units.format_fineness(v, Display()), 4, " in", inches, inch=True
    ),
    "fixed mm": Kind(units.format_millimetres, 6, " mm", trim=True),
    "plain number": Kind(units.format_number, 6, "", trim=True),
    "number in data": Kind(lambda v: units.data_number(v, 3), 3, ""),
}


@pytest.mark.source(*EXACT)
@pytest.mark.expectation(55, 56, 58)
@pytest.mark.parametrize("name", KINDS)
@given(VALUES)
@example(220.45 * 25.4)
@example(-20.04 * 25.4)
@example(0.05)
@example(-0.949999)
def test_it_reads_back_to_the_digit_shown(name: str, value: float) -> None:
    kind = KINDS[name]
    shown, exact = kind.say(value), Fraction(kind.scale(value))
    last = Fraction(1, 10**kind.digits)
    slack = abs(exact) / 10**15  # the test's own conversion may differ in the last bit
    if shown.startswith(("under ", "<")):
        least = shown.removeprefix("under ").removeprefix("<").removesuffix(kind.unit)
        assert number(least) == last
        assert 0 < abs(exact) <= last / 2 + slack
        return
    bare = shown.removesuffix(kind.unit)
    back = number(bare.removeprefix("±").removeprefix("+"))
    assert abs(back - (abs(exact) if kind.sign == "±" else exact)) <= last / 2 + slack
    if not back:
        assert bare[0] in "0."
        return
    assert bare.startswith("±") == (kind.sign == "±")
    assert bare.startswith("+") == (kind.sign == "+" and value > 0)
    assert bare.startswith(("-", "−")) == (kind.sign != "±" and value < 0)
    size = Decimal(abs(kind.scale(value))).quantize(
        Decimal(1).scaleb(-kind.digits), ROUND_HALF_EVEN
    )
    if abs(Fraction(size) - abs(exact)) < last / 2 - slack:  # no tie
        digits = f"{size:f}"
        if kind.trim and "." in digits:
            digits = digits.rstrip("0").rstrip(".")
        assert bare.lstrip("±+-−") == (re.sub(r"^0\.", ".", digits) if kind.inch else digits)


@pytest.mark.source(*EXACT)
@pytest.mark.parametrize("display", [Display(), DECIMALS, MM], ids=str)
@given(VALUES)
def test_a_measure_and_a_play_are_decimals(display: Display, mm: float) -> None:
    step = step_of(MM if display.unit == "millimetres" else DECIMALS)
    measure, play = units.format_measure(mm, display), units.format_play(mm, display)
    assert measure == units.unmarked(play)
    assert "/" not in measure
    assert abs(read_length(measure) - Fraction(mm)) <= step / 2 + Fraction(ON_GRID_MM)


@pytest.mark.source("practice", "shims are called by their thickness: 1/64 in, .005 in, 0.05 mm")
@pytest.mark.parametrize(
    ("mm", "display", "shown"),
    [
        (25.4 / 64, Display(), '1/64"'),
        (25.4 / 32, Display(denominator=8), '1/32"'),
        (25.4 * 1.25, Display(), '1-1/4"'),
        (0.127, Display(), '.005"'),
        (0.127, DECIMALS, '.005"'),
        (0.05, MM, "0.05 mm"),
        (25.0, MM, "25 mm"),
    ],
)
def test_a_shim_is_never_rounded_to_the_step_of_the_display(
    mm: float, display: Display, shown: str
) -> None:
    assert units.format_thickness(mm, display) == shown


@pytest.mark.source(*EXACT)
@given(VALUES)
def test_a_coarse_length_in_eighths(mm: float) -> None:
    shown = units.format_coarse_length(mm, DECIMALS)
    off = abs(read_length(units.unmarked(shown)) - Fraction(mm))
    assert off <= Fraction("25.4") / 16 + Fraction(ON_GRID_MM)
    assert units.is_rounded(shown) == (off > ON_GRID_MM)


@pytest.mark.source(*EXACT)
@given(VALUES, st.sampled_from([Display(), MM]))
def test_a_shown_mass_is_read_by_the_field(kg: float, display: Display) -> None:
    shown = units.format_mass(abs(kg), display)
    assume(not shown.startswith("under") and abs(kg) <= 9_000)
    unit = 1.0 if display is MM else 0.45359237
    assert parse_mass(shown, display) == pytest.approx(abs(kg), abs=0.05 * unit + 1e-9)


@pytest.mark.source(*EXACT)
@given(VALUES)
def test_angles_in_whole_arc_minutes(arcmin: float) -> None:
    shown = units.format_angle_range(arcmin)
    assert shown.startswith("±")
    assert abs(number(shown[1:-1]) - abs(Fraction(arcmin))) <= Fraction(1, 2)
    assert shown.endswith("′")


# -- counts and plain numbers ----------------------------------------------------------------------


@pytest.mark.source("method", "int of the text without its commas")
@given(st.integers(-(10**9), 10**9))
def test_a_count_has_commas_between_thousands(count: int) -> None:
    shown = units.format_count(count)
    assert int(shown.replace(",", "")) == count
    assert re.fullmatch(r"-?\d{1,3}(,\d{3})*", shown)


def power_of_ten(value: float) -> int:
    """The place of the first figure of a number: 0 for ones, -1 for tenths; -9 for what is less."""
    return next((k for k in range(9, -9, -1) if abs(Fraction(value)) >= Fraction(10) ** k), -9)


@pytest.mark.source(*EXACT)
@given(VALUES)
def test_three_figures(value: float) -> None:
    back = number(units.format_figures(value))
    step = Fraction(10) ** min(max(power_of_ten(value) - 2, -8), 0)
    assert abs(back - Fraction(value)) <= step / 2


@pytest.mark.source(*EXACT)
@given(st.floats(0.0, 1e6))
def test_a_percentage_is_near_and_a_bound_still_holds(share: float) -> None:
    near, most = (
        number(units.format_percent(share, at_most=up).removesuffix(" %")) / 100
        for up in (False, True)
    )
    assert abs(near - Fraction(share)) <= Fraction(1, 2000)
    assert Fraction(-1, 10**9) <= most - Fraction(share) <= Fraction(1, 1000)


@pytest.mark.source("method", "arithmetic by hand")
def test_percentages() -> None:
    shown = [units.format_percent(v) for v in (0, 0.0004, 0.001, 0.125, 1.0, 2.5)]
    assert shown == ["0 %", "0 %", "0.1 %", "12.5 %", "100 %", "250 %"]
    bounds = [units.format_percent(v, at_most=True) for v in (0.0, 0.1, 0.0181, 0.3333)]
    assert bounds == ["0 %", "10 %", "1.9 %", "33.4 %"]


@pytest.mark.source("method", "arithmetic by hand")
def test_figures_extents_scales_and_file_sizes() -> None:
    figures = [units.format_figures(v) for v in (0, 0.00004, 0.5, 2.25, 12.34, 123.4, 12345.6)]
    assert figures == ["0", "0.00004", "0.5", "2.25", "12.3", "123", "12,346"]
    assert units.format_extent(1016.0, 520.7, MM) == "1,016 × 521 mm"
    assert units.format_extent(1016.0, 520.7, Display()) == "40 × 20.5 in"
    scales = [units.format_scale(v) for v in (4.0, 2.5, 12.4, 1.0, 0.5, 0.4, 100.0, 0.1)]
    assert scales == ["1:4", "1:2.5", "1:12", "1:1", "2:1", "2.5:1", "1:100", "10:1"]
    sizes = [units.format_megabytes(v) for v in (0, 524_288, 64 * 2**20, 10**6)]
    assert sizes == ["0", "0.5", "64", "1"]
    assert units.format_number(1e300) == "1e+300"
    assert units.format_number(-0.0) == "0"


@pytest.mark.source("method", "arithmetic by hand: 220.45 in is 5599.43 mm")
@pytest.mark.expectation(58)
def test_only_a_leading_zero_is_left_out_in_inches() -> None:
    assert units.format_deviation(220.45 * 25.4, Display()) == "+220.45 in"
    assert units.format_deviation(-20.04 * 25.4, Display()) == "−20.04 in"
    assert units.format_deviation(0.45 * 25.4, Display()) == "+.45 in"
    assert units.format_slope(10.5 / 0.012, Display()) == "+10.500"
    assert units.format_slope(-8.7, Display()) == "−.104"
    assert units.format_slope(0.01, MM) == "<0.1"
    assert units.format_slope(-0.01, Display()) == "<.001"
    assert units.format_fineness(0.01, Display()) == ".0004 in"
    assert units.format_fineness(0.01, MM) == "0.01 mm"


@pytest.mark.source("practice", "a number too small to show is not said to be 0")
@pytest.mark.expectation(55, 58, 60)
def test_small_numbers_are_honest() -> None:
    assert units.format_deviation(0.04, MM) == "under 0.1 mm"
    assert units.format_deviation(0.1, Display()) == "under .01 in"
    assert units.format_deviation(-0.0, MM) == "0 mm"
    assert units.format_deviation_range(-1.26, MM) == "±1.3 mm"
    assert units.format_angle_error(0.04) == "<0.1′"
    assert units.format_angle_error(-0.04, "under ") == "under 0.1′"
    assert units.format_angle_error(-0.06) == "−0.1′"
    assert units.format_angle_error(0.0) == "0"
    assert units.format_slope(0.0, MM) == "0"


def test_in_both_systems_the_other_follows_in_brackets() -> None:
    both, metric = units.dual(Display()), units.dual(MM)
    assert (both.first, both.second) == (Display(), MM)
    assert (metric.first, metric.second) == (MM, Display(unit="inch decimals"))
    assert units.format_length(38.1, both) == '1-1/2" (38.1 mm)'
    assert units.format_length(38.1, metric) == '38.1 mm (1.500")'
    assert units.format_measure(38.0, both) == '1.496" (38 mm)'
    assert units.format_play(0.3, metric) == '0.3 mm (≈.012")'
    assert units.format_thickness(25.4 / 64, both) == '1/64" (≈0.4 mm)'
    assert units.format_mass(1.0, both) == "2.2 lb (1.0 kg)"
    assert units.format_force(150.0, metric) == "150 N (34 lb)"
    assert units.format_deviation(-0.5, both) == "−.02 in (−0.5 mm)"
    assert units.format_deviation_range(0.5, metric) == "±0.5 mm (±.02 in)"
    assert units.format_coordinate(52.3875, both) == "2-1/16 (≈52.4 mm)"
    assert units.format_area(645.16, metric) == "6.45 cm² (1.000 in²)"
