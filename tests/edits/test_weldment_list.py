"""Several weldments in one job: new, renamed, deleted, split, copied, each with its choices."""

import pytest
from msgspec import structs

from gridjig.edits import weldment_list as edits
from gridjig.edits.copied_weldments import other_hand_name
from gridjig.edits.copies import array_by, mirror_copy
from gridjig.edits.into_weldment import put_new_parts
from gridjig.edits.joints import set_critical, set_datum, set_welds
from gridjig.edits.selection import copy
from gridjig.edits.weldment import move, turn
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Datum, FaceOf, Job, require_whole
from gridjig.model.by_weldment import only, parts_of, weldments_of
from gridjig.model.titles import hand_words, title, weldment_title
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import faces
from gridjig.solve.weldment.welds import welded, welded_of
from tests.workshop import laid, plate

BRACKET = laid(plate("upright", 200, 200, 50, 300), plate("arm", 250, 200, 150, 50))


def pair() -> Job:
    """Two brackets, the second 400 mm to the right of the first, both with chosen faces."""
    job = set_datum(BRACKET, Datum(long=FaceOf("upright", 3), end=FaceOf("arm", 0)))
    job = set_critical(set_welds(job, leg=4), [FaceOf("arm", 0)])
    job = edits.rename_weldment(job, "weldment-1", "LH bracket")
    made, _ = copy(job, {"upright", "arm"}, 8, 0)
    return made


def test_a_copied_whole_weldment_is_one_of_its_own_with_all_that_was_chosen() -> None:
    job = pair()
    require_whole(job)
    assert [one.name for one in job.weldments] == ["LH bracket", "LH bracket 2"]
    one, other = (parts_of(job, w.id) for w in job.weldments)
    assert [p.name for p in one] == [p.name for p in other] == ["upright", "arm"]
    assert job.weldments[1].datum == Datum(long=FaceOf(other[0].id, 3), end=FaceOf(other[1].id, 0))
    assert [w.leg for w in welded_of(job, job.weldments[1].id)] == [4]
    assert title(job, other[0].id) == "upright of LH bracket 2"
    assert title(BRACKET, "upright") == "upright"


def test_a_copied_part_stays_in_its_weldment() -> None:
    job, made = copy(BRACKET, {"arm"}, 0, 2)
    assert len(made) == 1
    assert {part.weldment for part in job.parts} == {"weldment-1"}
    loose = laid(plate("a", 0, 0), plate("b", 0, 300))
    job, made = copy(loose, {"a", "b"}, 6, 0)
    assert len(made) == 2
    assert len(job.weldments) == 1


def test_a_row_of_whole_weldments_is_as_many_weldments() -> None:
    job, made = array_by(BRACKET, {"upright", "arm"}, 3, 250.0, 0.0)
    assert len(made) == 4
    assert [len(parts_of(job, one.id)) for one in job.weldments] == [2, 2, 2]
    require_whole(job)


def test_a_mirrored_copy_of_the_whole_is_its_opposite_hand() -> None:
    job = edits.rename_weldment(BRACKET, "weldment-1", "Left bracket")
    job = set_datum(job, Datum(long=FaceOf("upright", 3)))
    job, made = mirror_copy(job, {"upright", "arm"}, (500.0, 0.0), (500.0, 1.0))
    new = job.weldments[1]
    assert (new.name, new.opposite_of) == ("Right bracket", "weldment-1")
    assert hand_words(job, new) == "opposite hand of Left bracket"
    long = datum_faces(job, new.id).long
    assert long is not None
    # The left face of the left upright becomes the right face of the right one.
    assert (long.axis, long.sign, long.at) == ("x", 1, 800.0)
    assert len(made) == 2


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("LH bracket", "RH bracket"),
        ("Bracket RH", "Bracket LH"),
        ("Left stile", "Right stile"),
        ("Bracket", "Bracket, opposite hand"),
        ("", ""),
    ],
)
def test_the_name_of_the_other_hand(name: str, other: str) -> None:
    assert other_hand_name(name) == other


def test_each_is_measured_from_its_own_datum_and_moves_alone() -> None:
    job = pair()
    second = job.weldments[1].id
    for one, at in (("weldment-1", 200.0), (second, 600.0)):
        long = datum_faces(job, one).long
        assert long is not None
        assert long.at == at
    moved = turn(move(job, 0.0, 100.0, second), 90.0, (600.0, 300.0), second)
    assert parts_of(moved, "weldment-1") == parts_of(job, "weldment-1")
    assert [part_ring(p) for p in parts_of(moved, second)] != [
        part_ring(p) for p in parts_of(job, second)
    ]


def test_a_datum_face_of_another_weldment_is_not_taken() -> None:
    job = pair()
    second = job.weldments[1].id
    other = Datum(long=FaceOf("arm", 0))
    odd = structs.replace(
        job, weldments=(job.weldments[0], structs.replace(job.weldments[1], datum=other))
    )
    assert datum_faces(job, second).proposed == frozenset()
    assert datum_faces(odd, second).proposed == {"long", "end"}


def test_parts_of_two_weldments_are_not_joined_though_they_touch() -> None:
    """The same four plates are three joints as one weldment, and two as two."""
    touching, _ = copy(BRACKET, {"upright", "arm"}, 4, 0)  # arm's end at 400, upright from 400
    assert len(welded(touching)) == 2
    one = structs.replace(
        touching, parts=tuple(structs.replace(p, weldment="weldment-1") for p in touching.parts)
    )
    assert len(welded(one)) == 3
    apart = {f.of.part for f in faces(touching.parts) if f.outer and f.axis == "x"}
    assert len(apart) == 4
    assert len({f.of.part for f in faces(one.parts) if f.outer and f.axis == "x"}) == 2


def test_only_leaves_one_weldment_with_its_name_and_all_pieces() -> None:
    job = pair()
    alone = only(job, job.weldments[1].id)
    assert [p.weldment for p in alone.parts] == [job.weldments[1].id] * 2
    assert weldment_title(alone, alone.weldments[0].id) == "LH bracket 2"
    assert [face.side for face in alone.critical] == [0]
    assert len(job.critical) == 2
    assert only(job, job.weldments[1].id) is alone
    assert only(BRACKET, "weldment-1") is BRACKET


def test_parts_go_to_another_weldment_and_their_datum_is_dropped() -> None:
    job, made = edits.add_weldment(pair(), "Lug")
    job = edits.move_parts(job, {"arm"}, made)
    require_whole(job)
    assert weldments_of(job, ["arm"]) == (made,)
    assert job.weldments[0].datum == Datum(long=FaceOf("upright", 3))
    assert edits.move_parts(job, {"arm"}, made) is job
    with pytest.raises(ValueError, match="arm of Lug is no part of LH bracket"):
        set_datum(job, Datum(long=FaceOf("arm", 0)), "weldment-1")


def test_deleting_a_weldment_takes_its_parts_and_ends_the_hands() -> None:
    job, _ = mirror_copy(BRACKET, {"upright", "arm"}, (500.0, 0.0), (500.0, 1.0))
    left = edits.remove_weldment(job, "weldment-1")
    require_whole(left)
    assert len(left.parts) == 2
    assert [one.opposite_of for one in left.weldments] == [None]
    with pytest.raises(ValueError, match="the only weldment"):
        edits.remove_weldment(left, left.weldments[0].id)


def test_names_and_hands_are_kept_sane() -> None:
    job = pair()
    second = job.weldments[1].id
    with pytest.raises(ValueError, match="the name of another weldment"):
        edits.rename_weldment(job, second, "LH bracket")
    job = edits.set_hand(job, second, "weldment-1")
    with pytest.raises(ValueError, match="would in the end be the opposite hand of itself"):
        edits.set_hand(job, "weldment-1", second)
    assert edits.set_quantity(job, second, 5).weldments[1].quantity == 5


def test_new_parts_go_into_the_current_weldment_and_old_ones_stay() -> None:
    job, made = edits.add_weldment(BRACKET)
    after = laid(plate("new", 600, 600), job=job)
    put = put_new_parts(job, after, made)
    assert {p.id: p.weldment for p in put.parts} == {
        "upright": "weldment-1",
        "arm": "weldment-1",
        "new": made,
    }
    assert put_new_parts(job, after, "weldment-1") is after
    moved = move(job, 5.0, 0.0)
    assert put_new_parts(job, moved, made) is moved
