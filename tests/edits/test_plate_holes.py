"""Edits of the holes, heights and names of plates, and of the line that a member keeps."""

import pytest
from msgspec import structs

from gridjig.edits import members, parts
from gridjig.edits.lookup import numbered_name, plate_of
from gridjig.edits.selection import put_copies
from gridjig.geometry.part_mass import mass
from gridjig.model import CutOut, Drilled, Job, Member, Plate
from tests.stock import OBLONG, SQUARE
from tests.workshop import box, laid, plate

HOLE = Drilled((30.0, 30.0), 18.0)


def with_plates(*plates: Plate) -> Job:
    return laid(*plates)


def test_holes_are_set_and_taken_away() -> None:
    job = with_plates(plate("p", 10, 10))
    drilled = parts.set_holes(job, "p", (HOLE,))
    assert plate_of(drilled, "p").holes == (HOLE,)
    assert mass(plate_of(drilled, "p")) < mass(plate_of(job, "p"))
    assert parts.set_holes(drilled, "p", ()).parts == job.parts


def test_a_hole_outside_the_plate_is_refused_by_its_number() -> None:
    job = with_plates(plate("p", 10, 10))
    with pytest.raises(ValueError, match="hole 2 cannot be cut: it is not wholly inside the plate"):
        parts.set_holes(job, "p", (HOLE, Drilled((99.0, 30.0), 18.0)))


def test_a_plate_on_edge_says_that_holes_go_down() -> None:
    on_edge = structs.replace(plate("p", 10, 10, 100, 6), z_high=80.0)
    with pytest.raises(ValueError, match="stands on edge, so lay it flat"):
        parts.set_holes(with_plates(on_edge), "p", (Drilled((30.0, 3.0), 18.0),))


def test_a_plate_is_not_made_smaller_than_its_holes() -> None:
    job = parts.set_holes(with_plates(plate("p", 10, 10)), "p", (HOLE,))
    with pytest.raises(ValueError, match="hole 1 cannot be cut"):
        parts.set_corners(job, "p", box(0, 0, 35, 60))
    bigger = plate_of(parts.set_corners(job, "p", box(0, 0, 200, 60)), "p")
    assert bigger.holes == (HOLE,)


def test_a_polygon_through_points_of_the_table_takes_its_holes_along() -> None:
    made = parts.polygon(
        "p", "P", box(100, 50, 300, 150), (0.0, 6.0), (Drilled((130.0, 80.0), 18.0),)
    )
    assert (made.x, made.y) == (100.0, 50.0)
    assert made.holes == (HOLE,)
    opening = CutOut(box(110, 60, 400, 70))
    with pytest.raises(ValueError, match="hole 1 cannot be cut"):
        parts.polygon("p", "P", box(100, 50, 300, 150), (0.0, 6.0), (opening,))


def test_heights_move_together() -> None:
    job = parts.move_heights(with_plates(plate("p", 10, 10)), "p", 44.0)
    there = plate_of(job, "p")
    assert (there.z_low, there.z_high) == (44.0, 50.0)


def test_equal_names_of_plates_are_numbered() -> None:
    job = with_plates(plate("a", 10, 10), plate("b", 200, 10), plate("c", 400, 10))
    for one in ("a", "b", "c"):
        job = parts.rename_part(job, one, " Rib ")
    assert [part.name for part in job.parts] == ["Rib", "Rib 2", "Rib 3"]
    assert parts.rename_part(job, "b", "Rib 2").parts == job.parts


@pytest.mark.parametrize(
    ("name", "taken", "wanted"),
    [
        ("Rib", [], "Rib"),
        ("Rib", ["Rib"], "Rib 2"),
        ("Rib", ["Rib", "Rib 2", "Rib 4"], "Rib 3"),
        ("Rib 2", ["Rib 2"], "Rib 3"),
        ("", ["", "x"], ""),
    ],
)
def test_the_first_free_number(name: str, taken: list[str], wanted: str) -> None:
    assert numbered_name(name, taken) == wanted


# -- the line that a member keeps --------------------------------------------------------------


def right_face(member: Member) -> float:
    """Where the right face of a member along x lies."""
    return member.y - member.width / 2.0


@pytest.mark.source("method", "the outer face of a member along x, before and after")
def test_the_outer_face_stays_when_section_or_way_up_changes() -> None:
    made = members.between("m", "M", OBLONG, (0.0, 100.0), (500.0, 100.0), lies="left")
    assert right_face(made) == pytest.approx(100.0)
    job = members.add(laid(), made)
    for after in (
        members.set_section(job, "m", SQUARE),
        members.set_way_up(job, "m", 90),
        members.set_measured(job, "m", OBLONG.width + 0.7, OBLONG.height),
    ):
        there = members.member_of(after, "m")
        assert there.width != made.width
        assert right_face(there) == pytest.approx(100.0)
    centred = members.set_way_up(members.set_line(job, "m", "centre"), "m", 90)
    assert members.member_of(centred, "m").y == pytest.approx(made.y)


def test_the_kept_line_changes_sides_with_the_hand() -> None:
    made = members.between("m", "M", OBLONG, (0.0, 0.0), (500.0, 0.0), lies="left")
    assert made.line_kept == "right"
    assert made.opposite_hand.line_kept == "left"
    assert made.opposite_hand.opposite_hand == made
    assert made.turned_over.turned_over == made


def test_pasted_plates_are_numbered_too() -> None:
    job = with_plates(plate("a", 10, 10))
    once, _ = put_copies(job, job.parts, 2, 0)
    twice, _ = put_copies(once, job.parts, 4, 0)
    assert [part.name for part in twice.parts] == ["a", "a 2", "a 3"]
