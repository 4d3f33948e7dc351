import csv
import io
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits.details import set_saw
from gridjig.edits.members import add
from gridjig.geometry.part_mass import mass
from gridjig.model import (
    Display,
    Drilled,
    EndCut,
    Job,
    Member,
    Plate,
    PlateHole,
    SawCut,
    Section,
    Slotted,
)
from gridjig.sheets.lists.cut_list import (
    HEADINGS,
    cells,
    cut_list,
    to_csv,
    to_text,
    totals_in_words,
)
from gridjig.sheets.lists.cut_plates import plate_size
from gridjig.sheets.text.cut_text import cut_in_words, cuts_in_words
from tests.stock import ANGLE, FLAT, ROUND, SQUARE, bar
from tests.workshop import EMPTY, laid, pin, plate

MM = Display(unit="millimetres")
INCHES = Display()


def mitre(angle: float) -> EndCut:
    return EndCut("mitre", angle)


def point(right: float, left: float) -> EndCut:
    """A point with its tip in the middle, cut at these angles on its right and its left."""
    return EndCut("mitre", right, more=(SawCut(-left),))


def named(name: str, section: Section = SQUARE, length: float = 500, **more: Any) -> Member:
    return structs.replace(bar(section, length, **more), id=name.replace(" ", "-"), name=name)


def job_of(*parts: Member | Plate, job: Job = EMPTY) -> Job:
    for part in parts:
        job = add(job, part) if isinstance(part, Member) else laid(part, job=job)
    return job


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (EndCut(), EndCut(), "square both ends"),
        (mitre(45), mitre(45), "mitres opposed, 45° both ends"),
        (mitre(45), mitre(-45), "mitres parallel, 45° both ends"),
        (mitre(-22.5), mitre(-22.5), "mitres opposed, 22.5° both ends"),
        (mitre(30), mitre(60), "mitres opposed, 60° and 30°"),
        (EndCut(), mitre(52.5), "square and mitre 52.5°"),
        (mitre(52.5), EndCut(), "square and mitre 52.5°"),
        (EndCut("cope", 0, 48.3), EndCut(), "square and coped around 48.3 mm"),
        (
            EndCut("cope", 30, 48.3),
            EndCut("cope", 30, 48.3),
            "coped around 48.3 mm at 30° both ends, cuts opposed",
        ),
        (
            EndCut("notch", along=30, across=10.5),
            EndCut(),
            "square and notch 30 mm x 10.5 mm",
        ),
    ],
)
def test_cuts_in_trade_words(start: EndCut, end: EndCut, words: str) -> None:
    assert cuts_in_words(start, end, MM) == words


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        (point(18.4349488, 18.4349488), "point, ≈18.43° and ≈18.43°, tip in the middle"),
        (point(30, 45), "point, 45° and 30°, tip in the middle"),
        (
            EndCut("mitre", 20, more=(SawCut(-20, 5 * math.tan(math.radians(20)) * 2),)),
            "point, 20° over 20 mm and 20° over 30 mm",
        ),
        (
            EndCut("square", more=(SawCut(45, 15),)),
            "45° over 10 mm and square over 40 mm",
        ),
        (EndCut("square", more=(SawCut(45, 99),)), "square"),
        (EndCut("cope", 0, 48.3, more=(SawCut(45, 15),)), "coped around 48.3 mm, also cut at 45°"),
    ],
)
def test_an_end_of_several_cuts_in_trade_words(cut: EndCut, words: str) -> None:
    assert cut_in_words(cut, MM, 50.0) == words
    assert cut_in_words(cut.opposite, MM, 50.0) == words
    assert cuts_in_words(cut, EndCut("mitre", 10), MM, 50.0).count(words) == 1


def test_cuts_beyond_the_shops_saw_are_said_and_its_limit_can_be_set() -> None:
    job = job_of(named("steep", end=mitre(71.5)), named("level", end=mitre(60)))
    found = {line.names[0]: line for line in cut_list(job).bars}
    assert found["steep"].cuts == "square and mitre 71.5° (beyond the shop's saw: 60°)"
    assert (found["steep"].beyond_saw, found["level"].beyond_saw) == (True, False)
    assert not any(line.beyond_saw for line in cut_list(set_saw(job, 75.0)).bars)
    pointed = job_of(named("post", end=point(20, 71)))
    assert [line.beyond_saw for line in cut_list(pointed).bars] == [True]


def test_pointed_bars_that_are_alike_are_one_line() -> None:
    one = named("one", end=point(20, 35))
    other = named("two", end=EndCut("mitre", -35, more=(SawCut(20, 0),)), y=90)
    turned = named("three", start=point(20, 35), y=180)
    over = named("four", end=point(35, 20), y=270)
    (line,) = cut_list(job_of(one, other, turned, over)).bars
    assert line.names == ("one", "two", "three", "four")
    assert (line.long_point, line.hand) == (500, "")


def test_sizes_in_the_words_follow_the_display() -> None:
    assert cut_in_words(EndCut("cope", 0, 50.8), INCHES) == 'coped around 2"'


def test_bars_that_are_alike_are_one_line() -> None:
    job = job_of(
        named("a 2", start=mitre(45), end=mitre(45)),
        named("a 10", start=mitre(-45), end=mitre(-45), x=300, turn=90),
        named("short", length=200),
        named("other", FLAT),
        job=laid(pin("p", 2, 2)),
    )
    found = cut_list(job)
    lines = [(line.section, line.names, line.count) for line in found.bars]
    assert lines == [
        ("50x6", ("other",), 1),
        ("50x50x3", ("a 2", "a 10"), 2),
        ("50x50x3", ("short",), 1),
    ]
    assert (found.count, found.plates) == (4, ())
    (long,) = [line for line in found.bars if line.count == 2]
    assert (long.long_point, long.short_point) == pytest.approx((550, 450))
    assert long.each == pytest.approx(SQUARE.mass() / 2)
    assert [line.hand for line in found.bars] == ["", "", ""]


def test_hands_are_told_apart_and_the_first_is_as_drawn() -> None:
    one = named("one", ANGLE, end=mitre(45))
    twin = structs.replace(one.opposite_hand, id="two", name="two")
    found = {line.names: line.hand for line in cut_list(job_of(one, twin)).bars}
    assert found == {("one",): "as drawn", ("two",): "opposite hand"}


def test_plates_of_one_shape_are_one_line_whichever_way_they_lie() -> None:
    tall = Plate(
        id="edge", name="edge", corners=((0, 0), (100, 0), (100, 6), (0, 6)), z_low=0, z_high=60
    )
    rib = ((0.0, 0.0), (80.0, 0.0), (0.0, 60.0))
    turned = ((0.0, 0.0), (0.0, 80.0), (-60.0, 0.0))
    job = job_of(
        plate("flat", 5, 5),
        tall,
        plate("thick", 5, 5, 300, 200),
        Plate(id="rib", name="rib", corners=rib, z_high=8),
        Plate(id="rib2", name="rib2", corners=turned, z_high=8, turn=30),
        Plate(id="rib3", name="rib3", corners=((0, 0), (80, 0), (80, 60), (0, 59)), z_high=8),
    )
    plates = cut_list(job).plates
    assert [(p.names, p.shaped) for p in plates] == [
        (("thick",), False),
        (("flat", "edge"), False),
        (("rib", "rib2"), True),
        (("rib3",), True),
    ]
    assert plate_size(tall) == pytest.approx((100, 60, 6))
    assert plates[2].each == pytest.approx(80 * 60 / 2 * 8 * 7850e-9)


def drilled(name: str, *holes: PlateHole, turn: float = 0.0) -> Plate:
    return structs.replace(plate(name, 5, 5, 200, 100), holes=holes, turn=turn)


EDGE = (Drilled((30.0, 30.0), 18.0), Drilled((170.0, 30.0), 18.0))
ACROSS = (Drilled((30.0, 30.0), 18.0), Drilled((170.0, 70.0), 18.0))


def test_plates_with_other_holes_are_other_plates() -> None:
    other_edge = (Drilled((170.0, 70.0), 18.0), Drilled((30.0, 70.0), 18.0))
    other_across = (Drilled((30.0, 70.0), 18.0), Drilled((170.0, 30.0), 18.0))
    job = job_of(
        drilled("a", *EDGE),
        drilled("b", *other_edge, turn=30.0),
        drilled("c", *ACROSS),
        drilled("d", *other_across),
        drilled("e", Drilled((30.0, 30.0), 17.0), Drilled((170.0, 30.0), 18.0)),
        drilled("f"),
        drilled("g", Slotted((30.0, 30.0), (60.0, 30.0), 18.0)),
    )
    assert [p.names for p in cut_list(job).plates] == [
        ("a", "b"), ("c", "d"), ("e",), ("f",), ("g",),
    ]  # fmt: skip


@pytest.mark.source("method", "areas by hand: 200 x 100 less two circles of 18 mm")
def test_a_drilled_plate_says_what_is_cut_in_it_and_weighs_less() -> None:
    found = cut_list(job_of(drilled("base", *EDGE, Slotted((90.0, 50.0), (110.0, 50.0), 12.0))))
    (line,) = found.plates
    gone = 2 * math.pi * 81 + math.pi * 36 + 12 * 20
    assert line.each == pytest.approx((20000 - gone) * 6 * 7850e-9)
    assert cells(found)[0][5] == (
        "square · 2 × Ø18 mm at 30 mm, 30 mm; 170 mm, 30 mm · slot 12 mm x 32 mm at 100 mm, 50 mm"
    )


def test_places_of_holes_are_from_the_corner_of_the_plate() -> None:
    moved = Plate(
        id="m",
        name="m",
        corners=((-100, -50), (100, -50), (100, 50), (-100, 50)),
        holes=(Drilled((-70.0, -20.0), 18.0),),
        z_high=6,
    )
    (line,) = cut_list(job_of(moved)).plates
    assert line.holes == (Drilled((30.0, 30.0), 18.0),)


def test_a_hole_as_far_from_the_corner_as_can_be_has_its_place_too() -> None:
    """Both ends of the plate are as far from the zero point as a place can be."""
    far = 100_000.0
    part = structs.replace(
        plate("far", 0, 0),
        corners=((-far, 0.0), (far, 0.0), (far, 100.0), (-far, 100.0)),
        holes=(Drilled((far - 50.0, 50.0), 18.0),),
    )
    (line,) = cut_list(job_of(part)).plates
    assert line.holes == (Drilled((2.0 * far - 50.0, 50.0), 18.0),)


def test_a_sheet_full_of_holes_says_how_many() -> None:
    sheet = drilled(
        "sheet",
        *(Drilled((5.0 + 7.0 * x, 5.0 + 7.0 * y), 3.0) for x in range(20) for y in range(12)),
    )
    (row,) = cells(cut_list(job_of(sheet)))
    assert row[5] == "square · 240 × Ø3 mm (too many to list each place)"


@pytest.mark.source("method", "sums by hand")
def test_what_each_section_adds_up_to() -> None:
    job = job_of(named("a"), named("b", length=700), named("c", FLAT, 400))
    found = cut_list(job)
    assert [(t.section, t.count, t.length) for t in found.totals] == [
        ("50x6", 1, 400),
        ("50x50x3", 2, 1200),
    ]
    assert sum(t.mass for t in found.totals) == pytest.approx(found.mass)
    assert totals_in_words(found)[1] == ("50x50x3", "square tube", "1200 mm", "5.1 kg")


SOME = job_of(
    named("leg, left", start=mitre(30), end=mitre(30)),
    named("strut", ROUND, end=EndCut("cope", 0, 60.3)),
    plate("foot", 0, 0),
    Plate(id="rib", name="rib", corners=((0, 0), (80, 0), (0, 60)), z_high=8),
)


def test_the_table_for_the_clipboard_has_a_row_a_line() -> None:
    rows = [line.split("\t") for line in to_text(cut_list(SOME)).splitlines()]
    assert rows[0] == list(HEADINGS)
    assert {len(row) for row in rows} == {len(HEADINGS)}
    assert rows[1][0:3] == ["strut", "Ø48.3x3.2", "round tube"]
    assert rows[2] == [
        "leg, left", "50x50x3", "square tube", "≈528.9 mm", "≈471.1 mm",
        "mitres opposed, 30° both ends", "1", "", "2.1 kg", "2.1 kg",
    ]  # fmt: skip
    assert rows[3][1:6] == ["100 mm x 60 mm x 6 mm", "plate", "100 mm", "60 mm", "square"]
    assert rows[4][5] == "to shape"


@pytest.mark.source("library", "Python 3.11 csv", "reading back")
def test_csv_reads_back_with_bare_numbers() -> None:
    text = to_csv(cut_list(SOME))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert rows[1]["Members"] == "leg, left"
    assert float(rows[1]["Long point mm"]) == pytest.approx(528.868, abs=1e-3)
    assert float(rows[1]["Mass kg"]) == pytest.approx(SQUARE.mass() / 2, abs=1e-3)
    assert rows[2]["Ids"] == "foot"
    assert float(rows[2]["Short point mm"]) == 60
    assert text.endswith("\r\n")


def test_an_empty_job_has_an_empty_list() -> None:
    found = cut_list(EMPTY)
    assert (found.count, found.mass, cells(found), found.totals) == (0, 0, [], ())


@given(
    st.lists(
        st.tuples(st.sampled_from([SQUARE, FLAT, ANGLE]), st.sampled_from([300, 400.5, 900])),
        max_size=12,
    )
)
def test_nothing_is_left_out(made: list[tuple[Section, float]]) -> None:
    parts = [named(f"m{k}", s, length) for k, (s, length) in enumerate(made)]
    found = cut_list(job_of(*parts))
    assert sorted(i for line in found.bars for i in line.ids) == sorted(p.id for p in parts)
    assert found.mass == pytest.approx(sum(mass(p) for p in parts))
    assert sum(t.count for t in found.totals) == len(parts)


def test_a_plate_with_all_corners_in_one_place_has_no_size_in_plan() -> None:
    """A job file may hold one; its lists still open."""
    point = structs.replace(plate("p", 0, 0, 10, 10), corners=((5.0, 5.0),) * 3, z_low=0, z_high=6)
    assert plate_size(point) == (6.0, 0.0, 0.0)
    assert cut_list(laid(point)).lines
