"""Typed lengths and angles, and how they are shown.  Knows only numbers and text."""

from .display import Display, Unit

__all__ = ["Display", "Unit"]
