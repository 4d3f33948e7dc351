"""What the two pin holes of a plate are called: by the side on which each lies, as on the table."""

from .piece import Ident, Point


def pin_hole_ids(first: Point, second: Point) -> tuple[Ident, Ident]:
    """Return the names of two pin holes: left and right, or front and back if they lie so."""
    across, along = second[0] - first[0], second[1] - first[1]
    low, high = ("left", "right") if abs(across) >= abs(along) else ("front", "back")
    if (across if low == "left" else along) < 0.0:
        low, high = high, low
    return (f"{low}-pin-hole", f"{high}-pin-hole")
