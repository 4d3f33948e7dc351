import pytest

from gridjig.tools.core.wording import sentence


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
