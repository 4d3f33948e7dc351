"""The README's five minutes, walked by hands in a window: what it says is what happens."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, Placement
from gridjig.model.labels import address
from gridjig.solve.grid.hole_faults import ClosedHole
from tests.qt.hands import CTRL, Hands
from tests.qt.windows import make_window
from tests.workshop import EMPTY

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
WALK = README[README.index("## Five minutes") : README.index("## Without a window")]


class Reader(Hands):
    """Hands that only type what the README says."""

    def quoted(self, text: str) -> str:
        assert f"`{text}`" in WALK, text
        return text

    def one(self) -> Placement:
        """The one piece that is selected."""
        (found,) = (self.window.document.job.find(i) for i in self.window.document.selection)
        assert isinstance(found, Placement)
        return found

    def hole(self) -> str:
        return address(self.window.document.job.table, self.one().seats[0].hole)

    def complaints(self) -> str:
        labels = self.window.workspace.properties.findChildren(QLabel, "complaint")
        return " ".join(label.text() for label in labels if label.isVisibleTo(self.window))


@pytest.fixture
def reader(qtbot: QtBot, tmp_path: Path) -> Reader:
    window = make_window(qtbot, EMPTY)
    hands = Reader(qtbot, window, tmp_path)
    sample = next(iter(samples().values()))
    hands.open(Path(shutil.copy(sample, tmp_path)))
    hands.come_back()
    QApplication.processEvents()
    return hands


def test_a_stop_slides_and_says_what_is_in_its_way(reader: Reader) -> None:
    reader.click("V12")
    before = reader.one()
    QApplication.processEvents()
    reader.cell("Face from hole", reader.quoted("1-1/4"))
    assert "overlap Right upright by 1/4" in reader.complaints()
    assert reader.one() == before
    reader.cell("Face from hole", reader.quoted("7/8"))
    assert before.slide - reader.one().slide == pytest.approx(25.4 / 8)
    reader.key(Qt.Key.Key_Z, CTRL)
    assert reader.one() == before


def test_a_pin_is_put_down_moved_and_typed_to_its_place(reader: Reader) -> None:
    reader.key(Qt.Key.Key_P)
    # The first letter goes to the list, the others to its search.
    for letter in reader.quoted('1" body'):
        QTest.keyClicks(reader.window.focusWidget(), letter)
    assert reader.window.workspace.drawer.search.text() == '1" body'
    reader.key(Qt.Key.Key_Return)
    reader.click("C4")
    reader.key(Qt.Key.Key_Escape)
    assert (reader.one().piece, reader.hole()) == ("pin-1", "C4")
    reader.key(Qt.Key.Key_Right)
    assert reader.hole() == "D4"
    reader.typed(reader.quoted("E9"))
    assert reader.hole() == "E9"


def test_a_clamp_turns_and_the_check_and_the_bill_answer(reader: Reader) -> None:
    reader.click("N16")
    before = reader.window.document.placed_pieces[reader.one().id].turn
    reader.key(Qt.Key.Key_R)
    assert reader.window.document.placed_pieces[reader.one().id].turn != pytest.approx(before)
    reader.key(Qt.Key.Key_Z, CTRL)
    reader.key(Qt.Key.Key_F8)
    assert "located, held,\nno gaps" in reader.window.status_bar.lamp.text()
    assert "*located, held, no gaps*" in " ".join(WALK.split())
    reader.key(Qt.Key.Key_5, CTRL)
    assert reader.window.workspace.tabs.currentWidget() is reader.window.workspace.pull_list


def test_marked_holes_cross_out_what_stands_in_them(reader: Reader) -> None:
    reader.key(Qt.Key.Key_H)
    reader.key(Qt.Key.Key_T)
    reader.write(reader.quoted("every 5th column from B"))
    marked = {mark.hole.col for mark in reader.window.document.job.table.marks}
    assert marked == {1, 6, 11, 16, 21}
    assert Hole(21, 11) in {mark.hole for mark in reader.window.document.job.table.marks}
    (stop,) = (p for p in reader.window.document.job.placements if p.name == "Right end")
    assert reader.window.document.placed_pieces[stop.id].fault == ClosedHole(
        Hole(21, 11), "blocked"
    )
    reader.key(Qt.Key.Key_Z, CTRL)
    assert reader.window.document.job.table.marks == ()


def test_saved_and_opened_again_it_is_the_same(reader: Reader) -> None:
    reader.click("V12")
    reader.cell("Face from hole", "7/8")
    job = reader.window.document.job
    path = reader.save("1-market-trestle.gridjig")
    assert load_job(path) == job
