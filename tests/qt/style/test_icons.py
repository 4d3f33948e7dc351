"""Icons as pictures: there, strong enough, sharp at every scaling, and no two alike."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QImage, QPainter, QPixmap
from PySide6.QtWidgets import QApplication

from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.style.icons import Look, draw_icon, icon, names, tinted
from gridjig.qt.style.palette import contrast
from gridjig.qt.style.theme import THEMES


def picture(
    name: str, side: int, palette: str = "light", look: Look = "plain", ground: str = "panel"
) -> QImage:
    one = THEMES[palette]  # type: ignore[index]
    image = QImage(side, side, QImage.Format.Format_RGB32)
    image.fill(one.colour(ground))
    with QPainter(image) as painter:
        draw_icon(painter, QRectF(0, 0, side, side), one, name, look)
    return image


def marked(image: QImage, ground: str) -> set[tuple[int, int]]:
    """The dots that stand out from the ground by 3:1."""
    side = image.width()
    return {
        (x, y)
        for x in range(side)
        for y in range(side)
        if contrast(image.pixelColor(x, y).name(), ground) >= 3
    }


@pytest.mark.parametrize("palette", ["light", "dark", "print"])
@pytest.mark.parametrize("side", [16, 24, 48])
@pytest.mark.expectation(77, 81, 84)
def test_every_icon_can_be_seen(palette: str, side: int) -> None:
    ground = THEMES[palette].palette.panel  # type: ignore[index]
    assert len(names()) >= 60
    for name in names():
        assert len(marked(picture(name, side, palette), ground)) >= 0.06 * side * side, name


@pytest.mark.parametrize("palette", ["light", "dark", "print"])
def test_every_icon_can_be_seen_in_a_highlighted_line_of_a_menu(palette: str) -> None:
    """The style asks for the active icon there."""
    ground = THEMES[palette].palette.selected_text  # type: ignore[index]
    assert len(names()) >= 60
    for name in names():
        dots = marked(picture(name, 24, palette, "lit", "selected_text"), ground)
        assert len(dots) >= 0.06 * 24 * 24, name
    one = icon("save", THEMES[palette])  # type: ignore[index]
    shown = one.pixmap(QSize(24, 24), 1.0, QIcon.Mode.Active).toImage()
    assert {
        shown.pixelColor(x, y).name()
        for x in range(24)
        for y in range(24)
        if shown.pixelColor(x, y).alpha() == 255
    } == {THEMES[palette].colour("on_selected").name()}  # type: ignore[index]


@pytest.mark.expectation(78)
def test_no_two_icons_look_alike_even_in_grey() -> None:
    ground = THEMES["light"].palette.panel
    dots = {name: marked(picture(name, 24), ground) for name in names()}
    assert len(dots) == len(set(names())) >= 60
    for one, two in combinations(names(), 2):
        differ = len(dots[one] ^ dots[two])
        assert differ >= 10, f"{one} and {two}"


@pytest.mark.parametrize("palette", ["light", "dark", "print"])
def test_an_icon_has_no_colour_but_those_of_the_theme(palette: str) -> None:
    theme = THEMES[palette]  # type: ignore[index]
    known = {theme.colour(name).name() for name in ("ink", "held", "check", "clash")}
    assert len(names()) > 50
    for name in names():
        for look, only in (("plain", ""), ("off", "ring"), ("lit", "on_selected")):
            text = tinted(name, theme, look)  # type: ignore[arg-type]
            drawing = ElementTree.fromstring(text)
            used = {one.get(kind) for one in drawing.iter() for kind in ("fill", "stroke")}
            allowed = {theme.colour(only).name()} if only else known
            assert used - {None, "none"} <= allowed, name
            assert "class" not in text, name
            assert drawing.get("viewBox") == "0 0 24 24", name


def test_what_lies_under_the_strokes_is_left_out_when_off() -> None:
    theme = THEMES["light"]
    assert theme.colour("check").name() in tinted("check", theme)
    shapes = ElementTree.fromstring(tinted("check", theme, "off"))
    assert next(one.get("fill") for one in shapes) == "none"
    assert theme.colour("held").name() in tinted("held", theme)
    shapes = ElementTree.fromstring(tinted("held", theme, "off"))
    assert [one.get("fill") for one in shapes][-1] == theme.colour("ring").name()


def test_every_action_has_an_icon() -> None:
    assert {action.icon for action in ACTIONS} - {""} <= set(names())


def test_an_icon_that_is_off_is_grey_and_still_there() -> None:
    assert len(names()) >= 60
    for name in names():
        image = picture(name, 24, look="off")
        colours = {image.pixelColor(x, y).name() for x in range(24) for y in range(24)}
        assert len(colours) > 1, name
        assert all(abs(int(c[1:3], 16) - int(c[5:7], 16)) < 20 for c in colours), name


@pytest.mark.expectation(84)
def test_an_icon_is_drawn_anew_at_every_scaling(qapp: QApplication) -> None:
    one = icon("save", THEMES["light"])
    for scaling in (1.0, 1.25, 1.5, 2.0):
        pixmap = one.pixmap(QSize(24, 24), scaling, QIcon.Mode.Normal, QIcon.State.Off)
        wide = round(24 * scaling)
        assert pixmap.width() == wide
        image = pixmap.toImage()
        straight = QImage(wide, wide, QImage.Format.Format_ARGB32_Premultiplied)
        straight.fill(Qt.GlobalColor.transparent)
        with QPainter(straight) as painter:
            draw_icon(painter, QRectF(0, 0, wide, wide), THEMES["light"], "save")
        assert image.convertToFormat(straight.format()) == straight


def test_a_copied_icon_outlives_what_it_was_copied_from(qapp: QApplication) -> None:
    for _ in range(300):
        one = icon("open", THEMES["light"])
        other = QIcon(one)
        other.addPixmap(QPixmap(4, 4))  # makes Qt clone the engine
        del one
        assert not other.pixmap(16).isNull()


def test_an_unknown_icon_is_refused() -> None:
    with pytest.raises(KeyError):
        icon("nothing", THEMES["light"])
