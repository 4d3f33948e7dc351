"""Each reason why a piece cannot be placed or set, in words."""

from typing import get_args

import pytest

from gridjig.model import Hole
from gridjig.solve.grid.hole_faults import ClosedHole, OffTable
from gridjig.solve.mounting.faults import (
    FeatureFault,
    HoleFromPivot,
    HolesApart,
    HolesDisagree,
    HoleUsedTwice,
    PieceFault,
    TooThickForFeature,
    TooThickForHole,
)
from gridjig.solve.placed.faults import NotOnRack, SettingFault
from gridjig.solve.poses.faults import (
    HoleTaken,
    NearestOnly,
    NoSecondHole,
    PlacingFault,
    PoseFault,
)
from gridjig.units import Display
from gridjig.words.placing_text import placing_text
from tests.solve.grid_kit import grid, said

H6, K6 = Hole(7, 5), Hole(10, 5)

SENTENCES: dict[PlacingFault, str] = {
    OffTable(Hole(25, 5), ((1, "right"),)): "A pin would be off the table, 1 hole past its right"
    " edge.",
    OffTable(Hole(-2, -1), ((2, "left"), (1, "front"))): "A pin would be off the table, 2 holes"
    " past its left edge and 1 hole past its front edge.",
    ClosedHole(H6, "blocked"): "Hole H6 is blocked.",
    HoleTaken(H6): "Hole H6 is taken.",
    HoleUsedTwice(H6): "Hole H6 is used twice; give each pin its own hole.",
    NoSecondHole("Square", H6, ((K6, "taken"), (Hole(7, 8), "damaged"))): "There is no second hole"
    " for Square at H6: K6 is taken, H9 is damaged.",
    NoSecondHole("Square", H6, ()): "There is no second hole for Square at H6: all would be off"
    " the table.",
    TooThickForHole("pin", 16.5, H6, 16.0): "A 16.5 mm pin does not fit hole H6, which is 16 mm"
    " across.",
    TooThickForHole("shank", 17.0, H6, 16.0): "A 17 mm shank does not fit hole H6, which is 16 mm"
    " across.",
    TooThickForFeature(16.0, "Square", "slot-1", 15.0): "A 16 mm pin does not fit slot-1 of Square,"
    " which is 15 mm wide.",
    HolesApart((H6, K6), 150.0, 50.0, 120.0): "Holes H6 and K6 are 150 mm apart; this piece needs"
    " 50 mm to 120 mm.",
    HolesApart((H6, K6), 150.0, 0.0, 120.0): "Holes H6 and K6 are 150 mm apart; this piece needs"
    " 120 mm or less.",
    HolesApart((H6, K6), 150.0, 150.01, 150.01): "Holes H6 and K6 are 150 mm apart; this piece"
    " needs ≈150 mm, and play does not make up the rest.",
    HoleFromPivot(H6, 200.0, 150.0, 150.0): "Hole H6 is 200 mm from the pivot; the arm needs"
    " 150 mm.",
    HolesDisagree(3): "The piece does not fit these 3 holes all at once; leave one out.",
    NotOnRack("square-9"): "Piece square-9 is not on the rack.",
    FeatureFault("Square", "hole-1", "unknown"): "Square has no hole or slot called hole-1.",
    FeatureFault("Square", "hole-1", "used twice"): "hole-1 of Square is used twice; it takes one"
    " pin.",
    FeatureFault("Post", "shank-1", "in no hole"): "shank-1 of Post is in no hole; each of its"
    " pins must be in one.",
    PieceFault("Arm", "outside its scale"): "A pin there would hold Arm outside its scale.",
    SettingFault("Arm", "base not fixed"): "Pin the base of Arm in two holes before locking its"
    " arm.",
    PoseFault("Arm", "no arm"): "Arm has no arm to set.",
    NearestOnly("deg", 49.5, 50.0): "49.5° is not possible here; the nearest is 50°.",
    NearestOnly("mm", 500.0, 120.0): "500 mm is not possible here; the nearest is 120 mm.",
}


@pytest.mark.parametrize(("fault", "sentence"), SENTENCES.items())
def test_each_reason_is_one_sentence(fault: PlacingFault, sentence: str) -> None:
    assert said(fault) == sentence


def test_no_kind_of_reason_is_without_a_sentence_here() -> None:
    assert {type(fault) for fault in SENTENCES} == set(get_args(PlacingFault))


@pytest.mark.parametrize("kind", [PieceFault, SettingFault, PoseFault])
def test_everything_that_a_piece_cannot_do_has_words(kind: type[PieceFault]) -> None:
    whats = get_args(kind.__annotations__["what"])
    assert len(whats) >= 2
    for what in whats:
        text = said(kind("Square", what))
        assert text[0].isupper()
        assert text.endswith(".")
        assert "{" not in text


def test_lengths_are_in_the_unit_of_the_job() -> None:
    inch = Display()
    assert placing_text(NearestOnly("mm", 50.8, 25.4), grid(), inch) == (
        '2" is not possible here; the nearest is 1".'
    )
    thick = placing_text(TooThickForHole("pin", 19.05, H6, 15.875), grid(), inch)
    assert thick == 'A 3/4" pin does not fit hole H6, which is 5/8" across.'
