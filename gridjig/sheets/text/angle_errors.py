"""The error of an angle, as an angle and as a slope."""

from gridjig.model import Display


def in_metric(display: Display) -> bool:
    """True where errors are in mm per metre, not in inches per foot."""
    return display.unit == "millimetres"
