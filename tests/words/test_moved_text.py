"""How far the work is turned and moved, in words."""

from gridjig.model import Display
from gridjig.words.moved_text import shifted_words, turned_words


def test_the_short_way_round() -> None:
    assert [turned_words(by) for by in (0.0, 90.0, 270.0, 360.0)] == [
        "", "turned 90°", "turned −90°", "",
    ]  # fmt: skip


def test_to_which_side_and_how_far() -> None:
    mm = Display(unit="millimetres")
    assert shifted_words((5.0, -12.5), mm) == ["5 mm to the right", "12.5 mm to the front"]
    assert shifted_words((-5.0, 0.001), mm, "") == ["5 mm left"]
    assert shifted_words((0.0, 3.0), mm) == ["3 mm to the back"]
    assert shifted_words((0.0, 0.0), mm) == []
