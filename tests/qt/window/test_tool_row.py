"""The row of tools: what Qt itself would do at each change of an action."""

from PySide6.QtCore import SIGNAL
from pytestqt.qtbot import QtBot

from tests.qt.windows import make_window
from tests.workshop import EMPTY


def test_a_button_stays_connected_once_however_often_its_action_changes(qtbot: QtBot) -> None:
    """Qt 6.11 adds a connection at each change, so that every edit made all later ones slower."""
    window = make_window(qtbot, EMPTY)
    row, made = window.row, window.actions_made.made
    assert len(row.buttons) > 10
    for name, button in row.buttons.items():
        action = made[name]
        enabled, tip = action.isEnabled(), action.toolTip()
        before = action.receivers(SIGNAL("changed()"))
        for k in range(20):
            action.setToolTip(f"tip {k}")
            action.setEnabled(bool(k % 2))
        assert action.receivers(SIGNAL("changed()")) == before, name
        assert button.isEnabled()
        assert button.toolTip() == "tip 19"
        action.setEnabled(False)
        assert not button.isEnabled()
        action.setEnabled(enabled)
        action.setToolTip(tip)


def test_a_button_still_triggers_its_action_once(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    button, action = window.row.buttons["view.fit"], window.actions_made.made["view.fit"]
    done: list[bool] = []
    action.triggered.connect(lambda: done.append(True))
    action.setEnabled(True)
    for _ in range(3):
        action.setToolTip("another")
    button.click()
    assert len(done) == 1
