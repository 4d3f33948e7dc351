import pytest
from msgspec import structs

from gridjig.edits.outlines import set_place
from gridjig.edits.placements import place
from gridjig.edits.selection import remove, shift
from gridjig.session.desk import Desk
from gridjig.solve.welds import welded
from tests.solve.weldments import frame, job_of
from tests.workshop import laid, pin, plate, stop

JOB = laid(pin("a", 2, 2), stop("b", 5, 5), plate("bar", 600, 600))


def test_a_step_is_done_undone_and_redone_by_name() -> None:
    desk = Desk(JOB)
    moved = shift(JOB, {"a"}, 1, 0)
    assert desk.do(moved, "Move locating pin to D3")
    assert (desk.job, desk.shown) == (moved, moved)
    assert (desk.undo_name, desk.redo_name) == ("Move locating pin to D3", "")
    undone = desk.undo()
    assert undone is not None
    assert undone.name == "Move locating pin to D3"
    assert desk.job is JOB
    assert (desk.undo_name, desk.redo_name) == ("", "Move locating pin to D3")
    assert (desk.can_undo, desk.can_redo, desk.undo_count) == (False, True, 0)
    redone = desk.redo()
    assert redone is not None
    assert redone.job is moved
    assert desk.job is moved
    assert desk.redo() is None


@pytest.mark.expectation(35)
def test_every_change_can_be_undone_however_many() -> None:
    desk = Desk(JOB)
    for number in range(1000):
        desk.do(structs.replace(JOB, notes=str(number)), f"step {number}")
    for _ in range(1000):
        assert desk.undo() is not None
    assert desk.undo() is None
    assert desk.job is JOB


@pytest.mark.expectation(36)
def test_undo_and_redo_name_the_step() -> None:
    desk = Desk(JOB)
    desk.do(remove(JOB, {"a"}), "Delete locating pin")
    assert desk.undo_name == "Delete locating pin"
    desk.undo()
    assert desk.redo_name == "Delete locating pin"


@pytest.mark.expectation(14)
def test_selecting_alters_nothing_in_the_document() -> None:
    desk = Desk(JOB)
    desk.select({"a", "b"})
    assert desk.job is JOB
    assert not desk.modified
    assert not desk.can_undo


def test_a_new_selection_does_not_end_what_can_be_redone() -> None:
    desk = Desk(JOB)
    desk.do(shift(JOB, {"a"}, 1, 0), "Move")
    desk.undo()
    desk.select({"b"})
    assert desk.can_redo


@pytest.mark.expectation(38)
def test_undo_brings_back_the_selection() -> None:
    desk = Desk(JOB)
    desk.select({"a"})
    desk.do(remove(JOB, {"a"}), "Delete locating pin")
    assert desk.selection == frozenset()
    desk.select({"b"})
    desk.undo()
    assert desk.selection == {"a"}
    desk.redo()
    assert desk.selection == frozenset()


def test_ids_that_the_job_lacks_are_never_selected() -> None:
    desk = Desk(JOB)
    desk.select({"a", "gone", "bar"})
    assert desk.selection == {"a", "bar"}
    desk.do(shift(JOB, {"a"}, 1, 0), "Move", {"a", "gone"})
    assert desk.selection == {"a"}


@pytest.mark.expectation(39)
def test_saving_keeps_undo_and_the_clean_mark_follows_it() -> None:
    desk = Desk(JOB)
    assert not desk.modified
    desk.do(shift(JOB, {"a"}, 1, 0), "Move", burst="arrows")
    assert desk.modified
    desk.mark_saved()
    assert not desk.modified
    desk.do(shift(desk.job, {"a"}, 1, 0), "Move", burst="arrows")
    assert desk.modified
    desk.undo()
    assert not desk.modified, "the saved job must not be merged away by a burst"
    desk.undo()
    assert desk.modified
    desk.redo()
    assert not desk.modified


def test_a_recovered_job_starts_modified() -> None:
    desk = Desk(JOB, modified=True)
    assert desk.modified
    desk.mark_saved()
    assert not desk.modified


@pytest.mark.expectation(37)
def test_a_burst_is_one_step_and_a_selection_ends_it() -> None:
    desk = Desk(JOB)
    for _ in range(3):
        desk.do(shift(desk.job, {"a"}, 1, 0), "Move", burst="arrows a")
    assert desk.undo_count == 1
    desk.select({"b"})
    desk.select({"a"})
    desk.do(shift(desk.job, {"a"}, 1, 0), "Move", burst="arrows a")
    assert desk.undo_count == 2


def test_a_preview_is_shown_and_dropped_without_a_trace() -> None:
    desk = Desk(JOB)
    moved = shift(JOB, {"a"}, 1, 0)
    desk.preview(moved)
    assert (desk.job, desk.shown) == (JOB, moved)
    assert desk.previewing
    assert desk.stands["a"].placement is moved.placements[0]
    desk.preview(None)
    assert desk.shown is JOB
    assert not desk.can_undo
    desk.preview(moved)
    desk.do(moved, "Move")
    assert not desk.previewing
    desk.preview(JOB)
    desk.undo()
    assert not desk.previewing


def test_stands_are_of_what_is_shown_and_kept_where_nothing_changed() -> None:
    desk = Desk(JOB)
    before = desk.stands
    desk.do(place(JOB, pin("c", 9, 9)), "Place")
    assert desk.stands["a"] is before["a"]
    assert set(desk.stands) == {"a", "b", "c"}


def test_whoever_subscribes_is_called_after_each_change_until_it_ends() -> None:
    desk = Desk(JOB)
    calls: list[frozenset[str]] = []
    end = desk.subscribe(lambda: calls.append(desk.selection))
    desk.select({"a"})
    desk.select({"a"})
    desk.preview(None)
    assert calls == [{"a"}]
    with desk.together():
        desk.select({"b"})
        with desk.together():
            desk.select(set())
        desk.select({"a", "b"})
    with desk.together():
        pass
    assert calls == [{"a"}, {"a", "b"}]
    end()
    end()
    desk.select({"b"})
    assert len(calls) == 2
    assert desk.undo() is None


def test_doing_nothing_is_no_step_but_ends_the_preview() -> None:
    desk = Desk(JOB)
    desk.preview(shift(JOB, {"a"}, 1, 0))
    assert not desk.do(JOB, "nothing")
    assert not desk.previewing
    assert not desk.can_undo


def test_joints_keep_their_names_whatever_is_moved() -> None:
    desk = Desk(job_of(*frame()))
    names = {one.joint.id: one.name for one in welded(desk.job)}
    desk.do(set_place(desk.job, "left", x=-5000), "Move left")
    assert {one.joint.id: one.name for one in welded(desk.job)}.items() < names.items()
    desk.do(set_place(desk.job, "left", x=120), "Move left")
    assert {one.joint.id: one.name for one in welded(desk.job)} == names


def test_whoever_listens_hears_of_every_step_there_and_back() -> None:
    desk, heard = Desk(JOB), []
    end = desk.subscribe(lambda: heard.append(desk.job))
    moved = shift(JOB, {"a"}, 1, 0)
    desk.do(moved, "Move")
    desk.undo()
    desk.redo()
    assert [job is moved for job in heard] == [True, False, True]
    assert desk.redo() is None
    end()
    desk.undo()
    assert len(heard) == 3


def test_saving_is_heard_and_changes_held_together_are_heard_once() -> None:
    desk, heard = Desk(JOB), []
    desk.subscribe(lambda: heard.append(desk.modified))
    desk.do(shift(JOB, {"a"}, 1, 0), "Move")
    desk.mark_saved()
    assert heard == [True, False]
    with desk.together():
        desk.undo()
        with desk.together():
            desk.redo()
        assert len(heard) == 2
    assert len(heard) == 3
    with desk.together():
        pass
    assert len(heard) == 3
