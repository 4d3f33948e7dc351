"""The job file: the same job gives the same bytes, and bad bytes never give a job or a crash."""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.files.format import codec
from gridjig.files.format.faults import ReadFault
from gridjig.files.format.file_format import FileFormat
from gridjig.files.format.migrations import JOB_VERSION, Tree
from gridjig.files.jobs.job_file import FORMAT, load_job, open_job, read_job, schema, write_job
from gridjig.files.storage.saving import changed_since
from gridjig.model import (
    Accuracy,
    Allowances,
    ChosenPoint,
    CutOut,
    Datum,
    Display,
    Drilled,
    EndCut,
    FaceOf,
    Hole,
    HoleMark,
    Job,
    JointAllowance,
    JointOf,
    Member,
    PartAllowance,
    Plate,
    SawCut,
    Slotted,
    TitleBlock,
    Weld,
    Weldment,
    WeldPlan,
)
from gridjig.model.stock import Section
from tests.files.somejobs import jobs
from tests.files.versions import sample
from tests.workshop import EMPTY, LOCK, PIN, RACK, TABLE, laid, pin, plate, put, seat

JOB = sample(2)
DATA = write_job(JOB)


@given(jobs())
def test_reading_gives_the_written_job_and_writing_the_read_bytes(job: Job) -> None:
    data = write_job(job)
    again = read_job(data)
    assert again == job
    assert write_job(again) == data


@pytest.mark.source("library", "Python 3.11 json", "reading back")
@given(jobs())
def test_another_program_reads_the_same(job: Job) -> None:
    tree = json.loads(write_job(job))
    assert next(iter(tree)) == "gridjig"
    assert tree["name"] == job.name
    assert [p["id"] for p in tree["placements"]] == [p.id for p in job.placements]
    assert [p.get("turn", 0) for p in tree["placements"]] == [p.turn for p in job.placements]


def test_the_form_of_the_file_is_what_it_was() -> None:
    """Changing the form, or the default of a field, needs a new version and a step to it."""
    table = structs.replace(TABLE, marks=(HoleMark(Hole(4, 0), "blocked"),))
    rack = structs.replace(RACK, pieces=(PIN, LOCK))
    placed = put("pin-1", "pin", seat("p", 2, 3), turn=36.86989764584402, name="corner")
    bar = Member(
        id="bar-1",
        name="top bar",
        section=Section(name="40 x 8", kind="flat", width=40, height=8),
        length=612.5,
        end=EndCut("mitre", -45.0),
        turn=90.0,
    )
    job = laid(
        placed,
        pin("pin-2", 5, 5),
        plate("plate-1", 40.5, 0),
        job=structs.replace(
            EMPTY,
            table=table,
            rack=rack,
            parts=(bar,),
            welds=(Weld(a="bar-1", b="plate-1", name="J4", kind="butt", leg=4),),
            weldments=(Weldment(id="weldment-1", datum=Datum(long=FaceOf("bar-1", 0))),),
            critical=(FaceOf("plate-1", 2),),
        ),
    )
    folder = Path(__file__).parent
    for version in (1, 2):
        assert load_job(folder / f"version{version}.gridjig") == job
    assert job.parts[0] is bar
    pointed = structs.replace(
        bar, start=EndCut("mitre", 30.0, more=(SawCut(-30.0, 4.5),)), line_kept="right"
    )
    holes = (
        Drilled((20.0, 20.0), 18.0),
        Slotted((50.0, 20.0), (70.0, 20.0), 9.0),
        CutOut(((40.0, 40.0), (60.0, 40.0), (50.0, 50.0))),
    )
    sheet = job.parts[1]
    assert isinstance(sheet, Plate)
    drilled = structs.replace(sheet, holes=holes)
    throat = structs.replace(job.welds[0], kind="fillet", leg=0.0, throat=3.5, sides="uprights")
    new = structs.replace(
        job, parts=(pointed, drilled), welds=(throat,), saw=45.0, origin=(300.0, 200.0)
    )
    assert load_job(folder / "version3.gridjig") == new
    new = structs.replace(
        new,
        placements=(structs.replace(new.placements[0], force=250.0), *new.placements[1:]),
        title_block=TitleBlock(owner="Our shop", number="S-7", way_up="face down"),
        weld_plan=WeldPlan(tacks=(JointOf("bar-1", "plate-1"),)),
        accuracy=Accuracy(linear="A", face=0.05, points=(ChosenPoint("plate-1", 20, 20, "bolt"),)),
        allowances=Allowances(
            joints=(JointAllowance(a="bar-1", b="plate-1", measured=0.6, spread=0.2, opened=0.5),),
            parts=(PartAllowance(part="bar-1", longer=1.5),),
        ),
    )
    assert write_job(new) == (folder / "version4.gridjig").read_bytes()
    assert load_job(folder / "version4.gridjig") == new


def test_a_hole_that_cannot_be_cut_is_refused_with_its_place() -> None:
    made = structs.replace(plate("p", 0, 0), holes=(Drilled((99.0, 30.0), 18.0),))
    with pytest.raises(ReadFault) as caught:
        read_job(write_job(laid(made)))
    assert caught.value.where == "parts[0].holes"
    assert "hole 1 of it: it is not wholly inside the plate" in str(caught.value)


def test_a_plate_without_size_is_refused_with_its_place() -> None:
    made = plate("p", 0, 0)
    flat = structs.replace(made, corners=(made.corners[0], made.corners[1], made.corners[0]))
    with pytest.raises(ReadFault) as caught:
        read_job(write_job(laid(flat)))
    assert caught.value.where == "parts[0].corners"
    assert "fewer than three of them differ" in caught.value.why


@pytest.mark.expectation(57)
def test_another_display_changes_one_line_of_the_file() -> None:
    other = structs.replace(JOB, display=Display(unit="inch decimals"))
    lines, others = DATA.splitlines(), write_job(other).splitlines()
    assert [b"display" in a for a, b in zip(lines, others, strict=True) if a != b] == [True]


def test_one_placement_more_is_one_line_more() -> None:
    more = structs.replace(JOB, placements=(*JOB.placements, pin("p9", 9, 9)))
    lines, others = DATA.splitlines(), write_job(more).splitlines()
    assert len(others) == len(lines) + 1
    assert sum(line.rstrip(b",") not in {x.rstrip(b",") for x in lines} for line in others) == 1


def spoiled(change: Callable[[Any], Any]) -> ReadFault:
    tree = copy.deepcopy(json.loads(DATA))
    change(tree)
    with pytest.raises(ReadFault) as caught:
        read_job(json.dumps(tree, indent=1).encode(), Path("gate.gridjig"))
    return caught.value


@pytest.mark.expectation(47, 85)
@pytest.mark.parametrize(
    ("change", "where", "says"),
    [
        (lambda t: t["placements"][0].update(turn="x"), "placements[0].turn", "a number is exp"),
        (
            lambda t: t["placements"][0].update(trun=1),
            "placements[0].trun",
            "the fields are id, piece",
        ),
        (lambda t: t["placements"][1].pop("piece"), "placements[1]", "'piece' is missing"),
        (lambda t: t["placements"][1].update(piece="x"), "placements[1]", "not on the job's rack"),
        (lambda t: t["placements"][1].update(id="s"), "placements[1].id", "s is used twice"),
        (lambda t: t["table"].update(hole_diameter=99), "table", "less than the pitch"),
        (lambda t: t["table"]["labels"].update(zero="up"), "table.labels.zero", "front left"),
        (
            lambda t: t["rack"]["pieces"][0]["mounts"][0].update(type="ring"),
            "rack.pieces[0].mounts[0].type",
            "one of hole, shank, slot, arc is expected",
        ),
        (lambda t: t["rack"]["pieces"].append(t["rack"]["pieces"][0]), "rack", "two pieces have"),
        (
            lambda t: t["placements"][0]["seats"][0].update(hole=[10**30, 0]),
            "placements[0].seats[0].hole[0]",
            "a number of at most 2000",
        ),
        (
            lambda t: t.update(gridjig=JOB_VERSION + 1),
            "",
            f"this GridJig reads up to version {JOB_VERSION}",
        ),
        (lambda t: t.update(weldments=[]), "weldments", "at least 1"),
        (lambda t: t["parts"][1].update(weldment="x"), "parts[1]", "the job has no weldment x"),
        (lambda t: t["weldments"].append({"id": "weldment-1"}), "weldments[1].id", "used twice"),
        (
            lambda t: t["weldments"].append({"id": "w2", "opposite_of": "w3"}),
            "weldments[1].opposite_of",
            "the job has no weldment w3",
        ),
        (
            lambda t: t["weldments"].extend(
                [{"id": "w2", "opposite_of": "w3"}, {"id": "w3", "opposite_of": "w2"}]
            ),
            "weldments[1].opposite_of",
            "w2 is in the end the opposite hand of itself",
        ),
        (
            lambda t: t["weldments"][0].update(opposite_of="weldment-1"),
            "weldments[0]",
            "is the opposite hand of itself",
        ),
        (lambda t: t["weldments"][0].update(quantity=0), "weldments[0].quantity", "at least 1"),
        (lambda t: t.update(by="x"), "by", "there is no field 'by' here"),
    ],
)
def test_a_job_with_a_fault_says_where(change: Callable[[Any], Any], where: str, says: str) -> None:
    fault = spoiled(change)
    assert fault.where == where
    assert says in str(fault)
    assert (fault.line > 0) == bool(where)


def test_a_fault_after_a_migration_has_its_place_if_the_text_has_it() -> None:
    def rename(tree: Tree) -> Tree:
        return {"name" if k == "title" else k: v for k, v in tree.items()}

    form: FileFormat[Job] = structs.replace(
        FORMAT, version=JOB_VERSION + 1, steps={JOB_VERSION: rename}
    )
    old = DATA.replace(b'  "name": "version 2"', b'  "title": "version 2"', 1)
    assert read_job(old, None, form) == JOB
    with pytest.raises(ReadFault, match=r"at name: text is expected"):
        read_job(old.replace(b'"version 2"', b"2", 1), None, form)


@pytest.mark.source("method", "brute force: every cut of a whole file")
def test_a_file_cut_off_anywhere_is_refused() -> None:
    data = DATA.rstrip()
    assert len(data) > 4000
    for size in range(len(data)):
        with pytest.raises(ReadFault):
            read_job(data[:size])


@given(st.lists(st.tuples(st.integers(0, len(DATA) - 1), st.integers(0, 255)), max_size=4))
def test_flipped_bytes_give_a_job_or_a_fault(flips: list[tuple[int, int]]) -> None:
    data = bytearray(DATA)
    for at, value in flips:
        data[at] = value
    try:
        job = read_job(bytes(data))
    except ReadFault as fault:
        assert str(fault).endswith(".")  # noqa: PT017
    else:
        assert read_job(write_job(job)) == job


@given(st.integers(0, len(DATA)), st.integers(0, 400), st.binary(max_size=40))
def test_pieces_cut_out_and_put_in(at: int, size: int, put_in: bytes) -> None:
    try:
        job = read_job(DATA[:at] + put_in + DATA[at + size :])
    except ReadFault as fault:
        assert str(fault).startswith("The file cannot be read")  # noqa: PT017
    else:
        assert read_job(write_job(job)) == job


# -- on disk -------------------------------------------------------------------------------------


def test_one_reading_gives_job_bytes_and_stamp(tmp_path: Path) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(DATA)
    job, data, known = open_job(path)
    assert (job, data) == (JOB, DATA)
    assert changed_since(path, known) == ""


@pytest.mark.expectation(47)
def test_a_bad_file_stays_as_it_is_and_its_backup_is_named(tmp_path: Path) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(DATA[:300])
    before = path.stat()
    with pytest.raises(ReadFault, match=r"or open an older copy\.$"):
        load_job(path)
    (tmp_path / "a.gridjig.bak").write_bytes(DATA)
    with pytest.raises(ReadFault, match=r"older copy, such as its backup a\.gridjig\.bak\.$"):
        load_job(path)
    assert path.read_bytes() == DATA[:300]
    assert path.stat().st_mtime_ns == before.st_mtime_ns
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.gridjig", "a.gridjig.bak"]


def test_a_backup_is_not_named_where_it_would_not_help(tmp_path: Path) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(b'{"gridjig": 7}')
    (tmp_path / "a.gridjig.bak").write_bytes(DATA)
    with pytest.raises(ReadFault, match=r"with a newer GridJig; the file stays as it is\.$"):
        load_job(path)
    with pytest.raises(ReadFault, match="its name is too long"):
        load_job(tmp_path / ("x" * 300))


def test_the_largest_table_fits_the_bound() -> None:
    mark = b'      {"hole": [999, 999], "state": "reserved"},\n'
    assert 1000 * 1000 * len(mark) < codec.LIMIT


def test_the_schema_names_every_field_of_the_file() -> None:
    made = schema()
    job = made["$defs"]["Job"]
    assert list(job["properties"]) == list(json.loads(DATA))
    assert job["required"] == ["gridjig", "name", "table", "rack"]
    assert made["$defs"]["Job"]["additionalProperties"] is False


def test_an_old_job_is_one_weldment_with_its_datum() -> None:
    tree = json.loads((Path(__file__).parent / "version2.gridjig").read_bytes())
    parts = tree.pop("parts")
    job = read_job(json.dumps(tree).encode())
    assert job.parts == ()
    assert job.weldments == (Weldment(id="weldment-1", datum=Datum(long=FaceOf("bar-1", 0))),)
    tree["parts"], tree["datum"] = parts, {"long": ["bar-1", "x"], "end": None}
    with pytest.raises(ReadFault, match=r"at weldments\[0\]\.datum\.long\[1\]: a whole number is"):
        read_job(json.dumps(tree).encode())
