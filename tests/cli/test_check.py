"""`gridjig check`: as text, as JSON, with its three exit codes."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest

from gridjig.checks.finding import FindingKind
from gridjig.cli.outputs.check import in_common
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Job
from gridjig.proof.report import prove
from gridjig.solve.placed.cache import PlacedPieces
from tests.cli.conftest import Command
from tests.proof.bracket import bracket
from tests.proof.layouts import layout
from tests.proof.test_bracket import BROKEN
from tests.workshop import EMPTY, laid, pin

FIELDS = [
    "id",
    "kind",
    "level",
    "ids",
    "where_mm",
    "what",
    "do",
    "value",
    "limit",
    "unit",
    "source",
]


def saved(path: Path, job: Job) -> str:
    path.write_bytes(write_job(job))
    return str(path)


def test_it_exits_with_1_only_if_something_has_to_be_put_right(
    tmp_path: Path, gridjig: Command
) -> None:
    codes = {
        name: gridjig("check", saved(tmp_path / f"{name}.gridjig", job)).code
        for name, job in {
            "empty": EMPTY,
            "fine": laid(pin("a", 3, 3)),
            "look": layout("T04"),
            "stop": laid(pin("a", 3, 3), pin("b", 3, 3)),
        }.items()
    }
    assert codes == {"empty": 0, "fine": 0, "look": 0, "stop": 1}


def test_bad_input_is_refused(tmp_path: Path, refused: Callable[..., str]) -> None:
    assert "no such file" in refused("check", str(tmp_path / "none.gridjig")).lower()
    broken = tmp_path / "b.gridjig"
    broken.write_text("{", encoding="utf-8")
    assert refused("check", str(broken)).endswith(".")


def test_the_json_has_the_fields_that_are_promised(tmp_path: Path, gridjig: Command) -> None:
    job = layout("T04")
    said = gridjig("check", saved(tmp_path / "j.gridjig", job), "--json")
    answer = json.loads(said.out)
    assert list(answer) == [
        "job", "verdict", "looked_at", "findings", "members", "locators", "joints", "out",
    ]  # fmt: skip
    assert answer["verdict"] == "look"
    report = prove(job, PlacedPieces().of(job))
    assert [one["id"] for one in answer["findings"]] == [one.id for one in report.findings]
    assert all(list(one) == FIELDS for one in answer["findings"])
    assert {one["kind"] for one in answer["findings"]} <= set(get_args(FindingKind))
    assert [one["id"] for one in answer["members"]] == [part.id for part in job.parts]
    (member, *_) = answer["members"]
    assert list(member) == [
        "id", "located", "motion", "contacts", "carried", "order", "error_mm", "error_deg",
    ]  # fmt: skip
    assert set(member["error_mm"]) == {"worst", "rss"}
    assert sorted(one["order"] for one in answer["members"]) == [1, 2, 3]
    assert {"placement", "reaction", "lifts"} == set(answer["locators"][0])
    (joint, *_) = answer["joints"]
    assert list(joint) == ["a", "b", "access", "closing_mm"]
    assert joint["access"]["top"] == "free"
    low, high = joint["closing_mm"]
    assert 0.0 < low <= high
    assert list(answer["out"]) == ["up", "directions", "first_off", "trapped"]


@pytest.mark.parametrize("name", [None, *BROKEN])
def test_whatever_is_broken_the_json_agrees_with_itself_and_with_the_exit(
    tmp_path: Path, gridjig: Command, name: str | None
) -> None:
    job = layout("T04") if name is None else BROKEN[name][0](bracket())
    said = gridjig("check", saved(tmp_path / "j.gridjig", job), "--json")
    answer = json.loads(said.out)
    levels = {one["level"] for one in answer["findings"]}
    assert levels <= {"stop", "look", "note"}
    assert answer["verdict"] == ("stop" if "stop" in levels else "look")
    assert said.code == ("stop" in levels)
    assert len({one["id"] for one in answer["findings"]}) == len(answer["findings"]) >= 4
    things = {thing.id for thing in (*job.parts, *job.placements)}
    for one in answer["findings"]:
        assert things.issuperset(one["ids"])
        assert one["where_mm"] is None or len(one["where_mm"]) == 2
        assert one["value"] is None or one["source"]
        assert one["what"].endswith(".")
        assert one["do"].endswith(".")
    assert len(answer["members"]) == len(job.parts) == 3
    for one in answer["members"]:
        moves = one["located"] in ("loose", "cannot leave")
        assert (one["motion"] is not None) == moves
        if moves:
            assert set(one["motion"]) == {"kind", "centre_mm", "direction", "by_mm_or_deg"}
            assert one["motion"]["kind"] in ("turn", "slide", "free")
    assert things.issuperset(one["placement"] for one in answer["locators"])
    for one in answer["joints"]:
        assert set(one["access"].values()) <= {"free", "tight", "blocked", "turned over"}
        assert one["closing_mm"] is None or one["closing_mm"][0] <= one["closing_mm"][1]
    assert things.issuperset((*answer["out"]["first_off"], *answer["out"]["trapped"]))


def test_nothing_is_claimed_of_what_is_not_there(tmp_path: Path, gridjig: Command) -> None:
    answer = json.loads(gridjig("check", saved(tmp_path / "e.gridjig", EMPTY), "--json").out)
    assert answer["verdict"] == "nothing to check"
    assert answer["looked_at"] == answer["findings"] == answer["members"] == []
    assert answer["out"] is None


def test_the_text_says_what_where_how_much_and_what_to_do(tmp_path: Path, gridjig: Command) -> None:
    path = saved(tmp_path / "j.gridjig", layout("T06"))
    plain = " ".join(gridjig("check", path).out.split())
    assert "To look at: E end plate 3x.25 falls over" in plain
    assert "Do: Put a stop or pin against its side" in plain
    assert "4.8°, limit 15°." in plain
    assert "Looked at: holes, overlaps" in plain
    assert "Source: shop value" not in plain
    sources = " ".join(gridjig("check", path, "--sources").out.split())
    assert "Source: shop value of this job; common practice, no published source." in sources


@pytest.mark.parametrize(
    ("ways", "common"),
    [
        ([], ()),
        ([[(0.0, 90.0)]], ((0.0, 90.0),)),
        ([[(0.0, 90.0)], [(45.0, 180.0)]], ((45.0, 90.0),)),
        ([[(350.0, 370.0)], [(0.0, 5.0)]], ((360.0, 365.0),)),
        ([[(0.0, 10.0)], [(20.0, 30.0)]], ()),
    ],
)
@pytest.mark.source("method", "intervals worked by hand")
def test_directions_in_common(
    ways: list[list[tuple[float, float]]], common: tuple[tuple[float, float], ...]
) -> None:
    assert in_common(ways) == common
