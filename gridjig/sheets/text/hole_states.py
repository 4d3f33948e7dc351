"""The states of a hole in words."""

from gridjig.model import MarkedState

HOLE_STATES: tuple[tuple[MarkedState, str, str], ...] = (
    ("blocked", "Blocked", "a rib or leg lies below"),
    ("shallow", "Shallow", "a pin goes in this deep"),
    ("oversize", "Oversize", "worn wider, more play"),
    ("damaged", "Damaged", "no pin holds in it"),
    ("reserved", "Reserved", "kept for something else"),
    ("free", "Free", "good again"),
)
"""What a hole can be marked as: its name and meaning."""
