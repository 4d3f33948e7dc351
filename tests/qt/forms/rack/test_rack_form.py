"""The rack's form: counts and bins in place, the walk, pieces in and out, files."""

from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from gridjig.checks.needs import needs
from gridjig.edits.rack import KINDS, set_owned
from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.rack_file import read_rack, write_rack
from gridjig.files.library import user_library
from gridjig.files.storage.locations import user_library_file
from gridjig.model import Display, Job
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.qt.forms.rack.rack_import import ImportForm
from gridjig.qt.forms.rack.rack_rows import BIN, OWNED, PIECE, USED
from gridjig.qt.forms.rack.rack_walk import piece_words
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.rack import PieceKind, Rack, kind_name
from tests.qt.formhands import form_over
from tests.qt.windows import Answers, make_window
from tests.workshop import EMPTY, PIN, RACK, STOP, laid, pin, stop

MM = Display(unit="millimetres")
ENTER = Qt.Key.Key_Return
JOB = laid(pin("a", 2, 2), pin("b", 4, 2), stop("c", 6, 6))


@pytest.fixture
def form(qtbot: QtBot) -> RackForm:
    form = form_over(qtbot, JOB, RackForm)
    form.questions = Answers()  # type: ignore[assignment]
    return form


def answers(form: RackForm) -> Answers:
    assert isinstance(form.questions, Answers)
    return form.questions


def rack_of(form: RackForm) -> Rack:
    return form.draft.job.rack


def type_cell(form: RackForm, piece_id: str, column: int, text: str) -> None:
    """Type over a cell, as a person at the keys does."""
    form.table.setFocus()
    assert form.table.choose(piece_id, column)
    QTest.keyClick(form.table, ENTER)
    edit = form.table.viewport().findChildren(QLineEdit)[-1]
    edit.selectAll()
    QTest.keyClicks(edit, text)
    QTest.keyClick(edit, ENTER)
    QApplication.processEvents()  # the list takes the text when the key is done


def opened(form: RackForm, kind: type[PieceForm] | type[ImportForm]) -> PieceForm | ImportForm:
    child = form.findChild(kind)
    assert child is not None
    assert child.isVisible()
    return child


@pytest.mark.expectation(64)
def test_undo_and_redo_have_the_keys_of_the_window(form: RackForm) -> None:
    before = rack_of(form)
    type_cell(form, "pin", OWNED, "11")
    changed = rack_of(form)
    assert changed is not before
    for key in (Qt.Key.Key_Y, Qt.Key.Key_Z):
        form.cancel_button.setFocus()
        QTest.keyClick(form.cancel_button, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        assert rack_of(form) is before
        held = Qt.KeyboardModifier.ControlModifier
        if key == Qt.Key.Key_Z:
            held |= Qt.KeyboardModifier.ShiftModifier
        QTest.keyClick(form.cancel_button, key, held)
        assert rack_of(form) is changed


# -- the list --------------------------------------------------------------------------------------


def test_every_piece_is_listed_with_use_count_and_bin(form: RackForm) -> None:
    rows = form.table.rows
    texts = {
        line.piece_id: tuple(rows.text(rows.index(row, column)) for column in range(4))
        for row, line in enumerate(rows.lines)
    }
    assert set(texts) == {p.id for p in RACK.pieces} | {""}
    assert texts["pin"] == ("locating pin", "2", "8", "")
    assert texts["bolt"] == ("locking pin", "2", "12", "A1")


@pytest.mark.expectation(61)
def test_counts_and_bins_are_typed_in_place(form: RackForm) -> None:
    type_cell(form, "pin", OWNED, "15")
    type_cell(form, "pin", BIN, "C9")
    assert (rack_of(form).piece("pin").owned, rack_of(form).piece("pin").bin) == (15, "C9")
    assert rack_of(form).walk == ("A1", "A2", "C9")
    assert form.document.job is JOB
    form.apply_button.click()
    assert form.document.job.rack.piece("pin").owned == 15
    assert form.document.undo_count == 1
    assert form.document.undo_name == "Change the rack"


def test_a_single_change_gives_the_step_its_name(form: RackForm) -> None:
    type_cell(form, "pin", OWNED, "15")
    form.apply_button.click()
    assert form.document.undo_name == "Count locating pin"


@pytest.mark.expectation(30, 78)
def test_a_count_that_is_none_stays_in_its_cell_marked_and_explained(form: RackForm) -> None:
    type_cell(form, "pin", OWNED, "nine")
    index = form.table.rows.index(form.table.currentIndex().row(), OWNED)
    assert form.table.rows.text(index) == "nine"
    assert "not a whole number" in str(index.data(Qt.ItemDataRole.ToolTipRole))
    assert "“nine” is not a whole number" in form.said.text()
    assert rack_of(form).piece("pin").owned == 8
    form.apply_button.click()
    assert form.isVisible()
    assert form.table.current_id() == "pin"
    type_cell(form, "pin", OWNED, "200000")
    assert "100,000" in form.said.text()
    type_cell(form, "pin", OWNED, "9")
    assert form.table.rows.first_wrong() is None
    assert rack_of(form).piece("pin").owned == 9


def test_undo_takes_a_text_that_was_not_accepted_away(form: RackForm) -> None:
    type_cell(form, "pin", OWNED, "nine")
    assert form.unsettled()
    form.undo_button.click()
    assert not form.unsettled()


def test_a_bin_with_too_long_a_name_is_refused(form: RackForm) -> None:
    type_cell(form, "pin", BIN, "x" * 41)
    assert "40 characters" in form.said.text()


def test_what_is_short_is_marked(qtbot: QtBot) -> None:
    form = form_over(qtbot, set_owned(JOB, "pin", 1), RackForm)
    form.table.choose("pin")
    assert form.about.text().splitlines()[1].startswith("▲ Short by 1.")
    index = form.table.rows.index(form.table.currentIndex().row(), USED)
    assert not index.flags() & Qt.ItemFlag.ItemIsEditable
    form.table.viewport().grab()


def test_finding_by_name_and_finding_nothing(form: RackForm) -> None:
    form.search.setText("arm")
    found = [line.piece_id for line in form.table.rows.lines if line.piece]
    assert found == ["arm", "hinge"]
    assert form.table.current_id() == "arm"
    form.search.setText("no such thing")
    assert form.table.current_id() == ""
    assert not form.change_button.isEnabled()
    assert "No piece" in form.about.text()
    for action in (form.remove, form.copy, form.change_piece):
        action()
    form.count_by(1)
    assert form.draft.job is JOB


def test_finding_nothing_twice_says_nothing_to_qt(form: RackForm) -> None:
    form.search.setText("no such thing")
    form.search.setText("no such thing either")  # a warning of Qt fails the test
    assert form.table.rows.lines == ()
    form.search.clear()
    assert form.table.rows.lines


def test_one_more_and_one_fewer(form: RackForm) -> None:
    form.table.choose("pin")
    form.more_button.click()
    form.more_button.click()
    assert rack_of(form).piece("pin").owned == 10
    form.fewer_button.click()
    assert rack_of(form).piece("pin").owned == 9
    assert form.draft.undo_count == 1


@pytest.mark.expectation(63)
def test_tab_leaves_the_list(form: RackForm) -> None:
    form.activateWindow()
    form.table.setFocus()
    QTest.keyClick(form.table, Qt.Key.Key_Tab)
    assert not form.table.hasFocus()


def test_readers_hear_a_cell_with_its_column(form: RackForm) -> None:
    form.table.choose("pin")
    row = form.table.currentIndex().row()
    heard = form.table.rows.index(row, OWNED).data(Qt.ItemDataRole.AccessibleTextRole)
    assert heard == "On hand, 8"
    piece = form.table.rows.index(row, PIECE).data(Qt.ItemDataRole.AccessibleTextRole)
    assert "locating pin" in str(piece)


# -- pieces ----------------------------------------------------------------------------------------


def test_enter_on_a_piece_opens_its_form(form: RackForm) -> None:
    form.table.choose("stop", PIECE)
    QTest.keyClick(form.table, ENTER)
    piece = opened(form, PieceForm)
    assert piece.windowTitle() == "Piece: fixed stop"
    piece.reject()


def test_a_copy_with_other_sizes_is_put_on_the_rack(form: RackForm) -> None:
    form.table.choose("stop")
    form.copy_button.click()
    piece = opened(form, PieceForm)
    assert isinstance(piece, PieceForm)
    piece.facts.name.edit.setText("tall stop")
    piece.facts.name.edit.setModified(True)
    piece.apply()
    assert rack_of(form).piece("stop-copy").name == "tall stop"
    assert form.table.current_id() == "stop-copy"
    assert "tall stop is on the rack" in form.said.text()
    form.undo_button.click()
    assert rack_of(form) == RACK


def test_a_piece_put_on_the_rack_by_ctrl_enter_is_the_only_one_selected(form: RackForm) -> None:
    form.table.choose("stop")
    form.copy_button.click()
    piece = opened(form, PieceForm)
    # To the window, not the widget: lists ask which keys are down, and only it knows.
    QTest.keyClick(piece.windowHandle(), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert form.table.chosen_ids() == ("stop-copy",)
    assert form.change_button.isEnabled()


@pytest.mark.parametrize("kind", KINDS)
def test_a_piece_of_each_kind_can_be_added(form: RackForm, kind: PieceKind) -> None:
    action = next(
        a for a in form.add_button.menu().actions() if a.text().lower() == kind_name(kind).lower()
    )
    action.trigger()
    piece = opened(form, PieceForm)
    assert isinstance(piece, PieceForm)
    piece.apply()
    added = [p for p in rack_of(form).pieces if RACK.find(p.id) is None]
    assert [p.kind for p in added] == [kind]


@pytest.mark.expectation(85)
def test_a_placed_piece_is_not_taken_off_the_rack(form: RackForm) -> None:
    form.table.choose("pin")
    QTest.keyClick(form.table, Qt.Key.Key_Delete)
    assert "in use on the table 2 times" in form.said.text()
    assert rack_of(form) == RACK
    form.table.choose("bolt")
    form.remove_button.click()
    assert "pins fixed stop" in form.said.text()


@pytest.mark.expectation(40)
def test_a_piece_that_is_not_placed_goes_and_comes_back(form: RackForm) -> None:
    form.table.choose("slider")
    form.remove_button.click()
    assert rack_of(form).find("slider") is None
    form.undo_button.click()
    assert rack_of(form) == RACK


def test_a_piece_is_told_in_words() -> None:
    assert piece_words(JOB, STOP) == (
        "fixed stop\n6 on hand, 1 in use, no bin.\n50 mm high, 0.0 kg. Pinned with locking pin."
        " Can be turned over."
    )
    left = structs.replace(PIN, hand="left", takes=("none",), thickness=2.0)
    assert "Left hand." in piece_words(JOB, left)
    loose = structs.replace(STOP, takes=("none",))
    assert "▲ No pin on this rack fits it." in piece_words(JOB, loose)


# -- walking order ---------------------------------------------------------------------------------


def test_bins_are_put_in_order_by_keys_and_buttons(form: RackForm) -> None:
    form.side.setCurrentIndex(1)
    order = form.walk.order
    assert order.keys() == ("A1", "A2")
    order.list.setCurrentRow(0)
    QTest.keyClick(order.list, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    assert rack_of(form).walk == ("A2", "A1")
    assert form.said.text() == "A1 is number 2 of 2."
    assert order.current() == "A1"
    assert not order.later.isEnabled()
    order.earlier.click()
    assert rack_of(form).walk == ("A1", "A2")


def test_bins_by_name_and_without_the_empty_ones(form: RackForm) -> None:
    for place in ("B10", "B9"):
        type_cell(form, "pin" if place == "B9" else "stop", BIN, place)
    assert rack_of(form).walk == ("A1", "A2", "B10", "B9")
    form.walk.by_name.click()
    assert rack_of(form).walk == ("A1", "A2", "B9", "B10")
    form.walk.empty.click()
    assert rack_of(form).walk == ("A1", "B9", "B10")
    assert not form.walk.empty.isEnabled()


def test_the_rack_is_named(form: RackForm) -> None:
    form.side.setCurrentIndex(1)
    form.walk.name.edit.setText("Shop rack")
    form.walk.name.edit.setModified(True)
    form.walk.name.apply()
    assert rack_of(form).name == "Shop rack"
    assert form.windowTitle() == "Rack: Shop rack"


def test_an_order_of_nothing_cannot_be_moved(qtbot: QtBot) -> None:
    order = OrderList("Nothing")
    qtbot.addWidget(order)
    moved: list[object] = []
    order.ordered.connect(moved.append)
    order.move_by(1)
    assert order.current() == ""
    order.show_entries((OrderEntry("a", "A"),))
    order.move_by(1)
    order.show_entries((OrderEntry("a", "A"),))
    QTest.keyClick(order.list, Qt.Key.Key_Down)
    assert moved == []


# -- files -----------------------------------------------------------------------------------------


def other_rack() -> Rack:
    job: Job = set_owned(EMPTY, "pin", 3)
    kept = tuple(p for p in job.rack.pieces if p.id not in ("slider", "hinge"))
    new = structs.replace(STOP, id="stop-2", name="second stop", size="60 mm", owned=2, bin="D1")
    return structs.replace(job.rack, name="Other", walk=("D1",), pieces=(*kept, new))


def test_a_rack_file_is_shown_before_its_pieces_are_taken(form: RackForm, tmp_path: Path) -> None:
    path = tmp_path / "other.gridrack"
    write_rack(path, other_rack())
    answers(form).path = str(path)
    form.import_button.click()
    ask = opened(form, ImportForm)
    assert isinstance(ask, ImportForm)
    assert ask.about.text() == "1 of 1 added, 1 of 1 changed, 6 the same."
    assert [ask.list.item(row).text() for row in range(ask.list.count())] == [
        "Added, 1",
        "second stop\n60 mm, 2 on hand, bin D1",
        "Changed, 1",
        "locating pin\non hand 8 to 3",
    ]
    ask.replace.click()
    assert ask.about.text() == "1 of 1 added, 1 of 1 changed, 2 of 2 removed, 6 the same."
    ask.merge.click()
    ask.take_button.click()
    assert rack_of(form).piece("stop-2").bin == "D1"
    assert rack_of(form).find("slider") is not None
    assert rack_of(form).walk == ("A1", "A2", "D1")
    assert form.draft.undo_name == "Import other.gridrack"
    form.import_file()  # the same rack again: it has nothing new, but it is another one
    assert form.document.job is JOB


def test_each_line_is_taken_or_left(form: RackForm, tmp_path: Path) -> None:
    path = tmp_path / "other.gridrack"
    write_rack(path, other_rack())
    answers(form).path = str(path)
    form.import_file()
    ask = opened(form, ImportForm)
    assert isinstance(ask, ImportForm)
    ask.list.setCurrentRow(1)
    QTest.keyClick(ask.list, Qt.Key.Key_Space)  # the second stop is left
    assert ask.about.text() == "0 of 1 added, 1 of 1 changed, 6 the same."
    QTest.keyClick(ask.list, ENTER)
    assert rack_of(form).find("stop-2") is None
    assert rack_of(form).piece("pin").owned == 3
    assert rack_of(form).walk == ("A1", "A2")


def test_every_line_can_be_left_and_then_nothing_is_imported(
    form: RackForm, tmp_path: Path
) -> None:
    path = tmp_path / "other.gridrack"
    write_rack(path, other_rack())
    answers(form).path = str(path)
    form.import_file()
    ask = opened(form, ImportForm)
    assert isinstance(ask, ImportForm)
    ask.none_button.click()
    assert not ask.list.taken()
    assert not ask.take_button.isEnabled()
    assert not ask.none_button.isEnabled()
    ask.all_button.click()
    assert len(ask.list.taken()) == 2
    assert ask.take_button.isEnabled()
    ask.reject()
    assert rack_of(form) == RACK


def test_a_rack_is_taken_out_of_a_job_file(form: RackForm, tmp_path: Path) -> None:
    path = tmp_path / "gate.gridjig"
    path.write_bytes(write_job(structs.replace(EMPTY, rack=other_rack())))
    answers(form).path = str(path)
    form.import_file()
    ask = opened(form, ImportForm)
    assert isinstance(ask, ImportForm)
    ask.take_button.click()
    assert rack_of(form).piece("stop-2").bin == "D1"
    assert form.draft.undo_name == "Import gate.gridjig"


def test_pieces_on_the_table_stay_unless_their_line_is_taken(
    form: RackForm, tmp_path: Path
) -> None:
    path = tmp_path / "few.gridrack"
    write_rack(path, structs.replace(RACK, pieces=(STOP,)))
    answers(form).path = str(path)
    form.import_file()
    ask = opened(form, ImportForm)
    assert isinstance(ask, ImportForm)
    assert "nothing" in ask.about.text()
    ask.replace.click()
    assert ask.take_button.isEnabled()
    ask.all_button.click()
    assert ask.about.text().startswith("✕ locating pin is on the table")
    assert not ask.take_button.isEnabled()
    ask.reject()


@pytest.mark.expectation(85, 86)
def test_a_bad_rack_file_is_said_with_its_place(form: RackForm, tmp_path: Path) -> None:
    path = tmp_path / "bad.gridrack"
    write_rack(path, RACK)
    path.write_text(path.read_text().replace('"owned": 8', '"owned": -8'))
    answers(form).path = str(path)
    form.import_file()
    said = answers(form).asked[-1]
    assert said.startswith("problem “bad.gridrack” was not imported")
    assert "line " in said
    assert "pieces[0].owned" in said
    assert form.draft.job is JOB
    answers(form).path = ""
    form.import_file()


def test_the_same_rack_again_is_said(form: RackForm, tmp_path: Path) -> None:
    answers(form).path = str(tmp_path / "shop")
    form.export_button.click()
    path = tmp_path / "shop.gridrack"
    assert read_rack(path) == RACK
    answers(form).path = str(path)
    form.import_button.click()
    assert form.said.text() == "shop.gridrack has nothing that this rack does not already have."
    answers(form).path = str(tmp_path / "none" / "shop.gridrack")
    form.export_button.click()
    assert answers(form).asked[-1].startswith("problem “shop.gridrack” was not saved")
    answers(form).path = ""
    form.export_button.click()


def test_a_rack_is_kept_for_new_jobs(form: RackForm) -> None:
    form.keep_button.click()
    assert user_library.load().racks == (RACK,)
    user_library_file().write_text("{}")
    form.keep_button.click()
    assert "cannot be read" in form.said.text()


def test_a_kept_rack_is_forgotten_after_one_question(form: RackForm) -> None:
    user_library.keep_rack(structs.replace(RACK, name="another"))
    assert form.forget_button.isHidden()
    form.keep_button.click()
    assert not form.forget_button.isHidden()
    form.forget_button.click()
    assert answers(form).asked == [f"forget rack {RACK.name}"]
    assert len(user_library.load().racks) == 2
    answers(form).forgets = True
    form.forget_button.click()
    assert [rack.name for rack in user_library.load().racks] == ["another"]
    assert form.forget_button.isHidden()
    assert form.draft.job.rack == RACK
    assert "this job still uses it" in form.said.text()


# -- the form as a whole ---------------------------------------------------------------------------


def test_the_menu_opens_it_over_the_window(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("rack.form")
    form = window.findChild(RackForm)
    assert form is not None
    assert form.isVisible()
    form.reject()


@pytest.mark.expectation(74)
def test_the_form_fits_a_small_screen(form: RackForm) -> None:
    assert form.minimumSizeHint().width() <= 1240
    assert form.minimumSizeHint().height() <= 700


def test_every_silhouette_is_painted(form: RackForm) -> None:
    picture = form.table.viewport().grab().toImage()
    colours = {
        picture.pixelColor(x, y).name()
        for x in range(8, 130, 2)
        for y in range(0, picture.height(), 3)
    }
    assert len(colours) > 3
    QApplication.processEvents()


def ids(form: RackForm) -> list[str]:
    return [line.piece_id for line in form.table.rows.lines if line.piece]


def click_head(form: RackForm, column: int) -> None:
    heads = form.table.horizontalHeader()
    x = heads.sectionViewportPosition(column) + heads.sectionSize(column) // 2
    place = QPoint(x, heads.height() // 2)
    QTest.mouseClick(heads.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_a_click_on_a_columns_name_sorts_the_rack(form: RackForm) -> None:
    given = ids(form)
    pieces = {piece.id: piece for piece in rack_of(form).pieces}
    assert len({piece.owned for piece in pieces.values()}) > 2
    click_head(form, OWNED)
    counts = [pieces[one].owned for one in ids(form)]
    assert counts == sorted(counts)
    assert sorted(ids(form)) == sorted(given)
    assert all(line.piece for line in form.table.rows.lines)  # no headings between them
    order = ids(form)
    type_cell(form, order[0], OWNED, "99")
    assert ids(form) == order  # a line does not jump away while its count is typed
    click_head(form, OWNED)
    counts = [rack_of(form).piece(one).owned for one in ids(form)]
    assert counts == sorted(counts, reverse=True)
    click_head(form, OWNED)
    assert ids(form) == given


def test_several_pieces_are_counted_and_taken_off_at_once(form: RackForm) -> None:
    used = set(needs(form.draft.job))
    free = [one for one in ids(form) if one not in used][:2]
    assert len(free) == 2
    before = [rack_of(form).piece(one).owned for one in free]
    flag = QItemSelectionModel.SelectionFlag
    model = form.table.selectionModel()
    model.clear()
    for row, line in enumerate(form.table.rows.lines):
        if line.piece_id in free:
            model.setCurrentIndex(form.table.rows.index(row, 0), flag.Select | flag.Rows)
    assert set(form.table.chosen_ids()) == set(free)
    form.more_button.click()
    assert [rack_of(form).piece(one).owned for one in free] == [n + 1 for n in before]
    QTest.keyClick(form.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    copied = QGuiApplication.clipboard().text().splitlines()
    assert copied[0] == "Piece\tIn use\tOn hand\tBin"
    assert len(copied) == 3
    QTest.keyClick(form.table, Qt.Key.Key_Delete)
    assert not set(free) & set(ids(form))
    form.undo()
    assert set(free) <= set(ids(form))


def test_several_bins_are_moved_as_a_block(qtbot: QtBot) -> None:
    order = OrderList("Bins")
    qtbot.addWidget(order)
    order.show_entries(tuple(OrderEntry(key, key) for key in "abcde"))
    order.ordered.connect(
        lambda keys: order.show_entries(tuple(OrderEntry(key, key) for key in keys))
    )
    for row in (1, 2):
        order.list.item(row).setSelected(True)
    order.list.item(0).setSelected(False)
    order.move_by(1)
    assert order.keys() == ("a", "d", "b", "c", "e")
    assert order.chosen() == {"b", "c"}
    order.move_by(1)
    order.move_by(1)
    assert order.keys() == ("a", "d", "e", "b", "c")
    assert not order.later.isEnabled()
    assert order.earlier.isEnabled()
