"""How complete the answers are and what is missing, in words; from the search itself."""

from typing import get_args

import pytest
from msgspec.structs import replace

from gridjig.sheets.text.angle_coverage_text import (
    WAY_WORDS,
    missing_words,
    set_words,
    statement_words,
)
from gridjig.sheets.text.angle_text import measured_words
from gridjig.solve.angles.answers import (
    WAYS,
    AngleLimits,
    AngleNote,
    AngleWay,
    FewAsked,
    FewBeside,
    NoEqualPins,
    NoneOfWay,
    SetHow,
)
from gridjig.solve.angles.finder import FREE_WAYS, find_angles
from gridjig.solve.angles.wanted import as_edge, read_wanted
from gridjig.units import Display
from tests.anglekit import body, grid_table, rack_of

TABLE, RACK = grid_table(8, 6), rack_of(body(25.0))


def statement(limits: AngleLimits) -> str:
    return statement_words(find_angles(TABLE, RACK, as_edge(37.2), limits))


def test_the_fineness_is_in_the_unit_of_the_person() -> None:
    inches = AngleLimits(ways=("pins",), display=Display())
    assert "compared to .0004 in at the far end." in statement(inches)
    metric = replace(inches, display=Display(unit="millimetres"))
    assert "compared to 0.01 mm at" in statement(metric)


def test_what_nothing_meets_ends_the_statement() -> None:
    limits = AngleLimits(ways=("pins",), base_to=260.0, angle_class="A", leg=500.0)
    found = find_angles(grid_table(24, 24), RACK, as_edge(37.2), limits)
    said = statement_words(found)
    assert said.startswith("All ")
    assert "Nothing of the kinds asked for comes within class A" in said
    assert said.endswith("A cut plate would meet it.")


def test_nothing_looked_at() -> None:
    limits = AngleLimits(base_from=101.0, base_to=105.0)
    assert statement(limits) == (
        "None of the 0 pairs of holes in 0 different steps within the limits gives an answer."
    )


NOTES: dict[AngleNote, str] = {
    NoneOfWay("pins", holes=False): "No two free holes have a base within the limits (two equal"
    " pins).",
    NoneOfWay("pins", holes=True): "The rack has no two equal pins left.",
    NoneOfWay("astride", holes=True): "Two pins astride need a member with two long faces; this"
    " face has none opposite.",
    NoEqualPins(None, None): "Two equal pins give nothing: no two of them are left for holes "
    "beside "
    "this face.",
    NoEqualPins(-37.8, "B", (4, 3)): "Two equal pins give nothing within class B: the nearest pair"
    " of holes (4 right, 3 back) is −37.8′ off.",
    NoEqualPins(0.0, None, (6, -2)): "Two equal pins with equal packing do not fit here, though a"
    " pair of holes (6 right, 2 front) has the angle.",
    NoEqualPins(12.0, None, (0, 5)): "Two equal pins with equal packing do not fit here, though a"
    " pair of holes (5 back) is +12.0′ off.",
    FewBeside(1000, 660): (
        "Of the pins in holes beside the face, the nearest 1,000 were looked at; 660 farther ones"
        " were not."
    ),
    FewAsked(300): "Only the first 300 of each kind were checked for what is in their way.",
}


@pytest.mark.parametrize(("note", "sentence"), NOTES.items())
def test_each_note_is_a_sentence(note: AngleNote, sentence: str) -> None:
    assert missing_words(note) == sentence


def test_every_way_has_words_for_what_it_is_and_why_there_is_none() -> None:
    assert set(WAY_WORDS) == set(WAYS) == set(get_args(AngleWay))
    said = {missing_words(NoneOfWay(way, holes=True)) for way in FREE_WAYS}
    assert len(said) == len(FREE_WAYS) == 6


def test_every_way_to_set_an_answer_has_words() -> None:
    answer = find_angles(TABLE, RACK, as_edge(45.0), AngleLimits(ways=("pins",))).ranked[0]
    assert set_words(answer) == ""
    hows = get_args(SetHow)
    said = [set_words(replace(answer, set_how=how)) for how in hows]
    assert len(set(filter(None, said))) == len(hows) == 4
    by_hand = replace(answer, set_how="by hand")
    assert "measured to 0.5 mm;" in set_words(by_hand)
    assert 'measured to .020";' in set_words(by_hand, Display())


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("37.5", "37.5° from table x"),
        ("15 from y", "15° from table y"),
        ("75 included", "37.5°, half of 75°, from table x"),
        ("75 included complement", "52.5°, complement of half of 75°, from table x"),
        ("37.5 complement", "52.5°, complement of 37.5°, from table x"),
        ("30 mirrored", "−30° from table x"),
    ],
)
def test_what_is_typed_is_said_back(typed: str, words: str) -> None:
    assert measured_words(read_wanted(typed)) == words


def test_a_face_is_named_by_its_direction() -> None:
    wanted = read_wanted("30", origin="face", face=200.0)
    assert measured_words(wanted) == "30° from the face at 200°"
