"""What joints close by: worked values of the published rules, and the shop's own."""

import pytest
from msgspec import structs

from gridjig.model import Allowances, JointAllowance, Weld
from gridjig.proof.out.closing import (
    AREA_RULE,
    BUTT_THUMB,
    FILLET_THUMB,
    GAP_RULE,
    LAP_RULE,
    MEASURED,
    TEE_RULE,
    closings,
    rules_for,
    thickness,
)
from gridjig.solve.weldment.deposit import v_area
from tests.proof.frames import frame, jigged, tube
from tests.stock import ANGLE, FLAT, bar
from tests.workshop import laid, plate


def by(kind: str, leg: float, through: float, lap: bool = False) -> dict[str, float]:
    return {rule.source: rule.high for rule in rules_for(kind, leg, through, lap)}


@pytest.mark.source("published", "Prediction weld shrinkage, a method statement", "S = 0.1 Aw / t")
@pytest.mark.parametrize(
    ("t", "metal", "closes"),
    [(6, 21.24, 0.354), (10, 56.95, 0.570), (12, 81.74, 0.681), (20, 227.06, 1.135)],
)
def test_butt_welds_by_their_area(t: float, metal: float, closes: float) -> None:
    """Worked by hand: a 60 degree V with a gap and a root face of 2 mm."""
    assert v_area(t) == pytest.approx(metal, abs=0.01)
    assert by("butt", t, t)[AREA_RULE] == pytest.approx(closes, abs=0.0006)


@pytest.mark.source("memory", "Spraragen and Ettinger: S = 0.2 Aw / t + 0.05 d")
@pytest.mark.parametrize(("t", "closes"), [(6, 0.808), (10, 1.239), (12, 1.462), (20, 2.371)])
def test_butt_welds_by_area_and_gap(t: float, closes: float) -> None:
    assert by("butt", t, t)[GAP_RULE] == pytest.approx(closes, abs=0.0006)


@pytest.mark.source("method", "0.2 and 0.05 are pure numbers: times 25.4 gives 31.47 mm on 10 mm")
def test_the_rule_is_not_in_inches() -> None:
    assert 5.08 * v_area(10) / 10 + 1.27 * 2 == pytest.approx(31.47, abs=0.01)
    assert max(by("butt", 10, 10).values()) <= 3.0


@pytest.mark.source("published", "Transverse shrinkage of T joints, calculators", "1.02 leg / t")
@pytest.mark.parametrize(
    ("leg", "t", "closes"), [(6, 8, 0.765), (6, 10, 0.612), (6, 12, 0.51), (4, 6, 0.68)]
)
def test_fillets_on_a_tee(leg: float, t: float, closes: float) -> None:
    found = by("fillet", leg, t)
    assert found[TEE_RULE] == pytest.approx(closes)
    assert found[FILLET_THUMB] == 0.8


@pytest.mark.source("published", "Transverse shrinkage of lap joints, calculators", "1.52 leg / t")
@pytest.mark.parametrize(("leg", "t", "closes"), [(6, 8, 1.14), (6, 12, 0.76)])
def test_fillets_on_a_lap(leg: float, t: float, closes: float) -> None:
    assert by("fillet", leg, t, lap=True)[LAP_RULE] == pytest.approx(closes)


@pytest.mark.source(
    "published",
    "How much shall I allow for weld shrinkage, a welding institute's FAQ",
    "0.8 mm a fillet up to 3/4 of the thickness, 1.5 to 3 mm a butt weld in a 60 degree V",
)
def test_the_rule_of_thumb_and_where_it_ends() -> None:
    assert FILLET_THUMB in by("fillet", 6.0, 8.0)
    assert FILLET_THUMB not in by("fillet", 6.1, 8.0)
    (low, high) = next(r[1:] for r in rules_for("butt", 8.0, 8.0) if r.source == BUTT_THUMB)
    assert (low, high) == (1.5, 3.0)
    assert BUTT_THUMB not in by("butt", 3.0, 3.0)
    # Its fillets agree with the other rule at the limit of both.
    assert by("fillet", 6.0, 8.0)[TEE_RULE] == pytest.approx(0.8, abs=0.04)


def test_no_rule_speaks_of_plugs_or_of_joints_that_are_not_welded() -> None:
    assert rules_for("plug", 10.0, 6.0) == ()
    assert rules_for("none", 0.0, 6.0) == ()
    assert len(rules_for("flare bevel", 6.0, 3.0)) == 2


def test_a_frame_closes_by_the_wall_that_runs_through() -> None:
    found = closings(jigged())
    assert len(found) == 4
    assert {one.kind for one in found} == {"fillet"}
    assert [(one.leg, one.thickness, one.assumed) for one in found] == [(6.0, 3.0, False)] * 4
    assert {one.high for one in found} == {1.02 * 6 / 3}


def test_a_weld_without_a_size_is_reckoned_with_the_thinner_wall() -> None:
    found = closings(laid(*frame()))
    assert [(one.leg, one.assumed) for one in found] == [(3.0, True)] * 4
    assert {one.high for one in found} == {1.02}


def test_what_the_shop_has_measured_comes_first() -> None:
    own = Allowances(joints=(JointAllowance(a="left", b="front", measured=0.5, spread=0.2),))
    found = {one.id: one for one in closings(structs.replace(jigged(), allowances=own))}
    one = found["front/left"]
    assert (one.low, one.high) == pytest.approx((0.3, 0.7))
    assert one.measured
    assert [rule.source for rule in one.rules] == [MEASURED]
    assert not found["front/right"].measured


def test_a_spread_never_opens_a_joint() -> None:
    own = Allowances(joints=(JointAllowance(a="left", b="front", measured=0.1, spread=0.4),))
    one = next(c for c in closings(structs.replace(jigged(), allowances=own)) if c.measured)
    assert (one.low, one.high) == (0.0, 0.5)


def test_a_mitre_is_a_butt_weld_and_a_throat_counts_as_its_leg() -> None:
    line = (tube("a", 100, 100, 0, 200), tube("b", 300, 100, 0, 200))
    (one,) = closings(laid(*line))
    assert one.kind == "butt"
    assert one.high == pytest.approx(0.2 * v_area(3.0) / 3.0 + 0.1)
    tee = structs.replace(jigged(), welds=(Weld(a="front", b="left", throat=4.0),))
    one = next(c for c in closings(tee) if not c.assumed)
    assert one.leg == pytest.approx(4.0 * 2**0.5)


@pytest.mark.parametrize(
    ("part", "thick"),
    [
        (bar(), 3.0),
        (bar(FLAT), 6.0),
        (bar(ANGLE), 5.0),
        (plate("flat", 0, 0), 6.0),
        (structs.replace(plate("upright", 0, 0, 100, 8), z_high=60.0), 8.0),
    ],
)
def test_the_thickness_that_a_weld_meets(part: object, thick: float) -> None:
    assert thickness(part) == pytest.approx(thick, abs=0.01)  # type: ignore[arg-type]
