"""Why a question about an angle has no answer, in words."""

from typing import get_args

import pytest

from gridjig.model import Hole
from gridjig.solve.angles.faults import (
    AngleFault,
    AngleReason,
    AskedWrong,
    BaseBeyondTable,
    BasesSwapped,
    JointsTakeFace,
    SameHole,
    TooFewHoles,
    TooManyShims,
)
from gridjig.units import Display, ParseError, parse_angle
from gridjig.words.angle_fault_text import angle_fault_text
from tests.anglekit import grid_table, worded

SENTENCES: dict[AngleReason, str] = {
    AskedWrong("no leg"): "The length to the far end must be greater than 0.",
    BasesSwapped(300.0, 200.0): "The longest base, 200 mm, is shorter than the shortest, 300 mm;"
    " swap the two.",
    BaseBeyondTable(5000.0, 212.0): "The shortest base is 5000 mm, and the farthest holes of this"
    " table are 212 mm apart; type a shorter base.",
    TooManyShims(8): "One pin can have 0 to 8 shims; a thicker stack is not reliable.",
    TooFewHoles(0, on_table=False): "No hole is free here; an angle needs two. Widen the limits or "
    "clear some holes.",
    TooFewHoles(1, on_table=True): "Only one hole is free on the table; an angle needs two. Widen "
    "the limits or clear some holes.",
    SameHole(Hole(1, 2)): "Both holes are B3; an angle needs two different ones.",
    JointsTakeFace(25.0): (
        "Keeping 25 mm clear of its joints leaves nothing of the face; type a shorter length."
    ),
}


@pytest.mark.parametrize(("reason", "sentence"), SENTENCES.items())
def test_each_reason_says_what_to_change(reason: AngleReason, sentence: str) -> None:
    assert worded(AngleFault("leg", reason)) == sentence


def test_no_kind_of_reason_is_without_a_sentence_here() -> None:
    assert {*(type(reason) for reason in SENTENCES), ParseError} == set(get_args(AngleReason))


def test_what_is_no_angle_keeps_the_words_of_the_parser() -> None:
    with pytest.raises(ParseError) as caught:
        parse_angle("steep")
    assert worded(AngleFault("wanted", caught.value)) == str(caught.value)


def test_every_wrong_entry_has_words() -> None:
    whats = get_args(AskedWrong.__annotations__["what"])
    assert len(whats) == 18
    said = {worded(AngleFault("leg", AskedWrong(what))) for what in whats}
    assert len(said) == 18
    assert all(text.endswith(".") for text in said)


def test_lengths_are_in_the_unit_of_the_person() -> None:
    fault = AngleFault("base_to", BasesSwapped(50.8, 25.4))
    assert '2"' in angle_fault_text(fault, grid_table(4, 4), Display())
