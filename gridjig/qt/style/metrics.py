"""Screen millimetres: how large a target is to a finger, a glove or a mouse on this screen.

Everything that is caught, dragged or tapped is sized here, in real millimetres; nothing else in
the window may count pixels for a target.
"""

from typing import Literal

from msgspec import Struct, structs
from PySide6.QtGui import QScreen

PointerMeans = Literal["mouse", "touch"]

CARD_WIDTH_MM = 85.6  # an ISO 7810 card, from memory: what the screen is calibrated with
_USUAL_PX_PER_MM = 96.0 / 25.4


class Metrics(Struct, frozen=True):
    """Logical pixels per millimetre of the screen, and whether the person wears gloves."""

    px_per_mm: float = _USUAL_PX_PER_MM
    glove: bool = False

    def px(self, mm: float) -> float:
        """Logical pixels for a length on the screen in mm."""
        return mm * self.px_per_mm

    def whole(self, mm: float) -> int:
        """The same in whole pixels, at least 1."""
        return max(1, round(self.px(mm)))

    @property
    def target(self) -> int:
        """Side of the smallest touch target, px: 9 mm, with gloves 20 mm."""
        return self.whole(20.0 if self.glove else 9.0)

    @property
    def gap(self) -> int:
        """Least gap between touch targets, px: 2 mm, with gloves 4 mm."""
        return self.whole(4.0 if self.glove else 2.0)

    def drag_start(self, means: PointerMeans) -> float:
        """How far a press must travel to be a drag, in screen mm."""
        if self.glove:
            return 5.0
        return 2.7 if means == "touch" else 4.0 / self.px_per_mm

    def grip(self, means: PointerMeans) -> float:
        """Radius in screen mm within which a press catches a thing: 24 px, 9 mm or 20 mm across."""
        if self.glove:
            return 10.0
        return 4.5 if means == "touch" else 12.0 / self.px_per_mm

    def with_glove(self, glove: bool) -> "Metrics":
        """The same screen, with or without gloves."""
        return structs.replace(self, glove=glove)


def measure(screen: QScreen | None, calibrated: float = 0.0, glove: bool = False) -> Metrics:
    """Metrics of a screen.  `calibrated` is px per mm as the person measured it; 0 if never."""
    if calibrated > 0:
        return Metrics(calibrated, glove)
    if screen is None:
        return Metrics(glove=glove)
    claimed = screen.physicalDotsPerInch() / 25.4
    # Screens lie about their size (projectors, virtual ones); beyond these bounds none exists.
    if not 2.0 <= claimed <= 16.0:
        claimed = screen.logicalDotsPerInch() / 25.4
    return Metrics(claimed, glove)


def calibrate(card_px: float) -> float:
    """Px per mm from the length in px at which a drawn card is as wide as a real one."""
    return card_px / CARD_WIDTH_MM
