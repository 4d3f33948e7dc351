"""The states of a hole in words."""

from gridjig.model import MarkedState

HOLE_STATES: tuple[tuple[MarkedState, str, str], ...] = (
    ("blocked", "Blocked", "a rib or leg is below it"),
    ("shallow", "Shallow", "a pin goes in only this deep"),
    ("oversize", "Oversize", "worn, so a pin is loose in it"),
    ("damaged", "Damaged", "it does not hold a pin"),
    ("reserved", "Reserved", "kept for something else"),
    ("free", "Clear", "takes the mark away"),
)
"""What a hole can be marked as: its name and meaning."""
