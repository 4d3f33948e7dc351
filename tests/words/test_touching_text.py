"""Why a piece does not touch a face, in words."""

from typing import get_args

import pytest
from msgspec import structs

from gridjig.contact.faults import MissesFace, NothingTouches, TouchReason
from gridjig.model import Display, Hole
from gridjig.solve.grid.hole_faults import ClosedHole
from gridjig.solve.poses.faults import PlacingFault
from gridjig.units import MILLIMETRES
from gridjig.words.touching_text import touching_text
from tests.workshop import laid, plate

JOB = structs.replace(laid(), display=MILLIMETRES, parts=(plate("rail", 0, 0),))


@pytest.mark.parametrize(
    ("why", "sentence"),
    [
        (NothingTouches("Riser"), "Riser has no face, round or tip that could touch the work."),
        (ClosedHole(Hole(7, 5), "blocked"), "Hole H6 is blocked."),
        (
            MissesFace("rail", "gap not filled", 1.3),
            "A gap of 1.3 mm to rail remains: no packing on the rack fills it.",
        ),
        (
            MissesFace("rail", "top above reach", 20.0),
            "The top of rail is 20 mm above what its tip reaches.",
        ),
    ],
)
def test_each_reason_is_a_sentence(why: TouchReason, sentence: str) -> None:
    assert touching_text(why, JOB) == sentence


def test_a_gap_thinner_than_the_step_that_is_shown_is_not_called_nothing() -> None:
    inches = structs.replace(JOB, display=Display(unit="inch fractions"))
    told = touching_text(MissesFace("rail", "gap not filled", 0.194), inches)
    assert told == 'A gap of .008" to rail remains: no packing on the rack fills it.'


def test_every_way_to_miss_a_face_has_words() -> None:
    whats = get_args(MissesFace.__annotations__["what"])
    assert len(whats) == 12
    said = {touching_text(MissesFace("rail", what, 3.0), JOB) for what in whats}
    assert len(said) == 12
    assert all("rail" in text and text.endswith(".") for text in said)


def test_only_these_kinds_are_added_to_those_of_a_placement() -> None:
    assert set(get_args(TouchReason)) - set(get_args(PlacingFault)) == {NothingTouches, MissesFace}
