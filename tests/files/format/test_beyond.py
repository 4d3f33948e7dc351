"""Values that no shop has are refused when a file is read: the place, the limit, in one sentence.

Each case is named after what it once did.
"""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import read_job, schema, write_job
from gridjig.model import Job
from tests.files.versions import sample
from tests.stock import bar
from tests.workshop import laid

DATA = write_job(laid(bar(), job=sample(2)))


def changed(change: Callable[[Any], Any], unit: str = "millimetres") -> bytes:
    tree = copy.deepcopy(json.loads(DATA))
    tree["display"]["unit"] = unit
    change(tree)
    return json.dumps(tree, indent=1).encode()


def fault_of(change: Callable[[Any], Any], unit: str = "millimetres") -> ReadFault:
    with pytest.raises(ReadFault) as caught:
        read_job(changed(change, unit), Path("gate.gridjig"))
    assert caught.value.line > 0
    return caught.value


def member(tree: Any) -> Any:
    return next(part for part in tree["parts"] if part["type"] == "member")


def outline(tree: Any) -> Any:
    return next(part for part in tree["parts"] if part["type"] == "plate")


@pytest.mark.parametrize(
    ("change", "where", "says"),
    [
        pytest.param(
            lambda t: t["table"].update(hole_diameter=1e10),
            "table.hole_diameter",
            "the hole diameter must be from 0.001 mm to 100000 mm, but 1e+10 mm was found",
            id="a hole diameter of 1e10 killed the window",
        ),
        pytest.param(
            lambda t: t["table"].update(width=1e300),
            "table.width",
            "but 1e+300 mm was found",
            id="a table of 1e300 killed the window",
        ),
        pytest.param(
            lambda t: member(t)["section"].update(radius=100),
            "parts[2].section",
            "the outside corner radius cuts through the wall",
            id="a section weighed less than nothing",
        ),
        pytest.param(
            lambda t: outline(t)["corners"][0].__setitem__(0, 1e6),
            "parts[0].corners[0][0]",
            "the position of a corner must be from −100000 mm to 100000 mm",
            id="a corner at 1e6 took 4.8 GB",
        ),
        pytest.param(
            lambda t: member(t).update(length=1e9),
            "parts[2].length",
            "the length must be from 0.001 mm to 100000 mm",
            id="a member of 1e9 took 5.7 GB",
        ),
        pytest.param(
            lambda t: member(t).update(length=1e-45),
            "parts[2].length",
            "but 1e-45 mm was found",
            id="a length of 1e-45 made the joints fall over",
        ),
        pytest.param(
            lambda t: t["table"].update(pitch_x=0.999),
            "table.pitch_x",
            "the pitch along x must be from 1 mm to 1000 mm",
            id="a pitch below a millimetre",
        ),
        pytest.param(
            lambda t: t["placements"][0].update(id="a\n"),
            "placements[0].id",
            "a short name of letters",
            id="an id with a newline behind it",
        ),
    ],
)
def test_what_no_shop_has_is_refused_with_its_place(
    change: Callable[[Any], Any], where: str, says: str
) -> None:
    fault = fault_of(change)
    assert fault.where == where
    assert says in str(fault)


def test_the_limit_is_told_in_the_unit_of_the_file() -> None:
    fault = fault_of(lambda t: t["table"].update(width=254_000), "inch decimals")
    assert '≈3937.008" (100000 mm), but 10000 in (254000 mm) was found' in str(fault)
    strange = fault_of(lambda t: (t["table"].update(width=1e6), t.pop("display")))
    assert "100000 mm (3937.01 in), but 1000000 mm (39370.1 in) was found" in str(strange)


def test_what_lies_on_the_limit_is_read() -> None:
    def stretch(tree: Any) -> None:
        member(tree).update(length=100_000)
        outline(tree)["corners"][0][:] = [-100_000, 100_000]

    job = read_job(changed(stretch))
    assert isinstance(job, Job)
    assert len(job.parts) == 3


@pytest.mark.source("memory", "ECMA-262 and JSON Schema draft 2020-12")
def test_the_schema_shows_the_limits() -> None:
    made = schema()["$defs"]
    assert made["Table"]["properties"]["pitch_x"] == {
        "type": "number",
        "minimum": 1.0,
        "maximum": 1000.0,
    }
    assert made["Member"]["properties"]["length"]["maximum"] == 100_000.0
    assert made["Placement"]["properties"]["seats"]["maxItems"] == 8
    for field in ("width", "depth", "thickness", "hole_diameter", "density", "hole_tolerance"):
        assert {"minimum", "maximum"} <= set(made["Table"]["properties"][field])
    assert r"\Z" not in json.dumps(made)  # no pattern that other readers do not know
