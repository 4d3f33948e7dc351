"""The guided first job: every step does what its sentence says, and is recognised when done."""

import re

import pytest

from gridjig.checks.findings import findings
from gridjig.files.library.assets import ready_tables
from gridjig.files.library.default_job import job_on
from gridjig.files.library.sections import find_section
from gridjig.files.storage.settings import Settings
from gridjig.model import Job, Section
from gridjig.model.labels import address
from gridjig.session.first_job import STEPS, Event, Guide, resumed
from gridjig.sheets.text.first_job_text import guide_holes, step_text, step_title
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.units import format_number
from tests.driver import Driver

STANDARD = tuple(ready_tables())


def begun(table: str) -> Driver:
    return Driver(job_on(ready_tables()[table], Settings()))


def piece(driver: Driver, name: str) -> str:
    return next(p.id for p in driver.job.rack.pieces if name in p.name.lower())


def at(driver: Driver, which: str) -> str:
    return address(driver.job.table, getattr(guide_holes(driver.job.table), which))


def look(driver: Driver, guide: Guide) -> Guide:
    return guide.advanced(driver.document)


def located(job: Job) -> Job:
    """The job after the first five steps."""
    driver = Driver(job)
    driver.tool(lambda document: MemberTool(document, tube(job)))
    length = format_number(guide_holes(job.table).length / 25.4)
    driver.click(at(driver, "begin")).type(f"{length} at 0").key("escape").key("escape")
    stop = piece(driver, "two pins")
    driver.tool(lambda document: PlaceTool(document, stop))
    for where in ("front", "right", "end"):
        driver.click(at(driver, where))
    return driver.job


def finished(job: Job) -> Job:
    """The job after the first six steps."""
    driver = Driver(located(job))
    clamp = piece(driver, "down-clamp")
    driver.tool(lambda document: PlaceTool(document, clamp))
    return driver.click(at(driver, "clamp")).job


def tube(job: Job) -> Section:
    found = find_section("2x2x1/8" if job.table.in_inches else "50x50x3", "square tube")
    assert found is not None
    return found


def typed(words: str, pattern: str) -> str:
    found = re.search(pattern, words)
    assert found, words
    return found[1]


@pytest.mark.parametrize("table", STANDARD)
def test_doing_what_the_steps_say_makes_the_job_on_every_standard_table(table: str) -> None:
    driver, guide = begun(table), Guide()

    def says() -> str:
        return step_text(guide, driver.job.table)

    assert step_title(guide) == "Step 1 of 10: Look around"
    assert look(driver, guide) == guide
    guide = look(driver, guide.noted("zoomed"))

    assert guide.step == "member"
    assert f"click hole {at(driver, 'begin')}:" in says()
    size = typed(says(), r"Type (\S+ at 0)")
    driver.tool(lambda document: MemberTool(document, tube(driver.job)))
    driver.click(at(driver, "begin")).type(size).key("escape").key("escape")
    guide = look(driver, guide)

    assert guide.step == "stop"
    assert f"Click hole {at(driver, 'front')}:" in says()
    stop = piece(driver, typed(says(), r"type (two pins)"))
    driver.tool(lambda document: PlaceTool(document, stop))
    driver.click(at(driver, "front"))
    guide = look(driver, guide)

    assert guide.step == "second stop"
    assert f"Click hole {at(driver, 'right')}:" in says()
    driver.click(at(driver, "right"))
    guide = look(driver, guide)

    assert guide.step == "end stop"
    assert f"Click hole {at(driver, 'end')}," in says()
    driver.click(at(driver, "end"))
    guide = look(driver, guide)

    assert guide.step == "clamp"
    assert f"Click hole {at(driver, 'clamp')}," in says()
    assert "fingers" in says()  # the caution stands where clamps are set
    clamp = piece(driver, typed(says(), r"type (down-clamp)"))
    driver.tool(lambda document: PlaceTool(document, clamp))
    driver.click(at(driver, "clamp")).key("escape")
    guide = look(driver, guide)

    happens: list[Event] = ["undone", "checked", "pulled", "saved"]
    for step, event in zip(STEPS[6:], happens, strict=True):
        assert guide.step == step
        assert look(driver, guide) == guide
        guide = look(driver, guide.noted(event))
    assert guide.step is None
    assert "done" in step_title(guide)
    assert len(driver.job.placements) == 4
    assert [f.level for f in findings(driver.job, driver.document.placed_pieces)] == ["fine"]


def test_a_step_that_is_not_done_is_not_passed() -> None:
    driver = begun(STANDARD[0])
    guide = Guide(done=1)
    assert look(driver, guide) == guide
    assert look(driver, guide.noted("saved")).step == "member"
    assert Guide(done=2).noted("zoomed").advanced(driver.document).step == "stop"
    assert Guide().skipped().step == "member"
    assert Guide(done=10).skipped() == Guide(done=10)
    assert not Guide().noted("zoomed").skipped().happened  # an event counts for one step


def test_it_goes_on_where_it_was_left_as_far_as_the_job_shows_it() -> None:
    empty = begun(STANDARD[0])
    assert resumed(empty.document, 0) == Guide()
    assert resumed(empty.document, 1) == Guide(1)
    assert resumed(empty.document, 6) == Guide(1)  # the tube is not there
    assert resumed(empty.document, 99) == Guide(1)
