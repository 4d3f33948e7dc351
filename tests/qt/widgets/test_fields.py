"""Typed fields: what is wrong stays in sight, what was right stays in force."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.model import Display
from gridjig.qt.widgets.fields import AngleField, CountField, LengthField, TextField, TypedField

INCH = Display()
MM = Display(unit="millimetres")


def typed(qtbot: QtBot, field: TypedField, text: str) -> list[object]:
    got: list[object] = []
    field.applied.connect(got.append)
    field.edit.selectAll()
    QTest.keyClicks(field.edit, text)
    QTest.keyClick(field.edit, Qt.Key.Key_Return)
    return got


@pytest.mark.expectation(28, 29)
@pytest.mark.source("method", "arithmetic: 1 in is 25.4 mm")
@pytest.mark.parametrize(
    ("text", "mm", "shown"),
    [
        ("5-3/8", 136.525, '5-3/8"'),
        ('5 3/8"', 136.525, '5-3/8"'),
        ("1' 6-1/2\"", 469.9, '18-1/2"'),
        ("4.5 in", 114.3, '4-1/2"'),
    ],
)
def test_shop_notation_is_taken_and_kept(qtbot: QtBot, text: str, mm: float, shown: str) -> None:
    field = LengthField("Width", INCH)
    qtbot.addWidget(field)
    field.set_value(25.4)
    assert typed(qtbot, field, text) == [pytest.approx(mm)]
    assert field.edit.text() == shown
    assert field.value() == pytest.approx(mm)


@pytest.mark.expectation(30)
def test_a_wrong_entry_stays_is_marked_and_the_old_value_stands(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    field.show()
    field.set_value(100.0)
    assert typed(qtbot, field, "12q") == []
    assert field.edit.text() == "12q"
    assert field.value() == 100.0
    assert field.has_complaint()
    assert "12q" in field.complaint.text()
    assert field.complaint.text().startswith("✕")
    assert field.complaint.isVisible()
    assert field.property("wrong") is True
    assert "12q" in field.edit.accessibleDescription()


@pytest.mark.expectation(30)
def test_a_shown_value_that_changes_leaves_the_wrong_text_alone(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    typed(qtbot, field, "12q")
    field.set_value(55.0)
    assert field.edit.text() == "12q"
    field.restore()
    assert field.edit.text() == "55 mm"
    assert not field.has_complaint()


@pytest.mark.expectation(32)
def test_escape_restores_and_enter_applies(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    field.show()
    field.set_value(100.0)
    field.edit.setFocus()
    QTest.keyClicks(field.edit, "7")
    QTest.keyClick(field.edit, Qt.Key.Key_Escape)
    assert field.edit.text() == "100 mm"
    assert typed(qtbot, field, "120") == [120.0]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Escape])
def test_what_a_refused_text_began_with_is_no_value(qtbot: QtBot, key: Qt.Key) -> None:
    field = LengthField("Base", MM)
    qtbot.addWidget(field)
    field.make_live()
    field.set_value(100.0)
    got: list[object] = []
    field.applied.connect(got.append)
    field.edit.selectAll()
    QTest.keyClicks(field.edit, "7, 0; 8")
    assert got == [7.0]
    QTest.keyClick(field.edit, key)
    assert (got, field.value()) == ([7.0, 100.0], 100.0)
    refused = key != Qt.Key.Key_Escape
    assert field.has_complaint() == refused
    assert field.edit.text() == ("7, 0; 8" if refused else "100 mm")


def test_a_pause_takes_back_what_a_refused_text_began_with(qtbot: QtBot) -> None:
    field = LengthField("Base", MM)
    qtbot.addWidget(field)
    field.make_live()
    field.set_value(100.0)
    field.edit.selectAll()
    QTest.keyClicks(field.edit, "7")
    assert field.value() == 7.0
    QTest.keyClicks(field.edit, "q")
    qtbot.waitUntil(field.has_complaint)
    assert (field.value(), field.edit.text()) == (100.0, "7q")
    field.edit.setText("")
    QTest.keyClicks(field.edit, "8")
    field.set_value(50.0)  # the job changed meanwhile
    QTest.keyClicks(field.edit, "q")
    QTest.keyClick(field.edit, Qt.Key.Key_Return)
    assert field.value() == 50.0


@pytest.mark.expectation(31)
def test_range_and_unit_stand_with_the_field(qtbot: QtBot) -> None:
    field = LengthField("Face from hole", INCH)
    qtbot.addWidget(field)
    field.resize(400, 80)
    field.show()
    assert field.note.words() == "in"
    field.set_range(12.7, 63.5)
    assert field.note.words() == '1/2" to 2-1/2"'
    assert '1/2" to 2-1/2"' in field.edit.accessibleDescription()
    field.set_range(12.7, None)
    assert field.note.words() == 'from 1/2"'
    field.set_range(None, 12.7)
    assert field.note.words() == 'up to 1/2"'


@pytest.mark.parametrize(
    ("low", "high", "text", "says"),
    [
        (12.7, 63.5, "3", 'it goes from 1/2" to 2-1/2"'),
        (12.7, None, "1/4", 'the least is 1/2"'),
        (None, 63.5, "3", 'the most is 2-1/2"'),
    ],
)
def test_out_of_range_says_the_range(
    qtbot: QtBot, low: float | None, high: float | None, text: str, says: str
) -> None:
    field = LengthField("Face from hole", INCH)
    qtbot.addWidget(field)
    field.set_range(low, high)
    assert typed(qtbot, field, text) == []
    assert says in field.complaint.text()


@pytest.mark.expectation(56, 59)
def test_a_rounded_length_tells_its_exact_value_under_the_pointer(qtbot: QtBot) -> None:
    field = LengthField("Width", INCH)
    qtbot.addWidget(field)
    field.set_value(400.05)
    assert (field.edit.text(), field.edit.toolTip()) == ('15-3/4"', '15-3/4" (≈400.1 mm)')
    field.set_value(400.0)
    assert field.edit.text() == '≈15-3/4"'
    assert field.edit.toolTip() == '≈15-3/4" (400 mm)\n400 mm = 15.74803 in'
    assert field.edit.accessibleDescription() == '≈15-3/4" (400 mm)'
    field.set_display(MM)
    assert (field.edit.text(), field.edit.toolTip()) == ("400 mm", '400 mm (≈15.748")')


@pytest.mark.expectation(57)
def test_another_unit_shows_the_same_value(qtbot: QtBot) -> None:
    field = LengthField("Width", INCH)
    qtbot.addWidget(field)
    field.set_value(25.4)
    field.set_display(MM)
    assert field.edit.text() == "25.4 mm"
    assert field.value() == 25.4


def test_the_same_value_typed_again_is_no_change(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    field.set_value(100.0)
    assert typed(qtbot, field, "10 cm") == []
    assert field.edit.text() == "100 mm"


def test_leaving_the_field_applies(qtbot: QtBot) -> None:
    first, second = LengthField("Width", MM), LengthField("Depth", MM)
    for field in (first, second):
        qtbot.addWidget(field)
        field.set_value(10.0)
    got: list[object] = []
    first.applied.connect(got.append)
    first.edit.selectAll()
    QTest.keyClicks(first.edit, "30")
    first.edit.left.emit()
    assert got == [30.0]


@pytest.mark.expectation(34)
def test_angles_say_their_sense_and_take_slopes(qtbot: QtBot) -> None:
    field = AngleField("Turn")
    qtbot.addWidget(field)
    assert "ccw" in field.note.words()
    field.set_value(0.0)
    assert typed(qtbot, field, "37 30'") == [37.5]
    assert field.edit.text() == "37.5°"


def test_counts_are_whole_and_in_range(qtbot: QtBot) -> None:
    field = CountField("Columns", -3, 3)
    qtbot.addWidget(field)
    field.set_value(0)
    assert typed(qtbot, field, "1.5") == []
    assert "whole number" in field.complaint.text()
    assert typed(qtbot, field, "9") == []
    assert "from -3 to 3" in field.complaint.text()
    assert typed(qtbot, field, "+2") == [2]


def test_texts_are_not_longer_than_is_kept_and_not_empty(qtbot: QtBot) -> None:
    field = TextField("Name", longest=5, needed=True)
    qtbot.addWidget(field)
    field.set_value("abc")
    assert typed(qtbot, field, "abcdefg") == []
    assert "up to 5" in field.complaint.text()
    assert typed(qtbot, field, " ") == []
    assert "Name is empty" in field.complaint.text()
    assert typed(qtbot, field, " ab ") == ["ab"]


@pytest.mark.expectation(66)
def test_the_entry_is_named_like_its_label(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    assert field.edit.accessibleName() == field.label.text() == "Width"
    assert field.label.buddy() is field.edit


def test_a_click_into_a_field_takes_all_of_it(qtbot: QtBot) -> None:
    field = LengthField("Width", MM)
    qtbot.addWidget(field)
    field.set_value(100.0)
    field.show()
    QTest.mouseClick(field.edit, Qt.MouseButton.LeftButton)
    assert field.edit.selectedText() == "100 mm"
