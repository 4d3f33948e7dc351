"""Every list as a table: its lines are the job's own, its numbers compute, nothing evaluates."""

import csv
import io

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, HoleMark, Job
from gridjig.rack import Rack
from gridjig.sheets.lists.every_list import LISTS
from gridjig.solve.cutting import process
from gridjig.solve.cutting.exact import cheapest
from tests.workshop import EMPTY, laid, plate, stop

SAMPLES = [load_job(path) for path in samples().values()]
BY_NAME = {one.name: one for one in LISTS}


def rows(name: str, job: Job) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(BY_NAME[name].csv(job))))


def test_every_list_of_a_job_is_a_table(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(process, "cheapest_of_all", lambda tasks, _: tuple(map(cheapest, tasks)))
    assert len(LISTS) == len(BY_NAME) >= 9
    for one in LISTS:
        lines = list(csv.reader(io.StringIO(one.csv(SAMPLES[0]))))
        assert len({len(line) for line in lines}) == 1, f"{one.name}: as many cells in each row"


def test_the_clipboard_has_the_same_rows_with_tabs() -> None:
    one = BY_NAME["pull"]
    lines = list(csv.reader(io.StringIO(one.csv(SAMPLES[1]))))
    text = one.text(SAMPLES[1]).splitlines()
    assert len(text) == len(lines) == one.count(SAMPLES[1]) + 1 > 5
    assert all(len(line.split("\t")) == len(lines[0]) for line in text)


def test_the_pieces_have_their_holes_and_their_settings() -> None:
    job = SAMPLES[0]
    listed = rows("pieces", job)
    assert [one["Id"] for one in listed] == [placement.id for placement in job.placements]
    far = next(one for one in listed if one["Name"] == "Bottom, far")
    # The face of the stop is half an inch from its hole, and half an inch of packing before it.
    assert (far["Holes"], far["Face mm"], far["From hole"]) == ("R6 + R5", "25.400", "R6")
    assert far["Packing"] == 'Packing 1/2" thick'


def test_gaps_contacts_and_holes_are_numbers_in_mm() -> None:
    job = SAMPLES[0]
    gaps = rows("gaps", job)
    assert {float(one["Gap mm"]) for one in gaps} >= {12.7}
    lengths = [float(one["Length mm"]) for one in rows("contacts", job) if one["Length mm"]]
    assert len(lengths) > 5
    mark = HoleMark(Hole(2, 1), "oversize", 20.0)
    marked = structs.replace(EMPTY, table=structs.replace(EMPTY.table, marks=(mark,)))
    assert rows("holes", marked) == [
        {
            "Hole": "C2",
            "State": "Oversize",
            "Size mm": "20.000",
            "X mm": "150.000",
            "Y mm": "100.000",
        }
    ]


def test_the_checks_say_what_and_where() -> None:
    job = laid(stop("one", 2, 2), stop("two", 3, 2))
    found = rows("checks", job)
    assert found
    assert set(found[0]["Ids"].split()) <= {"one", "two"}
    assert found[0]["What"]
    assert all(one["Do"] for one in found if one["Ids"])


def test_a_rack_without_a_stop_has_no_gaps_and_says_so() -> None:
    job = structs.replace(laid(plate("foot", 0, 0)), rack=Rack(name="bare"))
    with pytest.raises(ValueError, match="stop"):
        BY_NAME["gaps"].csv(job)


def test_a_name_that_looks_like_a_formula_is_text() -> None:
    job = laid(structs.replace(stop("one", 2, 2), name="=1+1"))
    assert "'=1+1" in BY_NAME["pieces"].csv(job)
    assert rows("gaps", EMPTY) == []
