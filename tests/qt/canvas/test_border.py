"""The addresses along the plate's edges: which are written, whole, and the one pointed at."""

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QRegion
from PySide6.QtWidgets import QApplication

from gridjig.files.library.assets import ready_tables
from gridjig.model import Display, Hole, Table
from gridjig.model.labels import label
from gridjig.qt.canvas.border import Border
from gridjig.qt.paint.glyphs import EdgeLabel, Glyphs
from gridjig.qt.paint.lettering import Lettering
from gridjig.qt.paint.view import View, plate_fitted
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES

WIDE, HIGH = 900, 700
METRICS = Metrics()


def lettering(points: float = 10.0) -> Lettering:
    font = QFont(QApplication.font())
    font.setPointSizeF(points)
    return Lettering(THEMES["light"], METRICS.px_per_mm, 1.0, font)


def drawn(table: Table, view: View, at: Hole | None = None) -> tuple[Border, QImage]:
    border = Border(lettering(), table, Display())
    image = QImage(WIDE, HIGH, QImage.Format.Format_RGB32)
    image.fill(QColor("#ff00ff"))
    with QPainter(image) as painter:
        border.draw(painter, view, (WIDE, HIGH), QRegion(image.rect()), at)
    return border, image


@pytest.mark.expectation(70)
@pytest.mark.parametrize("points", [10.0, 15.0, 20.0, 28.0])
@pytest.mark.parametrize("name", ["2400x1200-50", "48x96-5/8"])
def test_the_band_has_room_for_the_widest_row_label_in_any_letters(
    qapp: QApplication, name: str, points: float
) -> None:
    letters, table = lettering(points), ready_tables()[name]
    border = Border(letters, table, Display())
    widest = max(letters.width(label(table, "row", row), "small") for row in range(table.rows))
    assert border.band >= widest


@pytest.mark.parametrize("name", ["48x96-5/8", "2400x1200-50", "48x48-5/8"])
def test_addresses_begin_with_the_first(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    written: list[list[EdgeLabel]] = []
    monkeypatch.setattr(
        Glyphs, "write", lambda self, painter, placed: written.append([p[0] for p in placed])
    )
    table = ready_tables()[name]
    drawn(table, plate_fitted(table, WIDE, HIGH, METRICS))
    assert [band[0].count for band in written] == [1] * len(written)
    assert len(written) >= 2  # one band along x and one along y, more where both sides have one


def test_few_addresses_are_the_first_and_round_numbers(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[list[int]] = []
    monkeypatch.setattr(
        Glyphs, "write", lambda self, painter, placed: written.append([p[0].count for p in placed])
    )
    table = ready_tables()["48x48-5/8"]
    drawn(table, View(0.1, 300, 400))
    assert {tuple(band) for band in written} <= {(1, 5, 10, 15, 20), (1, 10, 20), (1, 20)}
    assert written


def ink(image: QImage, box: QRect) -> int:
    """How many dots of a box are not the desk."""
    desk = THEMES["light"].colour("desk").rgb()
    return sum(
        image.pixel(x, y) != desk
        for x in range(box.left(), box.right() + 1)
        for y in range(box.top(), box.bottom() + 1)
    )


def test_the_last_address_is_whole(qapp: QApplication) -> None:
    table = ready_tables()["48x96-5/8"]
    view = View(0.45, -400.0, 640.0)  # its right edge in view, the last column near it
    border, image = drawn(table, view)
    x2, _ = view.to_screen((table.width, 0.0))
    top = border.bands(view, (WIDE, HIGH))["top"]
    assert top.right() > round(x2)
    past = QRect(top.right(), top.top(), 1, top.height())
    assert not ink(image, past)  # nothing is cut at the band's end


def test_half_hidden_neighbours_of_the_address_pointed_at_are_hidden_whole(
    qapp: QApplication,
) -> None:
    table = ready_tables()["48x96-5/8"]
    view = plate_fitted(table, WIDE, HIGH, METRICS)
    at = Hole(27, 5)
    border, image = drawn(table, view, at)
    box, hidden = border._marked(view, (WIDE, HIGH), at)["top"]
    assert hidden
    for other in hidden:
        left = QRect(other.left(), other.top(), max(0, box.left() - other.left()), other.height())
        right = QRect(
            box.right() + 1, other.top(), max(0, other.right() - box.right()), other.height()
        )
        assert not ink(image, left)
        assert not ink(image, right)
    asked = border.labels_of(view, (WIDE, HIGH), at)
    assert all(other in asked for other in (box, *hidden))  # they are painted again when it leaves


def test_the_mark_of_a_hole_follows_the_view(qapp: QApplication) -> None:
    table = ready_tables()["48x96-5/8"]
    fitted = plate_fitted(table, WIDE, HIGH, METRICS)
    border, _ = drawn(table, fitted)
    seen = []
    for view in (fitted, fitted.panned(40, 25), View(0.45, -400.0, 640.0), fitted):
        for col in range(30):  # more holes than are kept
            at = Hole(col, 5)
            fresh, _ = drawn(table, view)
            boxes = border.labels_of(view, (WIDE, HIGH), at)
            assert boxes == fresh.labels_of(view, (WIDE, HIGH), at)
            seen.append(tuple(place.getRect() for place in boxes))
    assert len(set(seen)) == 90  # each of the three views has its own


def test_words_on_paper_of_their_own_stay_in_the_picture(qapp: QApplication) -> None:
    image = QImage(300, 60, QImage.Format.Format_RGB32)
    letters = lettering()
    paper = THEMES["light"].colour("paper").rgb()
    words = "H6 is taken by the round pin"
    for at in (2.0, 298.0):
        image.fill(QColor("#ff00ff"))
        with QPainter(image) as painter:
            letters.write(painter, words, (at, 30.0), QColor("black"), cleared=True)
        row = [image.pixel(x, 14 if image.pixel(150, 14) == paper else 26) for x in range(300)]
        assert sum(pixel != QColor("#ff00ff").rgb() for pixel in row) >= letters.width(words)
    image.fill(QColor("#ff00ff"))
    with QPainter(image) as painter:  # what is far away is not drawn in
        letters.write(painter, words, (-400.0, 30.0), QColor("black"), cleared=True)
    assert image.pixel(5, 26) == QColor("#ff00ff").rgb()


def test_undo_takes_the_hole_from_under_the_pointer(qapp: QApplication) -> None:
    """The address of a hole that a smaller table has not got once ended in an exception."""
    table = ready_tables()["48x48-5/8"]
    view = plate_fitted(table, WIDE, HIGH, METRICS)
    gone = Hole(table.columns, table.rows - 1)
    border, image = drawn(table, view, gone)
    assert border.labels_of(view, (WIDE, HIGH), gone) == []
    assert image == drawn(table, view)[1]
    assert image != drawn(table, view, Hole(5, 5))[1]
