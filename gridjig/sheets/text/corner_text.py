"""Corners of an outline as typed text, and back; sizes of outlines by their bounding box."""

from gridjig.rack import Point
from gridjig.units import Display, ParseError, Unit, format_coordinate, parse_length

ACCEPTS = "type pairs such as 0, 0; 24, 0; 24, 2; 0, 2"


def corners_words(corners: tuple[Point, ...], display: Display) -> str:
    """Return corners as one string, "0, 0; 24, 0; 24, 2", with decimals instead of rounding."""
    return "; ".join(
        f"{format_coordinate(x, display)}, {format_coordinate(y, display)}" for x, y in corners
    )


def read_corners(text: str, unit: Unit) -> tuple[Point, ...]:
    """Return corners read from text, bare numbers in `unit`.  Raise ParseError with the place."""
    corners: list[Point] = []
    start = 0
    for part in text.split(";"):
        if part.strip():
            numbers = part.split(",")
            if len(numbers) != 2:
                raise ParseError(
                    text, start, f"“{part.strip()}” is not a corner of two lengths; {ACCEPTS}"
                )
            try:
                corners.append((parse_length(numbers[0], unit), parse_length(numbers[1], unit)))
            except ParseError as fault:
                raise ParseError(text, start, fault.why) from None
        start += len(part) + 1
    if len(corners) < 3:
        raise ParseError(text, None, f"an outline needs at least three corners; {ACCEPTS}")
    return tuple(corners)


def boxed_size(corners: tuple[Point, ...]) -> tuple[float, float]:
    """Return the width and depth of the box round corners, mm."""
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return (max(xs) - min(xs), max(ys) - min(ys))


def sized(
    corners: tuple[Point, ...], width: float | None, depth: float | None
) -> tuple[Point, ...]:
    """Return the corners stretched to a width or depth of their box (mm), its low corner fixed.

    Raise ValueError with a sentence for a size that is not greater than 0.
    """
    wide, deep = boxed_size(corners)
    if min(wide if width is None else width, deep if depth is None else depth) <= 0:
        raise ValueError("a size must be greater than 0")
    low_x, low_y = min(c[0] for c in corners), min(c[1] for c in corners)
    scale_x = 1.0 if width is None else width / wide
    scale_y = 1.0 if depth is None else depth / deep
    return tuple((low_x + (x - low_x) * scale_x, low_y + (y - low_y) * scale_y) for x, y in corners)
