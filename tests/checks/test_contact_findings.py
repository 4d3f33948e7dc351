"""What the contacts show to be wrong: each finding has a job that has it, and one that has not."""

import math
import random

import pytest
from msgspec import structs

from gridjig.checks.findings import NOT_LOOKED_AT, Finding, Findings, findings
from gridjig.contact.accepted import open_gap
from gridjig.contact.book import Contacts, contacts
from gridjig.edits.placements import set_accepted_gap
from gridjig.edits.weldment_list import add_weldment, move_parts
from gridjig.model import Hole, Job, Part, Placement, Plate
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import BARE, PUSH, WITH_TURNING, lay, shims, turned
from tests.workshop import RISER, TABLE, box, pin, plate, put, seat, stop

PUSHING = structs.replace(WITH_TURNING, pieces=(*WITH_TURNING.pieces, PUSH))
X, Y = TABLE.at(Hole(5, 5))


def said(job: Job) -> dict[str, Finding]:
    every = findings(job, PlacedPieces().of(job))
    assert every
    for finding in every:
        assert finding.what.endswith(".")
        assert finding.level == "fine" or finding.do.endswith(".")
        assert all(job.find(one) for one in finding.ids)
    return {finding.id: finding for finding in every}


def block(gap: float = 0.0, low: float = 0.0, high: float = 50.0) -> Plate:
    """A block of 200 by 100 whose front face lies `gap` off the face of `turned("s", 5, 5, 0)`."""
    made = plate("w", X - 100.0, Y + 12.0 + gap, 200.0, 100.0)
    return structs.replace(made, name="Block", z_low=low, z_high=high)


def beside(*things: Placement | Part, gap: float = 0.0) -> Job:
    """A block that a stop touches, and more."""
    return lay(turned("s", 5, 5, 0.0), block(gap), *things, rack=PUSHING)


# -- pieces that do not touch ----------------------------------------------------------------------


@pytest.mark.source("method", "arithmetic: the face lies 12 mm from the hole, the block 12 + gap")
def test_a_stop_that_does_not_reach_says_by_how_much_and_what_to_do() -> None:
    finding = said(beside(gap=3.5))["gap/s"]
    assert finding.level == "look"
    assert finding.what == "one-pin stop does not reach the work: gap 3.5 mm to Block, front face."
    assert finding.do == (
        "Put 3.5 mm of packing in front of it, or move it or the work until they touch."
    )
    assert finding.ids == ("s", "w")
    assert finding.where == pytest.approx((X + 5.0, Y + 15.5))  # the face reaches from -20 to 30
    assert "gap/s" not in said(beside())
    assert "gap/s" in said(beside(gap=0.051))
    assert "gap/s" not in said(beside(gap=0.049))


def test_packing_is_offered_only_where_a_shim_is_thin_enough() -> None:
    """The thinnest shim of this rack is 1 mm."""
    assert said(beside(gap=0.9))["gap/s"].do == (
        "No shim on the rack is that thin: to leave it open, choose “Gap accepted” in the Piece"
        " menu; or move the work until they touch."
    )
    assert "packing" in said(beside(gap=1.0))["gap/s"].do


@pytest.mark.source("method", "counting: the rack owns the shims, and what is in use is not on it")
def test_a_shim_is_offered_only_while_the_rack_has_one_left() -> None:
    """A gap of 9.5 mm, 5 mm of it packed: the rack has one shim of 2 mm, and two of 1 mm."""
    rack = structs.replace(
        BARE, pieces=(*BARE.pieces, *shims(5.0), *shims(2.0, each=1), *shims(1.0))
    )
    packed = structs.replace(turned("s", 5, 5, 0.0), packing=("s5",))

    def do(*elsewhere: str) -> str:
        there = structs.replace(turned("t", 12, 2, 0.0), packing=elsewhere)
        return told(lay(packed, there, block(9.5), rack=rack))["gap/s"].do

    kept = Findings()

    def told(job: Job) -> dict[str, Finding]:
        stands = PlacedPieces().of(job)
        again = kept.of(job, stands, contacts(job, stands))  # the same book for every job
        assert list(again) == list(Findings().of(job, stands, contacts(job, stands)))
        return {finding.id: finding for finding in again}

    assert do().startswith("Add a shim of 2 mm, ")
    assert do("s2").startswith("Add a shim of 1 mm, ")
    assert do("s2", "s1", "s1") == (
        "No shim that thin is left on the rack: free one that stands elsewhere, or move the work"
        " until they touch."
    )
    assert do("s2", "s1").startswith("Add a shim of 1 mm, ")
    bare = lay(structs.replace(packed, packing=()), block(0.9), rack=rack)
    assert told(bare)["gap/s"].do.startswith("No shim on the rack is that thin: ")
    taken = structs.replace(turned("t", 12, 2, 0.0), packing=("s5", "s2", "s1", "s1"))
    bare = lay(structs.replace(packed, packing=()), taken, block(4.0), rack=rack)
    assert told(bare)["gap/s"].do.startswith("No shim that thin is left on the rack: ")


def test_a_gap_that_is_accepted_is_told_in_green_and_a_wider_one_is_not() -> None:
    def off(gap: float) -> Job:
        return lay(pin("s", 5, 5), plate("w", X - 30.0, Y + 15.0 + gap))

    job = off(0.4)
    gap = open_gap(contacts(job, PlacedPieces().of(job)), "s")
    assert gap == pytest.approx(0.4)
    assert "gap/s" in said(job)
    every = said(set_accepted_gap(job, "s", gap))
    assert "gap/s" not in every
    assert "; 1 is within its accepted gap of 0.4 mm. " in every["fine/gaps"].what
    assert "gap/s" in said(set_accepted_gap(off(0.6), "s", gap))
    x, y = TABLE.at(Hole(12, 12))
    two = lay(pin("s", 5, 5), *job.parts, pin("t", 12, 12), plate("v", x - 30.0, y + 15.0))
    told = said(set_accepted_gap(two, "s", gap))["fine/gaps"].what
    assert "; 1 touches the work and 1 is within its accepted gap of 0.4 mm. " in told


def test_a_gap_that_was_accepted_and_is_closed_is_not_told_as_open() -> None:
    x, y = TABLE.at(Hole(5, 5))
    job = lay(pin("s", 5, 5), plate("w", x - 30.0, y + 15.0))
    every = said(set_accepted_gap(job, "s", 0.4))
    assert list(every) == ["fine/contacts"]
    assert "; each touches the work. " in every["fine/contacts"].what


def test_only_a_small_gap_beside_the_work_can_be_accepted() -> None:
    def offered(job: Job) -> float:
        return open_gap(contacts(job, PlacedPieces().of(job)), "s")

    assert offered(beside(gap=2.0)) == pytest.approx(2.0)
    assert offered(beside(gap=2.1)) == 0.0
    assert offered(beside()) == 0.0  # it touches
    assert offered(lay(pin("other", 5, 5))) == 0.0


def test_what_slides_is_to_be_slid() -> None:
    slider = put("a", "slider", seat("s", 5, 8), seat("s", 6, 8), slide=20.0)
    job = lay(slider, plate("w", TABLE.at(Hole(5, 8))[0] + 113.0, 300.0, 50.0, 300.0))
    assert said(job)["gap/a"].do.startswith("Slide it in by 3 mm, or put 3 mm of packing")


def test_a_pin_beside_a_face_that_it_does_not_reach() -> None:
    """Its body has a radius of 15 mm."""
    job = lay(pin("p", 5, 5), plate("w", X - 100.0, Y + 22.4, 200.0, 100.0))
    assert said(job)["gap/p"].what == (
        "locating pin does not reach the work: gap 7.4 mm to w, front face."
    )
    close = lay(pin("p", 5, 5), plate("w", X - 100.0, Y + 15.0, 200.0, 100.0))
    assert list(said(close)) == ["fine/contacts"]


def test_what_has_nothing_before_it() -> None:
    away = beside(turned("t", 5, 3, 180.0))
    assert said(away)["idle/t"].what == (
        "one-pin stop at F4 touches nothing: no part is within 150 mm in front of it."
    )
    assert not any(one.startswith("idle") for one in said(beside()))


def test_a_rest_that_carries_nothing() -> None:
    away = beside(put("r", "riser", seat("p", 12, 12)))
    assert said(away)["idle/r"].what == "riser supports nothing: no part is above it."
    low = lay(put("r", "riser", seat("p", 5, 6)), block(low=52.0, high=100.0))
    under = said(low)["gap/r"]
    assert under.what == "riser supports nothing: gap 2 mm to Block, underside."
    assert under.do == "Raise it by 2 mm with a riser or shims, or take it off the table."
    assert under.where == pytest.approx(TABLE.at(Hole(5, 6)))
    carried = lay(put("r", "riser", seat("p", 5, 6)), block(low=50.0, high=100.0))
    assert "gap/r" not in said(carried)
    assert "idle/r" not in said(carried)


def test_without_a_weldment_nothing_is_said_of_touching() -> None:
    assert list(said(lay(stop("s", 3, 3), put("r", "riser", seat("p", 9, 9))))) == ["fine"]


def test_what_stands_in_the_work_is_said_once() -> None:
    assert list(said(beside(gap=-5.0))) == ["body/s/w", "turns/s"]


# -- clamps ----------------------------------------------------------------------------------------


def clamp(reach: float, row: int = 6, kind: str = "clamp") -> Placement:
    """A clamp whose post stands right of the block, its tip to the left."""
    return put("c", kind, seat("p", 9, row), turn=180.0, reach=reach)


@pytest.mark.source("method", "arithmetic: post 200 mm right of the middle, block 100 mm half wide")
def test_a_clamp_on_the_bare_table() -> None:
    bare = said(beside(clamp(80.0)))["clamp/c"]
    assert bare.what == "down clamp presses on the bare table: no part is under its tip."
    assert bare.where == pytest.approx((X + 120.0, TABLE.at(Hole(9, 6))[1]))
    assert "clamp/c" not in said(beside(clamp(120.0)))


def test_a_clamp_that_presses_beside_the_flat() -> None:
    edge = said(beside(clamp(95.0)))["clamp/c"]
    assert edge.what == (
        "down clamp presses beside the flat of Block, top: the middle of its tip is off the face."
    )


@pytest.mark.parametrize(
    ("high", "words"),
    [(45.0, "down clamp cannot press there: Block, top, is 5 mm too low for it."), (50.0, "")],
)
def test_a_clamp_beyond_its_height(high: float, words: str) -> None:
    """On a riser of 50 mm its tip goes from 50 to 120 mm."""
    raised = structs.replace(clamp(120.0), lift=("riser",))
    every = said(lay(turned("s", 5, 5, 0.0), block(high=high), raised))
    assert ("clamp/c" in every) == bool(words)
    assert not words or every["clamp/c"].what == words


def test_a_push_clamp_that_does_not_reach() -> None:
    """It pushes a block whose right face is 100 mm away; it reaches 60 to 160."""
    job = beside(clamp(90.0, kind="push"))
    short = said(job)["clamp/c"]
    assert short.what == "down clamp does not reach the work: gap 10 mm to Block, right face."
    assert short.do == "Give it 10 mm more reach."


@pytest.mark.source(
    "method", "arithmetic: post 150 mm off the block, which the reach falls short of"
)
def test_a_push_clamp_that_is_out_as_far_as_it_goes() -> None:
    """It reaches 160 mm; the block is 200 mm away from a post one column farther to the right."""
    far = put("c", "push", seat("p", 11, 6), turn=180.0, reach=155.0)
    finding = said(beside(far))["clamp/c"]
    assert finding.what == "down clamp does not reach the work: gap 45 mm to Block, right face."
    assert finding.do.endswith(": move it nearer to the work.")
    assert "more reach" not in finding.do


def test_a_push_clamp_with_nothing_before_it() -> None:
    away = put("c", "push", seat("p", 15, 6), turn=0.0, reach=100.0)
    finding = said(beside(away))["clamp/c"]
    assert finding.what.startswith("down clamp presses on nothing: no part ")
    assert "within 150 mm in front of its tip" in finding.what
    assert "set its reach, or take it off the table" in finding.do


def test_a_piece_with_nothing_that_could_touch_is_not_called_idle() -> None:
    plain = structs.replace(RISER, id="plain", rests=())
    rack = structs.replace(PUSHING, pieces=(*PUSHING.pieces, plain))
    every = said(
        lay(turned("s", 5, 5, 0.0), block(), put("p", "plain", seat("p", 12, 12)), rack=rack)
    )
    assert not {key for key in every if key.endswith("/p")}


def test_a_push_that_nothing_stands_against() -> None:
    pushed = clamp(100.0, kind="push")
    loose = said(beside(pushed))["unsupported/c"]
    assert loose.what == "down clamp pushes Block and nothing on the other side holds it."
    # A pin of 15 mm at the left face, in another block that this one lies against.
    x, y = TABLE.at(Hole(1, 6))
    other = plate("v", x + 15.0, y - 20.0, X - 100.0 - x - 15.0, 40.0)
    held = beside(pushed, pin("p", 1, 6), structs.replace(other, z_high=50.0))
    assert "unsupported/c" not in said(held)


RAIL = structs.replace(plate("w", 150.0, 380.0, 600.0, 40.0), z_low=50.0, z_high=90.0, name="Rail")
"""On row 7 (y = 400), half of it on either side, 50 mm up, from x = 150 to 750."""


def riser(name: str, col: int) -> Placement:
    return put(name, "riser", seat("p", col, 7))


def pressing(col: int) -> Placement:
    high = structs.replace(put("c", "clamp", seat("p", col, 9), turn=-90.0, reach=100.0))
    return structs.replace(high, lift=("riser",))


@pytest.mark.source(
    "practice", "common shop practice: a clamp belongs over a support, or it bows the tube"
)
def test_a_clamp_between_supports_bends_the_part() -> None:
    between = said(lay(RAIL, riser("r1", 3), riser("r2", 14), pressing(8)))
    bends = between["unsupported/c"]
    # The riser's rest has a radius of 18 mm; its middle is 5 holes or 250 mm away.
    assert bends.what == (
        "down clamp presses on Rail where nothing is under it: the part will bend."
        " The nearest support, riser at D8, is 232 mm away."
    )
    assert bends.ids == ("c", "w")
    assert list(said(lay(RAIL, riser("r1", 3), riser("r2", 14), pressing(3)))) == ["fine/contacts"]


def test_a_clamp_on_a_part_that_lies_on_nothing() -> None:
    every = said(lay(RAIL, pressing(8)))
    assert "with nothing under it" in every["unsupported/c"].what
    assert "Nothing supports Rail: it is 50 mm above the table." in every["carried/w"].what


# -- parts -----------------------------------------------------------------------------------------


def test_parts_in_one_another() -> None:
    one, other = block(), structs.replace(plate("v", X + 60.0, Y + 50.0), name="Lug")
    job = lay(turned("s", 5, 5, 0.0), one, other)
    clash = said(job)["parts/w/v"]
    assert (clash.level, clash.ids) == ("stop", ("w", "v"))
    assert clash.what.startswith("Block and Lug overlap by ")
    beside_it = structs.replace(other, x=X + 100.0)
    assert not any(
        k.startswith("parts/") for k in said(lay(turned("s", 5, 5, 0.0), one, beside_it))
    )


@pytest.mark.source("method", "statics: it tips if its centre of gravity is not over its supports")
def test_what_carries_a_part() -> None:
    """The rail's middle is at x = 450, the riser's rest goes 18 mm to either side of its hole."""
    lone = said(lay(RAIL, riser("r1", 8)))
    assert lone["carried/w"].what == "Rail rests on riser alone and can rock."
    tips = said(lay(RAIL, riser("r1", 3), riser("r2", 7)))["carried/w"]
    assert tips.what == (
        "Rail tips: its centre of gravity is 32 mm outside riser at D8 and riser at H8."
    )
    assert tips.where == pytest.approx((450.0, 400.0))
    assert list(said(lay(RAIL, riser("r1", 3), riser("r2", 9)))) == ["fine/contacts"]


def test_a_lug_alone_under_a_part() -> None:
    lug = structs.replace(plate("lug", 430.0, 380.0, 40.0, 40.0), z_high=50.0, name="Lug")
    held = pin("p", 20, 17)
    assert said(lay(RAIL, lug, held))["carried/w"].what == "Rail rests on Lug alone and can rock."
    wide = structs.replace(lug, x=200.0, corners=box(0.0, 0.0, 500.0, 40.0))
    assert "carried/w" not in said(lay(RAIL, wide, held))


# -- green -----------------------------------------------------------------------------------------


def test_green_says_what_was_looked_at_and_what_was_not() -> None:
    fine = said(lay(RAIL, riser("r1", 3), riser("r2", 14), pressing(3)))["fine/contacts"]
    assert fine.what == (
        "Nothing overlaps; 3 pieces sit in 3 holes; each touches the work;"
        f" every raised part is supported; every clamp has a support behind it. {NOT_LOOKED_AT}"
    )
    low = lay(pin("p", 5, 5), plate("w", X - 100.0, Y + 15.0, 200.0, 100.0))
    assert said(low)["fine/contacts"].what == (
        f"Nothing overlaps; 1 piece sits in 1 hole; each touches the work. {NOT_LOOKED_AT}"
    )
    alone = structs.replace(low, placements=())
    assert said(alone)["fine/parts"].what == (
        "The part does not hang over the edge. No piece is placed yet, so nothing else was checked."
    )


@pytest.mark.source("method", "the roles and overlaps of the contact model, asked one by one")
def test_green_only_if_nothing_is_idle_open_or_in_one_another() -> None:
    chance = random.Random(11)
    green = red = 0
    for _ in range(150):
        job = lay(
            turned("s", 5, 5, 0.0),
            block(chance.choice([0.0, 0.0, 0.04, 0.3, -1.0]), low=chance.choice([0.0, 0.0, 10.0])),
            pin("p", 9, chance.choice([8, 9])),
            clamp(chance.choice([75.0, 120.0])) if chance.random() < 0.4 else pin("q", 20, 17),
        )
        if chance.random() < 0.6:
            job = structs.replace(job, placements=job.placements[:1])
        every = said(job)
        model = contacts(job, PlacedPieces().of(job))
        bad = [*model.idle(), *model.overlaps()]
        bad += [k for k, r in model.roles.items() if r.what == "idle"]
        bad += [p.id for p in job.parts if p.z_low > 0.05]  # nothing is put under it here
        clear = all(f.id.startswith(("turns/", "fine/")) for f in every.values())
        assert clear == (not bad), (sorted(every), bad)
        green += clear
        red += not clear
    assert green >= 10
    assert red >= 10


def test_a_check_after_an_edit_keeps_what_it_knew() -> None:
    keeper, placed = Contacts(), PlacedPieces()
    job = lay(RAIL, riser("r1", 3), riser("r2", 14), pressing(3), pin("p", 20, 17))
    before = findings(job, placed.of(job), kept=keeper)
    known = keeper.of(job, placed.of(job))
    moved = structs.replace(job, placements=(*job.placements[:-1], pin("p", 20, 16)))
    after = findings(moved, placed.of(moved), kept=keeper)
    now = keeper.of(moved, placed.of(moved))
    assert [f.id for f in before] == [f.id for f in after] == ["idle/p"]
    kept = [k for k in ("r1", "r2", "c") if now.pieces[k] is known.pieces[k]]
    assert kept == ["r1", "r2", "c"]
    assert now.pieces["p"] is not known.pieces["p"]
    assert math.dist(before[0].where or (0, 0), after[0].where or (0, 0)) == pytest.approx(50.0)


def test_green_says_what_is_trusted_and_not_looked_at() -> None:
    job = beside(gap=0.0)
    turning = structs.replace(
        job,
        placements=tuple(
            structs.replace(p, clamped_by_hand=True) if p.id == "s" else p for p in job.placements
        ),
    )
    assert "turns/s" in said(job)
    (fine,) = said(turning).values()
    assert fine.level == "fine"
    assert "1 piece is trusted to be clamped by hand" in fine.what


def test_two_weldments_that_overlap_are_to_be_moved_apart() -> None:
    job, second = add_weldment(lay(block(), plate("v", X, Y + 50.0)), "Other")
    parts = [part.id for part in job.parts]
    (one,) = [f for f in said(job).values() if f.id.startswith("parts/")]
    assert one.do == "Trim, cope or notch one of them, or move it."
    (two,) = [
        f for f in said(move_parts(job, {parts[1]}, second)).values() if f.id.startswith("parts/")
    ]
    assert two.do == "Move Weldment 1 and Other apart: they are two weldments."
