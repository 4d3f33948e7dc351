"""Names are text: no markup in one is obeyed, no `&` in one disappears, and no code gets round it.

A pipe tells whether a name made Qt open a file: it can be opened for writing only while somebody
has it open for reading.
"""

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtGui import Qt as GuiQt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QLabel,
    QMenu,
    QWidget,
)
from pytestqt.qtbot import QtBot

import gridjig.qt
from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.files.storage import recent
from gridjig.model import Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog
from gridjig.qt.dialogs.recover import RecoverForm
from gridjig.qt.forms.job.start_page import StartChoice, StartPage, TableChoice
from gridjig.qt.forms.rack.rack_import import ImportForm
from gridjig.qt.widgets.labels import _line_starts
from gridjig.qt.widgets.plain import Button, Label, menu_words, tip, title_words
from gridjig.qt.window.start import StartController
from gridjig.qt.window.window import Window
from tests.qt.events import settle
from tests.qt.forms.test_large_letters import OPENS
from tests.qt.windows import make_window
from tests.workshop import laid, pin, plate, put, seat, stop

QT = Path(gridjig.qt.__file__).parent
ODD = ("<b>bold</b>", "Post <A>", "nuts & bolts", "a\nb <i>c</i>", "&lt;A&gt;", "x < y", "[*] done")

# -- the gate --------------------------------------------------------------------------------------

NEVER = {"QLabel", "QMessageBox", "QProgressDialog", "QErrorMessage", "QWhatsThis", "QToolTip"}
"""What guesses whether its text is markup, and has something of ours to take its place."""
TIPS = {"setToolTip", "setTabToolTip", "setItemToolTip"}
RICH = {"setHtml", "setMarkdown", "setTextFormat", "insertHtml", "appendHtml"}
OWN_MARKUP = {"dialogs/help.py", "window/keys_sheet.py", "widgets/plain.py"}
"""What shows markup of this program's own, with nothing of a job in it."""


MAKERS = {
    **dict.fromkeys(("QPushButton", "QCheckBox", "QRadioButton", "QGroupBox"), "menu_words"),
    **dict.fromkeys(TIPS, "tip"),
    "addAction": "menu_words",
    "setWindowTitle": "title_words",
}
"""What a text that is no literal has to come from, by what it is given to."""


def is_made(node: ast.AST, maker: str) -> bool:
    return any(
        isinstance(one, ast.Call) and getattr(one.func, "id", "") == maker for one in ast.walk(node)
    )


def is_safe(node: ast.expr, maker: str) -> bool:
    """A literal, a choice of literals, or something that its maker has made plain."""
    if isinstance(node, ast.IfExp):
        return is_safe(node.body, maker) and is_safe(node.orelse, maker)
    return isinstance(node, ast.Constant) or is_made(node, maker)


def told_of_call(node: ast.Call, name: str) -> bool:
    """True if a call shows a text that Qt may take for markup or for a shortcut."""
    called = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
    owner = getattr(getattr(node.func, "value", None), "id", "")
    if {called, owner} & NEVER:
        return True
    if called in RICH:
        return name not in OWN_MARKUP
    maker = MAKERS.get(called)
    if maker is None or (called == "addAction" and len(node.args) < 2 and not _is_text(node)):
        return False
    words = node.args[-1 if called in TIPS else 0] if node.args else None
    return words is None or not is_safe(words, maker)


def _is_text(node: ast.Call) -> bool:
    return bool(node.args) and isinstance(node.args[0], ast.Constant | ast.JoinedStr | ast.IfExp)


def bypasses(source: str, name: str = "a.py") -> list[str]:
    """What gets round the one place for plain text, as file:line: what."""
    tree = ast.parse(source)
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    found: list[tuple[int, str]] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and told_of_call(node, name):
            found.append((node.lineno, ast.unparse(node.func)))
        elif isinstance(node, ast.ClassDef) and {ast.unparse(one) for one in node.bases} & NEVER:
            found.append((node.lineno, f"class {node.name}"))
        elif isinstance(node, ast.Attribute) and node.attr in TIPS and id(node) not in called:
            found.append((node.lineno, f"{node.attr} handed on"))
        elif isinstance(node, ast.FunctionDef) and not is_made(node, "tip"):
            roles = [one for one in ast.walk(node) if getattr(one, "attr", "") == "ToolTipRole"]
            found += [(node.lineno, "ToolTipRole without tip()") for _ in roles]
    return [f"{name}:{line}: {what}" for line, what in found]


def test_no_text_gets_round_the_one_place_for_plain_text() -> None:
    files = sorted(QT.rglob("*.py"))
    assert len(files) > 100
    found: list[str] = []
    for path in files:
        name = path.relative_to(QT).as_posix()
        if not name.startswith("widgets/"):
            found += bypasses(path.read_text(encoding="utf-8"), name)
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "a = QLabel(name)",
        "class A(QLabel): pass",
        "QMessageBox.warning(self, title, name)",
        "a = QPushButton()",
        "a = QPushButton(job.name)",
        "a = QCheckBox(f'{name}')",
        "a.setToolTip(name)",
        "a.setToolTip('' if free else name)",
        "box.changed.connect(box.setToolTip)",
        "menu.addAction(words, action)",
        "a.setWindowTitle(f'Rack: {name}')",
        "a.setHtml(name)",
        "def data(self, role):\n    return self.name if role == Qt.ToolTipRole else None",
    ],
)
def test_the_gate_sees_each_way_round(line: str) -> None:
    assert bypasses(line)


@pytest.mark.parametrize(
    "line",
    [
        "a = Label(name)",
        "a = QPushButton('Save')",
        "a.setToolTip(tip(name))",
        "a.setToolTip('' if free else 'Save it')",
        "a.setWindowTitle(title_words(f'Rack: {name}'))",
    ],
)
def test_the_gate_lets_pass_what_is_plain(line: str) -> None:
    assert bypasses(line) == []


# -- the parts -------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ODD)
def test_a_label_shows_what_it_is_given(qtbot: QtBot, words: str) -> None:
    label, entry = Label(words), QWidget()
    qtbot.addWidget(label)
    qtbot.addWidget(entry)
    assert label.textFormat() == Qt.TextFormat.PlainText
    assert label.text() == words
    label.setBuddy(entry)
    label.setText(words)
    assert label.text() == words
    assert QLabel.text(label).replace("&&", "") == words.replace("&", "")


@pytest.mark.parametrize("words", ODD)
def test_a_button_shows_an_ampersand_and_underlines_nothing(qtbot: QtBot, words: str) -> None:
    button = Button(words)
    qtbot.addWidget(button)
    assert button.text() == words
    assert button.shortcut().isEmpty()


@pytest.mark.parametrize("words", ODD)
def test_a_tooltip_never_takes_typed_text_for_markup(words: str) -> None:
    shown = tip(words)
    if GuiQt.mightBeRichText(words):
        assert "<b>" not in shown
        assert "<A>" not in shown
        assert "&lt;" in shown or "&amp;lt;" in shown
    else:
        assert shown == words


def test_words_of_menus_and_titles_keep_every_letter() -> None:
    assert menu_words("nuts & bolts && more") == "nuts && bolts &&&& more"
    assert title_words("a[*]b") == "a[*][*]b"


def test_a_label_breaks_no_line_between_a_number_and_its_unit(qtbot: QtBot) -> None:
    said, buddy = "play turns it 8.2 %", QLabel()
    label = Label(said)
    qtbot.addWidget(label)
    qtbot.addWidget(buddy)
    room = label.fontMetrics().horizontalAdvance("play turns it 8.2") + 2 * label.margin() + 4
    one = label.fontMetrics().lineSpacing()
    assert label.heightForWidth(room) >= 2 * one
    assert QLabel.text(label).split(" ")[-1] == "8.2\u00a0%"
    assert label.text() == said
    label.setBuddy(buddy)
    assert label.text() == said
    starts = _line_starts(said, label.font(), room)
    assert [said[at:] for at in starts] == [said, "8.2 %"]


# -- nothing is opened -----------------------------------------------------------------------------


WATCH = """
import os, sys, time
pipe, seen = sys.argv[1:]
while os.getppid() == int(os.environ["WATCHED"]):
    try:
        handle = os.open(pipe, os.O_WRONLY | os.O_NONBLOCK)
    except OSError:  # nobody reads
        time.sleep(0.002)
        continue
    open(seen, "w").close()
    os.close(handle)
"""


class Watcher:
    """Notes whether anybody opens a pipe for reading, and lets him go on.

    A process of its own: Qt holds the interpreter while it waits for a pipe.
    """

    def __init__(self, folder: Path) -> None:
        self.pipe = folder / "p"
        self._seen = folder / "seen"
        os.mkfifo(self.pipe)
        self._process = subprocess.Popen(
            [sys.executable, "-c", WATCH, str(self.pipe), str(self._seen)],
            env={**os.environ, "WATCHED": str(os.getpid())},
        )

    @property
    def opened(self) -> bool:
        return self._seen.exists()

    def end(self) -> None:
        self._process.kill()
        self._process.wait()


@contextmanager
def watched(folder: Path) -> Iterator[Watcher]:
    watcher = Watcher(folder)
    try:
        yield watcher
    finally:
        watcher.end()


needs_pipes = pytest.mark.skipif(sys.platform == "win32", reason="pipes have no names in folders")


@needs_pipes
def test_a_label_of_qt_would_open_the_file_of_a_name(qtbot: QtBot, tmp_path: Path) -> None:
    with watched(tmp_path) as watcher:
        label = QLabel(f'<img src="{watcher.pipe}">')
        qtbot.addWidget(label)
        label.grab()
    assert watcher.opened


def named(words: str) -> Job:
    """A job in which everything has that name."""
    job = laid(
        pin("p", 9, 9), stop("s", 2, 2), put("c", "clamp", seat("p", 14, 9)), plate("a", 600, 300)
    )
    pieces = tuple(
        structs.replace(p, name=words, size=words[:80], bin=words[:40]) for p in job.rack.pieces
    )
    rack = structs.replace(job.rack, name=words, pieces=pieces, walk=())
    placements = tuple(structs.replace(p, name=words, note=words) for p in job.placements)
    parts = tuple(structs.replace(o, name=words) for o in job.parts)
    return structs.replace(
        job, name=words, drawing=words, revision=words, notes=words, rack=rack,
        placements=placements, parts=parts, table=structs.replace(job.table, name=words),
    )  # fmt: skip


def tooltips_of_items(view: QAbstractItemView) -> Iterator[str]:
    model: QAbstractItemModel = view.model()
    if model is None:
        return
    for row in range(model.rowCount(QModelIndex())):
        columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(QModelIndex())
        for column in range(columns):
            words = model.index(row, column).data(Qt.ItemDataRole.ToolTipRole)
            if words:
                yield str(words)


def markup_shown(over: QWidget, words: str) -> list[str]:
    """Every text below a widget that Qt would take for markup with a name in it."""
    found = [
        f"label: {label.text()}"
        for label in over.findChildren(QLabel)
        if label.textFormat() != Qt.TextFormat.PlainText and GuiQt.mightBeRichText(label.text())
    ]
    tips = [widget.toolTip() for widget in over.findChildren(QWidget)]
    tips += [action.toolTip() for action in over.findChildren(QAction)]
    for view in over.findChildren(QAbstractItemView):
        tips += tooltips_of_items(view)
    found += [f"tooltip: {t}" for t in tips if GuiQt.mightBeRichText(t) and words in t]
    return found


def walk_through(window: Window, qtbot: QtBot) -> Iterator[QWidget]:
    """The window with each thing selected and each page open, then every form."""
    document = window.document
    for ids in ((), ("p",), ("s",), ("c",), ("a",), ("p", "s"), ("a", "p")):
        document.select(ids)
        window.workspace.refresh()
        yield window
    for action in (
        "weldment.cuts",
        "weldment.joints",
        "weldment.faces",
        "weldment.way",
        "check.run",
    ):
        window.port.do(action)
        settle()
        yield window
    for name in OPENS:
        if name in ("drawing", "recover", "question", "import", "keys"):
            continue
        OPENS[name](window)
        forms = [w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog)]
        shown = [w for w in forms if w.isVisible()]
        assert shown, name
        yield from shown
        for form in shown:
            form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
            form.done(0)
            form.deleteLater()


@needs_pipes
def test_no_name_of_a_job_makes_the_window_open_a_file(qtbot: QtBot, tmp_path: Path) -> None:
    with watched(tmp_path) as watcher:
        words = f'<img src="{watcher.pipe}">'
        assert len(words) < 120
        window = make_window(qtbot, named(words))
        seen = 0
        for widget in walk_through(window, qtbot):
            widget.grab()
            seen += 1
            assert markup_shown(widget, words) == []
        assert seen > 15
    assert not watcher.opened


@needs_pipes
def test_no_name_of_a_file_or_copy_is_opened(qtbot: QtBot, tmp_path: Path) -> None:
    with watched(tmp_path) as watcher:
        words = f'<img src="{watcher.pipe}">'
        job, over = named(words), QWidget()
        qtbot.addWidget(over)
        page = StartPage(over)
        page.show_ways(
            [StartChoice(words, words, Path(words))],
            [TableChoice(structs.replace(job.table, name=words), own=True)],
            [StartChoice(words, words, Path(words), False)],
        )
        copy = AutosavedCopy(
            Path(words), Path(words), Path(words), datetime(2024, 3, 20), words, words
        )
        shown: list[QWidget] = [
            page,
            QuestionDialog(
                words, words, (AnswerButton("a", words), AnswerButton("b", words, losing=True))
            ),
            RecoverForm([copy]),
            ImportForm(laid(), job.rack, words),
        ]
        for widget in shown:
            qtbot.addWidget(widget)
            widget.show()
            widget.grab()
            assert markup_shown(widget, words) == []
    assert not watcher.opened


# -- no letter is lost -----------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["Post <A>", "nuts & bolts", "<b>x</b>"])
def test_a_name_is_read_in_the_window_as_it_was_typed(qtbot: QtBot, words: str) -> None:
    window = make_window(qtbot, named(words))
    window.workspace.refresh()
    form = window.workspace.properties.job_form
    assert words in form.table.text()
    assert words in form.rack.text()
    assert window.status_bar.job.words() == words
    window.document.select(("p",))
    window.workspace.refresh()
    assert words in window.workspace.properties.placement_form.title.text()
    window.port.do("edit.delete")
    window.workspace.refresh()
    undo: QAction = window.actions_made.made["edit.undo"]
    shown = undo.text().replace("&&", "\0")
    assert "&" not in shown
    assert undo.iconText() == "Undo"


@pytest.mark.parametrize("words", ["nuts & bolts", "<b>x</b>"])
def test_a_recent_file_is_named_in_the_menu_as_it_is_called(
    qtbot: QtBot, tmp_path: Path, words: str
) -> None:
    path = tmp_path / f"{words.replace('/', '')}.gridjig"
    path.write_text("{}")
    recent.add(path)
    window = make_window(qtbot, laid())
    starting: StartController = window.start_pages
    menu: QMenu = starting.menu
    menu.aboutToShow.emit()
    names = [action.text() for action in menu.actions()]
    assert menu_words(path.stem) in names
    for action in menu.actions():
        assert not (GuiQt.mightBeRichText(action.toolTip()) and path.stem in action.toolTip())


def test_no_button_of_the_window_has_a_shortcut_by_accident(qtbot: QtBot) -> None:
    window = make_window(qtbot, named("a &b c"))
    buttons = window.findChildren(QAbstractButton)
    assert len(buttons) > 20
    for button in buttons:
        keys = button.shortcut().toString()
        assert not keys.startswith("Alt+"), button.text()
