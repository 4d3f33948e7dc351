"""What a clamp presses with, typed where it stands and at its piece."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.qt.panes.properties.placement_form import PlacementForm
from tests.qt.panes.test_panes import enter, with_selected
from tests.workshop import laid, pin, put, seat


@pytest.mark.filterwarnings("error")
def test_the_force_is_typed_per_clamp_and_empty_means_the_shops(qtbot: QtBot) -> None:
    clamp = put("c", "clamp", seat("p", 5, 5), reach=100.0)
    window = with_selected(qtbot, laid(clamp, pin("a", 12, 12)), "c")
    form = window.workspace.properties.form()
    assert isinstance(form, PlacementForm)
    assert form.force.edit.text() == ""
    assert form.force.note.words() == "empty: 1000 N, shop value"
    enter(qtbot, form.force, "1.5 kN")
    assert window.document.job.placements[0].force == 1500.0
    assert form.force.edit.text() == "1500 N"
    enter(qtbot, form.force, "strong")
    assert "type a force in N" in form.force.complaint.text()
    form.force.edit.selectAll()
    QTest.keyClick(form.force.edit, Qt.Key.Key_Delete)
    QTest.keyClick(form.force.edit, Qt.Key.Key_Return)
    assert window.document.job.placements[0].force == 0.0
    window.document.select({"a"})
    window.workspace.refresh()
    other = window.workspace.properties.form()
    assert isinstance(other, PlacementForm)
    assert other.force.isHidden()
