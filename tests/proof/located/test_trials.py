"""The trial weldments laid out by hand: what their jigs locate, and what they do not."""

import pytest

from gridjig.proof.held.findings import held_findings
from gridjig.proof.located.findings import located_findings
from tests.proof.layouts import LAYOUTS, Proved, layout

BY_HAND = "by hand: which stops of the trial's layout stand against which member"


@pytest.mark.parametrize("trial", list(LAYOUTS))
def test_a_hand_made_layout_has_no_stop(trial: str) -> None:
    """Nothing that a good hand does is called impossible; each layout has something to say of."""
    proved = Proved(layout(trial))
    found = [
        *located_findings(proved.job, proved.located),
        *held_findings(proved.job, proved.held),
    ]
    assert found
    assert [one for one in found if one.level == "stop"] == []
    assert len({one.id for one in found}) == len(found)
    every = {thing.id for thing in (*proved.job.parts, *proved.job.placements)}
    for one in found:
        assert one.what.endswith(".")
        assert one.do.endswith(".")
        assert one.where is not None
        assert one.ids
        assert every.issuperset(one.ids)


@pytest.mark.parametrize(
    ("trial", "order"),
    [
        ("T01", ["A bottom", "C left", "D right", "B top"]),
        ("T04", ["U upright", "H arm", "K brace"]),
        ("T06", ["B base", "S strut", "E end plate 3x.25"]),
    ],
)
@pytest.mark.source("practice", "parts on stops first, what leans on them next, braces last")
def test_the_proposed_order_loads_what_is_on_stops_first_and_braces_last(
    trial: str, order: list[str]
) -> None:
    assert Proved(layout(trial)).order() == order


@pytest.mark.source("method", BY_HAND)
def test_the_square_frame_is_located_but_two_bars_slide_until_tacked() -> None:
    """Six stops hold the frame, three too many; none of them stands at the end of A or B."""
    proved = Proved(layout("T01"))
    (whole,) = proved.located.weldments
    assert whole.located == "over-located"
    assert sorted(proved.named(whole.spare)) == ["B far", "B far 2", "D far"]
    assert whole.fight is None
    assert whole.closed
    for name in ("A bottom", "B top"):
        bar = proved.part(name)
        assert bar.located == "loose"
        assert bar.motion is not None
        assert (bar.motion.kind, bar.motion.direction) == ("slide", (1.0, 0.0))
    for name in ("C left", "D right"):
        bar = proved.part(name)
        assert bar.located == "located"
        assert bar.short is not None  # by one stop and a sawn end 2 in wide


@pytest.mark.source("method", BY_HAND)
def test_the_findings_say_what_is_missing_in_shop_words() -> None:
    proved = Proved(layout("T01"))
    said = {one.id: one for one in located_findings(proved.job, proved.located)}
    a = said["loose/member-1"]
    assert (a.kind, a.level) == ("loose", "look")
    assert a.what == "A bottom can slide along its length."
    assert a.do == "Set an end stop."
    assert set(a.ids) >= {"member-1", "stop-1", "stop-2"}
    spare = said["spare/weldment-1/member-1"]
    assert (spare.kind, spare.level, spare.value) == ("over-located", "note", 3.0)


@pytest.mark.source("method", BY_HAND)
def test_the_brace_is_located_once_both_legs_are_in() -> None:
    """Its sawn ends alone hold it, on short faces; with two pins along it no longer."""
    proved = Proved(layout("T04"))
    assert proved.part("U upright").located == "located"
    brace = proved.part("K brace")
    assert brace.order == 3
    assert brace.motion is None
    assert brace.carried.how == "supports"
    assert {"U upright", "H arm", "Pin I12", "Pin L9"} == set(proved.named(brace.contacts))
    assert brace.short is None


@pytest.mark.source("method", BY_HAND)
def test_the_strut_is_located_by_its_seat_and_two_pins() -> None:
    proved = Proved(layout("T06"))
    strut = proved.part("S strut")
    assert (strut.located, strut.short) == ("located", None)
    plate = proved.part("E end plate 3x.25")
    assert plate.motion is not None
    assert plate.motion.kind == "slide"
    assert plate.motion.direction == pytest.approx((0.60876, -0.79335), abs=1e-5)


@pytest.mark.source("method", BY_HAND)
def test_face_down_the_machine_base_carries_its_feet_on_top() -> None:
    """The feet are loaded last and lie on the rails; no stop stands against them."""
    proved = Proved(layout("T10"))
    assert proved.order()[-4:] == [f"P{n} foot plate" for n in (1, 2, 3, 4)]
    for n in (1, 2, 3, 4):
        foot = proved.part(f"P{n} foot plate")
        assert foot.motion is not None
        assert foot.motion.kind == "free"
        assert foot.carried.how == "supports"
    said = {one.id: one for one in located_findings(proved.job, proved.located)}
    assert said["loose/untouched"].level == "look"
    assert "P1 foot plate, P2 foot plate and 2 more" in said["loose/untouched"].what
