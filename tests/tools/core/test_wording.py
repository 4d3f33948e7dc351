import pytest
from msgspec import structs

from gridjig.model import Display
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.core.wording import sentence, slid
from tests.workshop import laid, put, seat


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("the row of HM-101 ends", "The row of HM-101 ends."),
        (" 2 is too few. ", "2 is too few."),
        ("which one?", "Which one?"),
        ("", ""),
    ],
)
def test_words_as_a_sentence(words: str, said: str) -> None:
    assert sentence(words) == said


@pytest.mark.source("method", "arithmetic: 22 mm is .866 in, which is no fraction of the display")
def test_a_slide_is_told_as_its_form_shows_it() -> None:
    far = put("s", "slider", seat("s", 5, 5), seat("s", 6, 5), slide=58.0)
    job = structs.replace(laid(far), display=Display(unit="inch fractions"))
    assert slid(job, PlacedPieces().of(job)["s"]) == 'face .866" from the hole'
