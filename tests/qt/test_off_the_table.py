"""The window with pieces off the table: selected, shown in its form, moved, taken away, undone."""

import pytest
from msgspec import structs
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.edits.table import replace_table
from gridjig.model import Hole
from tests.qt.windows import make_window, on_plan, press
from tests.workshop import EMPTY, TABLE, laid, pin, put, seat

SMALL = structs.replace(TABLE, width=600, depth=600, columns=10, rows=10)
FULL = laid(
    pin("far", 20, 15), pin("away", 18, 15), put("s", "slider", seat("s", 9, 3), seat("s", 10, 3))
)


@pytest.mark.parametrize("which", ["far", "away", "s"])
def test_a_piece_off_the_table_can_be_selected_and_deleted(qtbot: QtBot, which: str) -> None:
    """Selecting one once broke its form."""
    window = make_window(qtbot, replace_table(FULL, SMALL))
    window.document.select({which})
    window.workspace.refresh()
    form = window.workspace.properties.placement_form
    assert "off the table" in {field.edit.text() for field in form.holes}
    assert window.workspace.checker.check_now()[0].level == "stop"
    press(qtbot, on_plan(qtbot, window), Qt.Key.Key_Delete)
    assert window.document.job.find(which) is None
    assert len(window.document.job.placements) == 2


def test_undo_of_a_larger_table_with_the_pointer_on_a_hole_that_goes(qtbot: QtBot) -> None:
    """The address of the vanished hole once raised at every painting and every move after it."""
    window = make_window(qtbot, replace_table(EMPTY, SMALL))
    window.document.do(replace_table(window.document.job, TABLE), "Change the table")
    window.port.do("view.fit")
    canvas = window.workspace.canvas
    x, y = canvas._view.to_screen(TABLE.at(Hole(20, 15)))
    place = QPointF(x, y)
    move = QMouseEvent(
        QMouseEvent.Type.MouseMove,
        place,
        canvas.mapToGlobal(place),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(canvas, move)
    window.document.undo()
    assert window.document.job.table == SMALL
    canvas.repaint()
    QApplication.sendEvent(canvas, move)
    canvas.repaint()
    assert not canvas.grab().isNull()
