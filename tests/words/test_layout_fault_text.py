"""Why stops or places for the weldment cannot be found, in words."""

from typing import get_args

import pytest

from gridjig.solve.layout.faults import LayoutReason, NotAStop, NothingToPlace, TooManyLines
from gridjig.words.layout_fault_text import layout_fault_text

SENTENCES: dict[LayoutReason, str] = {
    NothingToPlace("no weldment"): "There is no weldment to place; draw a member first.",
    NothingToPlace("no face along the grid"): "No face lies along the grid; turn the weldment"
    " first.",
    TooManyLines(2500, 2000): "There are 2,500 lines of faces, and at most 2,000 can be compared;"
    " choose critical faces, or compare outer faces only.",
    NotAStop("hinge", "Shop"): "hinge is not a stop or round pin of the rack Shop.",
    NotAStop("", "Shop"): "The rack Shop has no stop; add one to the rack first.",
}


@pytest.mark.parametrize(("reason", "sentence"), SENTENCES.items())
def test_each_reason_says_what_to_do(reason: LayoutReason, sentence: str) -> None:
    assert layout_fault_text(reason) == sentence


def test_no_kind_of_reason_is_without_a_sentence_here() -> None:
    assert {type(reason) for reason in SENTENCES} == set(get_args(LayoutReason))
