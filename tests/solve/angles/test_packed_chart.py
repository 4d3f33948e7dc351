"""The nearest angle that two equal pins and a stack of shims make."""

import math

import pytest
from msgspec import structs

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.solve.angles.chart import angle_chart
from gridjig.solve.angles.packed_chart import MOST_SHIMS, packed_chart
from gridjig.units import INCH

TABLE = ready_tables()["48x48-5/8"]
RACK = rack_for(TABLE)


def test_packing_is_never_worse_than_the_pins_alone_and_mostly_under_two_minutes() -> None:
    chart = angle_chart(TABLE)
    rows = packed_chart(chart, RACK)
    assert len(rows) == len(chart.rows) == 181
    for bare, packed in zip(chart.rows, rows, strict=True):
        assert abs(packed.error_arcmin) <= abs(bare.error_arcmin) + 0.5
        assert packed.wanted_deg == bare.wanted_deg
    assert max(abs(one.error_arcmin) for one in rows) < 2.0


@pytest.mark.source("method", "the tangent line of two circles, one larger by the stack")
def test_the_angle_follows_from_the_stack_and_the_base() -> None:
    owned = {piece.id: piece.thickness for piece in RACK.pieces}
    rows = packed_chart(angle_chart(TABLE), RACK)
    packed = [row for row in rows if row.far or row.near]
    assert len(packed) > 100
    for row in packed:
        assert not (row.far and row.near)
        assert 1 <= len(row.far + row.near) <= MOST_SHIMS
        thick = sum(owned[one] for one in row.far + row.near)
        assert thick == pytest.approx(row.thickness, abs=1e-6)
        m, n = row.steps
        base = math.hypot(m * TABLE.pitch_x, n * TABLE.pitch_y)
        assert base == pytest.approx(row.base_mm)
        turn = math.degrees(math.asin(thick / base)) * (1.0 if row.far else -1.0)
        made = math.degrees(math.atan2(n, m)) + turn
        assert (made - row.wanted_deg) * 60.0 == pytest.approx(row.error_arcmin, abs=1e-6)


@pytest.mark.source("method", "p (m sin T - n cos T): 0.10997 in for 4:3, 2 in and 37.5 degrees")
def test_a_pair_of_4_to_3_needs_a_tenth_of_an_inch_for_37_and_a_half_degrees() -> None:
    shim = next(piece for piece in RACK.pieces if piece.kind == "shim")
    exact = 0.10997 * INCH
    rack = structs.replace(RACK, pieces=(structs.replace(shim, thickness=exact, owned=1),))
    chart = angle_chart(TABLE, 10.0 * INCH - 0.01, 10.0 * INCH + 0.01, step=37.5)
    row = packed_chart(chart, rack)[1]
    assert row.steps == (4, 3)
    assert row.far == (shim.id,)
    assert abs(row.error_arcmin) < 0.01


def test_a_rack_without_shims_has_no_packed_answers() -> None:
    bare = structs.replace(RACK, pieces=tuple(p for p in RACK.pieces if p.kind != "shim"))
    assert packed_chart(angle_chart(TABLE), bare) == ()
