"""Every measure in all its states, line by line."""

import pytest
from msgspec import structs

from gridjig.edits.allowances import (
    add_point,
    set_linear_class,
    set_longer,
    set_opened,
    set_shop_value,
)
from gridjig.model import ChosenPoint, FaceOf, Job
from gridjig.proof.allowance.report import allowance
from gridjig.proof.exact.report import exact, whole_errors
from gridjig.proof.exact.tries import Tried, tried
from gridjig.sheets.text.exact_lines import exact_lines
from gridjig.sheets.text.list_line import ListLine
from gridjig.units.progress import Cancelled, Progress
from tests.proof.frames import jigged, rig
from tests.workshop import laid, pin, plate


def lines(job: Job, count: int = 0) -> dict[str, ListLine]:
    one = rig(job)
    found = tried(one.job, one.placed, one.contacts, count=count) if count else None
    shown = exact_lines(
        job, exact(job, one.placed, one.contacts), allowance(job, one.contacts), found
    )
    return {line.key: line for line in shown}


def allowed() -> Job:
    job = structs.replace(jigged(), critical=(FaceOf("back", 2),))
    return set_longer(set_opened(job, {"front/left", "front/right"}, 0.5), "left", 1.5)


def test_a_measure_is_told_as_drawn_as_set_and_as_expected() -> None:
    found = lines(set_opened(jigged(), {"front/left", "front/right"}, 0.5))
    one = next(line for line in found.values() if line.head == "Overall 410 mm")
    assert one.right == "back + front"
    error, states = one.under.split("\n")
    assert error.startswith("out by ± ")
    assert error.endswith("as errors usually add up; class B ± 3 mm")
    assert states == "in the jig 410.5 mm, expected after welding 406.4 mm"


def test_headings_come_only_with_lines_below_them() -> None:
    found = list(lines(allowed()).values())
    headings = [line.head for line in found if line.heading]
    assert headings == [
        "Measures",
        "Squareness",
        "Parts in the jig",
        "Allowed for",
        "Reckoned with",
    ]
    assert "Allowed for" not in {line.head for line in lines(jigged()).values()}
    assert [line.heading for line in found][-1] is False
    assert [line.right for line in found if line.key.startswith(("longer", "opened"))] == [
        "set open 0.5 mm",
        "set open 0.5 mm",
        "1.5 mm longer",
    ]
    assert found[-1].right == "± 0.05 mm"
    assert "common practice" in found[-1].under


def test_what_slides_and_what_is_out_of_class_is_marked() -> None:
    found = lines(set_linear_class(set_shop_value(jigged(), "hole", 1.5), "A"))
    assert {line.level for line in found.values()} >= {"", "look"}
    assert found["part front"].right == "loose"
    assert "can still slide" in found["square weldment-1"].under
    alone = lines(laid(plate("work", 265, 265), pin("a", 5, 4)))
    assert alone["part work"].under == "its angle is not held"


def test_random_set_ups_are_told_beside() -> None:
    found = lines(jigged(), count=2_000)
    one = next(line for line in found.values() if line.head == "Overall 510 mm")
    assert "of 2,000 set-ups half are within" in one.under
    assert one.under.endswith("none outside the class")
    assert "95 % within" in found["part left"].under
    assert "set-ups" not in found["part front"].under
    bad = lines(set_linear_class(set_shop_value(jigged(), "hole", 1.5), "A"), count=2_000)
    told = next(line for line in bad.values() if line.head == "Overall 510 mm").under
    assert "none outside" not in told
    assert told.endswith(" outside the class")


def test_trying_says_how_far_it_is_and_stops_when_told() -> None:
    one = rig(jigged())
    told: list[tuple[int, int | None]] = []
    progress = Progress(lambda done, whole, _: told.append((done, whole)))
    found = tried(one.job, one.placed, one.contacts, progress, count=2_000)
    assert isinstance(found, Tried)
    assert found.count == 2_000
    assert len(found.readings) == 2
    assert set(found.members) == {"left", "right"}
    assert told[-1] == (4, 4)
    with pytest.raises(Cancelled):
        tried(one.job, one.placed, one.contacts, Progress(is_cancelled=lambda: True))


def test_points_that_matter_have_their_worst_and_their_usual() -> None:
    held = add_point(jigged(), ChosenPoint("left", 0.0, 0.0, "bolt hole"))
    one = next(line for line in lines(held).values() if line.head == "Bolt hole")
    assert one.ids == ("left",)
    assert one.right.startswith("± ")
    assert one.right.endswith(" at worst")
    assert " as errors usually add up" in one.under
    assert "of the table; out by " in one.under
    loose = laid(plate("work", 265, 265), pin("a", 5, 4))
    loose = add_point(loose, ChosenPoint("work", 0.0, 0.0))
    one = next(line for line in lines(loose).values() if line.head == "Point of work")
    assert one.right == "loose"
    assert one.under.endswith("the jig does not hold its part")


def test_each_weldment_is_told_as_one_body() -> None:
    job = jigged()
    there = rig(job)
    whole = whole_errors(job, there.placed, there.contacts)
    report, allowed = exact(job, there.placed, there.contacts), allowance(job, there.contacts)
    every = exact_lines(job, report, allowed, None, whole)
    at = [line.head for line in every].index("Each weldment once it is tacked")
    assert every[at + 1].right.endswith(" at worst")
    assert set(every[at + 1].ids) == {part.id for part in job.parts}
    free = [structs.replace(whole[0], error=None, angle=None)]
    told = exact_lines(job, report, allowed, None, free)[at + 1]
    assert (told.right, told.under) == ("loose", "its angle is not held")
