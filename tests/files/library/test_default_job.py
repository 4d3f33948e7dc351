"""The job of a plain start: an empty table in the unit of the settings, and a rack for it."""

import pytest

from gridjig.files.library.default_job import default_job
from gridjig.files.storage.settings import Settings
from gridjig.model import require_whole
from gridjig.units import Unit


@pytest.mark.parametrize("unit", ["inch fractions", "inch decimals", "millimetres"])
def test_a_plain_start_is_an_empty_table_in_the_unit_of_the_settings(unit: Unit) -> None:
    job = default_job(Settings(unit=unit, denominator=32))
    require_whole(job)
    assert (job.placements, job.parts) == ((), ())
    assert (job.display.unit, job.display.denominator) == (unit, 32)
    assert job.table.in_inches == (unit != "millimetres")
    pins = [piece for piece in job.rack.pieces if piece.kind == "pin"]
    assert pins
    for mount in (mount for piece in pins for mount in piece.mounts):
        assert getattr(mount, "diameter", 0.0) <= job.table.hole_diameter
