"""The deposit of welds: areas by published arithmetic and by hand, sums by kind."""

import math

import pytest

from gridjig.edits.joints import set_welds
from gridjig.model import WeldKind
from gridjig.solve.weldment.deposit import area, leg_of, mass_of, plug_volume, throat_of, v_area
from gridjig.solve.weldment.welding import weld_lines, weld_totals
from gridjig.solve.weldment.welds import welded
from tests.solve.weldment.test_all_round import block
from tests.workshop import EMPTY, laid


@pytest.mark.source("practice", "throat = 0.7071 leg, as trade pages print it: 3, 5, 6, 8 mm")
@pytest.mark.parametrize(("leg", "throat"), [(3, 2.12), (5, 3.54), (6, 4.24), (8, 5.66)])
def test_throat_and_leg(leg: float, throat: float) -> None:
    assert throat_of(leg) == pytest.approx(throat, abs=5e-3)
    assert leg_of(throat_of(leg, 120), 120) == pytest.approx(leg)
    assert area("fillet", leg, 0, 90) == pytest.approx(area("fillet", 0, throat_of(leg), 90))
    assert area("fillet", leg, 0, 90) == pytest.approx(leg * leg / 2)


@pytest.mark.source("method", "60 deg V, gap 2, root face 2, no cap: gap t + tan 30 (t - 2)^2")
@pytest.mark.parametrize(("t", "wanted"), [(6, 21.24), (10, 56.95), (12, 81.74), (20, 227.06)])
def test_the_area_of_a_v(t: float, wanted: float) -> None:
    assert v_area(t) == pytest.approx(wanted, abs=6e-3)
    assert area("butt", t, 0, 180) == v_area(t)


@pytest.mark.source("method", "triangles by hand")
def test_skewed_fillets_and_other_kinds() -> None:
    assert area("fillet", 6, 0, 60) == pytest.approx(18 * math.sin(math.radians(60)))
    assert throat_of(6, 60) == pytest.approx(6 * math.cos(math.radians(30)))
    assert area("fillet", 6, 0, 180) == area("fillet", 6, 0, 270) == pytest.approx(18)
    assert area("flare bevel", 6, 0, 90) == pytest.approx(36 - math.pi * 9)
    assert area("fillet", 0, 0, 90) == area("butt", 0, 0, 180) == 0
    assert plug_volume(12, 5) == pytest.approx(math.pi * 36 * 5)


@pytest.mark.source("method", "by hand: a cheek 8 x 150 mm, leg 6 on both uprights, 7850 kg/m3")
def test_the_deposit_of_a_cheek_welded_on_its_uprights() -> None:
    job = laid(block("c", 0, 0, 100, 8, 0, 150), block("b", 100, -50, 110, 50, 0, 200))
    key = {welded(job)[0].joint.id}
    job = set_welds(job, key, kind="fillet", leg=6, sides="uprights")
    (line,) = weld_lines(job)
    assert line.length == pytest.approx(300)
    assert line.volume == pytest.approx(300 * 18)
    (total,) = weld_totals([line])
    assert (total.kind, total.count, total.open) == ("fillet", 1, 0)
    assert total.mass == pytest.approx(mass_of(5400)) == pytest.approx(0.04239)
    round_ = set_welds(job, key, sides="all round")
    assert weld_lines(round_)[0].length == pytest.approx(316)
    plug = set_welds(job, key, kind="plug", leg=12)
    assert (weld_lines(plug)[0].length, weld_lines(plug)[0].taken) == (0, ())


def test_a_leg_takes_the_place_of_a_throat_and_only_fillets_have_one() -> None:
    job = laid(block("c", 0, 0, 100, 8, 0, 150), block("b", 100, -50, 110, 50, 0, 200))
    key = {welded(job)[0].joint.id}
    sizes: list[tuple[WeldKind | None, float, float]] = []
    for change in ({"leg": 6.0}, {"throat": 4.0}, {"kind": "butt"}, {"throat": 3.0}):
        job = set_welds(job, key, **change)
        weld = welded(job)[0]
        sizes.append((weld.kind, weld.leg, weld.throat))
    assert sizes == [("fillet", 6, 0), ("fillet", 0, 4), ("butt", 4, 0), ("butt", 3, 0)]


def test_sums_by_kind_leave_out_what_is_not_welded() -> None:
    job = laid(
        block("a", 0, 0, 100, 8, 0, 50),
        block("b", 100, -50, 110, 50, 0, 50),
        block("c", 110, 0, 200, 8, 0, 50),
        job=EMPTY,
    )
    one, other = (w.joint.id for w in welded(job))
    job = set_welds(set_welds(job, {one}, kind="none"), {other}, kind="fillet", throat=3)
    totals = weld_totals(weld_lines(job))
    assert [(t.kind, t.count, t.open) for t in totals] == [("fillet", 1, 0)]
    assert totals[0].volume == pytest.approx(9 * totals[0].length)
