"""The job of a plain start: an empty table in the unit of the settings, and a rack for it."""

import pytest
from msgspec import structs

from gridjig.files.library import user_library
from gridjig.files.library.assets import rack_for
from gridjig.files.library.default_job import default_job
from gridjig.files.storage.locations import user_library_file
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


def test_the_table_and_the_rack_that_were_kept_last_are_used_next_time() -> None:
    plain = default_job(Settings())
    first, own = (structs.replace(plain.table, name=name) for name in ("bench 1", "bench 2"))
    user_library.keep_table(own)
    user_library.keep_table(first)
    assert default_job(Settings()).table == first
    user_library.keep_table(own)  # again: it is the last one now
    rack = structs.replace(plain.rack, name="shop rack")
    user_library.keep_rack(rack)
    job = default_job(Settings(unit="millimetres"))
    assert (job.table, job.rack) == (own, rack)
    assert job.display.unit == "inch fractions"  # as the table is
    user_library.forget_table(own.name)
    assert default_job(Settings()).table == first
    user_library.forget_table(first.name)
    user_library.forget_rack(rack.name)
    assert default_job(Settings()) == plain


def test_a_kept_rack_whose_pins_do_not_fit_is_not_taken() -> None:
    metric = default_job(Settings(unit="millimetres"))
    user_library.keep_rack(structs.replace(metric.rack, name="metric rack"))
    inch = default_job(Settings())
    assert inch.rack == rack_for(inch.table)
    assert default_job(Settings(unit="millimetres")).rack.name == "metric rack"


def test_a_library_that_cannot_be_read_does_not_keep_a_job_from_starting() -> None:
    plain = default_job(Settings())
    user_library_file().parent.mkdir(exist_ok=True)
    user_library_file().write_text("{")
    assert default_job(Settings()) == plain
