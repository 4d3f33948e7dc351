"""States are seen: ticks in menus, one look for what is off, the losing button, names cut short."""

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from gridjig.model import Hole
from gridjig.qt.actions.registry import action
from gridjig.qt.canvas.border import OPERATOR
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog
from gridjig.qt.style.palette import contrast
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import LengthField
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.styled import forget_rules
from gridjig.qt.widgets.tick import Tick
from gridjig.qt.widgets.ticked_menu import TickedMenu
from gridjig.qt.window.window import Window
from gridjig.sheets.text.shortening import distinct_end
from tests.qt.hands import Hands
from tests.qt.windows import make_window
from tests.workshop import EMPTY, laid, pin


def colours(image: QImage, box: QRect | None = None) -> set[str]:
    within = box or image.rect()
    return {
        image.pixelColor(x, y).name()
        for x in range(within.left(), within.right() + 1)
        for y in range(within.top(), within.bottom() + 1)
    }


def menu_of(window: Window, name: str) -> TickedMenu:
    for one in window.menu_bar.actions():
        menu = one.menu()
        if one.text() == f"&{name}" and isinstance(menu, TickedMenu):
            return menu
    raise AssertionError(name)


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
@pytest.mark.expectation(78)
def test_a_menu_shows_what_is_on(qtbot: QtBot, theme: str) -> None:
    window = make_window(qtbot, EMPTY, Settings(theme=theme, rack_shown=False))  # type: ignore[arg-type]
    menu = menu_of(window, "View")
    menu.popup(window.mapToGlobal(window.rect().topLeft()))
    seen = {}
    for key in ("view.rack", "view.side", "view.glove", "view.contacts"):
        one = window.actions_made.made[key]
        box = menu.mark_box(one).toRect()
        line = menu.actionGeometry(one)
        assert line.contains(box)
        picture = menu.grab(box).toImage()
        ground = menu.grab(QRect(line.right() - 3, line.top() + 3, 2, 2)).toImage()
        paper = ground.pixelColor(0, 0).name()
        seen[key] = any(contrast(colour, paper) >= 4.5 for colour in colours(picture))
    menu.close()
    assert seen == {
        "view.rack": False, "view.side": True, "view.glove": False, "view.contacts": True
    }  # fmt: skip


def test_what_is_off_looks_the_same_everywhere(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    theme = window.appearance.theme
    ink = {theme.colour("ink").name(), theme.colour("graphite").name()}
    parts: list[QWidget] = [
        Button("Do it"), Button("Do it", "plain"), Tick("Do it"), QLineEdit("text"),
        QPlainTextEdit("text"), NoWheelComboBox(), LengthField("Width", EMPTY.display),
    ]  # fmt: skip
    for part in parts:
        part.setParent(window)
        part.resize(160, 60)
        part.show()
        QApplication.processEvents()
        assert ink & colours(part.grab().toImage()), part  # it is seen while it is on
        part.setEnabled(False)
        QApplication.processEvents()
        assert not ink & colours(part.grab().toImage()), part
        assert theme.colour("ring").name() in colours(part.grab().toImage()), part
        part.deleteLater()


@pytest.mark.expectation(43)
def test_the_losing_button_is_set_apart_and_not_like_one_that_is_off(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    choices = (AnswerButton("save", "Save"), AnswerButton("lose", "Don't save", True))
    dialog = QuestionDialog("Title", "Body", choices, window)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitExposed(dialog)
    found = {b.text(): b for b in dialog.findChildren(Button)}
    lose, save = found["Don't save"], found["Save"]
    theme = window.appearance.theme
    clash = theme.colour("clash_text").name()
    assert clash in colours(lose.grab().toImage())
    assert clash not in colours(save.grab().toImage())
    assert contrast(clash, theme.colour("paper").name()) >= 4.5
    image = lose.grab().toImage()
    rim = {image.pixelColor(x, 0).name() for x in range(8, image.width() - 8)}
    assert rim == {clash}  # a whole line, not a dashed one
    lose.setEnabled(False)
    assert lose.mapTo(dialog, lose.rect().topLeft()).x() < save.x()


def test_actions_that_differ_have_icons_of_their_own() -> None:
    assert action("check.run").icon != action("help.safety").icon
    assert action("check.run").icon != action("check.next").icon
    assert action("file.save").icon != action("file.save_as").icon


def test_the_operators_sign_is_no_warning_triangle() -> None:
    assert OPERATOR == "operator"


def test_the_search_of_the_drawer_clears_once_the_piece_is_placed(
    qtbot: QtBot, tmp_path: object
) -> None:
    window = make_window(qtbot, EMPTY)
    drawer = window.workspace.drawer
    drawer.search.setFocus()
    QTest.keyClicks(drawer.search, "pin")
    many = len(drawer.model.lines)
    QTest.keyClick(drawer.search, Qt.Key.Key_Return)
    assert drawer.search.text() == "pin"
    hands = Hands.__new__(Hands)
    hands.window, hands.qtbot = window, qtbot
    hands.click("E5")
    QApplication.processEvents()
    assert len(window.document.job.placements) == 1
    assert drawer.search.text() == ""
    assert len(drawer.model.lines) > many
    # What is placed by other means leaves a search for something else alone.
    drawer.search.setText("clamp")
    window.document.do(laid(pin("p", 9, 9), job=window.document.job), "Put a pin")
    QApplication.processEvents()
    assert drawer.search.text() == "clamp"
    assert window.document.job.placements[-1].seats[0].hole == Hole(9, 9)


# -- names cut short -------------------------------------------------------------------------------

STOPS = ('Long stop, 5-1/2" long, 1/2" face', 'Long stop, 9-1/2" long, 1/2" face', "Fixed stop")


def test_a_name_is_shortened_to_the_words_that_differ() -> None:
    assert [distinct_end(one, STOPS) for one in STOPS] == [
        '… 5-1/2" long, 1/2" face', '… 9-1/2" long, 1/2" face', "Fixed stop"
    ]  # fmt: skip
    assert distinct_end("Riser", ["Riser", "Riser, tall"]) == "Riser"
    assert distinct_end("Riser, tall", ["Riser, low", "Riser, tall"]) == "… tall"


@pytest.mark.parametrize("wide", [90, 120, 160, 400])
def test_two_stops_of_one_name_never_look_the_same_in_a_narrow_box(qtbot: QtBot, wide: int) -> None:
    window = make_window(qtbot, EMPTY)
    box = NoWheelComboBox(window)
    box.addItems(list(STOPS))
    box.resize(wide, 34)
    box.show()
    shown = []
    for index in range(len(STOPS)):
        box.setCurrentIndex(index)
        shown.append(box.shown_text())
        assert box.fontMetrics().horizontalAdvance(shown[-1]) <= max(wide, 60)
        assert box.toolTip() == STOPS[index]
    assert len(set(shown)) == 3
    if wide == 400:
        assert shown == list(STOPS)


def at_rest(qtbot: QtBot, window: Window) -> QImage:
    """What the window shows once nothing in it changes any more."""
    seen = [window.grab().toImage()]

    def still() -> bool:
        seen.append(window.grab().toImage())
        return seen[-1] == seen[-2] == seen[max(0, len(seen) - 6)]

    qtbot.waitUntil(still, timeout=30_000)
    return seen[-1]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_looks_different_after_the_style_sheet_is_worked_out_anew(
    qtbot: QtBot, theme: str
) -> None:
    window = make_window(qtbot, laid(pin("pin", 3, 3)), Settings(theme=theme))  # type: ignore[arg-type]
    window.document.select(["pin"])
    before = at_rest(qtbot, window)
    assert len(colours(before, QRect(0, 0, before.width(), 60))) > 10
    forget_rules()
    assert at_rest(qtbot, window) == before
    window.document.select([])
    assert at_rest(qtbot, window) != before
