"""Every number field of every form: what no file could hold is refused there, with the limit."""

from collections.abc import Iterator

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QTabWidget, QWidget
from pytestqt.qtbot import QtBot

from gridjig.model import Display
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.widgets.fields import AngleField, CountField, LengthField, TypedField
from tests.qt.forms.test_large_letters import OPENS, SAMPLE
from tests.qt.windows import opened

BEYOND = ("999999999", "-999999999")
"""What no field takes."""
ODD = ("3930", "-3930", "99000", "-99000", "0.0000001", "-1", "100000")
"""What a field may refuse: as long as can be typed, as short, less than nothing, a high count."""
WITHOUT = (
    *("weldment.chain", "rack.form", "import", "new", "settings", "keys", "question"),
    *("check.exact", "check.loading", "view.legend", "view.floor"),
    *("recover", "file.changes", "file.export", "file.sheet", "table.repeat", "piece drawing"),
)
"""Forms, or how they open, without a field that takes a number."""


def number_fields(form: QWidget) -> Iterator[TypedField]:
    """The fields of a form that are shown now and take a number."""
    return filter(takes, form.findChildren(TypedField))


def takes(field: TypedField) -> bool:
    """True for a field that is shown now and takes a number."""
    if not (field.isVisible() and field.isEnabled() and field.edit.isEnabled()):
        return False
    number = isinstance(field.value(), int | float) and not isinstance(field.value(), bool)
    return isinstance(field, AngleField | CountField | LengthField) or number


def in_mm_alone(said: str) -> bool:
    return " mm" in said and "use in" not in said and not ('"' in said or " in (" in said)


def forms_shown() -> list[FormDialog]:
    return [
        w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
    ]


def enter(field: TypedField, text: str) -> str:
    """What the field says of a text that is entered there."""
    field.restore()
    field.edit.setText(text)
    field.edit.setModified(True)
    field.apply()
    return field.complaint.text()


def tried(form: QWidget, unit: str) -> tuple[list[str], int]:
    """Enter what is out of range in every number field; what is wrong with the answers, and how
    many fields there are.
    """
    wrong, fields = [], list(number_fields(form))
    for field in fields:
        name = field.label.text()
        for text in (*BEYOND, *ODD):
            if not takes(field):  # a size that has become another one
                break
            before = field.value()
            said = enter(field, text)
            if text in BEYOND and not any(sign.isdigit() for sign in said):
                wrong.append(f"{name}: {text}: no limit is told: {said}")
            if isinstance(field, LengthField) and unit == "in" and in_mm_alone(said):
                wrong.append(f"{name}: {text}: told in mm: {said}")
            if said and field.value() != before:
                wrong.append(f"{name}: {text} is refused and kept: {field.value()!r}")
            if not said and text in BEYOND:
                wrong.append(f"{name}: {text} is taken as {field.value()!r}")
            field.restore()
    return wrong, len(fields)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_is_out_of_range_is_refused_at_its_field(
    qtbot: QtBot, unit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In every form; they are opened over the same window, one after the other."""
    display = Display(unit="inch decimals" if unit == "in" else "millimetres")
    caught: list[str] = []
    monkeypatch.setattr("sys.excepthook", lambda kind, value, trace: caught.append(repr(value)))
    counts: dict[str, int] = {}
    wrong: dict[str, list[str]] = {}
    with (
        opened(qtbot, structs.replace(SAMPLE, display=display)) as window,
        qtbot.captureExceptions() as raised,
    ):
        for name, opens in OPENS.items():
            opens(window)
            wrong[name], counts[name] = tried_everywhere(qtbot, name, unit)
            wrong[name] += [*caught, *(repr(value) for _, value, _ in raised)]
            caught.clear()
            raised.clear()
    assert {name: words for name, words in wrong.items() if words} == {}
    assert sorted(name for name, count in counts.items() if count == 0) == sorted(WITHOUT)


def tried_everywhere(qtbot: QtBot, name: str, unit: str) -> tuple[list[str], int]:
    """The same for every page of the form that is open; it is closed afterwards."""
    forms = forms_shown()
    form = QApplication.activeModalWidget() or forms[-1]
    if name not in WITHOUT:
        qtbot.waitUntil(lambda: any(number_fields(form)))  # a drawing is read first
    wrong: list[str] = []
    count = 0
    tabs = form.findChildren(QTabWidget)
    for page in range(tabs[0].count() if tabs else 1):
        if tabs:
            tabs[0].setCurrentIndex(page)
        qtbot.wait(1)
        more, fields = tried(form, unit)
        wrong, count = [*wrong, *more], count + fields
    for one in forms_shown():
        one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        one.done(0)
        one.deleteLater()
    return wrong, count
