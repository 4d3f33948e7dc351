"""What stands where, in words."""

import pytest
from msgspec import structs

from gridjig.checks.findings import Finding, findings
from gridjig.model import Display, Hole, Job
from gridjig.model.labels import address
from gridjig.sheets.text.placed_text import (
    default_force_words,
    freedom_words,
    part_place,
    part_words,
    place_words,
    placed_lines,
    play_words,
    turn_range,
    verdict,
)
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.stock import SQUARE, bar
from tests.workshop import EMPTY, laid, pin, plate, put, seat, stop


def stood(job: Job, thing_id: str) -> PlacedPiece:
    return PlacedPieces().of(job)[thing_id]


@pytest.mark.parametrize(
    ("thing", "words"),
    [
        (stop("x", 2, 2), "Pinned by 2 pins; play 0.1 mm"),
        (pin("x", 2, 2), "Pinned by 1 pin; turns freely"),
        (
            put("x", "slider", seat("s", 2, 2)),
            "Pinned by 1 pin; slides 20 mm to 130 mm and turns freely",
        ),
        (put("x", "arm", seat("h", 5, 5), seat("a", 7, 5)), "Pinned by 2 pins; turns −60° to 60°"),
        (stop("x", 22, 2), "A pin would be off the table"),
    ],
)
def test_freedom_is_said_in_words(thing: object, words: str) -> None:
    job = laid(thing)  # type: ignore[arg-type]
    assert freedom_words(job, stood(job, "x")).startswith(words)


def test_the_range_of_a_turn_is_counted_so_that_the_turn_lies_in_it() -> None:
    arm = put("x", "arm", seat("h", 5, 5), seat("a", 3, 5))
    for turn, words in ((190.0, "−240° to −120°"), (170.0, "120° to 240°"), (-170.0, "−240° to −")):
        job = laid(structs.replace(arm, turn=turn))
        there = stood(job, "x")
        assert there.way is not None
        low, high = turn_range(there, there.way)
        assert low - 1e-6 <= there.turn <= high + 1e-6
        assert high - low == pytest.approx(there.way.turn_high - there.way.turn_low)
        assert f"turns {words}" in freedom_words(job, there)


def test_a_slide_without_turning() -> None:
    """Two pins in one slot of 150 mm: 150 - 50 mm are left to slide, and nothing to turn."""
    job = laid(put("x", "slider", seat("s", 2, 2), seat("s", 3, 2)))
    words = freedom_words(job, stood(job, "x"))
    assert words.startswith("Pinned by 2 pins; slides")
    assert "turns" not in words


def test_on_one_of_its_holes_a_stop_turns() -> None:
    job = laid(put("x", "stop", seat("h1", 2, 2)))
    assert freedom_words(job, stood(job, "x")).startswith("Pinned by 1 pin; turns freely")


def test_play_is_in_tenths_of_a_millimetre_or_thousandths_of_an_inch() -> None:
    job = laid(stop("x", 2, 2))
    placed = stood(job, "x")
    assert play_words(placed, Display(unit="millimetres")).startswith("play 0.1 mm, ")
    assert '.004"' in play_words(placed, Display())


def test_a_stand_without_a_way_has_no_play_to_tell() -> None:
    placed = PlacedPiece(placement=pin("x", 2, 2), piece=None, fault=None)
    assert play_words(placed, Display()) == ""
    assert freedom_words(EMPTY, placed) == "Stands free"


@pytest.mark.expectation(67)
def test_lines_name_place_and_state() -> None:
    job = laid(pin("a", 2, 2), pin("b", 2, 2), stop("s", 5, 5), plate("part", 300, 220))
    placed_pieces = PlacedPieces().of(job)
    lines = {
        line.id: line for line in placed_lines(job, placed_pieces, findings(job, placed_pieces))
    }
    assert list(lines) == ["part", "a", "b", "s"]
    assert lines["part"].place == "300 mm, 220 mm"
    assert lines["part"].state == "0 mm to 6 mm high"
    assert lines["a"].level == lines["b"].level == "stop"
    assert lines["s"].level == "fine"
    at, beside = address(job.table, Hole(5, 5)), address(job.table, Hole(6, 5))
    assert lines["s"].place == f"{at} + {beside}" == place_words(job.table, job.placements[2])
    assert lines["s"].spoken.startswith(f"fixed stop, {at} + {beside}, Pinned by 2 pins")


def test_a_piece_that_cannot_stand_is_a_clash_without_a_finding() -> None:
    job = laid(stop("s", 22, 2))
    line = placed_lines(job, PlacedPieces().of(job), ())[0]
    assert line.level == "stop"


def test_a_turned_outline_says_so() -> None:
    from msgspec import structs

    turned = structs.replace(plate("part", 10, 20), turn=30.0)
    assert part_place(turned, Display(unit="millimetres")) == "10 mm, 20 mm, turned 30°"


def finding(level: str, *ids: str) -> Finding:
    return Finding(f"{level}{ids}", "clash", level, "what", None, ids, "do")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("levels", "level", "words"),
    [
        ((), "", "nothing to check yet"),
        (("fine",), "fine", "no overlaps"),
        (("look",), "look", "1 to look at"),
        (("stop",), "stop", "1 to fix"),
        (("stop", "stop", "look"), "stop", "2 to fix, 1 to look at"),
    ],
)
def test_the_lamp_says_how_many_of_what(levels: tuple[str, ...], level: str, words: str) -> None:
    assert verdict(tuple(finding(one) for one in levels)) == (level, words)


def test_the_worst_finding_of_a_thing_is_told() -> None:
    job = laid(pin("a", 2, 2))
    found = (finding("look", "a"), finding("stop", "a"), finding("fine", "a"))
    assert placed_lines(job, PlacedPieces().of(job), found)[0].level == "stop"


def test_a_part_is_told_by_its_section_and_length_or_its_heights() -> None:
    block = structs.replace(plate("w", 0.0, 0.0), z_low=50.0, z_high=56.0)
    assert part_words(block, Display(unit="millimetres")) == "50 mm to 56 mm high"
    rail = bar(SQUARE, length=400.0)
    assert part_words(rail, Display(unit="millimetres")).startswith(f"{SQUARE.name}, 400 mm long, ")


def test_what_a_clamp_presses_with_where_nothing_is_typed() -> None:
    job = laid(put("c", "clamp", seat("p", 5, 5), reach=100.0))
    piece = job.rack.piece("clamp")
    assert default_force_words(job, piece) == "empty: 1000 N, shop value"
    assert piece.tip is not None
    strong = structs.replace(piece, tip=structs.replace(piece.tip, force=800.0))
    assert default_force_words(job, strong) == "empty: 800 N, by its piece"
