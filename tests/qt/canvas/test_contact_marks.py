"""Marks of contacts follow the document: only what changed is drawn again."""

import pytest
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.edits.selection import shift
from gridjig.model import Hole
from gridjig.qt.canvas.contact_marks import ContactMarks
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.style.theme import THEMES
from gridjig.qt.tasks.warmup import before_thread
from gridjig.session.document import Document
from tests.contact.poses import lay, turned
from tests.qt.canvases import alike, picture, shown
from tests.workshop import TABLE, pin, plate

pytestmark = pytest.mark.usefixtures("qapp")

X, Y = TABLE.at(Hole(5, 5))
JOB = lay(turned("s", 5, 5, 0.0), pin("p", 12, 5), plate("w", X - 100.0, Y + 12.0, 500.0, 100.0))
EVERYWHERE = (-1e5, -1e5, 1e5, 1e5)


def marks() -> ContactMarks:
    return ContactMarks(Plotter(THEMES["light"], 4.0, 1.0, QFont(QApplication.font())))


def test_only_what_changed_is_marked_anew() -> None:
    document, drawn = Document(JOB), marks()
    # A sign and a bar of the stop; the pin is 3 mm in the plate and has neither.
    assert len(drawn.sync(document.placed_pieces, document.contacts)) == 2
    assert drawn.sync(document.placed_pieces, document.contacts) == []
    signs, bars = drawn.within(EVERYWHERE, 1.0)
    assert (len(signs), len(bars)) == (1, 1)
    document.do(shift(document.job, frozenset(["p"]), 0, -1), "Move")
    assert len(drawn.sync(document.placed_pieces, document.contacts)) == 1  # it stands off now
    more, same = drawn.within(EVERYWHERE, 1.0)
    assert len(more) == 2
    assert any(one is signs[0] for one in more)
    assert same[0] is bars[0]


def test_none_are_taken_away() -> None:
    document, drawn = Document(JOB), marks()
    drawn.sync(document.placed_pieces, document.contacts)
    assert len(drawn) == 2
    assert len(drawn.sync(document.placed_pieces, None)) == 2
    assert (len(drawn), drawn.within(EVERYWHERE, 1.0)) == (0, ([], []))


def test_contacts_of_the_document_are_those_of_what_is_shown_and_are_kept() -> None:
    document = Document(JOB)
    before = document.contacts
    assert document.contacts is before
    seen = [before.roles["s"].what]
    document.preview(shift(document.job, frozenset(["s"]), 0, -1))
    assert document.contacts.pieces["p"] is before.pieces["p"]
    seen.append(document.contacts.roles["s"].what)
    document.preview(None)
    seen.append(document.contacts.roles["s"].what)
    assert seen == ["locates", "blocks nothing", "locates"]


def test_the_canvas_shows_them_and_hides_them(qtbot: QtBot) -> None:
    before_thread()
    canvas = shown(qtbot, JOB)
    with_marks = picture(canvas)
    canvas.set_contacts_shown(False)
    assert not alike(picture(canvas), with_marks)
    canvas.set_contacts_shown(True)
    assert alike(picture(canvas), with_marks)


def test_they_follow_a_drag(qtbot: QtBot) -> None:
    before_thread()
    canvas = shown(qtbot, JOB)
    there = picture(canvas)
    canvas.document.preview(shift(JOB, frozenset(["s"]), 0, -1))
    assert not alike(picture(canvas), there)
    canvas.document.preview(None)
    assert alike(picture(canvas), there)
