"""The register: what tests compare with and which expectations they cover, without running them."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

import environment
import registering
import registerplugin


def test_cases_of_one_test_count_once() -> None:
    register = registering.register_of(
        [
            ("tests/a.py::test_x[1]", "source", ["a handbook"]),
            ("tests/a.py::test_x[2]", "source", ["a handbook"]),
            ("tests/b.py::test_y", "expectation", [21, 22]),
        ]
    )
    assert register.sources == {"a handbook": ["tests/a.py::test_x"]}
    assert register.expectations == {21: ["tests/b.py::test_y"], 22: ["tests/b.py::test_y"]}


def test_the_list_has_every_number_once() -> None:
    assert list(registering.read_expectations()) == list(range(1, 113))


def test_what_is_covered_and_what_is_not_is_printed() -> None:
    register = registering.Register({"a book": ["t::one"]}, {2: ["t::two"], 9: ["t::nine"]})
    lines = list(registering.lines_of(register, {1: "first thing", 2: "second thing"}))
    assert "SOURCES: 1 that tests compare with" in lines
    assert lines[lines.index("\na book") + 1] == "    t::one"
    assert "\nEXPECTATIONS: 1 of 2 covered" in lines
    assert "-   1 first thing" in lines
    assert lines[lines.index("+   2 second thing") + 1] == "        t::two"
    assert lines[-1] == "? 9 is not on the list: t::nine"


def test_the_plugin_writes_down_marks_and_nothing_else(tmp_path: Path) -> None:
    item = SimpleNamespace(
        nodeid="t::one",
        iter_markers=lambda: [
            pytest.mark.source("a book").mark,
            pytest.mark.expectation(3, 4).mark,
            pytest.mark.skip("not now").mark,
        ],
    )
    path = tmp_path / "marks.json"
    session = SimpleNamespace(
        items=[item], config=SimpleNamespace(option=SimpleNamespace(register=path))
    )
    registerplugin.pytest_collection_finish(session)  # type: ignore[arg-type]
    assert json.loads(path.read_text(encoding="utf-8")) == [
        ["t::one", "source", ["a book"]],
        ["t::one", "expectation", [3, 4]],
    ]


def test_it_works_on_this_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import sys

    monkeypatch.setattr(environment, "prepare", lambda kind: Path(sys.executable))
    assert registering.main(["tests/scripts/test_qtlibraries.py"]) == 0
    assert "os-release(5)" in capsys.readouterr().out
    assert registering.main(["tests/no_such_file.py"]) == 2
