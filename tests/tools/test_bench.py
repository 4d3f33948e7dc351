import logging

import pytest

from gridjig.geometry.display import Drawing
from gridjig.model import Job
from gridjig.tools.pointer import Key, Pointer
from gridjig.tools.tool import Leave, Nothing, Outcome, Preview, Tool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, pin


class Clumsy(Tool):
    name = "clumsy"

    def press(self, pointer: Pointer) -> Outcome:
        return Preview(laid(pin("p", 1, 1)), "shown")

    def key(self, key: Key) -> Outcome:
        raise RuntimeError("slipped")

    def overlay(self) -> Drawing:
        raise RuntimeError("cannot draw")


def test_a_tool_that_throws_is_put_away_and_the_job_survives(
    caplog: pytest.LogCaptureFixture,
) -> None:
    d = Driver(EMPTY).tool(Clumsy).press("C4").expect_hint("shown")
    assert d.shown is not EMPTY
    d.key("r").expect_untouched(EMPTY).expect_hint("clumsy tool stopped", "as it was before")
    assert d.bench.tool.name == "select"
    assert "clumsy" in caplog.text
    assert caplog.records[0].levelno == logging.ERROR
    d.tool(Clumsy)
    assert d.overlay == ()
    assert d.bench.tool.name == "select"


def test_one_answer_is_called_back_for_once() -> None:
    d = Driver(laid(pin("p", 2, 2))).hover("C3")
    before = d.calls
    d.click("C3")
    assert d.calls == before + 1


class Plain(Tool):
    name = "plain"

    def key(self, key: Key) -> Outcome:
        return Leave("done")


def test_a_plain_tool_does_nothing_and_leaving_goes_home() -> None:
    job: Job = laid(pin("p", 2, 2))
    d = Driver(job).tool(Plain).press("C3").move("D3").release("D3").expect_untouched(job)
    d.type("C4").expect_hint("takes no typed text")
    d.tool(Tool).key("x").expect_untouched(job).tool(Plain)
    assert d.overlay == ()
    assert d.bench.tool.hint() == ""
    home = d.key("x").expect_hint("done").bench.tool
    assert home.name == "select"
    d.tool(Plain)
    assert d.bench.home() is home


def test_answers_are_values() -> None:
    assert Nothing() == Nothing()
    assert Preview(None) != Preview(EMPTY)
