"""What changed between two jobs, in words: every edit is named, every field has its words."""

import random
from collections.abc import Sequence

import pytest
from hypothesis import given
from msgspec import structs

from gridjig.edits import details, loading, placements, selection, table
from gridjig.edits.comparison import compare
from gridjig.model import (
    CutOut,
    Datum,
    Display,
    Drilled,
    EndCut,
    FaceOf,
    Hole,
    HoleMark,
    Job,
    JointOf,
    LabelScheme,
    Member,
    Placement,
    Plate,
    Table,
    TitleBlock,
    Weld,
    Weldment,
    WeldPlan,
)
from gridjig.model.cutting import Sawing, StockBar
from gridjig.model.job import Seat
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Rack
from gridjig.sheets.text.change_text import (
    change_lines,
    changes_text,
    count_of_changes,
    for_the_notes,
    gathered,
)
from gridjig.sheets.text.field_changes import FIELD_WORDS
from tests.files.somejobs import jobs
from tests.stock import ANGLE, FLAT, SQUARE, bar
from tests.test_random_actions import START, Hand
from tests.workshop import EMPTY, RACK, TABLE, laid, pin, plate, put, seat, stop

RAIL = structs.replace(bar(ANGLE, 600), id="rail", name="Rail", x=200, y=200)
GUSSET = structs.replace(plate("gusset", 300, 300), name="Gusset", holes=(Drilled((20, 20), 14),))
JOB = laid(
    stop("s", 3, 3),
    put("a", "slider", seat("s", 5, 5), slide=20),
    pin("p", 9, 9),
    RAIL,
    GUSSET,
    job=structs.replace(EMPTY, drawing="HM-1", revision="A", notes="Old"),
)


def told(new: Job, old: Job = JOB) -> list[str]:
    return [line.text for line in change_lines(old, new)]


def with_rail(**fields: object) -> Job:
    return structs.replace(JOB, parts=(structs.replace(RAIL, **fields), JOB.parts[1]))


def with_gusset(**fields: object) -> Job:
    return structs.replace(JOB, parts=(JOB.parts[0], structs.replace(GUSSET, **fields)))


def with_piece(thing_id: str, **fields: object) -> Job:
    things = tuple(
        structs.replace(one, **fields) if one.id == thing_id else one for one in JOB.placements
    )
    return structs.replace(JOB, placements=things)


def test_every_field_that_can_differ_has_its_words() -> None:
    """A field added to a job without words for it fails here."""
    keys = {
        Job: {"table", "rack", "weldments", "parts", "placements", "welds", "critical"},
        Weldment: {"id"},
        Member: {"id"},
        Plate: {"id"},
        Weld: {"nth"},
        Placement: {"id"},
        Table: {"marks"},
        HoleMark: {"hole"},
        Rack: {"pieces"},
    }
    assert set(FIELD_WORDS) == set(keys)
    for kind, without in keys.items():
        assert set(FIELD_WORDS[kind]) == set(kind.__struct_fields__) - without, kind


def swapped_features(seats: Sequence[Seat]) -> tuple[Seat, ...]:
    """The same holes, each with the feature of another."""
    pairs = zip(seats, seats[::-1], strict=True)
    return tuple(structs.replace(one, feature=other.feature) for one, other in pairs)


CASES: list[tuple[Job, str]] = [
    (with_rail(length=650.0), "Rail: length to long point 600 mm to 650 mm (+50 mm)"),
    (with_rail(x=212.5, y=190.0), "Rail: moved 12.5 mm to the right, 10 mm to the front"),
    (with_rail(turn=15.0), "Rail: turned from 0° to 15°"),
    (with_rail(x=200.0000001), "Rail: moved by less than can be shown"),
    (with_rail(section=FLAT), "Rail: section L60x40x5 angle to 50x6 flat"),
    (
        with_rail(section=structs.replace(ANGLE, wall=6.0)),
        "Rail: section L60x40x5: wall 5 mm to 6 mm (+1 mm)",
    ),
    (
        with_rail(start=EndCut("mitre", 45.0), length=580.0),
        "Rail: length on the centre line 600 mm to 580 mm (−20 mm); start cut square to mitre 45°",
    ),
    (with_rail(end=EndCut("mitre", -30.0)), "Rail: end cut square to mitre 30°"),
    (with_rail(mirrored=True), "Rail: lies 60 mm leg below, heel on the right to 60 mm leg below"),
    (with_rail(way_up=180), "Rail: lies 60 mm leg below, heel on the right to 60 mm leg above"),
    (with_rail(z_low=6.0, line_kept="left"), "underside 0 mm to 6 mm (+6 mm)"),
    (with_rail(line_kept="left"), "Rail: line kept centre to left"),
    (with_rail(measured=(60.4, 0.0)), "Rail: measured size as listed to 60.4 mm x listed"),
    (with_gusset(z_high=8.0), "Gusset: height through 6 mm to 8 mm (+2 mm)"),
    (with_gusset(z_low=10.0, z_high=16.0), "Gusset: underside 0 mm to 10 mm (+10 mm)"),
    (
        with_gusset(corners=((0, 0), (120, 0), (0, 60))),
        "Gusset: outline 100 mm x 60 mm to 120 mm x 60 mm, corners 4 to 3",
    ),
    (
        with_gusset(holes=(*GUSSET.holes, Drilled((80, 20), 14))),
        "Gusset: holes Ø14 mm to 2 × Ø14 mm",
    ),
    (with_gusset(holes=(Drilled((22, 20), 14),)), "Gusset: 1 of 1 holes moved"),
    (with_gusset(holes=(CutOut(((9, 9), (29, 9), (9, 39))),)), "to opening 20 mm x 30 mm"),
    (with_gusset(holes=()), "Gusset: holes Ø14 mm to none"),
    (with_gusset(name="Web"), "Gusset: renamed from “Gusset” to “Web”"),
    (with_piece("a", slide=27.5), "adjustable stop at F6: face from the hole"),
    (with_piece("a", slide=27.5), "(−7.5 mm)"),
    (with_piece("s", packing=("shim",)), "packing none to shim 1 mm, face from the hole"),
    (
        with_piece("s", lift=("riser", "riser")),
        "fixed stop at D4 + E4: stack under it none to 2 × ",
    ),
    (with_piece("s", flipped=True), "fixed stop at D4 + E4: turned over"),
    (with_piece("s", turn=90.0), "turned from 0° to 90°"),
    (with_piece("s", leaf=9.0, reach=5.0), "leaf 0° to 9°; reach 0 mm to 5 mm (+5 mm)"),
    (with_piece("s", clamped_by_hand=True), "clamped by hand"),
    (with_piece("s", accepted_gap=0.3), "gap accepted 0 mm to 0.3 mm"),
    (with_piece("s", force=250.0), "presses with not set to 250 N"),
    (with_piece("s", note="Check"), "note written"),
    (with_piece("p", piece="riser"), "pin at J10: piece"),
    (
        selection.shift(JOB, {"s"}, 1, -2),
        "fixed stop at D4 + E4: moved 1 hole to the right and 2 holes to the front, to E2 + F2",
    ),
    (placements.rename(JOB, "p", "Left"), "pin at J10: named “Left”"),
    (selection.remove(JOB, {"p"}), "pin: removed from J10"),
    (selection.remove(JOB, {"rail"}), "Rail: removed"),
    (laid(pin("q", 1, 1), job=JOB), "pin: added in B2"),
    (table.mark_holes(JOB, {Hole(1, 1)}, "shallow", 12.0), "B2: marked shallow, 12 mm"),
    (details.set_drawing(JOB, "HM-1", "B"), "Job: revision A to B"),
    (details.set_notes(JOB, ""), "Job: notes taken away"),
    (loading.set_clamp_force(JOB, 1500.0), "Job: force of a clamp 1000 N to 1500 N"),
    (loading.set_friction(JOB, 0.2), "Job: friction 0.15 to 0.2"),
    (
        loading.set_loading_order(JOB, "weldment-1", ("gusset", "rail")),
        "The weldment: order of loading as proposed to Gusset, Rail",
    ),
    (details.set_saw(JOB, 45.0), "Job: saw cuts up to 60° to 45°"),
    (details.set_display(JOB, Display()), "Job: lengths shown in millimetres to inch fractions"),
    (structs.replace(JOB, origin=(200.0, 200.0)), "measured from the table's front left corner to"),
    (
        structs.replace(JOB, weldments=(Weldment(id="weldment-1", quantity=4),)),
        "The weldment: quantity 1 to 4",
    ),
    (
        structs.replace(
            JOB, weldments=(Weldment(id="weldment-1", datum=Datum(long=FaceOf("rail", 0))),)
        ),
        "The weldment: datum A proposed to Rail, front face",
    ),
    (
        structs.replace(JOB, weldments=(*JOB.weldments, Weldment(id="w2", quantity=2))),
        "Weldment 2: added, as drawn, quantity 2",
    ),
    (
        structs.replace(JOB, welds=(Weld(a="rail", b="gusset", name="J1", kind="fillet", leg=6),)),
        "J1, Rail + Gusset: weld chosen: fillet, size leg 6 mm, all round",
    ),
    (
        structs.replace(JOB, welds=(Weld(a="rail", b="gusset", name="J1"),)),
        "J1, Rail + Gusset: named J1",
    ),
    (structs.replace(JOB, critical=(FaceOf("rail", 0),)), "Rail, front face: critical face now"),
    (
        structs.replace(JOB, table=structs.replace(TABLE, pitch_x=49.0, thickness=30.0)),
        "pitch left to right 50 mm to 49 mm (−1 mm)",
    ),
    (
        table.set_labels(JOB, LabelScheme(along_x="numbers", skip_i_o=True, first="y")),
        "Table: hole labels: left to right letters to numbers, written first the letters left",
    ),
    (
        structs.replace(
            JOB,
            rack=structs.replace(
                RACK, pieces=tuple(structs.replace(p, owned=p.owned + 1) for p in RACK.pieces[:1])
            ),
        ),
        "pin: on hand 8 to 9",
    ),
    (structs.replace(JOB, rack=structs.replace(RACK, walk=("B", "A"))), "order of the bins"),
    (structs.replace(JOB, parts=JOB.parts[::-1]), "Parts: now in another order"),
    (
        structs.replace(JOB, sawing=Sawing(bars=(StockBar(length=3000.0, have=2),))),
        "Job: bars the usual length to ",
    ),
    (structs.replace(JOB, sawing=Sawing(kerf=2.0)), "Job: kerf the usual to 2 mm"),
    (
        structs.replace(JOB, sawing=Sawing(kerf=2.0, trim=5.0)),
        "kerf the usual to 2 mm, trim of each bar 0 mm to 5 mm (+5 mm)",
    ),
    (
        structs.replace(JOB, title_block=TitleBlock(owner="Shop 2", way_up="face down")),
        "Job: title block: owner empty to Shop 2, way up empty to face down",
    ),
    (
        structs.replace(JOB, weld_plan=WeldPlan(tacks=(JointOf("gusset", "rail"),))),
        "Job: order of tacks",
    ),
    (
        structs.replace(
            JOB,
            weld_plan=WeldPlan(
                tacks=(JointOf("gusset", "rail"),), welds=(JointOf("gusset", "rail"),)
            ),
        ),
        "Job: order of tacks and welds",
    ),
    (
        with_piece("s", seats=swapped_features(JOB.placements[0].seats)),
        "fixed stop at D4 + E4: pinned in the same holes by other features: ",
    ),
]


@pytest.mark.parametrize(("new", "wanted"), CASES, ids=[case[1] for case in CASES])
@pytest.mark.source("method", "by hand: what was edited, and by how much")
def test_one_edit_is_one_line_that_names_it(new: Job, wanted: str) -> None:
    found = told(new)
    assert any(wanted in line for line in found), found
    back = told(JOB, new)
    assert len(back) == len(found)
    assert told(new, new) == []


def test_welds_are_told_field_by_field() -> None:
    one = structs.replace(JOB, welds=(Weld(a="rail", b="gusset", kind="fillet", leg=6),))
    weld = Weld(a="gusset", b="rail", kind="butt", throat=0, leg=8, sides="top", name="J4")
    (line,) = told(structs.replace(JOB, welds=(weld,)), one)
    assert line == (
        "J4, Gusset + Rail: its parts listed the other way round; named “J4”; weld fillet to butt;"
        " size leg 6 mm to leg 8 mm; welded all round to top"
    )
    gone = told(JOB, one)
    assert gone == ["Joint of Rail + Gusset: chosen weld taken away"]


def test_a_hand_is_told_by_what_it_is_the_opposite_of() -> None:
    pair = structs.replace(
        JOB, weldments=(Weldment(id="weldment-1", name="LH"), Weldment(id="w2", name="RH"))
    )
    hand = structs.replace(
        pair, weldments=(pair.weldments[0], Weldment(id="w2", name="RH", opposite_of="weldment-1"))
    )
    (line,) = change_lines(pair, hand)
    assert line.text == "RH: hand as drawn to opposite hand of LH"
    assert line.group == "RH"
    into = structs.replace(hand, parts=(RAIL, structs.replace(GUSSET, weldment="w2")))
    (line,) = change_lines(hand, into)
    assert line.text == "Gusset: from weldment LH to RH"


@given(jobs(), jobs())
def test_no_line_is_empty_and_unequal_jobs_have_lines(one: Job, other: Job) -> None:
    lines = change_lines(one, other)
    assert bool(lines) == (one != other)
    assert all(line.name and line.said and all(line.said) for line in lines)
    assert len(lines) == len(compare(one, other))


@pytest.mark.parametrize("number", range(4))
@pytest.mark.untraced
def test_every_random_edit_gives_a_line_that_names_it(number: int) -> None:
    """What an edit touched, by its ids and fields, is named in the lines."""
    hand = Hand(START, random.SystemRandom().randrange(10**9) if number else 1)
    changed = 0
    for _ in range(60):
        before = hand.document.job
        hand.edit()
        after = hand.document.job
        lines = change_lines(before, after)
        assert bool(lines) == (before != after)
        text = "\n".join(line.text for line in lines)
        for job, other in ((before, after), (after, before)):
            known = {thing.id: thing for thing in (*other.placements, *other.parts)}
            for thing in (*job.placements, *job.parts):
                if known.get(thing.id) != thing:
                    changed += 1
                    assert title(before if before.find(thing.id) else after, thing.id) in text
        marks = set(before.table.marks) ^ set(after.table.marks)
        for mark in marks:
            assert address(after.table, mark.hole) in text or "hole labels" in text
    assert changed > 10


def test_what_happened_to_several_alike_is_one_line() -> None:
    marked = table.mark_holes(JOB, {Hole(n, 1) for n in range(8)}, "blocked")
    lines = gathered(change_lines(JOB, marked))
    assert [line.text for line in lines] == ["A2, B2, C2, D2 + 4 more: marked blocked"]
    assert count_of_changes(change_lines(JOB, marked)) == "8 changes"
    assert count_of_changes(()) == "nothing changed"
    both = selection.remove(selection.remove(marked, {"rail"}), {"gusset"})
    assert changes_text(change_lines(JOB, both)) == (
        "Weldment\n- Rail, Gusset: removed\nTable\n- A2, B2, C2, D2 + 4 more: marked blocked"
    )
    assert changes_text(change_lines(JOB, marked)) == "- A2, B2, C2, D2 + 4 more: marked blocked"


def test_the_notes_do_not_tell_that_they_changed() -> None:
    both = details.set_notes(details.set_drawing(JOB, "HM-1", "B"), "New")
    assert for_the_notes(change_lines(JOB, both), "the last save") == (
        "Changes since the last save:\n- Job: revision A to B"
    )
    assert for_the_notes(change_lines(JOB, details.set_notes(JOB, "New")), "the last save") == ""
    assert for_the_notes((), "the last save") == ""


def test_the_section_that_is_used_is_square_where_it_says_so() -> None:
    """Two sections of one name and kind that differ in two sizes name both of them."""
    one = structs.replace(JOB, parts=(structs.replace(RAIL, section=SQUARE),))
    thick = structs.replace(SQUARE, wall=4.0, radius=8.0, toe=4.0)
    other = structs.replace(JOB, parts=(structs.replace(RAIL, section=thick),))
    (line,) = told(other, one)
    assert "wall 3 mm to 4 mm (+1 mm), radius 6 mm to 8 mm (+2 mm), toe 3 mm to 4 mm" in line
