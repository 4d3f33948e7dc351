"""Lengths as shown for special purposes (to measure, to name, to type again), and areas.

For everything else there is `format_length`.
"""

from collections.abc import Iterable

from .decimals import fixed, format_figures, is_rounded, unmarked
from .display import Display, DualDisplay, Unit, in_both
from .lengths import INCH, format_length

_SAME = 1e-6  # mm; lengths closer than this are equal


def _metric(display: Display) -> bool:
    return display.unit == "millimetres"


def _decimal(display: Display) -> Display:
    """Millimetres, or decimal inches if lengths are in inches."""
    unit: Unit = "millimetres" if _metric(display) else "inch decimals"
    return Display(unit=unit)


@in_both
def format_measure(mm: float, display: Display) -> str:
    """A length to set or measure, never as a fraction and without ≈: 12.3 mm, .110"."""
    return unmarked(format_length(mm, _decimal(display)))


_HAIR = 0.005
"""mm; a fifth of a thousandth of an inch: nobody sets or measures that finely."""


@in_both
def format_setting(mm: float, display: Display) -> str:
    """A length to set or to measure: in fractions only where one is exact, else in decimals.

    What is less than a hair off a step of the display is on it: a turned weldment is not exact.
    """
    step = _step(display)
    near = round(mm / step) * step
    mm = near if abs(mm - near) < _HAIR else round(mm, 6) + 0.0
    shown = format_length(mm, display)
    if display.unit != "inch fractions" or not is_rounded(shown):
        return shown
    return format_measure(mm, display)


def _step(display: Display) -> float:
    """The finest length that a display shows, mm."""
    if _metric(display):
        return 0.1
    return INCH / (display.denominator if display.unit == "inch fractions" else 1000)


def format_thickness(mm: float, display: Display) -> str:
    """The thickness of a shim, which is never rounded to the display's step: 1/64", .005", 0.05 mm.

    In inch fractions it is a fraction if it is one, as fine as a 64th; otherwise it is a decimal.
    """
    if isinstance(display, DualDisplay):
        return f"{format_thickness(mm, display.first)} ({format_play(mm, display.second)})"
    if _metric(display):
        return format_millimetres(mm)
    if display.unit == "inch fractions":
        shown = format_length(mm, Display(denominator=64))
        if not is_rounded(shown):
            return shown
    return format_measure(mm, display)


@in_both
def format_play(mm: float, display: Display) -> str:
    """A play or a small distance, far below a fraction of an inch: .013", ≈0.3 mm."""
    return format_length(mm, _decimal(display))


def format_dimension(mm: float, display: Display) -> str:
    """A dimension on a drawing that names its unit once: millimetres stand bare (ISO 129-1)."""
    shown = format_length(mm, display)
    return _bare(shown, display) if _metric(display) else shown


@in_both
def format_coarse_length(mm: float, display: Display) -> str:
    """A length to a whole mm (with the unit in the heading) or an eighth of an inch.

    For information, not for setting anything.
    """
    if _metric(display):
        return fixed(mm, 0)
    return format_length(mm, Display(unit="inch fractions", denominator=8))


@in_both
def format_fineness(mm: float, display: Display) -> str:
    """The resolution of a comparison: 0.01 mm, .0004 in."""
    if _metric(display):
        return format_millimetres(mm)
    return f"{fixed(mm / INCH, 4, point_first=True)} in"


def format_millimetres(mm: float) -> str:
    """A fixed size in mm whatever the display, as short as possible: 0.05 mm, 85.6 mm."""
    return f"{fixed(mm, 6, trim=True)} mm"


def format_extent(width: float, depth: float, display: Display) -> str:
    """The size of something to three figures: 1,235 × 420 mm, 12.3 × 4 in."""
    per, unit = (1.0, "mm") if _metric(display) else (INCH, "in")
    return f"{format_figures(width / per)} × {format_figures(depth / per)} {unit}"


@in_both
def format_area(mm2: float, display: Display) -> str:
    """The area of a section: 5.89 cm², or 0.913 in² if lengths are in inches."""
    if display.unit == "millimetres":
        return f"{fixed(mm2 / 100.0, 2)} cm²"
    return f"{fixed(mm2 / INCH**2, 3)} in²"


@in_both
def format_volume(mm3: float, display: Display) -> str:
    """A small volume: 12.5 cm³, or 0.76 in³ if lengths are in inches."""
    if display.unit == "millimetres":
        return f"{fixed(mm3 / 1000.0, 1)} cm³"
    return f"{fixed(mm3 / INCH**3, 2)} in³"


def format_coordinate(mm: float, display: Display) -> str:
    """A length in a form that can be typed in again, exact and bare if possible: 5-3/8, 2.0625.

    What the display would round is given in decimal inches, or in mm if it is exact only there;
    what is exact in neither gets six decimals of an inch, or four of a mm.  In brackets, where both
    systems are shown, it is a length to read.
    """
    if isinstance(display, DualDisplay):
        return f"{format_coordinate(mm, display.first)} ({format_length(mm, display.second)})"
    shown = format_length(mm, display)
    if not is_rounded(shown):
        return _bare(shown, display)
    in_mm, inches = fixed(mm, 4, trim=True), fixed(mm / INCH, 4, trim=True)
    if _metric(display):
        return f"{in_mm} mm"
    if abs(round(mm / INCH, 4) * INCH - mm) < _SAME:
        return inches
    if abs(round(mm, 4) - mm) < _SAME:
        return f"{in_mm} mm"
    return fixed(mm / INCH, 6, trim=True)


def size_name(lengths: Iterable[float], display: Display) -> str:
    """The name of a section from its sizes: 45x45x2, 1-3/4x1-3/4x1/8."""
    return "x".join(unmarked(_bare(format_length(mm, display), display)) for mm in lengths)


def _bare(shown: str, display: Display) -> str:
    """A length as shown without its unit, as a field in that unit reads it."""
    return shown.removesuffix(" mm" if _metric(display) else '"')
