"""Every action by itself: declared once, possible or not by the situation alone, done through a
port that is no window.
"""

from collections.abc import Callable, Iterator
from functools import cached_property
from importlib import import_module
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.members import Hold
from gridjig.files.jobs.rack_file import read_rack
from gridjig.files.storage.settings import Settings
from gridjig.model import Job, Member, Section
from gridjig.qt.actions import table
from gridjig.qt.actions.action import MENUS, Action, OpenForm, Situation
from gridjig.qt.actions.port import FocusPlace, Page, Port
from gridjig.qt.actions.registry import ACTIONS, action
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.list_entry import ListOrder
from gridjig.session.document import Document
from gridjig.sheets.drawings.proof_kinds import ProofDrawing
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import MemberTool
from tests.solve.weldments import frame
from tests.test_random_actions import STOCK
from tests.workshop import EMPTY, laid, pin, stop

SHOWN = Appearance(THEMES["light"], Metrics(4.0))


class Table:
    """A port with nothing behind it: it notes what was asked of it."""

    def __init__(self, job: Job) -> None:
        self.document = Document(job)
        self.said: list[str] = []
        self.asked: list[tuple[object, ...]] = []
        self.folder = "/jobs"
        self.path = ""
        self.in_hand: Tool = Tool(self.document)
        self.value = Settings(rack_shown=False)
        self.lies: Hold = "left"
        self.appearance = SHOWN

    # one object stands for all parts of the port
    @property
    def files(self) -> "Table":
        return self

    view = tools = stock = pages = checks = dialogs = preferences = files

    @cached_property
    def parent(self) -> QWidget:
        return QWidget()

    def lay(self, tool: MemberTool) -> None:
        tool.way_up = 90

    def plate_heights(self) -> tuple[float, float] | None:
        return None

    def note(self, *what: object) -> None:
        self.asked.append(what)

    def say(self, words: str) -> None:
        self.said.append(words)

    def update(self) -> None:
        self.note("update")

    def close(self) -> None:
        self.note("close")

    def ask_open(self) -> bool:
        self.note("ask_open")
        return True

    def save(self) -> bool:
        self.note("save")
        return True

    def save_as(self) -> bool:
        self.note("save_as")
        return True

    def take_over(self) -> None:
        self.note("take_over")

    def fit_table(self) -> None:
        self.note("fit_table")

    def fit_selection(self) -> None:
        self.note("fit_selection")

    def actual_size(self) -> None:
        self.note("actual_size")

    def look_aside(self, right: int, back: int) -> None:
        self.note("look_aside", right, back)

    def zoom_by(self, factor: float) -> None:
        self.note("zoom_by", round(factor, 3))

    def picture(self) -> QImage:
        return QImage(40, 30, QImage.Format.Format_RGB32)

    def take(self, tool: Tool, action_id: str) -> None:
        self.in_hand = tool
        self.note("take", tool.name, action_id)

    def select(self) -> None:
        self.note("select")

    def key(self, name: str, shift: bool = False) -> None:
        self.note("key", name, shift)

    def section(self) -> Section:
        return STOCK[0]

    def add(self, section: Section) -> None:
        self.note("add", section)

    def offer(self) -> None:
        self.note("offer")

    def show(self, page: Page, part: int | None = None) -> None:
        self.note("show", page, part)

    def show_beside(self) -> None:
        self.note("show_beside")

    def pick_edge(self) -> None:
        self.note("pick_edge")

    def plate_wanted(self) -> None:
        self.note("plate_wanted")

    def focus(self, place: FocusPlace) -> None:
        self.note("focus", place)

    def go(self, step: int) -> None:
        self.note("go", step)

    def name_selected(self) -> None:
        self.note("name_selected")

    def reveal(self, ids: frozenset[str]) -> None:
        self.note("reveal", *sorted(ids))

    def copy_focused(self) -> int:
        return 0

    def copy_list(self) -> int:
        self.note("copy_list")
        return 3

    def sort_list(self, order: ListOrder) -> bool:
        self.note("sort_list", order)
        return True

    def show_help(self, topic: str = "") -> None:
        self.note("show_help", topic)

    def run(self) -> str:
        self.note("run")
        return "no overlaps"

    def next(self) -> None:
        self.note("next")

    def turn_drawing(self, name: ProofDrawing) -> tuple[bool, str]:
        self.note("turn_drawing", name)
        return True, ""

    def report(self) -> None:
        self.note("report")

    def play(self) -> str:
        self.note("play")
        return "A bottom moves like this; nothing was found to stop it."

    def open_path(self, folder: str, title: str, kinds: str) -> str:
        self.note("open_path", folder)
        return self.path

    def save_path(self, proposed: str, title: str, kinds: str) -> str:
        self.note("save_path", proposed)
        return self.path

    def problem(self, title: str, body: str) -> None:
        self.note("problem", title)

    def new_job(self) -> None:
        self.note("new_job")

    def start_page(self) -> None:
        self.note("start_page")

    def first_job(self) -> None:
        self.note("first_job")

    def drawing(self, path: Path) -> None:
        self.note("drawing", path)

    def settings(self) -> None:
        self.note("settings")

    def keys(self) -> None:
        self.note("keys")

    def change(self, **fields: object) -> None:
        self.note("change", fields)


def do(port: Table, action_id: str) -> Table:
    whole: Port = port  # it is all that a handler may ask for
    action(action_id).handler(whole)
    return port


@pytest.fixture
def port() -> Iterator[Table]:
    made = Table(laid(stop("s", 6, 6), pin("p", 12, 12), *frame()))
    yield made
    made.parent.deleteLater()


# -- declared once -------------------------------------------------------------------------------


def test_ids_are_told_apart_and_words_and_menus_are_there() -> None:
    assert len({one.id for one in ACTIONS}) == len(ACTIONS) > 70
    assert {one.menu for one in ACTIONS} == set(MENUS)
    for one in ACTIONS:
        assert one.text
        assert one.hint
        assert action(one.id) is one
    with pytest.raises(KeyError):
        action("nothing.of_the_kind")


def test_the_actions_of_a_menu_stand_together_in_its_order() -> None:
    order = [one.menu for one in ACTIONS]
    assert list(dict.fromkeys(order)) == list(MENUS)
    assert order == sorted(order, key=MENUS.index)


def test_every_form_that_an_action_opens_is_there() -> None:
    opens = [one for one in ACTIONS if isinstance(one.handler, OpenForm)]
    assert len(opens) == 8
    for one in opens:
        assert one.opens
        assert isinstance(one.handler, OpenForm)
        module = import_module(f"gridjig.qt.forms.{one.handler.module}")
        assert callable(getattr(module, one.handler.function))


# -- when it is possible -------------------------------------------------------------------------

FULL = Situation(
    things=3,
    selected=1,
    placements=1,
    parts=2,
    chosen_parts=1,
    weldments=2,
    copied=1,
    undo_name="Move",
    redo_name="Turn",
    can_undo=True,
    can_redo=True,
    modified=True,
    in_a_file=True,
    read_only="open elsewhere",
    findings=1,
    loose=True,
)
LACKS: dict[str, dict[str, object]] = {
    "file.save": {"modified": False},
    "file.take_over": {"read_only": ""},
    "pull.copy": {"things": 0},
    "pull.save": {"things": 0},
    "edit.undo": {"can_undo": False},
    "edit.redo": {"can_redo": False},
    "edit.copy": {"selected": 0},
    "edit.paste": {"copied": 0},
    "edit.cut": {"selected": 0},
    "edit.duplicate": {"selected": 0},
    "edit.mirror_x": {"placements": 0},
    "edit.mirror_y": {"placements": 0},
    "edit.delete": {"selected": 0},
    "edit.all": {"things": 0},
    "edit.name": {"selected": 2},
    "piece.turn": {"selected": 0},
    "piece.turn_back": {"selected": 0},
    "piece.flip": {"placements": 0},
    "piece.bring": {"placements": 0},
    "piece.by_hand": {"placements": 0},
    "piece.gap": {"placements": 0},
    **{f"join.{kind}": {"parts": 1} for kind in ("trim", "mitre", "butt", "cope")},
    "weldment.joints": {"parts": 1},
    "weldment.order": {"parts": 1},
    **{f"welds.{name}": {"parts": 1} for name in ("copy", "save")},
    **{f"tool.{name}": {"parts": 0} for name in ("notch", "dimension")},
    **{
        f"weldment.{name}": {"parts": 0}
        for name in ("cuts", "faces", "where", "way", "beside", "duplicate")
    },
    "weldment.split": {"chosen_parts": 0},
    "angle.part_plate": {"chosen_parts": 2},
    "weldment.delete": {"weldments": 1},
    **{f"cuts.{name}": {"parts": 0} for name in ("copy", "save")},
    "angle.reach": {"selected": 2, "placements": 2},
    "view.fit_selection": {"selected": 0},
    "view.floor": {"things": 0},
    "check.next": {"findings": 0},
    "check.play": {"loose": False},
    "check.loading": {"parts": 1},
    "piece.suggest": {"parts": 0},
    "check.exact": {"parts": 0},
    "check.points": {"parts": 0},
}


@pytest.mark.expectation(94)
@pytest.mark.parametrize("one", ACTIONS, ids=lambda one: one.id)
def test_an_action_is_possible_until_what_it_needs_is_not_there(one: Action) -> None:
    assert one.why_not(FULL) == ""
    lacking = LACKS.get(one.id)
    if lacking is None:
        assert one.why_not(Situation()) == ""
        return
    why = one.why_not(structs.replace(FULL, **lacking))
    assert why[0].isupper()
    assert not why.endswith(".")
    assert why == one.why_not(structs.replace(FULL, **lacking))


def test_what_is_in_hand_is_turned_though_nothing_is_selected() -> None:
    for tool in ("place", "member"):
        for name in ("piece.turn", "piece.turn_back", "piece.flip"):
            assert action(name).why_not(Situation(tool=tool)) == ""


def test_one_of_a_choice_is_ticked_and_steps_are_named() -> None:
    now = Situation(tool_action="tool.notch", unit="mm", theme="dark", glove=True)
    ticked = {one.id for one in ACTIONS if one.ticked is not None and one.ticked(now)}
    shown = {"view.rack", "view.side", "view.contacts", "view.glove"}
    assert ticked == {"tool.notch", "unit.mm", "theme.dark", *shown}
    named = {one.id: one.step(FULL) for one in ACTIONS if one.step(FULL)}
    assert named == {"edit.undo": "Move", "edit.redo": "Turn"}


# -- done through a port -------------------------------------------------------------------------


def test_steps_are_taken_back_and_done_again_and_shown(port: Table) -> None:
    port.document.select(["p"])
    before = port.document.job
    assert do(port, "edit.delete").document.job.find("p") is None
    assert do(port, "edit.undo").document.job is before
    assert do(port, "edit.redo").document.job.find("p") is None
    assert port.asked == [("reveal", "p"), ("reveal", "p")]
    assert port.said[1:] == ["Undone: Delete locating pin.", "Redone: Delete locating pin."]


def test_copies_are_kept_cut_and_put_down(port: Table) -> None:
    document = port.document
    document.select(["p"])
    do(port, "edit.copy")
    assert [thing.id for thing in document.clipboard] == ["p"]
    assert port.asked == [("update",)]
    do(port, "edit.paste")
    assert document.selection == {"p-1"}
    do(port, "edit.cut")
    assert document.job.find("p-1") is None
    do(port, "edit.all")
    assert len(document.selection) == len(document.job.placements) + len(document.job.parts)
    document.select(["s"])
    do(port, "edit.mirror_x")
    do(port, "edit.duplicate")
    assert len(document.job.placements) == 4


def test_a_tool_in_hand_gets_the_key_in_place_of_the_selection(port: Table) -> None:
    for name in ("piece.turn", "piece.turn_back", "piece.flip"):
        do(port, name)
    assert port.asked == [("key", "r", False), ("key", "r", True), ("key", "f", False)]


TAKEN = {
    "tool.member": "member",
    "tool.rectangle": "plate",
    "tool.polygon": "plate",
    "tool.notch": "notch",
    "tool.dimension": "dimension",
    "tool.holes": "hole",
    "join.trim": "join",
    "join.mitre": "join",
    "join.butt": "join",
    "join.cope": "join",
}


@pytest.mark.parametrize("action_id", TAKEN)
def test_a_tool_is_taken_and_its_action_ticked(port: Table, action_id: str) -> None:
    drawn = action_id in ("tool.member", "tool.rectangle", "tool.polygon")
    focused: list[tuple[object, ...]] = [("focus", "plan")] if drawn else []
    assert do(port, action_id).asked == [("take", TAKEN[action_id], action_id), *focused]


def test_two_selected_members_are_joined_at_once(port: Table) -> None:
    port.document.select(["front", "left"])
    do(port, "join.mitre")
    assert port.document.undo_name.startswith("Mitre")
    assert port.asked == [("update",)]


def test_all_corners_of_more_selected_members_are_mitred_at_once(port: Table) -> None:
    members = [part.id for part in port.document.job.parts if isinstance(part, Member)]
    assert len(members) > 2
    port.document.select(members)
    do(port, "join.mitre")
    assert port.document.undo_name == "Mitre 4 corners"
    assert port.asked == [("update",)]


SENT: dict[str, list[tuple[object, ...]]] = {
    "file.new": [("new_job",)],
    "file.open": [("ask_open",)],
    "file.save": [("save",)],
    "file.save_as": [("save_as",)],
    "file.take_over": [("take_over",)],
    "file.start": [("start_page",)],
    "file.quit": [("close",)],
    "settings": [("settings",)],
    "edit.name": [("name_selected",)],
    "tool.select": [("select",)],
    "tool.place": [("change", {"rack_shown": True}), ("focus", "rack")],
    "weldment.cuts": [("show", "weldment", 0)],
    "weldment.joints": [("show", "weldment", 1)],
    "weldment.faces": [("show", "weldment", 2)],
    "weldment.where": [("show", "weldment", 3)],
    "weldment.way": [("show", "weldment", 4)],
    "weldment.list": [("show", "weldment", 5)],
    "weldment.order": [("show", "weldment", 6)],
    "weldment.beside": [("show_beside",)],
    "angle.find": [("show", "angle", 0)],
    "angle.edge": [("show", "angle", 0), ("pick_edge",)],
    "angle.back": [("show", "angle", 1)],
    "angle.plate": [("plate_wanted",), ("show", "angle", 0)],
    "angle.reach": [("show", "angle", 2)],
    "view.fit": [("fit_table",)],
    "view.fit_selection": [("fit_selection",)],
    "view.actual": [("actual_size",)],
    "view.in": [("zoom_by", 1.2)],
    "view.out": [("zoom_by", 0.833)],
    "view.rack": [("change", {"rack_shown": True})],
    "view.side": [("change", {"side_shown": False})],
    "view.contacts": [("change", {"contacts_shown": False})],
    "view.glove": [("change", {"glove": True})],
    "theme.dark": [("change", {"theme": "dark"})],
    "go.next": [("go", 1)],
    "go.back": [("go", -1)],
    "go.type": [("focus", "entry")],
    "go.rack": [("change", {"rack_shown": True}), ("focus", "rack")],
    "go.plan": [("focus", "plan")],
    "go.form": [("focus", "form")],
    "go.placed": [("show", "placed", None)],
    "go.pull": [("show", "pull", None)],
    "check.run": [("run",)],
    "check.next": [("next",)],
    "help.topic": [("show_help", "")],
    "help.keys": [("keys",)],
    "help.safety": [("show_help", "safety")],
    "help.about": [("show_help", "about")],
}


@pytest.mark.parametrize("action_id", SENT)
def test_what_is_the_windows_own_is_asked_of_the_port(port: Table, action_id: str) -> None:
    assert do(port, action_id).asked == SENT[action_id]


def test_the_unit_is_a_step_of_the_job(port: Table) -> None:
    do(port, "unit.16")
    assert port.document.job.display.denominator == 16
    assert port.document.undo_name == "Change the unit"


def test_lists_go_to_the_clipboard(port: Table, qapp: QApplication) -> None:
    clipboard = QGuiApplication.clipboard()
    do(port, "pull.copy")
    assert "fixed stop" in clipboard.text()
    do(port, "cuts.copy")
    assert "40x3" in clipboard.text()
    do(port, "welds.copy")
    assert clipboard.text().startswith("Joint\tParts\tWeld")
    assert len(port.said) == 3


WRITTEN: dict[str, Callable[[bytes], bool]] = {
    "pull.save": lambda data: b"fixed stop" in data,
    "cuts.save": lambda data: b"40x3" in data,
    "welds.save": lambda data: b"Throat mm" in data,
    "rack.export": lambda data: b"hinged arm" in data,
}


@pytest.mark.parametrize("action_id", WRITTEN)
def test_lists_and_racks_are_written_where_the_person_says(
    port: Table, action_id: str, tmp_path: Path
) -> None:
    do(port, action_id)  # nowhere
    assert port.said == []
    port.path = str(tmp_path / "here")
    do(port, action_id)
    (made,) = tmp_path.iterdir()
    assert WRITTEN[action_id](made.read_bytes())
    assert port.said == [f"{made.name} is saved."]
    port.path = str(tmp_path / "no" / "such" / "place")
    do(port, action_id)
    assert port.asked[-1][0] == "problem"
    assert len(port.said) == 1


def test_a_rack_file_is_read_and_a_drawing_opened(
    port: Table, qapp: QApplication, tmp_path: Path
) -> None:
    port.path = str(tmp_path / "here")
    do(port, "rack.export")
    (made,) = tmp_path.iterdir()
    assert read_rack(made) == port.document.job.rack
    port.path = str(made)
    do(port, "rack.import")
    assert port.said[-1] == f"{made.name} has nothing that the rack does not already have."
    port.path = "/drawings/gate.dxf"
    do(port, "file.drawing")
    port.path = ""
    do(port, "file.drawing")
    asked: tuple[object, ...] = ("open_path", "/jobs")
    assert port.asked[-3:] == [asked, ("drawing", Path("/drawings/gate.dxf")), asked]


def test_a_size_that_cannot_be_is_asked_for_by_the_tool(port: Table) -> None:
    assert "deep" in table.mark_holes(port, "shallow")
    assert "wide" in table.mark_holes(port, "oversize", " ")
    assert table.mark_holes(port, "oversize", "no size")
    assert table.mark_holes(port, "oversize", "2")
    assert port.asked == [("take", "hole", "tool.holes")] * 4
    assert table.mark_holes(port, "oversize", "18") == ""
    assert port.said == []


def test_an_own_section_is_offered_when_it_is_made(qtbot: QtBot) -> None:
    port = Table(EMPTY)
    qtbot.addWidget(port.parent)
    do(port, "weldment.section")
    (form,) = [w for w in port.parent.children() if type(w).__name__ == "SectionForm"]
    form.made.emit(STOCK[1])  # type: ignore[attr-defined]
    form.forgotten.emit()  # type: ignore[attr-defined]
    assert port.asked == [("add", STOCK[1]), ("offer",)]
    form.reject()  # type: ignore[attr-defined]
