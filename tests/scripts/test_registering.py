"""The register: what tests compare with and which expectations they cover, without running them."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

import environment
import registering
import registerplugin
from sourcekinds import SourceKind, fault_of


def test_cases_of_one_test_count_once() -> None:
    register = registering.register_of(
        [
            ("tests/a.py::test_x[1]", "source", ["published", "a book", "table 2"]),
            ("tests/a.py::test_x[2]", "source", ["published", "a book", "table 2"]),
            ("tests/a.py::test_x[2]", "source", ["method", "brute force"]),
            ("tests/b.py::test_y", "expectation", [21, 22]),
        ]
    )
    assert list(register.sources) == list(SourceKind)
    assert register.sources[SourceKind.PUBLISHED] == {"a book, table 2": ["tests/a.py::test_x"]}
    assert register.sources[SourceKind.METHOD] == {"brute force": ["tests/a.py::test_x"]}
    assert register.sources[SourceKind.MEMORY] == {}
    assert register.expectations == {21: ["tests/b.py::test_y"], 22: ["tests/b.py::test_y"]}


def test_the_list_has_every_number_once() -> None:
    assert list(registering.read_expectations()) == list(range(1, 113))


def test_kinds_are_counted_and_what_is_covered_and_what_is_not_is_printed() -> None:
    sources = registering.register_of(
        [
            ("t::one", "source", ["published", "a book", "table 2"]),
            ("t::one", "source", ["method", "brute force"]),
            ("t::two", "source", ["method", "symmetry"]),
        ]
    ).sources
    register = registering.Register(sources, {2: ["t::two"], 9: ["t::nine"]})
    lines = list(registering.lines_of(register, {1: "first thing", 2: "second thing"}))
    assert lines[0] == "SOURCES: 3 that tests compare with"
    counts = [line.split(" in ")[0].split() for line in lines[1:6]]
    assert counts == [["1", "published"], ["0", "library"], ["2", "method"], ["0", "practice"],
                      ["0", "memory"]]  # fmt: skip
    assert lines[lines.index("\na book, table 2") + 1] == "    t::one"
    assert lines.index("\n== published") < lines.index("\n== method")
    assert "\nEXPECTATIONS: 1 of 2 covered" in lines
    assert "-   1 first thing" in lines
    assert lines[lines.index("+   2 second thing") + 1] == "        t::two"
    assert lines[-1] == "? 9 is not on the list: t::nine"


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ([], "a source begins with its kind, one of published, library, method"),
        (["a book"], "a source begins with its kind"),
        (["method", ""], "goes on with texts"),
        (["method", 3], "goes on with texts"),
        (["method"], 'write source("method", which)'),
        (["published", "a book"], "title with its edition, table or section"),
        (["published", "a book", "table 2", "more"], "title with its edition"),
        (["library", "shapely", "area"], "shapely has no version"),
        (
            ["published", "a book", "table 2, from memory"],
            "what is from memory has the kind memory",
        ),
    ],
)
def test_a_source_that_does_not_say_what_it_is_is_refused(values: list[object], says: str) -> None:
    assert says in fault_of(values)


@pytest.mark.parametrize(
    "values",
    [
        ["published", "EN 10219-2:2006", "annex B"],
        ["library", "shapely 2.1", "area"],
        ["method", "brute force"],
        ["practice", "how lengths are typed"],
        ["memory", "the width of a card"],
    ],
)
def test_a_source_of_every_kind_is_taken(values: list[str]) -> None:
    assert fault_of(values) == ""


def item_with(*marks: pytest.MarkDecorator) -> pytest.Item:
    made = [one.mark for one in marks]
    return SimpleNamespace(  # type: ignore[return-value]
        nodeid="t::one[3]",
        iter_markers=lambda name="": [one for one in made if name in ("", one.name)],
    )


def test_a_test_fails_if_its_source_is_not_well_formed() -> None:
    good = item_with(pytest.mark.source("method", "symmetry"), pytest.mark.expectation(3))
    registerplugin.require_well_formed(good)
    bad = item_with(pytest.mark.source("a real file system that is full"))
    with pytest.raises(pytest.fail.Exception, match="a source begins with its kind"):
        registerplugin.require_well_formed(bad)


def test_the_plugin_writes_down_marks_and_nothing_else(tmp_path: Path) -> None:
    item = item_with(
        pytest.mark.source("published", "a book", "table 2"),
        pytest.mark.expectation(3, 4),
        pytest.mark.skip("not now"),
    )
    path = tmp_path / "marks.json"
    session = SimpleNamespace(items=[item], config=SimpleNamespace(getoption=lambda name: path))
    registerplugin.pytest_collection_finish(session)  # type: ignore[arg-type]
    assert json.loads(path.read_text(encoding="utf-8")) == [
        ["t::one[3]", "source", ["published", "a book", "table 2"]],
        ["t::one[3]", "expectation", [3, 4]],
    ]


def test_without_a_file_the_plugin_writes_nothing() -> None:
    asked: list[str] = []
    config = SimpleNamespace(getoption=asked.append)
    session = SimpleNamespace(items=[], config=config)
    registerplugin.pytest_collection_finish(session)  # type: ignore[arg-type]
    assert asked == ["--register"]


def test_it_works_on_this_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import sys

    monkeypatch.setattr(environment, "prepare", lambda kind: Path(sys.executable))
    assert registering.main(["tests/scripts/test_qtlibraries.py"]) == 0
    assert "os-release(5)" in capsys.readouterr().out
    assert registering.main(["tests/no_such_file.py"]) == 2
