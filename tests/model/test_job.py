"""The job: what it needs, and the check of a job from outside."""

import math
from typing import Any

import pytest
from msgspec import structs

from gridjig.model import FaceOf, Placement, Plate, Weld, require_whole
from tests.workshop import EMPTY, box, laid, pin, plate, put, seat, stop

JOB = laid(stop("s", 2, 3), pin("p", 8, 8), plate("w", 10, 20))


def test_things_are_found_by_id() -> None:
    assert JOB.find("p") is JOB.placements[1]
    assert JOB.find("w") is JOB.parts[0]
    assert JOB.find("x") is None


def test_a_whole_job_passes() -> None:
    require_whole(JOB)
    require_whole(EMPTY)


@pytest.mark.parametrize(
    ("placement", "says"),
    [
        (pin("s", 1, 1), r"placements\[2\]\.id: s is used twice"),
        (pin("w", 1, 1), r"placements\[2\]\.id: w is used twice"),
        (put("n", "nothing", seat("p", 1, 1)), r"placements\[2\]: piece nothing is not"),
        (put("n", "pin", seat("p", 1, 1), lift=("none",)), r"placements\[2\]: piece none"),
        (put("n", "pin", seat("p", 1, 1), packing=("none",)), r"placements\[2\]: piece none"),
        (put("n", "pin", seat("h9", 1, 1)), r"placements\[2\]\.seats: piece pin has no .* h9"),
    ],
)
def test_a_job_that_does_not_hold_together(placement: Placement, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        require_whole(laid(placement, job=JOB))


def test_two_outlines_of_one_id() -> None:
    with pytest.raises(ValueError, match=r"parts\[1\]\.id: w is used twice"):
        require_whole(laid(plate("w", 1, 1), job=JOB))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"seats": ()}, "is in no hole"),
        ({"turn": math.nan}, "the angle is not a finite number"),
        ({"reach": math.inf}, "the reach is not a finite number"),
    ],
)
def test_what_no_placement_can_be(change: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        structs.replace(pin("p", 1, 1), **change)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"corners": box(0, 0, 1, 1)[:2]}, "at least three corners"),
        (
            {"corners": ((0.0, math.nan), *box(0, 0, 1, 1))},
            "plate w: the position of a corner is not a finite",
        ),
        ({"z_low": 6.0}, "top must be higher"),
        ({"x": math.inf}, "plate w: the position along x is not a finite"),
    ],
)
def test_what_no_outline_can_be(change: dict[str, Any], says: str) -> None:
    part: Plate = plate("w", 0, 0)
    with pytest.raises(ValueError, match=says):
        structs.replace(part, **change)


def test_an_outline_of_three_corners_will_do() -> None:
    gusset = structs.replace(plate("w", 0, 0), corners=((0, 0), (50, 0), (0, 50)))
    assert len(gusset.corners) == 3


def test_one_joint_has_one_weld() -> None:
    job = laid(plate("v", 0, 0), job=JOB)
    one, again = Weld(a="v", b="w"), Weld(a="w", b="v", leg=5)
    require_whole(structs.replace(job, welds=(one, structs.replace(again, nth=1))))
    with pytest.raises(ValueError, match=r"welds\[1\]: this joint of w and v has two welds"):
        require_whole(structs.replace(job, welds=(one, again)))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"leg": -1.0}, "the size of the weld is −1 mm"),
        ({"leg": math.nan}, "is not a finite number"),
        ({"b": "v"}, "to itself"),
    ],
)
def test_what_no_weld_can_be(change: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        structs.replace(Weld(a="v", b="w"), **change)


def test_a_face_is_a_part_and_the_number_of_a_side() -> None:
    assert FaceOf("w", 2) == ("w", 2)
