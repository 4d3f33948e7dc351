from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Job
from gridjig.session.history import History, Step
from tests.workshop import EMPTY

NONE: frozenset[str] = frozenset()


def job(number: int) -> Job:
    return structs.replace(EMPTY, notes=str(number))


def test_undo_gives_back_the_very_same_job() -> None:
    history = History(EMPTY)
    first, second = job(1), job(2)
    history.do(Step(first, "one"), NONE)
    history.do(Step(second, "two"), NONE)
    undone = history.undo()
    assert undone is not None
    assert undone.job is first
    assert history.undo() is not None
    assert history.step.job is EMPTY
    assert history.undo() is None
    assert history.redo() is not None
    redone = history.redo()
    assert redone is not None
    assert redone.job is second
    assert history.redo() is None


def test_the_job_that_stands_already_is_no_step() -> None:
    history = History(EMPTY)
    assert not history.do(Step(EMPTY, "nothing"), NONE)
    assert not history.can_undo


def test_a_new_step_ends_what_could_be_redone() -> None:
    history = History(EMPTY)
    history.do(Step(job(1), "one"), NONE)
    history.undo()
    history.do(Step(job(2), "two"), NONE)
    assert history.next_step is None
    assert history.step.name == "two"


def test_undo_selects_what_was_selected_when_the_step_was_made() -> None:
    history = History(EMPTY)
    history.do(Step(job(1), "one", frozenset("a")), frozenset("b"))
    step = history.undo()
    assert step is not None
    assert step.selection == frozenset("b")


def test_a_burst_is_one_step_until_it_is_ended() -> None:
    history = History(EMPTY)
    for number in (1, 2, 3):
        history.do(Step(job(number), "move", merge_key="a"), NONE)
    assert history.count == 1
    history.do(Step(job(4), "move", merge_key="b"), NONE)
    assert history.count == 2
    history.end_merge()
    history.do(Step(job(5), "move", merge_key="b"), NONE)
    assert history.count == 3
    history.undo()
    history.do(Step(job(6), "move", merge_key="b"), NONE)
    assert history.count == 3
    history.do(Step(job(7), "other"), NONE)
    history.do(Step(job(8), "other"), NONE)
    assert history.count == 5


@given(st.lists(st.sampled_from(["do", "burst", "undo", "redo", "save"]), max_size=60))
def test_any_walk_through_history_agrees_with_a_plain_list(walk: list[str]) -> None:
    history = History(EMPTY)
    jobs, at, merging = [EMPTY], 0, False
    for number, verb in enumerate(walk):
        made = job(number)
        if verb in ("do", "burst"):
            merge_key = "b" if verb == "burst" else ""
            history.do(Step(made, verb, merge_key=merge_key), NONE)
            del jobs[at + 1 :]
            if merging and merge_key:
                jobs[at] = made
            else:
                jobs.append(made)
                at += 1
            merging = bool(merge_key)
        elif verb == "save":
            history.end_merge()
            merging = False
        elif verb == "undo" and at > 0:
            history.undo()
            at, merging = at - 1, False
        elif verb == "redo" and at + 1 < len(jobs):
            history.redo()
            at, merging = at + 1, False
        assert history.step.job is jobs[at]
        assert history.count == at
        assert history.can_undo == (at > 0)
        assert (history.next_step is not None) == (at + 1 < len(jobs))
