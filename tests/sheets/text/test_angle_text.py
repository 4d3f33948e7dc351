"""Answers of the angle finder in words: units, no false digits, what to measure."""

import pytest
from msgspec.structs import replace

from gridjig.angle.places import ReachingWay
from gridjig.angle.question import FaceRoom
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display, Hole
from gridjig.sheets.text.angle_cells import answer_cells
from gridjig.sheets.text.angle_coverage_text import complete_words, left_out_words, unmet_words
from gridjig.sheets.text.angle_text import (
    answer_line,
    detail_words,
    error_words,
    face_words,
    gap_words,
    holes_words,
    level_of,
    line_words,
    measure_words,
    note_words,
    plate_words,
    play_words,
    room_along_words,
    room_words,
    shims_words,
    sizes_words,
    takes_words,
    verdict_words,
    wanted_words,
)
from gridjig.sheets.text.angle_way_text import steps_words
from gridjig.sheets.text.two_holes_text import (
    facing_words,
    nearest_words,
    reach_words,
    through_words,
)
from gridjig.solve.angles.answers import (
    WAYS,
    AlongFace,
    AngleAnswer,
    AngleLimits,
    AngleResult,
    AngleWay,
)
from gridjig.solve.angles.chart import two_hole_lines
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import read_wanted
from gridjig.solve.reach.reach import ReachAngle
from gridjig.solve.tolerance import AngleVerdict
from tests.workshop import seat

INCH = Display(unit="inch fractions", denominator=16)
MM = Display(unit="millimetres")
TABLE = ready_tables()["48x48-3/4"]
RACK = rack_for(TABLE)
LIMITS = AngleLimits(leg=508.0, base_to=508.0, display=INCH)


def found(**limits: object) -> AngleResult:
    return find_angles(TABLE, RACK, read_wanted("37.5"), replace(LIMITS, **limits))


def by(way: AngleWay, **limits: object) -> AngleAnswer:
    return found(ways=(way,), **limits).nearest[0]


def test_an_angle_block_is_not_called_an_arm() -> None:
    block = find_angles(TABLE, RACK, read_wanted("30"), replace(LIMITS, ways=("arm",)))
    kinds = {one.standing[0].piece.partition("-")[0]: one for one in block.ranked}
    assert {"bevel", "arm"} <= kinds.keys()
    for kind, cell, words in (
        ("bevel", "block", "angle block, pinned"),
        ("arm", "arm", "arm, locked"),
    ):
        assert answer_cells(kinds[kind], TABLE, RACK, INCH)[1] == cell
        assert f" · {words}" in answer_line(kinds[kind], TABLE, RACK, LIMITS).under


@pytest.mark.source("method", "arithmetic: 4:3 is 36.8699 degrees, 37.8 minutes short of 37.5")
@pytest.mark.expectation(54, 55, 58)
def test_a_pair_of_pins_says_all_that_is_asked_of_it() -> None:
    answer = replace(
        by("pins", base_to=260.0),
        holes=(Hole(7, 5), Hole(11, 8)),
    )
    line = answer_line(answer, TABLE, RACK, replace(LIMITS, angle_class="B"))
    assert line.head == "H6 + L9"
    assert line.right == "class C   ≈36.87°"
    assert "4 right, 3 back" in line.under
    assert 'base 10"' in line.under
    assert "−37.8′, −.22 in at end" in line.under
    assert "play ±1.7′, ±.01 in" in line.under
    assert 'takes 2 × round pin 1" body; on the rack' in line.under
    assert line.level == "stop"
    assert line.spoken.startswith("H6 + L9, class C")
    assert level_of(answer, LIMITS) == "fine"


@pytest.mark.source("method", "arithmetic: 0.110 in of shims over 10 in makes 37.5 of 4:3")
def test_shims_are_told_by_their_pin() -> None:
    answer = next(a for a in found(ways=("shims",), top=40).ranked if a.steps == (4, 3))
    words = shims_words(answer, TABLE, INCH, (Hole(0, 0), Hole(4, 3)))
    assert words in ('shims: .109" at A1, none at E4', 'shims: none at A1, .109" at E4')
    assert "Shims: " in detail_words(answer, TABLE, RACK, INCH, answer.holes)
    assert shims_words(by("pins"), TABLE, INCH) == ""


def test_errors_and_play_have_no_false_digits() -> None:
    answer = by("pins")
    assert error_words(replace(answer, error_arcmin=0.0), MM) == "exact"
    assert error_words(replace(answer, error_arcmin=0.0, setting_arcmin=7.7), MM) == (
        "exact (set to ±8′, 0 mm)"
    )
    assert error_words(by("plate"), INCH) == "exact (set to ±5′, ±.03 in)"
    assert error_words(replace(answer, error_arcmin=0.02, error_mm=0.003), INCH) == (
        "under 0.1′, under .01 in at end"
    )
    assert play_words(replace(answer, play_arcmin=1.0, play_mm=0.01), MM) == (
        "play ±1.0′, under 0.1 mm"
    )
    assert play_words(replace(answer, play_arcmin=0.03, play_mm=0.01), MM) == (
        "play under 0.1′, under 0.1 mm"
    )


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 2, as a contract fabricator reproduces it"
)
def test_verdicts_and_signs() -> None:
    answer = by("pins")
    for verdict, words, level in (
        (AngleVerdict("A", "A"), "class A", "fine"),
        (AngleVerdict("A", "B"), "class A (B with play)", "fine"),
        (AngleVerdict("D", None), "class D (outside D with play)", "look"),
        (AngleVerdict(None, None), "outside class D", "stop"),
    ):
        judged = replace(answer, verdict=verdict)
        assert verdict_words(judged) == words
        assert level_of(judged, LIMITS) == level
    with_play = replace(answer, verdict=AngleVerdict("A", "B"))
    assert level_of(with_play, replace(LIMITS, angle_class="A")) == "look"


def test_what_the_rack_is_short_of_is_said() -> None:
    answer = by("pins")
    short = replace(answer, takes=(replace(answer.takes[0], left=1),))
    assert takes_words(short, RACK) == '2 × round pin 1" body (rack has 1)'
    assert level_of(short, LIMITS) == "look"
    gone = replace(answer, takes=(replace(answer.takes[0], piece="gone"),))
    assert takes_words(gone, RACK).startswith("2 × gone")
    none = replace(answer, takes=(), set_how="any equal pins")
    assert takes_words(none, RACK) == "any two equal pins; the rack has none that fit these holes"
    assert level_of(none, LIMITS) == "look"
    assert takes_words(replace(none, set_how=None), RACK) == "nothing from the rack"


def test_an_arm_by_its_scale_has_a_chord_to_measure() -> None:
    answer = by("scale")
    words = measure_words(answer, TABLE, INCH)
    assert words.startswith("chord ")
    assert words.endswith("from the pivot")
    assert note_words(answer, TABLE, INCH).startswith("Set to 37.5°: chord")
    assert note_words(by("pins"), TABLE, INCH) == ""
    flipped = replace(
        answer, standing=(replace(answer.standing[0], flipped=True),), fixed=True, places=1
    )
    line = answer_line(flipped, TABLE, RACK, LIMITS)
    assert "turned over" in line.under
    assert "here only" in line.under
    one = answer_line(replace(flipped, fixed=False), TABLE, RACK, LIMITS)
    assert "1 position" in one.under


def test_a_plate_gives_its_figures() -> None:
    answer = by("plate")
    assert answer.plate is not None
    lines = plate_words(answer, answer.plate, TABLE, INCH)
    assert '.008" more than the pins' in lines[0]
    assert "Cut edge" in lines[1]
    assert "from foot to foot" in lines[1]
    assert lines[2].startswith("To the right and to the back from the centre of A1: ")
    assert lines[2].count("(") == 5  # a hole and four corners
    assert "cut edge" in measure_words(answer, TABLE, INCH)
    assert detail_words(answer, TABLE, RACK, INCH, ()).startswith("Pin holes on")


def test_what_stays_open_before_a_face_is_told_at_each_hole() -> None:
    answer, (x, y) = by("pins"), TABLE.at(Hole(0, 0))
    holes = (Hole(0, 0), Hole(4, 0))
    along = replace(LIMITS, along=AlongFace((x, y), (x + 400.0, y), "right"))
    assert face_words(answer, TABLE, along, holes) == ""
    for left, words in (
        ((0.0, 0.04), "The line lies on the face."),
        ((3.175, 0.0), 'Gap left at the face: .125" at A1, 0" at E1.'),
        ((3.175,), 'Gap left at the face: .125".'),
    ):
        at_face = replace(answer, gap_mm=3.175, open_mm=left)
        assert face_words(at_face, TABLE, along, holes) == words
        assert face_words(at_face, TABLE, LIMITS, holes) == ""


def test_the_gap_at_a_face_and_what_packs_it() -> None:
    answer = by("pins")
    assert gap_words(answer, LIMITS.display) == ""
    for gap, shims, left, words in (
        (0.0, (0.0, 0.0), (0.0, 0.0), "touches without packing"),
        (0.3, (0.0, 0.0), (0.3, 0.0), '.012" off the face, gap .012" left'),
        (3.175, (3.175, 0.0), (0.0, 0.0), '.125" off the face, packed to touch'),
        (3.475, (3.175, 0.0), (0.3, 0.0), '.137" off the face, packed, gap .012" left'),
    ):
        at_face = replace(answer, gap_mm=gap, shims_mm=shims, open_mm=left)
        assert gap_words(at_face, LIMITS.display) == words
        assert words in answer_line(at_face, TABLE, RACK, LIMITS).under
    wide = replace(answer, gap_mm=3.0, open_mm=(1.0, 0.0))
    assert level_of(answer, LIMITS) == "fine"
    assert level_of(wide, LIMITS) == "look"


def test_answers_left_out_are_counted_with_the_first_reason() -> None:
    result = found()
    assert left_out_words(result) == ""
    why = "Hole A1 is taken by Stop 1."
    one = left_out_words(replace(result, fouled=1, why_fouled=why))
    assert one == f"1 answer is left out because something is in the way. The first: {why}"
    several = replace(result, fouled=3, why_fouled=why)
    assert left_out_words(several).startswith("3 answers are left out")
    assert left_out_words(several) in complete_words(several)


def test_the_room_along_a_face_is_told_from_its_left_or_front_end() -> None:
    inch = 25.4
    a, b, up = (0.0, 0.0), (22 * inch, 0.0), (0.0, 22 * inch)
    one = ((3 * inch, 21 * inch),)
    two = ((0.0, 4 * inch), (9 * inch, 22 * inch))
    for room, words in (
        (FaceRoom(a, b, one, 2, inch), '3" to 21" from its left end, clear of 2 joints by 1"'),
        (FaceRoom(b, a, one, 2, inch), '1" to 19" from its left end, clear of 2 joints by 1"'),
        (
            FaceRoom(up, a, two, 1, inch),
            '0" to 13" and 18" to 22" from its front end, clear of 1 joint by 1"',
        ),
        (FaceRoom(a, up, (), 1, inch), 'nothing from its front end, clear of 1 joint by 1"'),
        (FaceRoom(a, b, ((0.0, 22 * inch),), 0, inch), 'all 22" of it; there is no joint on it'),
    ):
        assert room_along_words(room, INCH) == words
    metric = FaceRoom(a, (300.0, 0.0), ((25.0, 275.0),), 2, 25.0)
    assert room_along_words(metric, MM).startswith("25 mm to 275 mm from its left end")


def test_of_two_pins_it_is_said_which_goes_where() -> None:
    answer = by("two sizes")
    first, second = (RACK.piece(how.piece) for how in answer.standing)
    a, b = (holes_words(TABLE, [hole]) for hole in answer.holes)
    words = f"pins: {first.size} at {a}, {second.size} at {b}"
    assert words in answer_line(answer, TABLE, RACK, LIMITS).under.split("\n")
    assert sizes_words(answer, TABLE) == f"pins: {first.id} at {a}, {second.id} at {b}"
    moved = sizes_words(answer, TABLE, RACK, (Hole(0, 0), Hole(1, 1)))
    assert moved == f"pins: {first.size} at A1, {second.size} at B2"
    assert detail_words(answer, TABLE, RACK, INCH, ()).startswith(f"P{words[1:]}. The line")
    assert sizes_words(by("pins"), TABLE, RACK) == ""


def test_where_the_line_runs() -> None:
    answer = by("pins")
    assert line_words(answer, TABLE, INCH, (Hole(0, 0), Hole(1, 1))) == (
        'The line passes .500" from A1, .500" from B2.'
    )
    assert line_words(replace(answer, line_mm=()), TABLE, INCH) == ""


def test_steps_and_holes() -> None:
    assert steps_words((3, -4)) == "3 right, 4 front"
    assert steps_words((-3, 4)) == "3 left, 4 back"
    assert steps_words((0, 1)) == "1 back"
    assert steps_words((-6, 0)) == "6 left"
    assert holes_words(TABLE, (Hole(0, 0), Hole(1, 1), Hole(2, 2))) == "A1 + B2 + C3"


def test_completeness_and_what_is_unmet() -> None:
    every = found()
    assert complete_words(every).startswith("All ")
    assert "nothing within the limits is closer" in complete_words(every)
    assert unmet_words(every) == ""
    none = found(ways=("two sizes",), angle_class="A", base_to=51.0, base_from=50.0)
    given = "comes within class A; the nearest of each kind is listed."
    assert unmet_words(none).startswith(f"Nothing of the kinds asked for {given}")
    assert unmet_words(none).endswith("A cut plate meets only class C.")
    assert unmet_words(replace(none, limits=replace(none.limits, ways=WAYS))).startswith(
        f"Nothing on the rack {given}"
    )
    assert "cut plate" not in unmet_words(replace(none, offer=None))
    assert none.offer is not None
    for verdict, words in (
        (AngleVerdict("A", "A"), "A cut plate would meet it."),
        (AngleVerdict("A", "B"), "A cut plate would meet it, but for the play of its pins."),
        (AngleVerdict("A", None), "A cut plate would meet it, but for the play of its pins."),
        (AngleVerdict(None, None), "A cut plate meets no class either."),
    ):
        offer = replace(none.offer, verdict=verdict)
        assert unmet_words(replace(none, offer=offer)).endswith(words)
    empty = found(base_from=1.0, base_to=2.0)
    assert "gives an answer" in complete_words(empty)


def test_what_is_looked_for_is_told_only_where_it_is_not_what_was_typed() -> None:
    assert wanted_words(read_wanted("37.5")) == ""
    assert wanted_words(read_wanted("15 from y")) == "15° from table y: 75° from table x"
    assert wanted_words(read_wanted("75 included")) == "37.5°, half of 75°, from table x"
    assert wanted_words(read_wanted("-15")) == "−15° from table x: 165° from table x"


def test_places_in_words() -> None:
    assert room_words(0, 0, 0, "") == "There is no position where these holes are free."
    assert room_words(0, 3, 0, "Hole A1 is taken.") == (
        "All 3 positions are fouled. Hole A1 is taken."
    )
    assert (
        room_words(0, 1, 0, "Hole A1 is taken.") == "The only position is fouled. Hole A1 is taken."
    )
    assert room_words(1, 1, 0, "") == "The only position"
    assert room_words(4, 4, 1, "") == "Position 2 of 4"
    assert room_words(4, 7, 1, "x") == "Position 2 of 4; 3 others would hit placed pieces"


@pytest.mark.source("method", "plane tangents: asin(0.125 / 10) is 0.716 degrees")
def test_two_holes_in_words() -> None:
    bare = through_words(two_hole_lines(TABLE, Hole(0, 0), Hole(4, 3)), INCH)
    assert len(bare) == 1
    assert bare[0][1] == "≈36.87°"
    pins = through_words(two_hole_lines(TABLE, Hole(0, 0), Hole(4, 3), 25.4, 19.05), INCH)
    assert [angle for _, angle in pins][1:3] == ["≈36.15°", "≈37.59°"]
    assert len(pins) == 5


def test_reach_in_words() -> None:
    seats = (seat("a", 0, 0), seat("b", 2, 0))
    fixed = ReachAngle(180.0, 180.0, seats, False, 0.1)
    assert reach_words(fixed, TABLE, 0.0) == ("A1 + C1", "0°", "held by its pins · play ±6′")
    held = ReachAngle(-50.0, 50.0, seats, True, 0.0)
    assert reach_words(held, TABLE, 0.0)[1:] == (
        "130° to 230°",
        "turns in its slot, clamped by hand · turned over",
    )
    scale = ReachAngle(0.0, 90.0, seats, False, 0.25, (0.0, 90.0), True)
    assert reach_words(scale, TABLE, 0.0)[2] == "set by its scale · play ±15′"
    assert reach_words(ReachAngle(-180.0, 180.0, seats, False, 0.0), TABLE, 0.0)[1] == "every angle"


def test_both_ways_round_are_told_apart_by_where_the_face_looks() -> None:
    assert facing_words(None) == ""
    assert facing_words(90.0) == " · facing back"
    assert facing_words(-90.0) == " · facing front"
    assert facing_words(180.0) == facing_words(-180.0) == " · facing left"
    assert facing_words(127.5) == " · facing back left"


def test_an_angle_that_an_arm_cannot_take_is_told_with_the_nearest() -> None:
    at = ReachAngle(30.0, 30.0, (seat("a", 0, 0),), False, 0.0)
    thirty = ReachingWay(at, 120.0, 30.0, "")
    assert nearest_words([thirty], None) == ""
    assert nearest_words([], 37.5) == ""
    assert nearest_words([thirty], 30.0) == nearest_words([thirty], 210.0) == ""
    assert nearest_words([thirty], 37.5) == " 37.5° is not possible here; the nearest is 30°."
    fouled = replace(thirty, why="It would overlap Wall.")
    assert nearest_words([fouled], 30.0) == " Something is in the way of each."
