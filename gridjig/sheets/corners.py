"""Corners of an outline as typed text, and back; sizes of outlines by their bounding box."""

from gridjig.rack import Point
from gridjig.units import Display, Misread, Unit, format_length, parse_length

_EXACT = 1e-6
ACCEPTS = "type pairs such as 0, 0; 24, 0; 24, 2; 0, 2"


def corners_words(corners: tuple[Point, ...], display: Display) -> str:
    """Corners as one text, "0, 0; 24, 0; 24, 2"; what the display would round is in decimals."""
    return "; ".join(f"{_exact(x, display)}, {_exact(y, display)}" for x, y in corners)


def _exact(mm: float, display: Display) -> str:
    shown = format_length(mm, display)
    if shown.startswith("≈"):
        return _decimals(mm, display)
    return shown.removesuffix('"').removesuffix(" mm")


def _decimals(mm: float, display: Display) -> str:
    """A length that the display rounds: in inches, but for one that is round only in mm."""
    in_mm = f"{mm:.4f}".rstrip("0").rstrip(".")
    inches = f"{mm / 25.4:.4f}".rstrip("0").rstrip(".")
    if display.unit == "millimetres":
        return f"{in_mm} mm"
    if abs(float(inches) * 25.4 - mm) < _EXACT:
        return inches
    return f"{in_mm} mm" if abs(float(in_mm) - mm) < _EXACT else f"{mm / 25.4:.6f}".rstrip("0")


def read_corners(text: str, unit: Unit) -> tuple[Point, ...]:
    """Corners from text; a bare number counts in `unit`.  Raises Misread with the place."""
    corners: list[Point] = []
    start = 0
    for part in text.split(";"):
        if part.strip():
            numbers = part.split(",")
            if len(numbers) != 2:
                raise Misread(
                    text, start, f"“{part.strip()}” is not a corner of two lengths; {ACCEPTS}"
                )
            try:
                corners.append((parse_length(numbers[0], unit), parse_length(numbers[1], unit)))
            except Misread as fault:
                raise Misread(text, start, fault.why) from None
        start += len(part) + 1
    if len(corners) < 3:
        raise Misread(text, None, f"an outline needs at least three corners; {ACCEPTS}")
    return tuple(corners)


def boxed_size(corners: tuple[Point, ...]) -> tuple[float, float]:
    """Width and depth of the box round corners, mm."""
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return (max(xs) - min(xs), max(ys) - min(ys))


def sized(
    corners: tuple[Point, ...], width: float | None, depth: float | None
) -> tuple[Point, ...]:
    """The corners stretched to a width or depth of their box (mm), its low corner staying.

    ValueError in words for a size that is not greater than 0.
    """
    wide, deep = boxed_size(corners)
    if min(wide if width is None else width, deep if depth is None else depth) <= 0:
        raise ValueError("a size must be greater than 0")
    low_x, low_y = min(c[0] for c in corners), min(c[1] for c in corners)
    scale_x = 1.0 if width is None else width / wide
    scale_y = 1.0 if depth is None else depth / deep
    return tuple((low_x + (x - low_x) * scale_x, low_y + (y - low_y) * scale_y) for x, y in corners)
