"""Every piece that comes with the program can be placed, swung, turned and moved by the tools."""

import pytest

from gridjig.files.assets import rack_for, ready_tables
from gridjig.model import Job, Table
from gridjig.tools.handles import handles
from gridjig.tools.place import PlaceTool
from tests.driver import Driver


@pytest.mark.parametrize("table", ready_tables().values(), ids=lambda t: t.name)
def test_every_piece_of_the_rack_works_on_its_table(table: Table) -> None:
    job = Job(name="Try", table=table, rack=rack_for(table))
    placed = [p for p in job.rack.pieces if p.is_placed]
    assert len(placed) >= 20  # all but shims and locking pins
    for piece in placed:
        d = Driver(job)
        d.tool(lambda desk, piece=piece: PlaceTool(desk, piece.id))  # type: ignore[misc]
        d.click((table.width / 2, table.depth / 2)).expect_steps(1)
        (thing,) = d.desk.selection
        assert d.desk.stands[thing].fault is None
        assert d.desk.stands[thing].off == ()
        d.bench.home()
        for handle in handles(d.job, d.desk.stands, thing):
            d.drag(handle.at, (handle.at[0] + 37, handle.at[1] + 55))
            assert d.desk.stands[thing].fault is None
            assert d.desk.stands[thing].off == ()
        d.key("r").key("f").key("right").key("up", shift=True)
        assert d.desk.stands[thing].fault is None
        assert d.bench.tool.name == "select"
