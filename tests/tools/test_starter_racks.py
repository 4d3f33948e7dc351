"""Every piece that comes with the program can be placed, swung, turned and moved by the tools."""

import pytest

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Job, Table
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.select.handles import handles
from tests.driver import Driver


@pytest.mark.parametrize("table", ready_tables().values(), ids=lambda t: t.name)
def test_every_piece_of_the_rack_works_on_its_table(table: Table) -> None:
    job = Job(name="Try", table=table, rack=rack_for(table))
    placed = [p for p in job.rack.pieces if p.is_placed]
    assert len(placed) >= 20  # all but shims and locking pins
    for piece in placed:
        d = Driver(job)
        d.tool(lambda document, piece=piece: PlaceTool(document, piece.id))  # type: ignore[misc]
        d.click((table.width / 2, table.depth / 2)).expect_steps(1)
        (thing,) = d.document.selection
        assert d.document.placed_pieces[thing].fault is None
        assert d.document.placed_pieces[thing].off == ()
        d.controller.home()
        for handle in handles(d.job, d.document.placed_pieces, thing):
            d.drag(handle.at, (handle.at[0] + 37, handle.at[1] + 55))
            assert d.document.placed_pieces[thing].fault is None
            assert d.document.placed_pieces[thing].off == ()
        d.key("r").key("f").key("right").key("up", shift=True)
        assert d.document.placed_pieces[thing].fault is None
        assert d.controller.tool.name == "select"
