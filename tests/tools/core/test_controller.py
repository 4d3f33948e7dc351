import logging

import pytest
from msgspec import structs

from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Leave, Nothing, Outcome, Preview, Tool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, pin, plate


class Clumsy(Tool):
    name = "clumsy"

    def press(self, pointer: Pointer) -> Outcome:
        return Preview(laid(pin("p", 1, 1)), "shown")

    def key(self, key: KeyPress) -> Outcome:
        raise RuntimeError("slipped")

    def overlay(self) -> DisplayList:
        raise RuntimeError("cannot draw")


def test_a_tool_that_throws_is_put_away_and_the_job_survives(
    caplog: pytest.LogCaptureFixture,
) -> None:
    d = Driver(EMPTY).tool(Clumsy).press("C4").expect_hint("shown")
    assert d.shown is not EMPTY
    d.key("r").expect_untouched(EMPTY).expect_hint("clumsy tool failed", "The job is unchanged")
    assert d.controller.tool.name == "select"
    assert "clumsy" in caplog.text
    assert caplog.records[0].levelno == logging.ERROR
    d.tool(Clumsy)
    assert d.overlay == ()
    assert d.controller.tool.name == "select"


def test_what_is_moved_too_far_stays_and_is_told_how_far_it_can_go(
    caplog: pytest.LogCaptureFixture,
) -> None:
    edge = structs.replace(plate("w", 0, 0), x=99_990.0)
    job = laid(edge)
    d = Driver(job).select("w").drag((99_995, 5), (100_095, 5))
    d.expect_untouched(job).expect_hint("it must be from −100000 mm", "The job is unchanged")
    assert d.controller.tool.name == "select"
    d.press((99_995, 5)).move((99_998, 5)).move((100_095, 5)).expect_hint("it must be from")
    d.move((99_945, 5)).release((99_945, 5))
    assert d.outline("w").x < 99_990.0
    assert not [record for record in caplog.records if record.levelno >= logging.ERROR]


def test_one_answer_is_called_back_for_once() -> None:
    d = Driver(laid(pin("p", 2, 2))).hover("C3")
    before = d.calls
    d.click("C3")
    assert d.calls == before + 1


class Plain(Tool):
    name = "plain"

    def key(self, key: KeyPress) -> Outcome:
        return Leave("done")


def test_a_plain_tool_does_nothing_and_leaving_goes_home() -> None:
    job: Job = laid(pin("p", 2, 2))
    d = Driver(job).tool(Plain).press("C3").move("D3").release("D3").expect_untouched(job)
    d.type("C4").expect_hint("does not take typed text")
    d.tool(Tool).key("x").expect_untouched(job).tool(Plain)
    assert d.overlay == ()
    assert d.controller.tool.hint() == ""
    home = d.key("x").expect_hint("done").controller.tool
    assert home.name == "select"
    d.tool(Plain)
    assert d.controller.home() is home


def test_answers_are_values() -> None:
    assert Nothing() == Nothing()
    assert Preview(None) != Preview(EMPTY)
