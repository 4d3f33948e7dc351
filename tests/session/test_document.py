import pytest
from msgspec import structs

from gridjig.edits.parts import set_place
from gridjig.edits.placements import place
from gridjig.edits.selection import remove, shift
from gridjig.session.document import Document
from gridjig.solve.weldment.welds import welded
from tests.solve.weldments import frame, job_of
from tests.workshop import laid, pin, plate, stop

JOB = laid(pin("a", 2, 2), stop("b", 5, 5), plate("bar", 600, 600))


def test_a_step_is_done_undone_and_redone_by_name() -> None:
    document = Document(JOB)
    moved = shift(JOB, {"a"}, 1, 0)
    assert document.do(moved, "Move locating pin to D3")
    assert (document.job, document.shown) == (moved, moved)
    assert (document.undo_name, document.redo_name) == ("Move locating pin to D3", "")
    undone = document.undo()
    assert undone is not None
    assert undone.name == "Move locating pin to D3"
    assert document.job is JOB
    assert (document.undo_name, document.redo_name) == ("", "Move locating pin to D3")
    assert (document.can_undo, document.can_redo, document.undo_count) == (False, True, 0)
    redone = document.redo()
    assert redone is not None
    assert redone.job is moved
    assert document.job is moved
    assert document.redo() is None


@pytest.mark.expectation(35)
def test_every_change_can_be_undone_however_many() -> None:
    document = Document(JOB)
    for number in range(1000):
        document.do(structs.replace(JOB, notes=str(number)), f"step {number}")
    for _ in range(1000):
        assert document.undo() is not None
    assert document.undo() is None
    assert document.job is JOB


@pytest.mark.expectation(36)
def test_undo_and_redo_name_the_step() -> None:
    document = Document(JOB)
    document.do(remove(JOB, {"a"}), "Delete locating pin")
    assert document.undo_name == "Delete locating pin"
    document.undo()
    assert document.redo_name == "Delete locating pin"


@pytest.mark.expectation(14)
def test_selecting_alters_nothing_in_the_document() -> None:
    document = Document(JOB)
    document.select({"a", "b"})
    assert document.job is JOB
    assert not document.modified
    assert not document.can_undo


def test_a_new_selection_does_not_end_what_can_be_redone() -> None:
    document = Document(JOB)
    document.do(shift(JOB, {"a"}, 1, 0), "Move")
    document.undo()
    document.select({"b"})
    assert document.can_redo


@pytest.mark.expectation(38)
def test_undo_brings_back_the_selection() -> None:
    document = Document(JOB)
    document.select({"a"})
    document.do(remove(JOB, {"a"}), "Delete locating pin")
    assert document.selection == frozenset()
    document.select({"b"})
    document.undo()
    assert document.selection == {"a"}
    document.redo()
    assert document.selection == frozenset()


def test_ids_that_the_job_lacks_are_never_selected() -> None:
    document = Document(JOB)
    document.select({"a", "gone", "bar"})
    assert document.selection == {"a", "bar"}
    document.do(shift(JOB, {"a"}, 1, 0), "Move", {"a", "gone"})
    assert document.selection == {"a"}


@pytest.mark.expectation(39)
def test_saving_keeps_undo_and_the_clean_mark_follows_it() -> None:
    document = Document(JOB)
    assert not document.modified
    document.do(shift(JOB, {"a"}, 1, 0), "Move", merge_key="arrows")
    assert document.modified
    document.mark_saved()
    assert not document.modified
    document.do(shift(document.job, {"a"}, 1, 0), "Move", merge_key="arrows")
    assert document.modified
    document.undo()
    assert not document.modified, "the saved job must not be merged away by a burst"
    document.undo()
    assert document.modified
    document.redo()
    assert not document.modified


def test_a_recovered_job_starts_modified() -> None:
    document = Document(JOB, modified=True)
    assert document.modified
    document.mark_saved()
    assert not document.modified


@pytest.mark.expectation(37)
def test_a_burst_is_one_step_and_a_selection_ends_it() -> None:
    document = Document(JOB)
    for _ in range(3):
        document.do(shift(document.job, {"a"}, 1, 0), "Move", merge_key="arrows a")
    assert document.undo_count == 1
    document.select({"b"})
    document.select({"a"})
    document.do(shift(document.job, {"a"}, 1, 0), "Move", merge_key="arrows a")
    assert document.undo_count == 2


def test_a_preview_is_shown_and_dropped_without_a_trace() -> None:
    document = Document(JOB)
    moved = shift(JOB, {"a"}, 1, 0)
    document.preview(moved)
    assert (document.job, document.shown) == (JOB, moved)
    assert document.previewing
    assert document.placed_pieces["a"].placement is moved.placements[0]
    document.preview(None)
    assert document.shown is JOB
    assert not document.can_undo
    document.preview(moved)
    document.do(moved, "Move")
    assert not document.previewing
    document.preview(JOB)
    document.undo()
    assert not document.previewing


def test_stands_are_of_what_is_shown_and_kept_where_nothing_changed() -> None:
    document = Document(JOB)
    before = document.placed_pieces
    document.do(place(JOB, pin("c", 9, 9)), "Place")
    assert document.placed_pieces["a"] is before["a"]
    assert set(document.placed_pieces) == {"a", "b", "c"}


def test_whoever_subscribes_is_called_after_each_change_until_it_ends() -> None:
    document = Document(JOB)
    calls: list[frozenset[str]] = []
    end = document.subscribe(lambda: calls.append(document.selection))
    document.select({"a"})
    document.select({"a"})
    document.preview(None)
    assert calls == [{"a"}]
    with document.together():
        document.select({"b"})
        with document.together():
            document.select(set())
        document.select({"a", "b"})
    with document.together():
        pass
    assert calls == [{"a"}, {"a", "b"}]
    end()
    end()
    document.select({"b"})
    assert len(calls) == 2
    assert document.undo() is None


def test_doing_nothing_is_no_step_but_ends_the_preview() -> None:
    document = Document(JOB)
    document.preview(shift(JOB, {"a"}, 1, 0))
    assert not document.do(JOB, "nothing")
    assert not document.previewing
    assert not document.can_undo


def test_joints_keep_their_names_whatever_is_moved() -> None:
    document = Document(job_of(*frame()))
    names = {one.joint.id: one.name for one in welded(document.job)}
    document.do(set_place(document.job, "left", x=-5000), "Move left")
    assert {one.joint.id: one.name for one in welded(document.job)}.items() < names.items()
    document.do(set_place(document.job, "left", x=120), "Move left")
    assert {one.joint.id: one.name for one in welded(document.job)} == names


def test_whoever_listens_hears_of_every_step_there_and_back() -> None:
    document, heard = Document(JOB), []
    end = document.subscribe(lambda: heard.append(document.job))
    moved = shift(JOB, {"a"}, 1, 0)
    document.do(moved, "Move")
    document.undo()
    document.redo()
    assert [job is moved for job in heard] == [True, False, True]
    assert document.redo() is None
    end()
    document.undo()
    assert len(heard) == 3


def test_saving_is_heard_and_changes_held_together_are_heard_once() -> None:
    document, heard = Document(JOB), []
    document.subscribe(lambda: heard.append(document.modified))
    document.do(shift(JOB, {"a"}, 1, 0), "Move")
    document.mark_saved()
    assert heard == [True, False]
    with document.together():
        document.undo()
        with document.together():
            document.redo()
        assert len(heard) == 2
    assert len(heard) == 3
    with document.together():
        pass
    assert len(heard) == 3


def test_contacts_are_those_of_what_is_shown_and_found_once() -> None:
    document = Document(laid(pin("a", 2, 2), plate("bar", 600, 600)))
    first = document.contacts
    assert (list(first.pieces), first.pieces["a"].touching) == (["a"], ())
    assert document.contacts is first
    x, y = document.job.table.at(document.job.placements[0].seats[0].hole)
    beside = plate("bar", x + 15.0, y - 10.0)
    document.do(structs.replace(document.job, parts=(beside,)), "Move bar")
    assert len(document.contacts.pieces["a"].touching) == 1
