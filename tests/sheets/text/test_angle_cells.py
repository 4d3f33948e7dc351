"""The rows of the angle finder: error, gap and class in the fewest words that say them."""

import pytest
from msgspec.structs import replace

from gridjig.model import Display
from gridjig.sheets.text.angle_cells import NONE, answer_cells, answer_columns
from gridjig.solve.angles.answers import AngleAnswer
from gridjig.solve.tolerance import AngleVerdict
from tests.sheets.text.test_angle_text import RACK, TABLE, by

MM = Display(unit="millimetres")


def cells(answer: AngleAnswer, display: Display = MM) -> dict[str, str]:
    names = [name.split(",")[0] for name in answer_columns(display)]
    return dict(zip(names, answer_cells(answer, TABLE, RACK, display), strict=True))


def test_the_columns_name_the_unit_of_the_error() -> None:
    assert answer_columns(MM)[3] == "At end, mm"
    assert answer_columns(Display())[3] == "At end, in"
    assert len(answer_columns(MM)) == len(cells(by("pins")))


def test_an_answer_by_pins_names_its_holes_and_its_error() -> None:
    answer = by("pins")
    found = cells(answer)
    assert found["Way"] == "equal pins"
    assert found["Angle"].endswith("°")
    assert found["At end"].lstrip("+−").startswith(f"{abs(answer.error_mm):.1f}"[:3])
    assert (
        cells(replace(answer, error_arcmin=0.0, error_mm=0.0, setting_arcmin=0.0))["At end"]
        == "exact"
    )


def test_what_is_set_by_hand_shows_how_finely_if_that_is_more_than_the_error() -> None:
    set_by_hand = replace(
        by("pins"), error_arcmin=0.1, error_mm=0.02, setting_arcmin=6.0, setting_mm=0.9
    )
    assert cells(set_by_hand)["At end"] == "±0.9"
    assert "±" not in cells(replace(set_by_hand, error_arcmin=9.0, error_mm=1.4))["At end"]


@pytest.mark.parametrize(
    ("gap", "left", "shown"),
    [(None, (), NONE), (0.4, (0.0, 0.0), "none"), (0.4, (), "none"), (1.2, (0.0, 0.8), "0.8 mm")],
)
def test_the_gap_is_what_stays_open_with_the_packing_in_place(
    gap: float | None, left: tuple[float, ...], shown: str
) -> None:
    assert cells(replace(by("pins"), gap_mm=gap, open_mm=left))["Open"] == shown


def test_a_cut_plate_has_no_gap() -> None:
    assert cells(replace(by("pins"), way="plate", gap_mm=2.0, open_mm=(2.0,)))["Open"] == NONE


@pytest.mark.parametrize(
    ("finest", "with_play", "shown"),
    [(None, None, NONE), ("A", "A", "A"), ("A", "B", "A (B)"), ("B", None, f"B ({NONE})")],
)
def test_a_class_is_told_with_play_where_that_differs(
    finest: str | None, with_play: str | None, shown: str
) -> None:
    answer = by("pins")
    verdict: AngleVerdict = replace(answer.verdict, finest=finest, with_play=with_play)
    assert cells(replace(answer, verdict=verdict))["Class"] == shown
