"""The choices for joints: kinds, legs, stable names, datum and critical faces."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits import joints as edits
from gridjig.edits.copies import array_by
from gridjig.edits.parts import set_place
from gridjig.edits.selection import copy, remove
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.model import Datum, FaceOf, Job, Weld, require_whole
from gridjig.solve.weldment.welds import welded
from tests.solve.weldments import bar, frame, job_of

JOB = job_of(*frame())


def names(job: Job) -> dict[str, str]:
    return {one.joint.id: one.name for one in welded(job)}


def test_joints_are_named_in_the_order_of_the_parts() -> None:
    assert list(names(JOB).values()) == ["J1", "J2", "J3", "J4"]
    assert welded(JOB) is welded(JOB)
    assert {one.kind for one in welded(JOB)} == {"fillet"}


def test_what_suits_a_joint() -> None:
    mitred = edits.set_welds(JOB, {"front/left"}, kind="butt")
    assert [one.kind for one in welded(mitred)] == ["butt", "fillet", "fillet", "fillet"]
    inline = job_of(bar("a", 0, 20, 100), bar("b", 100, 20, 100))
    assert welded(inline)[0].kind == "butt"
    crossed = job_of(bar("a", 0, 20, 100), bar("b", 50, 20, 100, 90))
    assert welded(crossed)[0].kind == "none"
    assert welded(job_of(bar("a", 0, 20, 100), bar("b", 100, 60, 100)))[0].kind == "corner"


@given(st.permutations(range(4)), st.floats(-500, 500), st.floats(-500, 500))
def test_names_do_not_depend_on_where_parts_lie(order: list[int], x: float, y: float) -> None:
    job = edits.set_welds(JOB, {"back/left"}, leg=4)
    for k in order:
        part = job.parts[k]
        job = set_place(job, part.id, x=part.x + x, y=part.y + y)
    assert names(job) == names(JOB)


def test_chosen_names_stay_when_joints_come_and_go() -> None:
    job = edits.set_welds(JOB, {"back/left"}, leg=4.0)
    assert [w.name for w in job.welds] == ["J1", "J2", "J3", "J4"]
    away = set_place(job, "left", x=-5000)
    assert names(away) == {"front/right": "J2", "back/right": "J4"}
    more = structs.replace(away, parts=(bar("post", 300, 240, 220, 90), *away.parts))
    assert names(more)["front/post"] == "J5"
    back = set_place(edits.keep_names(more), "left", x=120)
    assert names(back)["back/left"] == "J3"
    assert next(w for w in welded(back) if w.name == "J3").leg == 4.0
    require_whole(back)
    assert read_job(write_job(back)) == back


def test_names_are_carried_over_an_edit_that_makes_joints_come_or_go() -> None:
    away = set_place(JOB, "left", x=-5000)
    assert names(away) == {"front/right": "J1", "back/right": "J2"}
    kept = edits.carry_names(JOB, away)
    assert names(kept) == {"front/right": "J2", "back/right": "J4"}
    assert names(edits.carry_names(kept, set_place(kept, "left", x=120))) == names(JOB)
    more = structs.replace(JOB, parts=(bar("post", 300, 240, 220, 90), *JOB.parts))
    assert {names(edits.carry_names(JOB, more))[key] for key in names(JOB)} == set(
        names(JOB).values()
    )
    require_whole(edits.carry_names(JOB, remove(JOB, frozenset(["front"]))))
    assert set(names(edits.carry_names(JOB, remove(JOB, frozenset(["front"])))).values()) == {
        "J3",
        "J4",
    }


def test_nothing_is_written_down_where_no_name_changes() -> None:
    moved = set_place(JOB, "left", x=121)
    assert edits.carry_names(JOB, JOB) is JOB
    assert edits.carry_names(JOB, moved) is moved
    lone = structs.replace(JOB, parts=(*JOB.parts, bar("far", 2000, 2000, 100)))
    assert edits.carry_names(JOB, lone) is lone
    swapped = structs.replace(lone, parts=(*JOB.parts, bar("other", 2000, 2000, 100)))
    assert edits.carry_names(lone, swapped) is swapped
    same = structs.replace(lone, parts=tuple(lone.parts[:]))
    assert edits.carry_names(lone, structs.replace(same, parts=(*same.parts,))).welds == ()


def test_for_one_or_for_all() -> None:
    job = edits.set_welds(JOB, kind="butt", leg=5)
    assert {(w.kind, w.leg) for w in welded(job)} == {("butt", 5)}
    job = edits.set_welds(job, {"front/left", "back/left"}, leg=3)
    assert [(w.kind, w.leg) for w in welded(job)] == [
        ("butt", 3),
        ("butt", 5),
        ("butt", 3),
        ("butt", 5),
    ]
    assert edits.set_welds(job, {"front/left"}, leg=3) is job
    plain = edits.clear_welds(job, {"front/left"})
    assert (welded(plain)[0].kind, welded(plain)[0].leg) == ("fillet", 0)
    assert welded(plain)[1].leg == 5
    assert {w.leg for w in welded(edits.clear_welds(job))} == {0}


def test_a_joint_is_named() -> None:
    job = edits.name_joint(JOB, "back/left", " hinge side ")
    assert list(names(job).values()) == ["J1", "J2", "hinge side", "J4"]
    for name, says in (("", "needs a name"), ("J1", "another joint"), ("x" * 41, "at most 40")):
        with pytest.raises(ValueError, match=says):
            edits.name_joint(job, "back/left", name)
    assert edits.name_joint(job, "back/left", "hinge side") is job


def test_a_joint_that_is_not_there() -> None:
    with pytest.raises(KeyError, match="left/right"):
        edits.set_welds(JOB, {"left/right"}, leg=1)


def test_a_part_that_goes_takes_its_welds_along() -> None:
    job = remove(edits.set_welds(JOB, leg=4), {"left"})
    assert {w.name for w in job.welds} == {"J2", "J4"}
    assert Weld(a="back", b="right", name="J4", leg=4) in job.welds


def test_datum_and_critical_faces() -> None:
    datum = Datum(long=FaceOf("front", 0))
    job = edits.set_datum(JOB, datum)
    assert job.datum == datum
    assert edits.set_datum(job, datum) is job
    job = edits.set_critical(job, [FaceOf("back", 2), FaceOf("back", 2)])
    assert job.critical == (FaceOf("back", 2),)
    assert edits.set_critical(job, job.critical) is job
    with pytest.raises(IndexError, match="back has 4 sides and no side 9"):
        edits.set_critical(job, [FaceOf("back", 8)])
    with pytest.raises(KeyError, match="gone"):
        edits.set_datum(job, Datum(end=FaceOf("gone", 0)))


def test_copies_get_the_welds_of_their_originals() -> None:
    job = edits.set_welds(JOB, kind="butt", leg=5)
    for copied, made in (
        copy(job, {"front", "left"}, 14, 0),
        array_by(job, {"front", "left"}, 2, 700, 0),
    ):
        fresh = [w for w in welded(copied) if {w.joint.a, w.joint.b} <= made]
        assert [(w.name, w.kind, w.leg) for w in fresh] == [("J5", "butt", 5)]
        require_whole(copied)
    rows, _ = array_by(job, {"front", "left", "back"}, 3, 0, 900)
    assert len(rows.welds) == 4 + 2 * 2
    assert copy(JOB, {"front", "left"}, 4, 0)[0].welds == ()


@pytest.mark.parametrize("side", [-1, 4])
def test_a_bar_has_four_sides(side: int) -> None:
    says = f"has 4 sides and no side {side + 1}"
    with pytest.raises(IndexError, match=says):
        edits.set_critical(JOB, [FaceOf("front", side)])
    with pytest.raises(IndexError, match=says):
        edits.set_datum(JOB, Datum(long=FaceOf("front", side)))
    assert edits.set_critical(JOB, [FaceOf("front", 3)]).critical == (FaceOf("front", 3),)
