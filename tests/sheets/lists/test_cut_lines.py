"""The cut list as lines for a narrow list."""

import pytest

from fuzzing.richjobs import frame, with_hands
from gridjig.sheets.lists.cut_lines import cut_lines, total_words
from gridjig.sheets.lists.cut_list import cut_list, weldment_cells
from tests.trials.keyed import KEYED
from tests.trials.layout import load
from tests.workshop import EMPTY

HAND = "trial weldments, reckoned by hand"


@pytest.mark.source("method", HAND)
def test_the_butted_frame_has_two_lengths() -> None:
    job = KEYED["T01"]()
    head, full, short = cut_lines(cut_list(job))
    assert head.heading
    assert head.head == "2x2x1/8 square tube"
    assert head.right == '88", 22.4 lb'
    assert (full.head, full.right) == ("A bottom, B top", '2 × 24"')
    assert (short.head, short.right) == ("C left, D right", '2 × 20"')
    assert short.under == "square both ends\n5.1 lb each, 10.2 lb"
    assert full.ids == ("member-1", "member-2")
    assert "4 pieces to cut, 22.4 lb." in total_words(cut_list(job))
    assert load("T01")["mass"] == pytest.approx(22.4, abs=0.05)


@pytest.mark.source("method", HAND)
def test_short_points_are_told_where_they_differ() -> None:
    lines = cut_lines(cut_list(KEYED["T02"]()))
    assert lines[1].right == '2 × 36"'
    assert 'short point 33" · mitres opposed, 45° both ends' in lines[1].under


@pytest.mark.source("method", HAND)
def test_plates_come_last_under_their_own_heading() -> None:
    lines = cut_lines(cut_list(KEYED["T10"]()))
    assert [line.head for line in lines if line.heading][-1] == "Plates"
    assert lines[-1].right == "4 ×"
    assert lines[-1].under.startswith('4" x 4" x 3/8" · square')


def test_one_of_a_kind_has_one_mass() -> None:
    lines = cut_lines(cut_list(KEYED["T10"]()))
    strap = next(line for line in lines if line.head == "F strap")
    assert strap.under == "square both ends\n4.3 lb"
    assert strap.spoken == 'F strap, 1 × 20", square both ends, 4.3 lb'


def test_nothing_to_cut_says_what_to_do() -> None:
    assert cut_lines(cut_list(EMPTY)) == ()
    assert "draw a member" in total_words(cut_list(EMPTY))
    one = KEYED["T01"]()
    from msgspec import structs

    alone = structs.replace(one, parts=one.parts[:1])
    assert total_words(cut_list(alone)).startswith("1 piece to cut")


def test_several_weldments_are_listed_with_hand_and_number() -> None:
    job = with_hands(frame())
    cuts = cut_list(job)
    rows = weldment_cells(cuts)
    assert [row[2] for row in rows] == [str(one.quantity) for one in job.weldments]
    assert len({row[1] for row in rows}) == 3
    lines = cut_lines(cuts)
    assert sum(line.heading for line in lines) >= 2
    named = [line for line in lines if line.key.startswith("weldment ")]
    assert len(named) == len(job.weldments) == 4
