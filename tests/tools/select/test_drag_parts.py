import pytest
from msgspec import structs

from gridjig.edits.parts import turned
from gridjig.model import Plate
from tests.driver import Driver
from tests.workshop import laid, plate, stop


def bar(thing_id: str, x: float, y: float, w: float = 300, d: float = 40) -> Plate:
    return structs.replace(plate(thing_id, x, y, w, d), z_high=50)


# The stop's face looks towards the operator: it runs from (130, 130) to (220, 130).
JOB = laid(stop("s", 2, 2), bar("tube", 413, 433), bar("rail", 513, 633))


def xy(d: Driver, thing_id: str, shown: bool = False) -> tuple[float, float]:
    found = d.outline(thing_id, shown)
    return (found.x, found.y)


def test_an_outline_goes_anywhere_when_snapping_is_off() -> None:
    d = Driver(JOB).drag((420, 440), (427.25, 431.5), free=True)
    assert xy(d, "tube") == (420.25, 424.5)
    d.expect_step("Move tube").expect_selected("tube")
    assert d.outline("tube").corners is JOB.parts[0].corners


@pytest.mark.expectation(19, 33)
def test_the_distance_is_shown_in_the_unit_of_the_job() -> None:
    d = Driver(JOB).press((420, 440)).move((437, 440), free=True)
    d.expect_hint("Tube: 17 mm to the right")
    assert "ghost" in d.roles
    assert xy(d, "tube", shown=True) == (430, 433)
    d.key("escape").release().expect_untouched(JOB)


@pytest.mark.expectation(20, 21)
def test_a_corner_catches_on_a_hole_within_the_grip_at_any_zoom() -> None:
    d = Driver(JOB).press((420, 440)).move((520, 510)).move((455, 455))
    d.expect_hint("on hole I9")
    assert xy(d, "tube", shown=True) == (450, 450)
    assert "hole I9" in d.words
    d.move((455, 455), free=True)
    assert xy(d, "tube", shown=True) == (448, 448)
    d.release((455, 455), free=True)
    d = Driver(JOB).zoom(0.1).press((420, 440)).move((455, 455))
    assert xy(d, "tube", shown=True) == (448, 448)


def test_a_corner_catches_on_a_corner_of_another_outline() -> None:
    d = Driver(JOB).press((420, 440)).move((519, 639)).expect_hint("corner of rail")
    assert xy(d, "tube", shown=True) == (513, 633)


def test_an_edge_is_laid_against_a_locating_face() -> None:
    d = Driver(JOB).press((420, 440)).move((190, 98.5)).expect_hint("on face of fixed stop at C3")
    assert xy(d, "tube", shown=True) == (183, 90)
    d.release().expect_step("Move tube")


def test_two_faces_at_once_catch_both() -> None:
    end = structs.replace(
        stop("e", 0, 0),
        seats=(
            structs.replace(stop("e", 0, 0).seats[0], hole=JOB.table.nearest(400, 100)),
            structs.replace(stop("e", 0, 0).seats[1], hole=JOB.table.nearest(400, 50)),
        ),
    )
    job = laid(end, job=JOB)
    d = Driver(job)
    face = d.document.placed_pieces["e"].faces[0]
    assert face.normal == pytest.approx((-1, 0))
    x = face.a[0] - 300
    d.press((420, 440)).move((x + 7 + 1.5, 98)).expect_hint("fixed stop at C3 and face of")
    assert xy(d, "tube", shown=True) == pytest.approx((x, 90))


def test_a_face_beside_the_outline_does_not_catch() -> None:
    d = Driver(JOB).press((420, 440)).move((420, 98.5))
    assert xy(d, "tube", shown=True) == (413, 91.5) or "hole" in d.hint


def test_several_outlines_move_as_one() -> None:
    d = Driver(JOB).select("tube", "rail").drag((420, 440), (430, 450), free=True)
    d.expect_step("Move 2 parts")
    assert xy(d, "rail") == (523, 643)


def test_a_turned_outline_catches_by_its_turned_corner() -> None:
    job = structs.replace(JOB, parts=(turned(JOB.parts[0], 30, (413, 433)),))
    d = Driver(job).press((430, 460)).move((430 + 35, 460 + 15)).expect_hint("on hole I9")
    assert xy(d, "tube", shown=True) == (450, 450)


def test_coming_back_is_no_step() -> None:
    d = Driver(JOB).press((420, 440)).move((520, 510)).move((420, 440), free=True)
    d.release((420, 440), free=True).expect_untouched(JOB)
