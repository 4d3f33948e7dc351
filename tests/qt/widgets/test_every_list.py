"""Every list of the program, one by one: keys, several lines, copying, equal things told apart."""

import ast
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import cast

import pytest
from msgspec import structs
from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QPushButton,
    QTableView,
    QTabWidget,
    QTreeView,
    QWidget,
)
from pytestqt.qtbot import QtBot

import gridjig.qt
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library.assets import samples, starter_racks
from gridjig.model import Hole, HoleMark, Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.forms.drawing.drawing_files import bring_in
from gridjig.qt.forms.piece.piece_drawing import PieceDrawingForm
from gridjig.qt.forms.rack.rack_import import ImportForm
from gridjig.qt.forms.shop.chain_form import ChainForm
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.choice_list import ChoiceList
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.window.window import Window
from gridjig.sheets.text.sorting import natural
from tests.files.drawings.drawn import written
from tests.qt.forms.drawing.test_drawing_form import plates
from tests.qt.windows import CTRL, SHIFT, Answers, make_window

NONE = Qt.KeyboardModifier.NoModifier
DRAWINGS = Path(__file__).parents[2] / "files" / "drawings" / "dxf"


def unnamed(job: Job) -> Job:
    """The job without names of pieces and parts, so that equal things are called the same."""
    return structs.replace(
        job,
        table=structs.replace(
            job.table, marks=tuple(HoleMark(Hole(20 + k, 9), "blocked") for k in range(3))
        ),
        placements=tuple(structs.replace(p, name="") for p in job.placements),
    )


GATE = unnamed(load_job(samples()["2-harbour-gate"]))
Open = Callable[[QtBot, Window], QAbstractItemView]


def called(over: QWidget, name: str) -> QAbstractItemView:
    """The list with that name, once it has lines."""
    found = [
        view
        for view in over.findChildren(QAbstractItemView)
        if view.accessibleName() == name and view.isVisible()
    ]
    assert len(found) == 1, name
    return found[0]


def page(name: str, *where: object) -> Open:
    def opens(qtbot: QtBot, window: Window) -> QAbstractItemView:
        window.port.pages.show(*where)  # type: ignore[arg-type]
        QApplication.processEvents()
        window.workspace.check_now()
        if where[0] == "angle":
            ask_angle(qtbot, window)
        return called(window, name)

    return opens


def ask_angle(qtbot: QtBot, window: Window) -> None:
    pane = window.workspace.angle.pane
    pane.ask.angle.edit.selectAll()
    QTest.keyClicks(pane.ask.angle.edit, "37.5")
    qtbot.waitUntil(lambda: not pane.finder.busy, timeout=30_000)


def arm_angles(qtbot: QtBot, window: Window) -> QAbstractItemView:
    arm = next(p.id for p in GATE.placements if GATE.rack.piece(p.piece).kind == "arm")
    window.document.select((arm,))
    window.port.do("angle.reach")
    QApplication.processEvents()
    return called(window, "Angles it can be set to")


def form(name: str, action: str) -> Open:
    def opens(_: QtBot, window: Window) -> QAbstractItemView:
        window.port.do(action)
        return called(front(), name)

    return opens


def front() -> FormDialog:
    QApplication.processEvents()
    form = QApplication.activeModalWidget()
    forms = [
        w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
    ]
    return form if isinstance(form, FormDialog) else forms[-1]


def drawer(_: QtBot, window: Window) -> QAbstractItemView:
    return window.workspace.drawer.list


def marked(_: QtBot, window: Window) -> QAbstractItemView:
    window.port.do("table.form")
    tabs = front().findChild(QTabWidget)
    assert isinstance(tabs, QTabWidget)
    for at in range(tabs.count()):
        tabs.setCurrentIndex(at)
        if any(v.accessibleName() == "Marked holes" and v.isVisible() for v in views(front())):
            break
    return called(front(), "Marked holes")


def views(over: QWidget) -> list[QAbstractItemView]:
    return over.findChildren(QAbstractItemView)


def changes(_: QtBot, window: Window) -> QAbstractItemView:
    first, second, *rest = GATE.placements
    other = (structs.replace(first, note="mind the rib"), *rest)
    window.document.do(structs.replace(GATE, placements=other, revision="B"), "Change")
    assert GATE.find(second.id) is not None
    window.port.do("file.changes")
    return called(front(), "What changed")


def repeat(qtbot: QtBot, window: Window) -> QAbstractItemView:
    asks = cast(Answers, window.questions)
    table = structs.replace(GATE.table, name="Other", width=2500.0, columns=25)
    other = structs.replace(
        GATE, table=table, rack=structs.replace(GATE.rack, pieces=GATE.rack.pieces[:9])
    )
    path = Path(asks.path)
    path.write_bytes(write_job(structs.replace(other, placements=(), parts=())))
    window.port.do("table.repeat")
    made = front()
    made.from_file()  # type: ignore[attr-defined]
    qtbot.waitUntil(lambda: not made.tasks.busy, timeout=20_000)  # type: ignore[attr-defined]
    return called(made, "What no longer holds")


def suggested(name: str) -> Open:
    def opens(qtbot: QtBot, window: Window) -> QAbstractItemView:
        window.document.do(structs.replace(GATE, placements=()), "Clear")
        window.port.do("piece.suggest")
        made = front()
        qtbot.waitUntil(
            lambda: len(made.found.alternatives) > 0,  # type: ignore[attr-defined]
            timeout=60_000,
        )
        made.tasks.cancel()  # type: ignore[attr-defined]
        return called(made, name)

    return opens


def drawing() -> Path:
    return DRAWINGS / "forms.dxf"


def outlines(qtbot: QtBot, window: Window) -> QAbstractItemView:
    made = PieceDrawingForm(window, window.document.job, window.appearance, drawing())
    made.open()
    view = called(made, "Outlines of the drawing")
    qtbot.waitUntil(lambda: view.model().rowCount() > 1)
    return view


def layers(qtbot: QtBot, window: Window) -> QAbstractItemView:
    path = written(Path(cast(Answers, window.questions).path).parent, plates)
    bring_in(window, window.document, window.appearance, path)
    view = called(front(), "Layers of the drawing")
    qtbot.waitUntil(lambda: view.model().rowCount() > 2, timeout=20_000)
    return view


def chain(_: QtBot, window: Window) -> QAbstractItemView:
    window.port.do("weldment.chain")
    form = front()
    assert isinstance(form, ChainForm)
    form.edit.setPlainText("90 + 300 + 215 = 605")
    return called(form, "Distances from the datum")


def imported(_: QtBot, window: Window) -> QAbstractItemView:
    other = next(rack for rack in starter_racks().values() if rack != GATE.rack)
    ImportForm(GATE, other, "other.gridrack", window).open()
    return called(front(), "What the file changes")


LISTS: dict[str, Open] = {
    "What is placed": page("What is placed", "placed"),
    "Pull list": page("Pull list", "pull"),
    "What the check found": page("What the check found", "check"),
    "Cut list": page("Cut list", "weldment", 0),
    "Joints": page("Joints", "weldment", 1),
    "Faces and the gap in front of each": page("Faces and the gap in front of each", "weldment", 2),
    "Positions, least packing first": page("Positions, least packing first", "weldment", 3),
    "Ways up": page("Ways up", "weldment", 4),
    "Weldments and their parts": page("Weldments and their parts", "weldment", 5),
    "Joints in order": page("Joints in order", "weldment", 6),
    "Answers, best first": page("Answers, best first", "angle"),
    "Angles it can be set to": arm_angles,
    "Rack drawer: pieces": drawer,
    "Marked holes": marked,
    "What changed": changes,
    "What no longer holds": repeat,
    "Measures and how exact they are": form("Measures and how exact they are", "check.exact"),
    "Parts in the order of loading": form("Parts in the order of loading", "check.loading"),
    "Set-ups found": suggested("Set-ups found"),
    "Why each piece stands where it does": suggested("Why each piece stands where it does"),
    "Pieces of the rack": form("Pieces of the rack", "rack.form"),
    "Outlines of the drawing": outlines,
    "Layers of the drawing": layers,
    "Distances from the datum": chain,
    "What the file changes": imported,
}
"""Every list that shows lines of a job, by the name that a screen reader says."""


@pytest.fixture(params=sorted(LISTS))
def view(
    qtbot: QtBot, request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[QAbstractItemView]:
    window = make_window(qtbot, GATE)
    cast(Answers, window.questions).path = str(tmp_path / "other.gridjig")
    opened = LISTS[request.param](qtbot, window)
    least = 1 if request.param == "Set-ups found" else 2  # the one that nothing betters
    qtbot.waitUntil(lambda: len(lines(opened)) >= least, timeout=20_000)
    runners = [
        one for top in QApplication.topLevelWidgets() for one in top.findChildren(TaskRunner)
    ]
    qtbot.waitUntil(lambda: not any(one.busy for one in runners), timeout=30_000)  # more may come
    yield opened
    for one in QApplication.topLevelWidgets():
        if isinstance(one, FormDialog):
            one.done(0)


def lines(view: QAbstractItemView) -> list[int]:
    """The rows that can be selected: all but the headings."""
    model = view.model()
    return [
        row
        for row in range(model.rowCount())
        if model.index(row, 0).flags() & Qt.ItemFlag.ItemIsSelectable
    ]


def words(view: QAbstractItemView, row: int) -> str:
    model = view.model()
    columns = model.columnCount() if isinstance(view, QTableView | QTreeView) else 1
    return "\t".join(str(model.index(row, c).data()) for c in range(columns))


ONE_AT_A_TIME = {
    "Positions, least packing first": "the weldment goes to one of them",
    "Ways up": "the weldment lies one way up",
    "Answers, best first": "one of them is set",
    "Angles it can be set to": "the arm is set to one of them",
    "Set-ups found": "one of them is used",
    "Rack drawer: pieces": "one piece is in hand",
    "What the file changes": "its lines are ticked, not selected",
}
"""Lists in which one line is chosen, and why."""


def put_at(view: QAbstractItemView, row: int) -> None:
    index = view.model().index(row, 0)
    view.scrollTo(index)
    # Not view.setCurrentIndex: that would heed a key that the test before has held.
    flag = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
    view.selectionModel().setCurrentIndex(index, flag)
    QApplication.processEvents()  # the panes follow the document


def click(view: QAbstractItemView, row: int, held: Qt.KeyboardModifier = NONE) -> None:
    index = view.model().index(row, 0)
    view.scrollTo(index)
    at = view.visualRect(index).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, held, at)
    QApplication.processEvents()


def chosen(view: QAbstractItemView) -> list[int]:
    return sorted({index.row() for index in view.selectionModel().selectedIndexes()})


def _shift_and_ctrl_select_several_lines(view: QAbstractItemView) -> None:
    rows = lines(view)[:3]
    single = view.selectionMode() == QAbstractItemView.SelectionMode.SingleSelection
    assert single == (view.accessibleName() in ONE_AT_A_TIME)
    click(view, rows[0])
    assert chosen(view) == rows[:1]
    if single:
        click(view, rows[-1], SHIFT)
        assert len(chosen(view)) == 1
        return
    click(view, rows[-1], SHIFT)
    assert chosen(view) == rows
    click(view, rows[0], CTRL)
    assert chosen(view) == rows[1:]


def _arrows_home_and_end_go_from_line_to_line_and_never_to_a_heading(
    view: QAbstractItemView,
) -> None:
    rows = lines(view)
    view.setFocus()
    put_at(view, rows[0])
    for row in rows[1:4]:
        QTest.keyClick(view, Qt.Key.Key_Down)
        assert view.currentIndex().row() == row
    for row in reversed(rows[:3]):
        if len(rows) > 3:
            QTest.keyClick(view, Qt.Key.Key_Up)
            assert view.currentIndex().row() == row
    held = CTRL if isinstance(view, QTableView) else NONE  # without, they go along the row
    QTest.keyClick(view, Qt.Key.Key_End, held)
    assert view.currentIndex().row() == rows[-1]
    QTest.keyClick(view, Qt.Key.Key_Home, held)
    assert view.currentIndex().row() == rows[0]


def _ctrl_c_copies_a_table_in_which_no_two_lines_are_the_same(
    view: QAbstractItemView,
) -> None:
    """All lines if at most one is selected, else those; cells with tabs between them."""
    rows = lines(view)
    clipboard = QGuiApplication.clipboard()
    clipboard.setText("nothing")
    view.setFocus()
    put_at(view, rows[0])
    QApplication.processEvents()
    QTest.keyClick(view, Qt.Key.Key_C, CTRL)
    told = clipboard.text().split("\n")
    headed = isinstance(view, QTableView | QTreeView)
    assert len(told) == len(rows) + headed
    assert len(set(told)) == len(told)
    assert all(line.strip() for line in told)
    if view.accessibleName() not in ONE_CELL:
        assert any("\t" in line for line in told)
    if view.accessibleName() in ONE_AT_A_TIME:
        return
    click(view, rows[0])
    click(view, rows[1], SHIFT)
    QTest.keyClick(view, Qt.Key.Key_C, CTRL)
    assert clipboard.text().split("\n") == told[: 2 + headed]


ONE_CELL = {"Joints in order", "Parts in the order of loading", "Outlines of the drawing"}
"""Lists whose lines are one text each."""


def _enter_opens_the_line_that_the_arrows_chose(view: QAbstractItemView) -> None:
    if not isinstance(view, EntryListView):
        assert view.accessibleName() in NO_ENTER
        return
    rows = lines(view)
    does_something = view.listened_to("setting" if isinstance(view, ChoiceList) else "opened")
    heard: list[str] = []
    view.setFocus()
    put_at(view, rows[0])
    if len(rows) > 1:
        QTest.keyClick(view, Qt.Key.Key_Down)
    wanted = view.lines.entries[rows[min(1, len(rows) - 1)]].key
    if not does_something:  # a list to read: Enter is for the bold button of its form
        (bold,) = [b for b in view.window().findChildren(QPushButton) if b.isDefault()]
        bold.clicked.connect(lambda: heard.append("bold"))
        QTest.keyClick(view, Qt.Key.Key_Return)
        assert heard == (["bold"] if bold.isEnabled() else [])
        return
    if isinstance(view, ChoiceList):
        view.setting.connect(lambda: heard.append(wanted))
        assert view.current_key() == wanted
    else:
        view.opened.connect(lambda entry: heard.append(entry.key))
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert heard == [wanted]


NO_ENTER = {
    *("Joints in order", "Parts in the order of loading", "Rack drawer: pieces"),
    *("Pieces of the rack", "Outlines of the drawing", "Layers of the drawing"),
    *("Distances from the datum", "What the file changes"),
}
"""Lists in which Enter is the form's, or is tried in the tests of their own."""


def _a_list_is_sorted_and_what_is_selected_stays_selected(view: QAbstractItemView) -> None:
    if not isinstance(view, EntryListView):
        assert view.accessibleName() in NO_ENTER
        return
    rows = lines(view)
    put_at(view, rows[-1])
    key = view.current_key()
    before = [entry.key for entry in view.lines.entries if not entry.heading]
    view.sort("name")
    heads = [entry.head for entry in view.lines.entries]
    assert heads == sorted(heads, key=natural)
    assert sorted(before) == sorted(entry.key for entry in view.lines.entries)
    assert [entry.key for entry in view.chosen_entries()] == [key]
    view.sort("listed")
    assert [e.key for e in view.lines.entries if not e.heading] == before


@pytest.mark.expectation(13, 61)
def test_a_list_works_like_every_other(view: QAbstractItemView) -> None:
    """One after the other in one window: a window for each would take minutes in all."""
    _arrows_home_and_end_go_from_line_to_line_and_never_to_a_heading(view)
    _shift_and_ctrl_select_several_lines(view)
    _ctrl_c_copies_a_table_in_which_no_two_lines_are_the_same(view)
    _a_list_is_sorted_and_what_is_selected_stays_selected(view)
    _enter_opens_the_line_that_the_arrows_chose(view)


def test_every_list_is_tried() -> None:
    """Found in the source: each list that is made there has its name in this module."""
    made, tried = set(), {*LISTS, *ELSEWHERE}
    package = Path(str(gridjig.qt.__file__)).parent
    for file in sorted(package.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in MAKERS:
                made |= texts(node)
            made |= qt_lists(node)
    assert len(made) > 20
    assert made - tried == set()


def texts(call: ast.Call) -> set[str]:
    """The texts that are given in a call."""
    given = [a.value for a in call.args if isinstance(a, ast.Constant)]
    return {one for one in given if isinstance(one, str) and one}


def qt_lists(node: ast.AST) -> set[str]:
    """The names of Qt's own lists: a class that is one, or one that a class makes."""
    if not isinstance(node, ast.ClassDef):
        return set()
    here = {"self"} if any(ast.unparse(base) in QT_LISTS for base in node.bases) else set()
    for one in ast.walk(node):
        if not (isinstance(one, ast.Assign) and isinstance(one.value, ast.Call)):
            continue
        if ast.unparse(one.value.func) in QT_LISTS:
            here |= {ast.unparse(target) for target in one.targets}
    naming = {f"{name}.setAccessibleName" for name in here}
    calls = [one for one in ast.walk(node) if isinstance(one, ast.Call)]
    return {text for one in calls if ast.unparse(one.func) in naming for text in texts(one)}


MAKERS = {
    *("EntryListView", "PageList", "AnswerList", "ChoiceList", "FaceLineList", "OrderList"),
    *("ImportList", "add_list"),
}
QT_LISTS = {
    *("QListView", "QListWidget", "QTableView", "QTableWidget", "QTreeView", "QTreeWidget"),
    *("CopiedList", "DrawerView"),
}
ELSEWHERE = {
    *("Bins in walking order", "Locking pins it takes, best first", "Edges that locate work"),
    "Standard weldments",
}
"""The same widget as the order of joints, in a form over a form; and the names of the kinds that a
form makes, of which one is chosen: `tests/qt/forms/starter/test_starter_form.py` tries it.
"""
