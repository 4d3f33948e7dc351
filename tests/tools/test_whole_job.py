"""A small job from the bare table to the last clamp, first with the pointer, then by keys alone."""

import pytest

from gridjig.checks.needs import needs
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.tools.core.controller import ToolMaker
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.draw.plate_tool import PlateTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, pin, plate, stop


def placing(piece: str) -> ToolMaker:
    return lambda document: PlaceTool(document, piece)


def all_stand(d: Driver) -> bool:
    return all(s.fault is None for s in d.document.placed_pieces.values())


@pytest.mark.expectation(61)
def test_a_job_is_laid_out_without_a_pointer() -> None:
    d = Driver(EMPTY).tool(PlateTool).type("F5").type("600 x 40").key("escape")
    d.tool(placing("stop")).type("G3").type("O3").type("-90").type("D6")
    d.tool(placing("arm")).type("D11").key("r").key("r", shift=True)
    d.tool(placing("clamp")).type("90").type("I13").type("O13").key("escape")
    d.expect_steps(7).expect(all_stand)
    assert {i: n.count for i, n in needs(d.job).items()} == {
        "stop": 3,
        "arm": 1,
        "clamp": 2,
        "bolt": 8,
    }
    d.key("a", ctrl=True).key("right").key("left").expect_steps(8)
    d.key("escape").select("arm-1").type("10").expect_hint("turned to 10°")
    assert read_job(write_job(d.job)) == d.job
    while d.document.can_undo:
        d.undo()
    assert d.job is EMPTY


@pytest.mark.expectation(11, 25)
def test_the_same_job_is_laid_out_by_single_clicks() -> None:
    d = Driver(EMPTY).tool(PlateTool).click("F5").click("R6")
    d.tool(placing("stop")).click("G3").click("O3")
    d.tool(placing("clamp")).click("I13").key("escape")
    d.click("G3").expect_selected("fixed-stop-1").key("right").expect_steps(5).expect(all_stand)


def test_what_is_turned_again_and_again_keeps_an_angle_that_can_be_saved() -> None:
    d = Driver(laid(pin("p", 5, 5), stop("s", 9, 9), plate("w", 500, 500)))
    for name in ("p", "s", "w"):
        d.select(name)
        for _ in range(60):
            d.key("r")
        thing = d.job.find(name)
        assert thing is not None
        assert abs(thing.turn) <= 360
