"""The cautions where they matter: at clamps, stacks, raised work, turning over, on sheets."""

import pytest
from msgspec import structs

from gridjig.files.library.assets import assets_dir
from gridjig.model import Display
from gridjig.session.document import Document
from gridjig.sheets.text.cautions import (
    CLAMP,
    ON_A_SHEET,
    RAISED,
    STACK,
    TWO_PEOPLE_KG,
    piece_cautions,
    turning_caution,
)
from tests.workshop import laid, pin, put, seat, stop


def said_of(thing_id: str, document: Document) -> str:
    return piece_cautions(document.job, document.placed_pieces[thing_id])


def test_a_clamp_a_stack_and_a_riser_have_their_caution_and_a_stop_has_none() -> None:
    clamp = put("c", "clamp", seat("p", 6, 6), reach=100.0)
    riser = put("r", "riser", seat("p", 9, 9))
    document = Document(laid(stop("s", 2, 2), pin("p", 4, 4), clamp, riser))
    assert said_of("s", document) == said_of("p", document) == ""
    assert said_of("c", document) == CLAMP
    assert "pinch" in CLAMP
    assert said_of("r", document) == RAISED
    [low] = [p for p in document.job.placements if p.id == "s"]
    stacked = structs.replace(low, lift=("riser", "riser"))
    document.do(structs.replace(document.job, placements=(stacked,)), "Raise it")
    assert said_of("s", document) == STACK


def test_turning_over_says_the_weight_and_from_when_two_are_needed() -> None:
    inch, metric = Display(unit="inch fractions"), Display(unit="millimetres")
    assert turning_caution(10, metric).startswith("It weighs 10.0 kg. ")
    assert turning_caution(TWO_PEOPLE_KG, metric).startswith(
        "It weighs 23.0 kg: two people or a hoist. "
    )
    assert "two people" not in turning_caution(TWO_PEOPLE_KG - 0.1, inch)
    assert turning_caution(TWO_PEOPLE_KG, inch).startswith("It weighs 50.7 lb: two people")
    assert "not a lifting point" in turning_caution(1, inch)


@pytest.mark.parametrize(
    "word", ["strength", "law", "gloves", "extraction", "fire", "cylinders", "clamps", "raised"]
)
def test_every_sheet_has_the_cautions(word: str) -> None:
    assert word in " ".join(ON_A_SHEET)


@pytest.mark.parametrize(
    "word",
    ["electric shock", "damp", "grinding", "eyes", "cylinders", "clothing", "gloves", "helmet"],
)
def test_the_page_of_cautions_names_the_dangers(word: str) -> None:
    text = (assets_dir() / "help" / "safety.md").read_text(encoding="utf-8").lower()
    assert word in text
