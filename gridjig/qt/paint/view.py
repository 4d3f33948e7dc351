"""Where the table is on the screen: scale and offset, and how they change.

Plain numbers in logical pixels, independent of any widget.  Every change gives a new value, so that
a gesture can be computed from where it began.
"""

from msgspec import Struct, structs

from gridjig.model import Table
from gridjig.qt.style.metrics import Metrics
from gridjig.rack import Point

_SAME = 1e-9
FIT_MARGIN_MM = 13.5
"""Space on the screen for the border's bands around a fitted plate."""
_BAR_MM = 4.5  # and, below, for the scale bar
LEAST = 0.02  # px per table mm: a 20 m table on a small screen
MOST = 100.0  # px per table mm: a tenth of a millimetre is 10 px


class View(Struct, frozen=True):
    """`scale` in px per table mm; (left, top) is where the table's origin lies, px, y down."""

    scale: float = 1.0
    left: float = 0.0
    top: float = 0.0

    def to_screen(self, p: Point) -> Point:
        """Convert a point of the table to px."""
        return (self.left + self.scale * p[0], self.top - self.scale * p[1])

    def to_table(self, p: Point) -> Point:
        """Convert a point of the screen to table mm."""
        return ((p[0] - self.left) / self.scale, (self.top - p[1]) / self.scale)

    def panned(self, dx: float, dy: float) -> "View":
        """Return the view shifted by px."""
        return structs.replace(self, left=self.left + dx, top=self.top + dy)

    def zoomed(self, factor: float, about: Point) -> "View":
        """Return the view scaled within the limits; the table point under `about` (px)
        stays there.
        """
        scale = min(max(self.scale * factor, LEAST), MOST)
        x, y = self.to_table(about)
        return View(scale, about[0] - scale * x, about[1] + scale * y)

    def times(self, ratio: float) -> "View":
        """Return the same view in finer pixels (device pixels)."""
        return View(self.scale * ratio, self.left * ratio, self.top * ratio)

    def box(self, width: float, height: float) -> tuple[Point, Point]:
        """Return the lower left and upper right corners of what a window of that size shows, table
        mm.
        """
        x1, y1 = self.to_table((0.0, height))
        x2, y2 = self.to_table((width, 0.0))
        return (x1, y1), (x2, y2)


def fitted(
    low: Point, high: Point, width: float, height: float, margin: float, least: float = LEAST
) -> View:
    """Return the view that shows a box of the table whole and centred, with `margin` px around it,
    at no less than the given scale.
    """
    wide = max(high[0] - low[0], 1e-3)
    deep = max(high[1] - low[1], 1e-3)
    room_x = max(width - 2 * margin, 1.0)
    room_y = max(height - 2 * margin, 1.0)
    scale = min(max(min(room_x / wide, room_y / deep), least), MOST)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    return centred(scale, middle, width, height)


def centred(scale: float, middle: Point, width: float, height: float) -> View:
    """Return the view of that scale with a table point at the centre of the window."""
    return View(scale, width / 2 - scale * middle[0], height / 2 + scale * middle[1])


def plate_fitted(table: Table, width: float, height: float, metrics: Metrics) -> View:
    """Return the view that shows the whole plate with its border in a window of that size."""
    high = height - metrics.px(_BAR_MM)
    margin = metrics.px(FIT_MARGIN_MM)
    return fitted((0.0, 0.0), (table.width, table.depth), width, high, margin)


def still_fitted(
    view: View, table: Table, width: float, height: float, metrics: Metrics, around: float
) -> bool:
    """Return True if a view shows the plate, with `around` px about it, whole in a window of that
    size, and fitting it again would not show it larger.
    """
    left, top = view.to_screen((0.0, table.depth))
    right, bottom = view.to_screen((table.width, 0.0))
    whole = min(left, top) >= around and right + around <= width and bottom + around <= height
    best = plate_fitted(table, width, height, metrics)
    return whole and best.scale <= view.scale * (1.0 + _SAME)
