"""Hands on forms for tests: a look, a form shown over a document, a text typed into a field."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QLabel, QWidget
from pytestqt.qtbot import QtBot

from gridjig.model import Job
from gridjig.qt.forms.draft_form import DraftForm
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.fields import TypedField
from gridjig.session.document import Document

LOOK = Appearance(THEMES["light"], Metrics(4.0))
Form = TypeVar("Form", bound=DraftForm)


def form_over(
    qtbot: QtBot, job: Job, make: Callable[[QWidget, Document, Appearance], Form]
) -> Form:
    """A form, shown, over a document with a job; it goes without asking at the end of the test."""
    window = QLabel()
    form = make(window, Document(job), LOOK)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    form.under = window  # type: ignore[attr-defined]  # it must live as long as its form
    qtbot.addWidget(window, before_close_func=lambda _: QDialog.reject(form))
    form.resize(1240, 740)
    form.show()
    qtbot.waitExposed(form)
    return form


def type_in(field: TypedField, text: str) -> None:
    """Put the cursor in, type over what stands there, and press Enter."""
    field.edit.setFocus()
    field.edit.selectAll()
    QTest.keyClicks(field.edit, text)
    QTest.keyClick(field.edit, Qt.Key.Key_Return)


def drop_file(widget: QWidget, path: Path) -> None:
    """Drop a file on a widget."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDropEvent(
        QPointF(50, 50),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    widget.dropEvent(event)
