"""An opposite hand that is no longer one is found, and the parts that differ are named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.checks.hands import hand_findings
from gridjig.edits.copies import mirror_copy, mirrored, moved
from gridjig.edits.parts import turned
from gridjig.edits.selection import remove, shift_parts
from gridjig.edits.weldment import turned_over
from gridjig.geometry.lines import through
from gridjig.model import CutOut, Drilled, Slotted
from gridjig.solve.mirror.symmetry import unlike_opposite
from tests.stock import CHANNEL, bar
from tests.workshop import laid, plate

HOLES = (
    Drilled((20.0, 15.0), 9.0),
    Slotted((50.0, 20.0), (70.0, 30.0), 9.0),
    CutOut(((100.0, 10.0), (130.0, 10.0), (100.0, 40.0))),
)
PARTS = (
    plate("upright", 200, 200, 50, 300),
    structs.replace(plate("arm", 250, 200, 150, 50), holes=HOLES),
    structs.replace(bar(CHANNEL, 140), id="rib", name="rib", x=260.0, y=300.0),
)
JOB, MADE = mirror_copy(laid(*PARTS), {p.id for p in PARTS}, (500.0, 0.0), (500.0, 1.0))


def test_a_mirrored_copy_is_no_finding() -> None:
    assert len(JOB.weldments) == 1  # the rib is loose, so the copies are more of the same
    job = structs.replace(
        JOB,
        weldments=(
            JOB.weldments[0],
            structs.replace(JOB.weldments[0], id="w2", name="RH", opposite_of="weldment-1"),
        ),
        parts=tuple(structs.replace(p, weldment="w2") if p.id in MADE else p for p in JOB.parts),
    )
    assert list(hand_findings(job, {})) == []
    arm = next(p.id for p in job.parts if p.weldment == "w2" and p.name.startswith("arm"))
    (found,) = hand_findings(shift_parts(job, {arm}, 0.0, 10.0), {})
    assert found.level == "look"
    assert set(found.ids) == {"arm", arm}
    assert found.what == (
        "RH is not the opposite hand of Weldment 1: arm, arm 2 have no match in"
        " the mirrored other one."
    )
    (lost,) = hand_findings(remove(job, {arm}), {})
    assert "arm" in lost.ids
    (empty,) = hand_findings(remove(job, MADE), {})
    assert len(empty.ids) == 3


def test_a_hole_in_another_place_is_found() -> None:
    line = through((500.0, 0.0), (500.0, 1.0))
    opposite = [mirrored(part, line) for part in PARTS]
    assert unlike_opposite(PARTS, opposite) == ()
    moved_hole = structs.replace(HOLES[0], at=(21.0, 15.0))
    other = [
        structs.replace(part, holes=(moved_hole, *HOLES[1:])) if part.id == "arm" else part
        for part in PARTS
    ]
    assert unlike_opposite(other, opposite) == ("arm", "arm")


@pytest.mark.source("method", "symmetry: mirrored, turned and moved, and turned over")
@given(
    st.floats(-3.0, 3.0),
    st.floats(-180.0, 180.0),
    st.tuples(st.floats(-500.0, 500.0), st.floats(-500.0, 500.0), st.floats(0.0, 200.0)),
)
def test_the_opposite_hand_is_known_wherever_it_lies(
    slope: float, angle: float, shift: tuple[float, float, float]
) -> None:
    line = through((500.0, 0.0), (500.0 + slope, 1.0))
    opposite = [moved(turned(mirrored(p, line), angle, (1.0, 2.0)), *shift) for p in PARTS]
    assert unlike_opposite(PARTS, opposite) == ()
    assert unlike_opposite(PARTS, PARTS) != ()
    high = max(p.z_high for p in PARTS)
    over = [turned_over(p, line, high) for p in opposite]  # the same again, turned over
    assert unlike_opposite(PARTS, over) == ()
