"""Which drawings of a report there are; kept apart, because drawing them loads numpy."""

from typing import Literal

ProofDrawing = Literal["motion", "reactions", "errors", "torch", "ways out"]
