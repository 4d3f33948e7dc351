"""What a person chooses for a sheet: paper, orientation, scale, units, large print."""

from typing import Literal, get_args

from msgspec import Struct

Paper = Literal["A4", "A3", "Letter", "Tabloid"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
Orientation = Literal["portrait", "landscape"]
SheetUnits = Literal["job", "both"]

SIZES: dict[Paper, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}
"""Width and height upright, mm: ISO 216, and ANSI A and B."""

SCALES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0)
"""The reduction scales of ISO 5455, as the mm that one mm on paper stands for."""


class SheetChoices(Struct, frozen=True, kw_only=True):
    """How a setup sheet is made.  `scale` None is the largest at which the table fits the page."""

    paper: Paper = "A4"
    orientation: Orientation = "landscape"
    scale: float | None = None
    units: SheetUnits = "job"
    large: bool = False

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of a page as it is held, mm."""
        short, long = SIZES[self.paper]
        return (short, long) if self.orientation == "portrait" else (long, short)


def fitting_scale(width: float, depth: float, room: tuple[float, float]) -> float | None:
    """Return the largest scale of ISO 5455 at which something fits; None if none does."""
    for scale in SCALES:
        if width / scale <= room[0] + 1e-6 and depth / scale <= room[1] + 1e-6:
            return scale
    return None
