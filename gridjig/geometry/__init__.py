"""Plane geometry: poses, outlines, where parts lie and what they weigh."""

from .pose import Pose, unit, wrap

__all__ = ["Pose", "unit", "wrap"]
