"""Screen millimetres: how large targets must be for a finger, a glove or a mouse on this screen.

Everything that is clicked, dragged or tapped is sized here, in real millimetres; no other code in
the window may size a target in pixels.
"""

from typing import Literal

from msgspec import Struct, structs
from PySide6.QtGui import QScreen

from gridjig.files.storage.settings import Settings

PointerMeans = Literal["mouse", "touch"]

CARD_WIDTH_MM = 85.6  # an ISO 7810 card, from memory: used to calibrate the screen
_USUAL_PX_PER_MM = 96.0 / 25.4


GLOVE_PERCENT = 120
"""The least text size in glove mode, so that the letters suit the targets."""


class Metrics(Struct, frozen=True):
    """Logical pixels per millimetre of the screen, whether the user wears gloves, and the text size
    that the user chose, as a percentage of the system's.
    """

    px_per_mm: float = _USUAL_PX_PER_MM
    glove: bool = False
    text_percent: int = 100

    @property
    def letters(self) -> float:
        """Return how large letters are, as a multiple of the system's size."""
        return max(self.text_percent, GLOVE_PERCENT if self.glove else 0) / 100.0

    def grown(self, mm: float) -> int:
        """Return a length that grows with the letters, whole px: an icon, a padding."""
        return self.whole(mm * self.letters)

    def px(self, mm: float) -> float:
        """Return a length on the screen, mm, in logical pixels."""
        return mm * self.px_per_mm

    def whole(self, mm: float) -> int:
        """Return the same in whole pixels, at least 1."""
        return max(1, round(self.px(mm)))

    @property
    def target(self) -> int:
        """Return the side of the smallest touch target, px: 9 mm, with gloves 20 mm."""
        return self.whole(20.0 if self.glove else 9.0)

    @property
    def gap(self) -> int:
        """Return the least gap between touch targets, px: 2 mm, with gloves 4 mm."""
        return self.whole(4.0 if self.glove else 2.0)

    @property
    def height(self) -> int:
        """Return the least height of what is pressed and has words in it, px."""
        return max(self.target, self.grown(6.5))

    @property
    def divider(self) -> int:
        """Return how wide the line between two panes is, px.

        With gloves it is a bar of 6 mm, as long as the panes: 20 mm would take a tenth of a small
        screen from the plan.  A line of 1 px is caught by Qt from 2 px beside it, too.
        """
        return self.whole(6.0) if self.glove else 1

    @property
    def row(self) -> int:
        """Return the least height of a line in a list or a menu, px."""
        return self.target if self.glove else max(24, self.grown(6.5))

    def drag_start(self, means: PointerMeans) -> float:
        """Return how far a press must move to count as a drag, in screen mm."""
        if self.glove:
            return 5.0
        return 2.7 if means == "touch" else 4.0 / self.px_per_mm

    def grip(self, means: PointerMeans) -> float:
        """Return the radius in screen mm within which a press hits a thing: 24 px, 9 mm or 20 mm
        across.
        """
        if self.glove:
            return 10.0
        return 4.5 if means == "touch" else 12.0 / self.px_per_mm

    def with_glove(self, glove: bool) -> "Metrics":
        """Return the metrics of the same screen with or without gloves."""
        return structs.replace(self, glove=glove)


def measure(
    screen: QScreen | None, calibrated: float = 0.0, glove: bool = False, text_percent: int = 100
) -> Metrics:
    """Return the metrics of a screen.  `calibrated` is px per mm as measured by the user, or 0."""
    if calibrated > 0:
        return Metrics(calibrated, glove, text_percent)
    if screen is None:
        return Metrics(glove=glove, text_percent=text_percent)
    claimed = screen.physicalDotsPerInch() / 25.4
    # Some screens report a false size (projectors, virtual ones); none has a density outside these
    # bounds.
    if not 2.0 <= claimed <= 16.0:
        claimed = screen.logicalDotsPerInch() / 25.4
    return Metrics(claimed, glove, text_percent)


def measured(screen: QScreen | None, chosen: Settings) -> Metrics:
    """Return the metrics of a screen with a user's settings."""
    return measure(screen, chosen.px_per_mm, chosen.glove, chosen.text_percent)


def calibrate(card_px: float) -> float:
    """Return px per mm, from the width in px at which a drawn card matches a real one."""
    return card_px / CARD_WIDTH_MM
