import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap
from pytestqt.qtbot import QtBot

from gridjig.qt.paint.shared_pictures import ALIKE, MANY, PictureKind, SharedPictures
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import THEMES
from tests.qt.canvases import alike, picture, shown
from tests.workshop import laid, pin, plate, stop

CROWD = laid(
    *(stop(f"s{k}", 2 * (k % 9) + 1, 3 * (k // 9) + 2) for k in range(27)),
    *(pin(f"p{k}", 2 * (k % 9), 3 * (k // 9) + 1) for k in range(27)),
    plate("o", 100, 700),
)


def kinds(*looks: int) -> list[PictureKind | None]:
    return [PictureKind(appearance, (0.0, 0.0)) for appearance in looks]


def test_pictures_are_of_use_where_many_look_alike() -> None:
    looks = SharedPictures()
    assert not looks.begin(kinds(*[1] * (MANY - 1)), 1.0)
    assert not looks.begin(kinds(*range(MANY)), 1.0)
    assert looks.begin([*kinds(*range(2, MANY)), *kinds(*[1] * ALIKE), None], 1.0)
    assert looks.common(PictureKind(1, (0.0, 0.0)))
    assert not looks.common(PictureKind(2, (0.0, 0.0)))
    assert not looks.common(None)


def test_a_picture_is_drawn_once_at_a_scale_and_lies_by_the_things_own_point(qtbot: QtBot) -> None:
    looks, drawn = SharedPictures(), []
    box = (10.0, 20.0, 14.0, 26.0)
    ground = QPixmap(200, 200)
    ground.fill(Qt.GlobalColor.white)

    def draw(painter: QPainter, view: View) -> None:
        drawn.append(view)
        x1, y1 = view.to_screen((10.0, 26.0))
        x2, y2 = view.to_screen((14.0, 20.0))
        painter.fillRect(round(x1), round(y1), round(x2 - x1), round(y2 - y1), Qt.GlobalColor.black)

    with QPainter(ground) as painter:
        for shift in (0.0, 60.0):
            looks.begin(kinds(*[1] * MANY), 2.0)
            view = View(2.0, 5.0 + shift, 100.0)
            looks.lay(painter, PictureKind(1, (12.0, 20.0)), box, view, 3.0, draw)
    assert len(drawn) == 1
    image = ground.toImage()
    black = {
        (x, y)
        for x in range(200)
        for y in range(200)
        if image.pixelColor(x, y) == Qt.GlobalColor.black
    }
    one = {(x, y) for x in range(25, 33) for y in range(48, 60)}
    assert black == one | {(x + 60, y) for x, y in one}


@pytest.mark.parametrize("factor", [1.2, 0.83])
def test_a_crowd_is_sketched_while_it_is_zoomed_and_exact_when_it_ends(
    qtbot: QtBot, factor: float
) -> None:
    canvas = shown(qtbot, CROWD)
    canvas.zoom_by(factor, QPointF(333.3, 222.2))
    sketched = picture(canvas)
    qtbot.waitUntil(lambda: not alike(sketched, picture(canvas)))
    settled = picture(canvas)
    canvas.set_theme(THEMES["light"])
    assert alike(settled, picture(canvas))
    assert not alike(sketched, settled)  # or else nothing was sketched, and this tests nothing
