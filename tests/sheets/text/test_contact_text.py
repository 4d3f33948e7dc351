"""Contacts in words."""

import pytest
from msgspec import structs

from gridjig.contact.titles import side_title
from gridjig.contact.values import Contact, Role, Support
from gridjig.geometry.part_solids import PartFace
from gridjig.model import Display, EndCut, Hole, Part
from gridjig.sheets.text.contact_text import (
    contact_text,
    part_contact_lines,
    piece_contact_lines,
    role_text,
    summary_text,
    supports_text,
)
from tests.contact.poses import lay, look, turned
from tests.contact.test_by_hand import rail
from tests.workshop import TABLE, pin, plate, put, seat

JOB = lay(rail(end=EndCut("mitre", 30.0)), turned("s", 11, 9, 0.0))
INCHES = structs.replace(JOB, display=Display(unit="inch fractions"))


_STOP = structs.replace(turned("s", 11, 9, 0.0), accepted_gap=0.4)


def contact(gap: float = 0.0, **more: object) -> Contact:
    (made,) = look(turned("s", 11, 9, 0.0), rail(gap)).pieces["s"].contacts
    return structs.replace(made, **more)


def test_what_a_contact_means_in_words() -> None:
    assert contact_text(JOB, contact()) == "touches Rail, front face, over 50 mm"
    assert contact_text(INCHES, contact(length=31.75)) == 'touches Rail, front face, over 1-1/4"'
    assert contact_text(INCHES, contact(0.3302)) == 'gap .013" to Rail, front face'
    assert contact_text(INCHES, contact(-0.15)) == '.006" inside Rail, front face'
    assert contact_text(JOB, contact(-2.0)) == "2 mm inside Rail, front face"
    assert contact_text(JOB, contact(means="radius")) == (
        "meets only the rounded edge of Rail, front face"
    )
    pad = contact(kind="pad on top", face=PartFace("top"), means="out of reach")
    high = structs.replace(pad, gap=-5.0)
    assert contact_text(JOB, high) == "Rail, top, is 5 mm too high for its tip"
    low = structs.replace(pad, gap=5.0)
    assert contact_text(JOB, low) == "Rail, top, is 5 mm too low for its tip"
    assert contact_text(JOB, contact(kind="pad on top")) == "presses on Rail"
    assert contact_text(JOB, contact(kind="rest under")) == "supports Rail"


@pytest.mark.parametrize(
    ("face", "normal", "words"),
    [
        (PartFace("side", 0), (0.0, -1.0, 0.0), "front face"),
        (PartFace("side", 2), (0.0, 1.0, 0.0), "back face"),
        (PartFace("side", 3), (-1.0, 0.0, 0.0), "left cut end"),
        (PartFace("side", 1), (0.5, 0.8660254037844386, 0.0), "cut end at 150°"),
        (PartFace("side", 0), (0.6087614290087207, -0.7933533402912352, 0.0), "face at 37.5°"),
        (PartFace("inside", 1), (1.0, 0.0, 0.0), "right inside face"),
        (PartFace("corner", 1), (1.0, 0.0, 0.0), "corner"),
        (PartFace("top"), (0.0, 0.0, 1.0), "top"),
        (PartFace("bottom"), (0.0, 0.0, -1.0), "underside"),
    ],
)
def test_faces(face: PartFace, normal: tuple[float, float, float], words: str) -> None:
    assert side_title(JOB, "rail", face, normal) == f"Rail, {words}"


def test_roles() -> None:
    job = lay(*JOB.parts, turned("s", 11, 9, 0.0), put("r", "riser", seat("p", 3, 3)))
    assert role_text(job, Role("locates", ("rail",))) == "locates Rail"
    assert role_text(job, Role("idle")) == "idle"
    assert role_text(job, Role("blocks nothing", ("rail",))) == (
        "blocks nothing: does not reach Rail"
    )
    assert role_text(job, Role("stands off", ("rail",))) == (
        "stands off Rail by a gap that is accepted"
    )
    assert supports_text(job, ()) == "with nothing directly behind that part"
    assert supports_text(job, [Support("table", "", 0.0)]) == "over the table"
    assert supports_text(job, [Support("rest", "r", 0.0)]) == "over riser at D4"
    assert supports_text(job, [Support("rest", "r", 40.0)]) == "40 mm beside riser at D4"
    assert supports_text(job, [Support("locator", "s", 0.0)]).startswith("against one-pin stop at ")
    assert supports_text(job, [Support("part", "rail", 0.0)]) == "against Rail"


def test_a_gap_that_is_accepted_is_said_to_be() -> None:
    """In the form of the piece and of the part; what is wider than accepted is only a gap."""
    stop = structs.replace(turned("s", 11, 9, 0.0), accepted_gap=0.4)
    for gap, words in ((0.4, "gap 0.4 mm to Rail, front face, accepted"), (0.5, "gap 0.5 mm to")):
        job = lay(rail(gap), stop)
        found = look(*job.parts, stop)
        (line,) = piece_contact_lines(job, found, "s")
        assert line.startswith(words)
        (beside,) = part_contact_lines(job, found, "rail")
        assert beside.words.endswith("front face, accepted") == (gap == 0.4)


@pytest.mark.parametrize(
    ("things", "told"),
    [
        ((rail(0.4), _STOP), "1 piece against 1 part: 1 stands off by an accepted gap;"),
        (
            (rail(0.4), _STOP, structs.replace(_STOP, id="t", seats=(seat("h", 13, 9),))),
            "2 pieces against 1 part: 2 stand off by accepted gaps;",
        ),
        ((rail(), _STOP, pin("p", 1, 1)), "2 pieces against 1 part: 1 locates, 1 is idle;"),
    ],
)
def test_the_summary_counts_what_each_piece_does(things: tuple[Part, ...], told: str) -> None:
    job = lay(*things)
    assert summary_text(job, look(*things)).startswith(told)


def test_parts_that_meet_only_along_a_line_meet_at_a_corner() -> None:
    """Two blocks whose corners touch at one point of the plan."""
    job = lay(plate("a", 500.0, 500.0, 100.0, 60.0), plate("b", 600.0, 560.0, 100.0, 60.0))
    found = look(*job.parts)
    (met,) = found.parts
    assert (met.kind, met.normal) == ("corner", None)
    (line,) = part_contact_lines(job, found, "a")
    assert (line.id, line.words) == ("b", "meets it at a corner")


def test_a_piece_that_cannot_stand_or_has_no_work_says_nothing_of_touching() -> None:
    off = put("s", "turning", seat("h", 99, 99))
    job = lay(rail(), off, turned("t", 11, 9, 0.0))
    found = look(*job.placements, *job.parts)
    assert found.roles["s"].what == "cannot stand"
    assert piece_contact_lines(job, found, "s") == ()
    assert len(piece_contact_lines(job, found, "t")) == 1
    alone = lay(turned("t", 11, 9, 0.0))
    assert piece_contact_lines(alone, look(*alone.placements), "t") == ()


def test_what_a_piece_and_a_part_do_is_told_line_by_line() -> None:
    """A stop at a low block that carries another and lies beside a third; a pin stands in it."""
    x, y = TABLE.at(Hole(11, 9))
    low = plate("low", x - 100.0, y + 12.0, 200.0, 100.0)
    low = structs.replace(low, z_low=0.0, z_high=40.0)
    top = structs.replace(low, id="top", name="top", z_low=40.0, z_high=60.0)
    beside = structs.replace(low, id="beside", name="beside", x=low.x + 200.0)
    inside, under = pin("in", 12, 10), put("c", "clamp", seat("p", 13, 10), turn=180.0, reach=70.0)
    job = lay(low, top, beside, turned("s", 11, 9, 0.0), inside, under)
    found = look(*job.placements, *job.parts)
    lines = {one.id: one.words for one in part_contact_lines(job, found, "low")}
    assert set(lines) == {"top", "beside", "s", "in"} | ({"c"} & set(lines))
    assert lines["top"] != {o.id: o.words for o in part_contact_lines(job, found, "top")}["low"]
    assert lines["beside"].startswith("meets ")
    assert lines["in"].startswith("overlaps it by ")
    assert piece_contact_lines(job, found, "s")[0].startswith("touches low, front face")
    assert "overlap" in " ".join(piece_contact_lines(job, found, "in"))
    away = lay(low, turned("far", 3, 2, 180.0))
    (nothing,) = piece_contact_lines(away, look(*away.placements, *away.parts), "far")
    assert nothing.startswith("touches nothing: no part ")
