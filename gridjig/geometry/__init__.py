"""Plane geometry that knows no piece: poses and outlines."""

from .pose import Pose, unit, wrap

__all__ = ["Pose", "unit", "wrap"]
