"""Packing typed as a thickness, and the button that brings pieces to the face."""

from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.edits.lookup import placement_of
from gridjig.model import Job
from gridjig.qt.panes.properties.several_form import SeveralForm
from tests.contact.poses import FULL, lay, turned
from tests.qt.panes.test_panes import enter, form, with_selected
from tests.stock import SQUARE, bar
from tests.tools.touch.kit import touching
from tests.workshop import put, seat


def beside_a_rail() -> Job:
    """Two one-pin stops 7 mm before a rail, and a clamp."""
    rail = bar(SQUARE, x=400.0, y=500.0 + 12.0 + 7.0 + 25.0)
    stops = (turned("a", 9, 9, 0.0), turned("b", 11, 9, 0.0))
    return lay(rail, *stops, put("c", "clamp", seat("p", 15, 8)), rack=FULL)


def test_a_typed_thickness_is_made_up_from_the_rack(qtbot: QtBot) -> None:
    window = with_selected(qtbot, beside_a_rail(), "a")
    shown = form(window)
    said: list[str] = []
    shown.message.connect(said.append)
    enter(qtbot, shown.thick, "6.2")
    assert placement_of(window.document.job, "a").packing == ("s5", "s1")
    assert "a gap of 0.2 mm" in said[-1]
    assert shown.thick.value() == 6.0
    assert window.document.undo_name == "Set the packing"
    enter(qtbot, shown.thick, "12")
    assert "overlap" in shown.thick.complaint.text()
    assert placement_of(window.document.job, "a").packing == ("s5", "s1")


def test_what_takes_no_packing_has_no_such_field(qtbot: QtBot) -> None:
    window = with_selected(qtbot, beside_a_rail(), "c")
    assert form(window).thick.isHidden()
    assert not form(window).bring.isHidden()


def test_the_button_brings_the_piece_to_the_face(qtbot: QtBot) -> None:
    window = with_selected(qtbot, beside_a_rail(), "a")
    form(window).bring.click()
    made = placement_of(window.document.job, "a")
    assert made.packing == ("s5", "s2")
    assert touching(window.document.job, made)
    window.document.undo()
    assert placement_of(window.document.job, "a").packing == ()


def test_several_get_the_same_packing_in_one_step(qtbot: QtBot) -> None:
    window = with_selected(qtbot, beside_a_rail(), "a", "b", "c")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    enter(qtbot, shown.thick, "7")
    job = window.document.job
    assert [p.packing for p in job.placements] == [("s5", "s2"), ("s5", "s2"), ()]
    assert window.document.undo_count == 1
    window.document.undo()
    shown.bring.click()
    job = window.document.job
    assert all(touching(job, placement_of(job, k)) for k in ("a", "b"))
    assert window.document.undo_count == 1


def test_packing_in_the_way_of_one_names_it(qtbot: QtBot) -> None:
    job = beside_a_rail()
    near = structs.replace(placement_of(job, "b"), name="Near stop")
    job = structs.replace(job, placements=(job.placements[0], near, job.placements[2]))
    window = with_selected(qtbot, job, "a", "b")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    enter(qtbot, shown.thick, "9")
    assert "overlap bar" in shown.thick.complaint.text()
    assert window.document.job is job


def test_several_are_packed_from_the_list_one_shim_at_a_time(qtbot: QtBot) -> None:
    window = with_selected(qtbot, beside_a_rail(), "a", "b", "c")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    document = window.document
    said: list[str] = []
    shown.message.connect(said.append)

    def add(shim: str) -> None:
        shown.packing.add.setCurrentIndex(shown.packing.add.findData(shim))
        shown.packing.add.activated.emit(shown.packing.add.currentIndex())

    def packs() -> list[tuple[str, ...]]:
        return [p.packing for p in document.job.placements]

    assert shown.packing.shown.text() == "none"
    assert not shown.packing.off.isEnabled()
    add("s5")
    assert packs() == [("s5",), ("s5",), ()]
    assert document.undo_count == 1
    qtbot.waitUntil(lambda: shown.packing.shown.text() == "shim 5", timeout=3000)
    assert "(0 left)" in shown.packing.add.itemText(shown.packing.add.findData("s5"))
    add("s5")  # 10 mm before a gap of 7
    assert packs() == [("s5",), ("s5",), ()]
    assert document.undo_count == 1
    assert "overlap bar" in said[-1]
    shown.packing.off.click()
    assert packs() == [(), (), ()]


def test_several_with_different_packing_say_so_and_each_gets_one_more(qtbot: QtBot) -> None:
    job = beside_a_rail()
    one = structs.replace(placement_of(job, "a"), packing=("s2",))
    job = structs.replace(job, placements=(one, *job.placements[1:]))
    window = with_selected(qtbot, job, "a", "b")
    shown = window.workspace.properties.form()
    assert isinstance(shown, SeveralForm)
    assert shown.packing.shown.text() == "not the same"
    shown.packing.added.emit("s1")
    assert [p.packing for p in window.document.job.placements] == [("s2", "s1"), ("s1",), ()]
    shown.packing.off.click()
    assert [p.packing for p in window.document.job.placements] == [("s2",), (), ()]
