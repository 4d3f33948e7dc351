"""The page with the order of tacks and welds: whose number is whose can be seen."""

import math

import pytest

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.page import PageDiscs, PageMark, PageText
from gridjig.rack import Point
from gridjig.sheets.setup.facts import facts_of
from gridjig.sheets.setup.flow import LARGE, NORMAL, Letters, PageRoom
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.weld_map import weld_map

from .test_sheet import found_fast

GATE = load_job(samples()["2-harbour-gate"])
ROOM = PageRoom(20.0, 10.0, 260.0, 170.0)


def flags(letters: Letters, room: PageRoom = ROOM) -> list[tuple[PageText, Point]]:
    """Each number pair with the joint that it belongs to, in the order in which they are drawn."""
    facts = facts_of(GATE, SheetChoices(), found_fast(GATE))
    marks: tuple[PageMark, ...] = weld_map(facts, GATE.weldments[0], room, letters)
    told = [
        one for one in marks if isinstance(one, PageText) and one.words[:2].strip("T").isdigit()
    ]
    joints = [point for one in marks if isinstance(one, PageDiscs) for point in one.centres]
    return list(zip(told, joints, strict=True))


def apart(text: PageText, place: Point) -> float:
    x, y = place
    return math.hypot(
        max(text.x - x, 0.0, x - text.x - text.width),
        max(text.y - y, 0.0, y - text.y - text.height),
    )


@pytest.mark.parametrize("letters", [NORMAL, LARGE])
def test_a_number_stands_nearer_to_its_own_joint_than_to_any_other(letters: Letters) -> None:
    found = flags(letters)
    assert [text.words for text, _ in found] == [f"T{k} W{k}" for k in range(1, 7)]
    for text, own in found:
        others = [joint for _, joint in found if joint != own]
        assert len(others) == 5
        assert all(apart(text, joint) > apart(text, own) + 2.9 for joint in others), text.words


def test_where_the_page_has_no_room_for_that_the_numbers_are_there_all_the_same() -> None:
    small = PageRoom(20.0, 10.0, 78.0, 60.0)
    assert len(flags(NORMAL, small)) == 6
