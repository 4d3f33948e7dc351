"""The plan as a picture file: the whole table, or the part that a view shows, as PNG.

The same layer that the canvas shows is painted, so that the picture is what is on the screen.
"""

from collections.abc import Sequence

from PySide6.QtCore import QBuffer, QIODevice, QRect, QSize
from PySide6.QtGui import QFont, QGuiApplication, QImage, QPainter, QRegion

from gridjig.checks.finding import Finding, marked_ids, sign_places
from gridjig.geometry.box_index import Box
from gridjig.model import Job
from gridjig.proof.report import prove
from gridjig.qt.paint.view import View, fitted, plate_fitted
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES, Theme
from gridjig.session.document import Document

from .plan_layer import PlanLayer

USUAL_WIDTH = 2000
LEAST_WIDTH, MOST_WIDTH = 200, 10_000
"""Widths of a picture, px; the widest takes up to 400 MB while it is painted."""
_LETTERED_FOR, _LETTERED_SMALL = 1200.0, 480.0
"""The width, px, at which letters and lines have their size on a screen; of a part of the table."""


class Unpictured(Exception):  # noqa: N818  (it says what was not done)
    """The picture could not be painted; str() gives one sentence."""


def plan_png(
    job: Job,
    width: int = USUAL_WIDTH,
    theme: Theme | None = None,
    findings: Sequence[Finding] | None = None,
    of: Box | None = None,
) -> bytes:
    """Return the whole table with what stands on it as the bytes of a PNG, `width` px wide.

    `findings` are those of the job, looked for if they are not given.  With `of`, a box in mm, only
    that of the table is shown, at a larger scale.  Raises Unpictured if that fails.
    """
    program = QGuiApplication.instance() or QGuiApplication(["gridjig", "-platform", "offscreen"])
    metrics = Metrics()
    across = _LETTERED_FOR if of is None else _LETTERED_SMALL
    dots = width / across
    table = job.table
    # As high as the table is deep, with the border that a fitted view leaves round it.
    around = 2.0 * metrics.px(14.0)
    inner = max(across - around, 1.0)
    high = min(max(inner * table.depth / table.width + 1.4 * around, 300.0), 4.0 * across)
    view = plate_fitted(table, across, high, metrics)
    if of is not None:
        high = across * min(max((of[3] - of[1]) / max(of[2] - of[0], 1.0), 0.5), 1.5)
        view = fitted((of[0], of[1]), (of[2], of[3]), across, high, 0.0)
    size = QSize(width, round(high * dots))
    made = _painted(job, theme or THEMES["light"], metrics, dots, size, view, findings)
    del program
    return made


def _painted(
    job: Job,
    theme: Theme,
    metrics: Metrics,
    dots: float,
    size: QSize,
    view: View,
    findings: Sequence[Finding] | None,
) -> bytes:
    document = Document(job)
    font = QFont("DejaVu Sans")
    font.setPointSizeF(9.0)
    layer = PlanLayer(theme, metrics, dots, font, job, size)
    found = prove(job, document.placed_pieces).findings if findings is None else findings
    contacts = document.contacts if job.parts else None
    layer.sync(document, *marked_ids(found), sign_places(found), contacts)
    layer.look_at(view.times(dots), passing=False)
    picture = QImage(size, QImage.Format.Format_RGB32)
    if picture.isNull():
        raise Unpictured("There is not enough memory for a picture of that size; make it smaller.")
    picture.fill(theme.colour("desk"))
    # At this resolution the scale that stands beside the bar is the true one.
    per_metre = round(metrics.px_per_mm * dots * 1000.0)
    picture.setDotsPerMeterX(per_metre)
    picture.setDotsPerMeterY(per_metre)
    with QPainter(picture) as painter:
        layer.paint(painter, QRegion(QRect(0, 0, size.width(), size.height())), [], None)
    return png_bytes(picture)


def png_bytes(picture: QImage) -> bytes:
    """Return a picture as the bytes of a PNG.  Raises Unpictured if that fails."""
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    if picture.isNull() or not picture.save(made, "PNG"):  # type: ignore[call-overload]
        raise Unpictured("The picture could not be painted; make it smaller.")
    return bytes(made.data().data())
