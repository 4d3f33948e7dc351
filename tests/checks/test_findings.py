import re

import pytest
from msgspec import structs

from gridjig.checks.finding import FindingKind, Level, marked_ids, sign_places
from gridjig.checks.findings import Finding, findings
from gridjig.edits.details import set_saw
from gridjig.edits.members import add
from gridjig.model import Display, EndCut, Hole, HoleMark, Job, SawCut, Table
from gridjig.rack import Rack
from gridjig.solve.placed.cache import PlacedPieces
from tests.stock import ROUND, bar
from tests.workshop import EMPTY, RACK, TABLE, laid, pin, plate, put, seat, stop

FORBIDDEN = re.compile(r"invalid|illegal|fatal|failed to|please|!|e\.g\.|i\.e\.|None|Error", re.I)


def found(job: Job) -> dict[str, Finding]:
    every = findings(job, PlacedPieces().of(job))
    assert len({f.id for f in every}) == len(every)
    for finding in every:
        assert finding.what.endswith(".")
        assert not FORBIDDEN.search(finding.what + finding.do)
        assert finding.level == "fine" or finding.do.endswith(".")
        assert all(job.find(thing) for thing in finding.ids)
    return {f.id: f for f in every}


def with_mark(state: str, size: float = 0.0) -> Job:
    mark = HoleMark(Hole(3, 3), state, size)  # type: ignore[arg-type]
    return structs.replace(EMPTY, table=structs.replace(TABLE, marks=(mark,)))


def test_an_empty_job_has_no_findings() -> None:
    assert found(EMPTY) == {}


def test_all_well_is_said_once() -> None:
    """Where there is no weldment nothing is said of touching it but that."""
    none = " There is no weldment, so contact with the work was not checked."
    alone = found(laid(pin("a", 3, 3)))
    assert alone["fine"].what == f"Nothing overlaps; 1 piece sits in 1 hole.{none}"
    both = found(laid(pin("a", 3, 3), stop("b", 6, 6)))
    assert list(both) == ["fine"]
    assert both["fine"].what == f"Nothing overlaps; 2 pieces sit in 3 holes.{none}"
    assert both["fine"].level == "fine"


@pytest.mark.expectation(85, 98)
def test_what_cannot_stand_says_why_and_where() -> None:
    job = laid(pin("a", 3, 3), job=with_mark("blocked"))
    fault = found(job)["fault/a"]
    assert fault.what == "locating pin does not fit there. Hole D4 is blocked."
    assert fault.where == TABLE.at(Hole(3, 3))
    assert (fault.level, fault.ids) == ("stop", ("a",))


def test_a_hole_taken_twice() -> None:
    clash = found(laid(pin("a", 3, 3), structs.replace(pin("b", 3, 3), name="Pin 2")))["hole/a/b"]
    assert clash.what == "Hole D4 is taken by locating pin and by Pin 2."
    assert clash.where == TABLE.at(Hole(3, 3))


@pytest.mark.expectation(85, 88)
def test_overlaps_say_by_how_much() -> None:
    slider = put("b", "slider", seat("s", 3, 3), seat("s", 4, 3))
    clash = found(laid(structs.replace(pin("a", 5, 3), name="Pin 1"), slider))["body/a/b"]
    assert clash.what == "Pin 1 and adjustable stop overlap by 30 mm."  # all of its 30 mm body
    assert clash.do == "Move one of the two, or raise one clear of the other."
    tube = structs.replace(plate("tube", 150, 130), z_high=50.0)
    inside = found(laid(stop("s", 3, 3), tube))["body/s/tube"]
    assert inside.what == "fixed stop runs 10 mm into tube."
    assert inside.do == "Move fixed stop back by 10 mm, or move the work."
    assert inside.ids == ("s", "tube")


def test_lengths_are_said_in_the_display_of_the_job() -> None:
    job = structs.replace(
        laid(stop("s", 3, 3), plate("tube", 150, 132.7)), display=Display(unit="inch fractions")
    )
    assert found(job)["body/s/tube"].what == 'fixed stop runs 1/2" into tube.'


def test_a_handle_is_to_be_checked() -> None:
    clamp = put("c", "clamp", seat("p", 8, 8), reach=100.0)
    job = laid(clamp, structs.replace(pin("a", 6, 8), lift=("riser",)))
    assert found(job)["handle/c/a"].level == "look"


@pytest.mark.parametrize(
    ("state", "size", "part"),
    [
        ("shallow", 10.0, "only 10 mm deep"),
        ("oversize", 17.0, "worn to 17 mm"),
        ("reserved", 0.0, "reserved"),
    ],
)
def test_holes_to_mind(state: str, size: float, part: str) -> None:
    every = found(laid(pin("a", 3, 3), pin("b", 9, 9), job=with_mark(state, size)))
    finding = every[f"{state}/a/3/3"]
    assert finding.level == "look"
    assert part in finding.what
    assert len(every) == 1


def test_every_hole_of_a_piece_is_looked_at() -> None:
    """The first of two is good; the second is the one to mind."""
    assert list(found(laid(stop("s", 2, 3), job=with_mark("reserved")))) == ["reserved/s/3/3"]
    assert list(found(laid(stop("s", 3, 3), job=with_mark("reserved")))) == ["reserved/s/3/3"]


def test_a_marked_hole_of_what_cannot_stand_is_not_said_twice() -> None:
    job = laid(put("a", "stop", seat("h1", 3, 3), seat("h2", 9, 9)), job=with_mark("reserved"))
    assert list(found(job)) == ["fault/a"]


def test_what_hangs_over_an_edge() -> None:
    small = Table(
        name="Small", width=100, depth=100, thickness=10, pitch_x=50, pitch_y=50, columns=2, rows=2,
        first_x=10, first_y=10, hole_diameter=16,
    )  # fmt: skip
    job = structs.replace(EMPTY, table=small)
    every = found(laid(stop("s", 0, 0), plate("tube", 50, 90, 60, 30), job=job))
    assert {i for i in every if i.startswith("edge")} == {
        "edge/s/left", "edge/s/front", "edge/tube/right", "edge/tube/back",
    }  # fmt: skip
    assert every["edge/s/left"].what == "fixed stop hangs over the left edge by 10 mm."
    assert every["edge/tube/back"].what == "tube hangs over the back edge by 20 mm."
    assert every["edge/tube/back"].where == (80.0, 120.0)
    assert every["edge/tube/right"].where == (110.0, 105.0)
    assert every["edge/s/left"].where == (-10.0, 10.0)
    assert every["edge/s/front"].where == (35.0, -10.0)


def test_only_steel_that_stands_there_hangs_over_an_edge() -> None:
    """Not a handle that sweeps past it; and what cannot stand is said otherwise."""
    edge = laid(put("c", "clamp", seat("p", 1, 9), reach=100.0))
    assert not [f for f in found(edge) if f.startswith("edge")]
    gone = laid(put("s", "stop", seat("h1", 0, 0), seat("h2", 9, 9)))
    small = structs.replace(gone, table=structs.replace(TABLE, first_x=5.0, first_y=5.0))
    assert list(found(small)) == ["fault/s"]


def test_a_face_that_turns_on_one_pin() -> None:
    every = found(laid(put("a", "stop", seat("h1", 3, 3))))
    assert every["turns/a"].what == "fixed stop turns freely on one pin: nothing holds its angle."
    arm = found(laid(put("b", "arm", seat("h", 5, 5), seat("a", 7, 5))))
    assert arm["turns/b"].what == "swing arm can still turn on its pins: nothing holds its angle."
    assert "turns/c" not in found(laid(pin("c", 3, 3)))
    assert "clamped by hand" in every["turns/a"].do
    trusted = put("a", "stop", seat("h1", 3, 3), clamped_by_hand=True)
    assert "turns/a" not in found(laid(trusted))
    assert "turns/d" not in found(laid(put("d", "clamp", seat("p", 3, 3), reach=80.0)))


def test_choices_that_the_holes_do_not_allow() -> None:
    job = laid(
        structs.replace(stop("a", 3, 3), turn=10.0),
        put("b", "slider", seat("s", 3, 8), seat("s", 4, 8), slide=90.0),
        put("c", "clamp", seat("p", 12, 12), reach=10.0),
    )
    every = found(job)
    assert every["turn/a"].what == (
        "fixed stop cannot be turned to 10° in these holes; it is at 0°."
    )
    assert every["slide/b"].what == (
        "adjustable stop cannot have its face −10 mm from the hole in these holes; it is at 20 mm."
    )
    assert "it is at 60 mm" in every["reach/c"].what


def test_a_shortage_names_the_piece_and_all_its_places() -> None:
    job = laid(*(stop(f"s{i}", 3 * i, 1) for i in range(7)))
    every = found(job)
    assert every["short/stop"].what == "fixed stop: 7 needed, 6 on the rack, short by 1."
    assert every["short/stop"].ids == tuple(f"s{i}" for i in range(7))
    assert every["short/bolt"].level == "look"  # each can stand where it is


def test_a_size_is_said_with_the_piece() -> None:
    sized = RACK.with_piece(structs.replace(RACK.piece("stop"), size="20 mm face", owned=0))
    job = structs.replace(laid(stop("a", 3, 3)), rack=sized)
    assert found(job)["short/stop"].what.startswith("fixed stop, 20 mm face: 1 needed, 0 on")


def test_a_piece_that_is_gone_from_the_rack() -> None:
    job = structs.replace(laid(stop("a", 3, 3)), rack=Rack(name="Bare"))
    every = found(job)
    assert every["short/stop"].what == "stop: 1 needed, 0 on the rack, short by 1."
    assert "fault/a" in every


def test_clashes_come_first() -> None:
    job = laid(
        put("t", "stop", seat("h1", 12, 12)),
        pin("a", 3, 3),
        pin("b", 3, 3),
    )
    levels = [f.level for f in findings(job, PlacedPieces().of(job))]
    assert levels == ["stop", "look"]


def test_a_clash_comes_before_a_handle_that_was_found_first() -> None:
    handle = put("c", "clamp", seat("p", 8, 8), reach=100.0)
    post = structs.replace(pin("a", 6, 8), lift=("riser",))
    every = list(found(laid(handle, post, stop("s", 14, 12), pin("z", 15, 12))))
    assert every == ["hole/s/z", "handle/c/a"]


def test_a_fault_is_shown_at_the_first_hole() -> None:
    every = found(laid(put("a", "stop", seat("h1", 3, 3), seat("h2", 9, 9))))
    assert every["fault/a"].where == TABLE.at(Hole(3, 3))
    loose = found(laid(put("b", "arm", seat("h", 5, 5), seat("a", 7, 5))))
    assert loose["turns/b"].where == TABLE.at(Hole(5, 5))


def test_too_many_in_one_place_are_not_all_compared_and_it_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = laid(*(structs.replace(pin(f"p{n}", 3, 3), name=f"Pin {n}") for n in range(4)))
    monkeypatch.setattr("gridjig.checks.conflicts.MOST_PAIRS", 6)
    assert "crowded" not in found(job)
    monkeypatch.setattr("gridjig.checks.conflicts.MOST_PAIRS", 5)
    crowded = found(job)
    assert crowded["crowded"].what.endswith("only the first ones were compared.")
    assert len([name for name in crowded if name.startswith("hole/")]) == 5
    monkeypatch.setattr("gridjig.solve.weldment.joints.MOST_PAIRS", 2)
    plates = laid(*(plate(f"w{n}", 100, 100) for n in range(3)))
    assert found(plates)["joints left out"].do == "Delete the duplicates and check again."
    assert "parts crowded" not in found(plates)
    monkeypatch.setattr("gridjig.contact.weldment.MOST_PAIRS", 2)
    more = found(laid(*(plate(f"w{n}", 100, 100) for n in range(3))))
    assert more["parts crowded"].level == "stop"
    assert len([name for name in more if name.startswith("parts/")]) == 2


def test_a_cut_beyond_the_shops_saw_is_listed_with_both_angles() -> None:
    end = EndCut("mitre", 30, more=(SawCut(-65.5),))
    job = add(EMPTY, bar(end=end))
    said = found(job)["saw/bar/end"]
    assert said.level == "look"
    assert said.what == "The end of bar is cut 65.5° from square; the shop's saw goes to 60°."
    assert (said.where, said.ids) == ((500.0, 0.0), ("bar",))
    assert "saw/bar/end" not in found(set_saw(job, 70.0))
    cope = add(EMPTY, bar(ROUND, end=EndCut("cope", 70, 60.3)))
    assert "saw/bar/end" not in found(cope)


def test_the_sign_of_a_thing_belongs_where_the_worst_was_found() -> None:
    def made(level: Level, where: tuple[float, float] | None, *ids: str) -> Finding:
        return Finding("x", "clash", level, "X.", where, ids, "Y.")

    told = (
        made("stop", (1.0, 2.0), "a", "b"),
        made("look", (3.0, 4.0), "b", "c"),
        made("look", None, "d"),
        made("note", (5.0, 6.0), "e"),
    )
    places = sign_places(told)
    assert places == {"a": ((1.0, 2.0),), "b": ((1.0, 2.0), (3.0, 4.0)), "c": ((3.0, 4.0),)}


def test_what_is_in_one_place_is_marked_as_a_clash_and_the_rest_as_worth_a_look() -> None:
    def made(kind: FindingKind, level: Level, *ids: str) -> Finding:
        return Finding("x", kind, level, "X.", None, ids, "Y.")

    told = (
        made("clash", "stop", "a", "b"),
        made("loose", "stop", "c"),
        made("gap", "look", "b", "d"),
        made("inexact", "note", "e"),
    )
    assert marked_ids(told) == (frozenset("ab"), frozenset("bcd"))
