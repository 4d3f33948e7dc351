"""What the sheet says of the work: release and its traps, people, cautions of just this job."""

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.values import JobContacts
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, Job, LabelScheme, Placement
from gridjig.model.labels import OFF
from gridjig.model.table import TableSide
from gridjig.proof.out.values import OffFirst, OutReport, Trap, WeldmentOut
from gridjig.sheets.setup.blocks import Heading, Note, Row, SheetBlock, SheetTable
from gridjig.sheets.setup.cautions import cautions
from gridjig.sheets.setup.cut_blocks import cut_blocks
from gridjig.sheets.setup.facing import counted_words, hole_words
from gridjig.sheets.setup.facts import KnownFacts, SheetFacts, facts_of
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.set_blocks import limit_words, table_words
from gridjig.sheets.setup.sheet import setup_sheet
from gridjig.sheets.setup.work_blocks import people, work_blocks
from gridjig.solve.placed.cache import PlacedPieces

from .test_sheet import found_fast, overlaps

GATE = load_job(samples()["2-harbour-gate"])
MARKET = load_job(samples()["1-market-trestle"])


def facts_with(job: Job, out: WeldmentOut | None = None, both: bool = False) -> SheetFacts:
    report = None if out is None else OutReport((out,), (), ())
    found = KnownFacts(PlacedPieces().of(job), JobContacts({}, {}, (), ()), (), report)
    return facts_of(job, SheetChoices(units="both" if both else "job"), found)


def told(blocks: list[SheetBlock]) -> str:
    words: list[str] = []
    for block in blocks:
        match block:
            case Heading() | Note():
                words.append(block.words)
            case SheetTable():
                words += [" | ".join(row.cells) for row in block.rows if isinstance(row, Row)]
    return "\n".join(words)


def out_of(**more: object) -> WeldmentOut:
    plain = WeldmentOut(GATE.weldments[0].id, True, (), (), (), (), None, "free")
    return structs.replace(plain, **more)


def test_a_trap_is_told_before_the_work_is_cold() -> None:
    pieces = (GATE.placements[0].id, GATE.placements[1].id)
    grip = Trap(pieces, (), (0.0, 0.0), 0.2, (0.5, 1.25), 0.3, 1.05, False)
    words = told(work_blocks(facts_with(GATE, out_of(grip=grip, verdict="trapped"))))
    assert "TRAP: the weldment closes on 1 and 2 by 0.5 mm to ≈1.3 mm as it cools" in words
    assert "there is 0.2 mm of clearance. Take it out before the work is cold." in words


def test_what_is_inside_or_over_the_work_comes_off_first_in_order() -> None:
    inside, over = GATE.placements[2].id, GATE.placements[3].id
    first = (OffFirst(inside, "inside"), OffFirst(over, "over"))
    facts = facts_with(GATE, out_of(first_off=first, up=False))
    words = told(work_blocks(facts))
    assert f"Take out {facts.numbers[inside]}: the weldment closes round it." in words
    assert f"in this order: No {facts.numbers[over]}." in words
    stuck = told(work_blocks(facts_with(GATE, out_of(up=False))))
    assert "It does not lift straight up: see what the checks say." in stuck


@pytest.mark.source("method", "arithmetic: each lifts at most what one may")
def test_people_are_counted_by_what_one_lifts() -> None:
    one = structs.replace(MARKET, shop=structs.replace(MARKET.shop, one_lifts=10.0))
    assert [people(one, kg) for kg in (1.0, 10.0, 10.1, 25.0, 200.0)] == [1, 1, 2, 3, 20]
    words = told(work_blocks(facts_with(one)))
    assert "2 people (over 22.0 lb each needs another)" in words
    assert any(one.startswith("Lifting. ") for one in cautions(facts_with(one)))
    light = structs.replace(MARKET, shop=structs.replace(MARKET.shop, one_lifts=1.5))
    assert "a hoist" in told(work_blocks(facts_with(light)))


def test_cautions_are_about_what_is_in_the_job() -> None:
    many = " ".join(cautions(facts_with(GATE)))
    assert "Pinch. Clamps " in many
    assert "Closed tubes." in many
    clamp = next(p for p in MARKET.placements if MARKET.rack.piece(p.piece).kind == "clamp")
    alone = structs.replace(MARKET, placements=(structs.replace(clamp, clamped_by_hand=True),))
    few = " ".join(cautions(facts_with(alone)))
    assert "Pinch. Clamp 1 closes on fingers" in few
    assert "Clamped by hand: 1." in few
    nothing = " ".join(cautions(facts_with(structs.replace(MARKET, placements=(), parts=()))))
    assert "Pinch" not in nothing
    assert "Closed tubes" not in nothing


def test_limits_are_given_in_both_units_where_lengths_are() -> None:
    assert limit_words(facts_with(GATE), 1.0) == "±1 mm"
    assert limit_words(facts_with(GATE, both=True), 1.0) == '±1 mm (±.039")'
    assert limit_words(facts_with(MARKET, both=True), 1.0) == '±.039" (±1 mm)'
    assert limit_words(facts_with(GATE), None) == "none given"


def test_a_hole_off_the_table_says_by_how_many() -> None:
    table = GATE.table
    assert hole_words(table, Hole(-2, 0)).startswith(OFF)
    assert "2 to the left" in hole_words(table, Hole(-2, 0))
    assert "1 to the right, 3 to the back" in hole_words(table, Hole(table.columns, table.rows + 2))
    assert counted_words(table, Hole(0, 0)) == ("1 from left", "1 from front")


@pytest.mark.parametrize("side", ["front", "back", "left", "right"])
def test_the_operator_stands_where_the_table_says_and_hides_nothing(side: TableSide) -> None:
    table = structs.replace(GATE.table, labels=LabelScheme(operator=side), pitch_y=99.0)
    job = structs.replace(GATE, table=table, placements=())
    page = setup_sheet(job, SheetChoices(), found=found_fast(job)).pages[0]
    assert overlaps(page) == []
    [word] = [t for t in page.texts if t.words.startswith("OPERATOR")]
    plan = [t for t in page.texts if t.words == "A" and t.size == 2.5]
    assert plan
    if side == "back":
        assert all(word.y < t.y for t in plan)
    elif side == "left":
        assert word.up
    else:
        assert any(word.y > t.y for t in plan)
    assert any("left to right" in line for line in table_words(facts_with(job)))


def test_the_cut_list_gives_both_units_where_they_are_asked_for() -> None:
    plain = told(cut_blocks(facts_with(GATE)))
    assert "1500 mm | 1500 mm | square both ends | 2 | 6.4 kg" in plain
    assert '"' not in plain
    both = told(cut_blocks(facts_with(GATE, both=True)))
    assert (
        '1500 mm (≈59.055") | 1500 mm (≈59.055") | square both ends | 2 | 6.4 kg (14.0 lb)' in both
    )
    assert '50x50x3: 4500 mm (≈177.165"), 19.1 kg (42.1 lb)' in both


def test_a_part_is_seated_against_a_stop_whose_gap_was_accepted() -> None:
    end = next(p for p in GATE.placements if p.piece == "stop-adjustable")
    back = structs.replace(end, slide=end.slide - 0.1)
    assert _seat_of("Right stile", GATE) == "4"
    assert _seat_of("Right stile", _with(back)) == "its neighbours"
    assert _seat_of("Right stile", _with(structs.replace(back, accepted_gap=0.1))) == "4"


def _with(placement: Placement) -> Job:
    others = (placement if p.id == placement.id else p for p in GATE.placements)
    return structs.replace(GATE, placements=tuple(others))


def _seat_of(part: str, job: Job) -> str:
    """What the list of loading says that a part is seated against."""
    placed = PlacedPieces().of(job)
    known = KnownFacts(placed, contacts(job, placed), ())
    lines = told(work_blocks(facts_of(job, SheetChoices(), known))).splitlines()
    at = next(k for k, line in enumerate(lines) if f" | {part}" in line)
    return lines[at + 1].split(" | ")[1]
