import pytest

from gridjig.edits.members import between
from gridjig.geometry.display import TextLabel
from gridjig.model import Section
from gridjig.sheets.drawings.part_names import Pad, clear_of
from gridjig.sheets.drawings.plan import draw_part
from tests.workshop import plate

FLAT = Section(name="50x6", kind="flat", width=50, height=6)
RAIL = between("a", "rail", FLAT, (0, 0), (1000, 0))
POST = between("b", "post", FLAT, (0, 1000), (0, 0))  # its name is read from the foot up


def name(part: object, *pads: Pad) -> TextLabel:
    (words,) = (s for s in clear_of(draw_part(part), pads) if isinstance(s, TextLabel))  # type: ignore[arg-type]
    return words


@pytest.mark.parametrize(
    ("pads", "at"),
    [
        ((), 300),
        ([(500, 0)], 300),
        ([(300, 0)], 656),
        ([(300, 0), (700, 0)], 500),
        ([(300, 0), (650, 5)], 831),
        ([(300, 200)], 300),
        ([(-100, 0), (1100, 0)], 300),
    ],
)
def test_a_name_goes_where_no_pad_covers_it(pads: list[tuple[float, float]], at: float) -> None:
    words = name(RAIL, *((place, 12.0) for place in pads))
    assert words.at == pytest.approx((at, 0))


def test_a_name_has_no_more_room_than_between_pads_but_is_not_crowded_out() -> None:
    free = name(RAIL)
    assert name(RAIL, ((300, 0), 12.0)).room == pytest.approx(0.9 * 688)
    crowded = name(RAIL, *(((x, 0), 12.0) for x in range(0, 1001, 40)))
    assert crowded.room == pytest.approx(free.room / 2)


def test_names_along_a_turned_member_and_on_a_plate_move_along_themselves() -> None:
    assert name(POST).at == pytest.approx((0, 300))
    assert name(POST, ((0, 300), 12.0)).at == pytest.approx((0, 656))
    sheet = plate("o", 0, 0, 500, 100)
    x, y = name(sheet).at
    moved = name(sheet, ((x, y), 12.0))
    assert moved.at == pytest.approx((331, y))
