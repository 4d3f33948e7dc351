"""How whole jobs come out: frames with stops outside and pegs inside, lugs, hooks, other work."""

import math

import pytest
from msgspec import structs

from gridjig.model import Job, Plate, Weldment
from gridjig.proof.out.findings import out_findings
from gridjig.proof.out.free_ends import pulled_in
from gridjig.proof.out.report import Ways, out
from gridjig.proof.out.values import OutReport, WeldmentOut
from gridjig.rack import Piece, Rack, Shank, Solid
from tests.proof.frames import (
    INSIDE,
    clamps,
    frame,
    jigged,
    measured,
    pegged,
    rig,
    stops,
    tube,
    welded,
)
from tests.workshop import BOLT, RACK, box, laid, pin, put, seat


def report_of(job: Job) -> OutReport:
    one = rig(job)
    return out(one.job, one.placed, one.contacts)


def only(job: Job) -> WeldmentOut:
    (one,) = report_of(job).weldments
    return one


def said(job: Job) -> dict[str, str]:
    return {
        one.id: f"{one.level}: {one.what} {one.do}" for one in out_findings(job, report_of(job))
    }


def test_stops_outside_let_go() -> None:
    one = only(jigged(*clamps()))
    assert one.up
    assert one.verdict == "free"
    assert one.grip is None
    assert one.directions == ()
    assert [(off.id, off.why) for off in one.first_off] == [
        ("clamp-back", "clamps"),
        ("clamp-front", "clamps"),
    ]
    assert said(jigged(*clamps())) == {}


def test_stops_on_three_sides_leave_the_fourth() -> None:
    some = tuple(one for one in stops() if not one.id.startswith("back"))
    assert only(laid(*frame(), *some)).directions == ((90.0, 90.0),)
    some = tuple(one for one in stops() if one.id.startswith("front"))
    assert only(laid(*frame(), *some)).directions == ((0.0, 180.0),)


@pytest.mark.source("method", "two joints close by 2.04 each between pegs that touch both sides")
def test_pegs_inside_trap_the_frame() -> None:
    job = pegged(30.0, *INSIDE)
    one = only(job)
    assert one.verdict == "trapped"
    assert one.grip is not None
    assert one.grip.closing == pytest.approx((4.08, 4.08), abs=1e-4)
    assert one.grip.clearance == pytest.approx(0.0)
    assert one.grip.low == pytest.approx(4.08, abs=1e-4)
    assert set(one.grip.pieces) <= {"peg-0", "peg-1", "peg-2", "peg-3"}
    assert set(one.grip.parts) == {"front", "back"}
    assert not one.grip.captured
    assert {off.why for off in one.first_off} == {"inside"}
    assert report_of(job).trapped == one.grip.pieces
    (text,) = said(job).values()
    assert text.startswith("stop: The weldment closes on peg")
    assert "4.1 mm" in text


@pytest.mark.parametrize(
    ("radius", "mm", "spread", "verdict"),
    [
        (30.0, 0.2, 0.0, "trapped"),
        (29.9, 0.3, 0.1, "trapped"),
        (29.8, 0.2, 0.1, "tight"),
        (29.5, 0.2, 0.1, "free"),
    ],
)
def test_clearance_against_closing(radius: float, mm: float, spread: float, verdict: str) -> None:
    job = measured(pegged(radius, *INSIDE), mm, spread)
    one = only(job)
    assert one.verdict == verdict
    if one.grip is not None:
        assert one.grip.clearance == pytest.approx(2 * (30.0 - radius))
        assert one.grip.closing == pytest.approx((2 * (mm - spread), 2 * (mm + spread)), abs=1e-4)
        assert one.grip.high == pytest.approx(2 * (mm + spread) - 2 * (30 - radius), abs=1e-4)
    texts = list(said(job).values())
    assert len(texts) == (verdict != "free")
    if texts:
        assert texts[0].startswith("stop" if verdict == "trapped" else "look")


def test_pegs_along_the_ends_are_not_closed_on() -> None:
    """The uprights stand between front and back: they do not come nearer to one another."""
    job = pegged(30.0, (5, 7), (12, 7))
    assert only(job).verdict == "free"


def lugs(room: float) -> Job:
    """Two lugs on a bar, with a block between them that leaves some room."""
    block = Piece(
        id="block",
        name="spacer block",
        kind="other",
        solids=(Solid(box(-40, -20, 40, 20), 0, 40),),
        mounts=(Shank("p1", (-25, 0), BOLT), Shank("p2", (25, 0), BOLT)),
        faces=tuple(
            structs.replace(face, id=name)
            for face, name in (
                (RACK.piece("stop").faces[0], "left"),
                (RACK.piece("stop").faces[0], "right"),
            )
        ),
    )
    left, right = block.faces
    block = structs.replace(
        block,
        faces=(
            structs.replace(left, a=(-40, 20), b=(-40, -20), z_low=0, z_high=40),
            structs.replace(right, a=(40, -20), b=(40, 20), z_low=0, z_high=40),
        ),
    )
    rack = Rack(name="lugs", pieces=(*RACK.pieces, block))
    base = tube("base", 300, 225, 0, 400)
    parts = (
        base,
        _lug("one", 525 - 40 - room / 2 - 8, 250),
        _lug("two", 525 + 40 + room / 2, 250),
    )
    job = structs.replace(laid(*parts), rack=rack)
    return laid(put("block", "block", seat("p1", 9, 5), seat("p2", 10, 5)), job=job)


def _lug(name: str, x: float, y: float) -> Plate:
    return Plate(id=name, name=name, corners=box(0, 0, 8, 60), z_low=0, z_high=50, x=x, y=y)


def test_a_block_between_two_lugs_that_do_not_close_is_free() -> None:
    assert only(lugs(0.0)).verdict == "free"


def test_a_block_between_two_lugs_is_caught_when_the_bar_between_them_closes() -> None:
    """The bar is in two halves, butt-welded between the lugs."""
    job = lugs(0.1)
    halves = (tube("west", 300, 225, 0, 225), tube("east", 525, 225, 0, 200))
    job = structs.replace(job, parts=(*halves, *job.parts[1:]))
    one = only(job)
    assert one.verdict == "trapped"
    assert one.grip is not None
    assert one.grip.captured
    assert one.grip.pieces == ("block",)
    assert set(one.grip.parts) == {"one", "two"}
    assert one.grip.clearance == pytest.approx(0.1)
    (text,) = (t for k, t in said(job).items() if k.startswith("trapped"))
    assert "is caught between one and two" in text


def hook(foot: bool) -> Piece:
    """A post beside the work with a lug over it, and with a foot under it if asked."""
    solids = [Solid(box(-20, -20, 20, 20), 0, 80), Solid(box(-20, 20, 20, 60), 60, 80)]
    if foot:
        solids.append(Solid(box(-20, 20, 20, 60), 0, 10))
    return Piece(
        id="hook",
        name="hooked post",
        kind="other",
        solids=tuple(solids),
        mounts=(Shank("p", (0, 0), BOLT),),
    )


def hooked(foot: bool, z: float = 0.0) -> Job:
    rack = Rack(name="hooks", pieces=(*RACK.pieces, hook(foot)))
    parts = tuple(structs.replace(part, z_low=z) for part in frame())
    job = structs.replace(laid(*parts), rack=rack)
    return laid(put("hook", "hook", seat("p", 9, 3)), job=job)


def test_a_hooked_lug_has_to_come_off_first() -> None:
    job = hooked(foot=False)
    one = only(job)
    assert not one.up
    assert one.over == ("hook",)
    assert one.captured == ()
    assert [(off.id, off.why) for off in one.first_off] == [("hook", "over")]
    (text,) = said(job).values()
    assert text.startswith("look: The weldment does not lift straight up: hooked post is over it.")
    assert "Take off first, in this order: hooked post." in text


def test_a_hook_that_the_work_lies_on_is_captured() -> None:
    job = hooked(foot=True, z=10.0)
    one = only(job)
    assert one.captured == ("hook",)
    assert one.directions
    (text,) = said(job).values()
    assert "only be drawn out along the table" in text
    shut = laid(*stops(), job=job)
    one = only(shut)
    assert one.directions == ()
    (text,) = (t for k, t in said(shut).items() if k.startswith("trapped/over"))
    assert text.startswith("stop")


def test_a_clamps_bar_is_no_obstacle_once_it_is_open() -> None:
    one = only(laid(*frame(), *clamps()))
    assert one.up
    assert {off.id for off in one.first_off} == {"clamp-front", "clamp-back"}
    idle = put("idle", "clamp", seat("p", 8, 2), turn=90, reach=160)
    over = only(laid(*frame(), idle))
    assert over.up
    assert [off.id for off in over.first_off] == ["idle"]


def test_the_clamps_of_the_datum_are_opened_last() -> None:
    order = [off.id for off in only(jigged(*clamps())).first_off]
    assert order == ["clamp-back", "clamp-front"]


def test_what_is_on_top_of_a_hook_comes_off_before_it() -> None:
    cap = Piece(
        id="cap",
        name="cap",
        kind="other",
        solids=(Solid(box(-30, -30, 30, 30), 80, 90),),
        mounts=(Shank("p", (-25, -25), BOLT),),
    )
    job = hooked(foot=False)
    job = structs.replace(job, rack=structs.replace(job.rack, pieces=(*job.rack.pieces, cap)))
    job = laid(put("cap", "cap", seat("p", 8, 3)), job=job)
    one = only(job)
    assert not one.up
    assert [off.id for off in one.first_off if off.why == "over"] == ["cap", "hook"]


def test_another_weldment_on_top_comes_off_first() -> None:
    upper = structs.replace(tube("upper", 240, 245, 0, 300), z_low=50.0, weldment="two")
    job = structs.replace(
        laid(*frame(), upper), weldments=(Weldment(id="weldment-1"), Weldment(id="two"))
    )
    first, second = report_of(job).weldments
    assert not first.up
    assert first.over == ("upper",)
    assert second.up
    assert not report_of(job).up


@pytest.mark.source("method", "length x sine of the angle")
def test_a_leg_held_at_one_end_swings() -> None:
    assert pulled_in(300.0, 0.5) == pytest.approx(2.618, abs=0.0005)
    base, leg = tube("base", 300, 325, 0, 400), tube("leg", 325, 350, 90, 300)
    (end,) = [e for e in report_of(laid(base, leg)).free_ends if e.part == "leg"]
    assert end.length == pytest.approx(300.0)
    assert end.at == pytest.approx((325.0, 650.0))
    assert end.per_degree == pytest.approx(300 * math.sin(math.radians(1)))
    texts = said(laid(base, leg, pin("p", 2, 2)))
    assert any(
        "free end of leg, 300 mm away" in text and "2.6 mm" in text for text in texts.values()
    )
    assert report_of(laid(*frame())).free_ends == ()


def test_edits_are_followed_one_by_one() -> None:
    kept = Ways()
    jobs = [
        jigged(*clamps()),
        pegged(30.0, *INSIDE),
        measured(pegged(29.5, *INSIDE), 0.2),
        hooked(foot=True, z=10.0),
        laid(*frame()),
        laid(pin("a", 4, 4)),
    ]
    for job in jobs:
        one = rig(job)
        found = kept.of(one.job, one.placed, one.contacts)
        fresh = out(one.job, one.placed, one.contacts)
        assert found.weldments == fresh.weldments
        assert found.joints == fresh.joints
        assert found.free_ends == fresh.free_ends
        assert kept.of(one.job, one.placed, one.contacts).weldments == found.weldments


def test_nothing_is_said_without_pieces() -> None:
    assert said(structs.replace(laid(*frame()), welds=welded())) == {}
