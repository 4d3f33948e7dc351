"""Suggest a jig: the answers come while the search goes on, one is shown, taken, taken back."""

from collections.abc import Callable, Iterator

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.members import add, between
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import Job
from gridjig.proof.report import prove
from gridjig.qt.forms.job.suggest_form import WEIGHT_NAMES, SuggestForm
from gridjig.session.document import Document
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.suggest.values import Suggestion, Weights
from tests.qt.formhands import LOOK

INCH = 25.4


def rail() -> Job:
    """A bar of 2 in tube on a table with its starter rack."""
    table = ready_tables()["48x48-3/4"]
    section = find_section("2x2x1/8", "square tube")
    assert section is not None
    bar = between("bar", "Rail", section, (12 * INCH, 13 * INCH), (36 * INCH, 13 * INCH))
    return add(Job(name="Rail", table=table, rack=rack_for(table)), bar)


@pytest.fixture
def form(qtbot: QtBot) -> Iterator[Callable[[Document], SuggestForm]]:
    over = QWidget()  # it owns the form as long as the test runs
    qtbot.addWidget(over)

    def made(document: Document) -> SuggestForm:
        one = SuggestForm(over, document, LOOK)
        one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        qtbot.waitUntil(lambda: bool(one.found.alternatives), timeout=20_000)
        one.tasks.cancel()
        return one

    yield made
    over.close()


def test_what_is_found_is_shown_taken_and_taken_back(
    form: Callable[[Document], SuggestForm],
) -> None:
    document = Document(rail())
    first = document.job
    one = form(document)
    best = one.chosen()
    assert best is not None
    assert document.previewing
    assert document.shown is best.job
    assert len(one.reasons.lines.entries) == 1 + len(best.why) + len(best.missing) > 4
    assert "1: " in one.list.lines.entries[0].head
    assert "pieces" in one.list.lines.entries[0].head
    one.take()
    assert document.job is best.job
    assert not document.previewing
    assert len(document.job.placements) == best.pieces
    found = prove(document.job, PlacedPieces().of(document.job)).findings
    assert "stop" not in {f.level for f in found}
    document.undo()
    assert document.job is first


def test_some_of_the_pieces_are_taken_alone(form: Callable[[Document], SuggestForm]) -> None:
    document = Document(rail())
    one = form(document)
    best = one.chosen()
    assert best is not None
    one.reasons.setCurrentIndex(one.reasons.lines.index(1))
    wanted = best.why[0].placement
    assert one.some.isEnabled()
    one.take_some()
    assert [p.id for p in document.job.placements] == [wanted]
    assert document.job.parts == best.job.parts  # it lies where the set-up has it
    document.undo()
    assert document.job.placements == ()


def test_all_that_holds_a_part_is_taken_by_its_line(
    form: Callable[[Document], SuggestForm],
) -> None:
    document = Document(rail())
    one = form(document)
    best = one.chosen()
    assert best is not None
    one.reasons.go_first()
    one.take_some()
    assert {p.id for p in document.job.placements} == {why.placement for why in best.why}


def test_the_alternatives_are_pictures_with_their_numbers(
    qtbot: QtBot, form: Callable[[Document], SuggestForm]
) -> None:
    document = Document(rail())
    one = form(document)
    best = one.found.alternatives[0]
    dear = structs.replace(best, score=best.score + 9, job=structs.replace(best.job, notes="x"))
    one.better.emit(one._search, structs.replace(one.found, alternatives=(best, dear)))
    first, second, third = one.cards
    qtbot.waitUntil(lambda: second.picture is not None, timeout=20_000)
    assert all(card.picture is not None and not card.picture.isNull() for card in (first, second))
    assert third.picture is None
    assert not third.isEnabled()
    assert "pieces" in first.lines[0]
    assert "points" in second.lines[1]
    assert first.isChecked()
    assert document.shown is best.job
    second.hovered.emit(True)
    assert document.shown is dear.job
    second.hovered.emit(False)
    assert document.shown is best.job
    second.click()
    assert one.chosen() is dear
    assert document.shown is dear.job
    first.grab()  # it paints without a fault
    QTest.keyClick(first, Qt.Key.Key_Space)
    assert one.chosen() is best


def test_where_nothing_is_missing_there_is_nothing_to_use(
    form: Callable[[Document], SuggestForm],
) -> None:
    document = Document(rail())
    one = form(document)
    assert one.use.isDefault()
    best = one.found.alternatives[0]
    done = structs.replace(best, added=(), why=(), missing=(), pieces=0, shift=(0.0, 0.0), turn=0.0)
    one.better.emit(one._search, structs.replace(one.found, alternatives=(done,)))
    assert not one.use.isEnabled()
    assert one.cancel.isDefault()
    assert one.reasons.lines.entries[0].head == "There is nothing to add"
    one.take()
    assert document.job.placements == ()
    one.reject()


def test_leaving_the_form_leaves_the_job(form: Callable[[Document], SuggestForm]) -> None:
    document = Document(rail())
    one = form(document)
    QTest.keyClick(one, Qt.Key.Key_Escape)
    assert not document.previewing
    assert document.job.placements == ()


def test_why_there_is_none_is_listed(qtbot: QtBot) -> None:
    bare = rail()
    document = Document(structs.replace(bare, rack=structs.replace(bare.rack, pieces=(), walk=())))
    over = QWidget()
    qtbot.addWidget(over)
    one = SuggestForm(over, document, LOOK)
    one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.waitUntil(lambda: not one.tasks.busy, timeout=20_000)
    assert one.told.text() == "No set-up was found."
    assert [entry.level for entry in one.list.lines.entries][:1] == ["stop"]
    assert not one.use.isEnabled()
    one.reject()


def test_every_weight_has_a_field_and_a_name() -> None:
    assert set(WEIGHT_NAMES) == set(Weights.__struct_fields__)


def test_what_comes_late_is_dropped_and_what_is_chosen_stays(
    form: Callable[[Document], SuggestForm],
) -> None:
    document = Document(rail())
    one = form(document)
    found = one.found
    best = found.alternatives[0]
    cheaper = structs.replace(best, score=best.score - 1, job=structs.replace(best.job, notes="x"))
    both = structs.replace(found, alternatives=(cheaper, best))
    one.better.emit(one._search, structs.replace(found, alternatives=(best, cheaper)))
    one.better.emit(one._search, both)
    assert one.chosen() is cheaper  # nobody has picked one, so it is the first
    one.cards[1].click()
    assert one.chosen() is best
    one.better.emit(one._search, structs.replace(found, alternatives=(best, cheaper)))
    assert one.chosen() is best
    one.better.emit(one._search, both)
    assert one.chosen() is best  # it was picked, and is second now
    one.better.emit(one._search - 1, found)
    assert one.found is both
    number = one._search
    one.reject()
    one.better.emit(number, found)
    assert not document.previewing


def test_another_search_says_that_it_searches(form: Callable[[Document], SuggestForm]) -> None:
    one = form(Document(rail()))
    one.search()
    one.keep.click()
    assert one.wishes().keep
    assert one.tasks.busy
    assert one.told.text() == "Searching…"
    assert one.searching.text() == "Stop"
    one.reject()


def test_once_everything_was_tried_a_late_click_loses_nothing(
    qtbot: QtBot, form: Callable[[Document], SuggestForm]
) -> None:
    """The search may end just before Stop is clicked: what was found stays."""
    one = form(Document(rail()))
    found = one.found
    one.tasks.answered.emit(structs.replace(found, ended=True))
    one.tasks.ended.emit()
    assert not one.searching.isEnabled()
    one.searching.click()
    assert len(one.found.alternatives) == len(found.alternatives) > 0
    one.reject()


def test_keep_looking_keeps_what_was_found_until_there_is_something_as_good(
    qtbot: QtBot, form: Callable[[Document], SuggestForm]
) -> None:
    one = form(Document(rail()))
    found = one.found
    one.tasks.ended.emit()
    assert one.searching.text() == "Keep looking"
    assert "there may be a better one" in one.told.text()
    seconds = one.wishes().seconds
    one.searching.click()
    assert one.searching.text() == "Stop"
    assert one.found is found
    assert one.wishes().seconds == 2.0 * seconds
    best = found.alternatives[0]
    dear = structs.replace(found, alternatives=(structs.replace(best, score=best.score + 1.0),))
    one.better.emit(one._search, dear)
    assert one.found is found
    one.better.emit(one._search, Suggestion(()))
    assert one.found is found
    cheap = structs.replace(found, alternatives=(structs.replace(best, score=best.score - 1.0),))
    one.better.emit(one._search, cheap)
    assert one.found is cheap
    one.search()
    assert one.found.alternatives == ()
    assert one.wishes().seconds == seconds
    one.tasks.cancel()
    one.tasks.ended.emit()
    assert one.told.text() == "Stopped: nothing found yet."
    one.tasks.failed.emit("The disk is full.")
    one.tasks.ended.emit()
    assert one.told.text() == "The disk is full."
    one.reject()


def test_what_the_work_may_do_is_asked_only_where_it_may_move(
    form: Callable[[Document], SuggestForm],
) -> None:
    one = form(Document(rail()))
    assert one.move_.isChecked()
    assert one.slopes.isEnabled()
    one.slopes.click()
    assert one.wishes().slopes
    one.move_.click()
    assert not one.slopes.isEnabled()
    assert not one.face_down.isEnabled()
    one.keep.click()
    assert not one.move_.isEnabled()
    assert not one.wishes().slopes
    one.reject()
