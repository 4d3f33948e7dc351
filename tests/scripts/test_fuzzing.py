"""The fuzzers themselves: each kind of find is seen, kept, cut down, and can be repeated."""

import contextlib
import json
import math
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random
from typing import get_args

import msgspec
import pytest
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QLineEdit, QTabWidget
from pytestqt.qtbot import QtBot

from fuzzing import command, derived, dxf, kind, rounds, shrink, trees, watch, worker
from fuzzing.corpus import job_documents
from fuzzing.jobs import Jobs
from fuzzing.kind import Kind, Parts, chance_of, kind_of
from fuzzing.limits import memory_in_use
from fuzzing.memory import swept
from fuzzing.player import shown_tabs
from fuzzing.richjobs import rich_jobs
from fuzzing.said import Said, require_answer, said
from fuzzing.watch import Found, Stop, Watch
from fuzzing.worker import Span
from gridjig.cli import main
from gridjig.cli.command import all_verbs
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import load_job, read_job, schema, write_job
from gridjig.files.library.assets import samples
from gridjig.model import (
    CutKind,
    Job,
    Member,
    Plate,
    PlateHole,
    WeldedSides,
    WeldKind,
    require_whole,
)
from gridjig.qt.paint import svg_process
from gridjig.solve.layout.places import weldment_places
from tests.files.versions import sample
from tests.scripts import toys


def tried(one: Kind, spans: Sequence[Span]) -> tuple[watch.Done, list[Found]]:
    found: list[Found] = []
    done = Watch(one, found.append, Stop()).run(spans)
    return done, found


def bad_cases(one: Kind, worst: int, many: int) -> list[int]:
    """Which cases of seed 1 have the number that does what it should not."""
    trial = one.trial(Path())
    made = [json.loads(trial.make(chance_of(one, 1, case))) for case in range(many)]
    return [case for case, numbers in enumerate(made) if worst in numbers]


def test_all_cases_are_tried_and_counted() -> None:
    done, found = tried(toys.GOOD, [Span(1, 0, 4), Span(7, 2, 5)])
    assert found == []
    assert done.cases == done.words.total() == 7
    assert set(done.words) == {"odd", "even"}


def test_a_traceback_is_found_and_cut_down() -> None:
    bad = bad_cases(toys.RAISING, 13, 12)
    assert bad
    done, found = tried(toys.RAISING, [Span(1, 0, 12)])
    assert [one.case for one in found] == bad
    assert done.cases == 12
    assert found[0].what == "fault"
    assert "KeyError: 'thirteen'" in found[0].words
    assert json.loads(found[0].data) == [13]


def test_what_is_lost_is_found() -> None:
    _, found = tried(toys.LOSING, [Span(1, 0, 12)])
    assert found
    assert {one.mark for one in found} == {"a job is lost"}


@pytest.mark.parametrize(("one", "what"), [(toys.HANGING, "hang"), (toys.DYING, "crash")])
def test_a_process_that_hangs_or_dies_is_gone_on_from(one: Kind, what: str) -> None:
    worst = 15 if what == "hang" else 16
    bad = bad_cases(one, worst, 30)
    first = bad[0]
    done, found = tried(one, [Span(1, first, first + 1), Span(1, 100, 100), Span(2, 0, 0)])
    assert [(f.what, f.case) for f in found] == [(what, first)]
    assert worst in json.loads(found[0].data)
    assert done.cases == 1
    assert "toys.py" in found[0].mark


@pytest.mark.skipif(sys.platform == "win32", reason="it tells nothing of memory")
def test_memory_beyond_the_limit_is_found_and_the_rest_tried() -> None:
    bad = bad_cases(toys.GROWING, 17, 6)
    assert bad
    done, found = tried(toys.GROWING, [Span(1, 0, 6)])
    assert [f.case for f in found] == bad
    assert {f.what for f in found} == {"memory"}
    assert done.cases == 6


@pytest.mark.parametrize(
    ("took", "slowness", "slow"),
    [(0.2, 1.0, False), (0.3, 1.0, True), (0.3, 3.0, False), (0.8, 3.0, True)],
)
def test_a_slow_machine_does_not_make_a_case_slow(
    took: float, slowness: float, slow: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker, "slowness", lambda: slowness)
    assert worker.is_slow(took, toys.GOOD) is slow  # a quarter of a second is allowed


def test_no_machine_is_taken_to_be_faster_than_usual() -> None:
    assert 1.0 <= worker.slowness() < 100.0


def test_a_fuzzer_that_cannot_begin_is_said() -> None:
    broken = Kind("GOOD", "", ".json", "tests.scripts.toys:nothing", 1, 1, 1)
    with pytest.raises(AttributeError):
        broken.trial(Path())


def test_spans_behind_a_case() -> None:
    spans = [Span(1, 0, 3), Span(2, 5, 7)]
    assert watch.behind(spans, 1, 1) == [Span(1, 2, 3), Span(2, 5, 7)]
    assert watch.behind(spans, 1, 2) == [Span(2, 5, 7)]
    assert watch.behind(spans, 2, 6) == []


# -- the command -----------------------------------------------------------------------------------


def run(*words: str) -> int:
    return command.main([*words, "--workers", "1"])


def test_a_find_ends_with_1_and_says_how_to_repeat_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "tests.scripts.toys:RAISING"
    assert run(name, "--count", "12", "--seed", "1", "--folder", str(tmp_path)) == 1
    said = capsys.readouterr().out
    case = bad_cases(toys.RAISING, 13, 12)[0]
    assert f"--seed 1 --case {case}" in said
    assert "12 cases" in said
    [note] = (tmp_path / "finds").glob("*.find.txt")
    assert note.read_text(encoding="utf-8").count("--seed 1 --case") == len(
        bad_cases(toys.RAISING, 13, 12)
    )
    [small] = (tmp_path / "finds").glob("*.json")
    assert run(name, "--file", str(small), "--folder", str(tmp_path)) == 1
    assert run(name, "--seed", "1", "--case", str(case), "--folder", str(tmp_path)) == 1


def test_nothing_found_ends_with_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("tests.scripts.toys:GOOD", "--count", "3", "--folder", str(tmp_path)) == 0
    assert "3 cases" in capsys.readouterr().out
    assert not (tmp_path / "finds").exists()


def test_a_short_round_tries_half_of_the_fixed_seed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chosen = command.parser().parse_args(["x", "--short"])
    [one] = command.rounds_of([toys.GOOD], chosen, 55)
    assert list(one.shares) == [[Span(command.FIXED, 0, 4), Span(55, 0, 4)]]
    del tmp_path, capsys


def test_a_round_is_gone_on_with(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["tests.scripts.toys:GOOD", "--seed", "3", "--resume", "--folder", str(tmp_path)]
    assert run(*words, "--count", "5") == 0
    [log] = (tmp_path / "rounds").iterdir()
    gone, done = rounds.logged(log)
    assert gone == {Span(3, 0, 5)}
    assert done.cases == 5
    assert run(*words, "--count", "10") == 0
    assert "10 cases" in capsys.readouterr().out
    assert len(log.read_text(encoding="utf-8").splitlines()) == 2


def test_an_unknown_kind_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run("juggling")
    assert "there is no such kind; the kinds are jobs, opened" in capsys.readouterr().err


def test_every_kind_has_cases_for_the_check_or_for_a_long_round() -> None:
    assert len({one.name for one in kind.KINDS}) == len(kind.KINDS) >= 13
    for one in kind.KINDS:
        assert one.short or one.long
        assert kind_of(one.name) is one


# -- making and cutting down -----------------------------------------------------------------------


def test_cutting_down_keeps_what_matters() -> None:
    def apart(data: bytes) -> Parts:
        return Parts([bytes([sign]) for sign in data], b"".join)

    def both(data: bytes) -> bool:
        return b"A" in data and b"Z" in data

    assert shrink.smaller(b"xxxAxxxxxxxxxZxxx", apart, both, 5.0) == b"AZ"
    assert shrink.smaller(b"AxZ", lambda _: None, both, 5.0) == b"AxZ"


def test_a_tree_is_taken_apart() -> None:
    data = b'{"a": [1, 2, {"b": 3}], "c": 4}'
    whole = trees.parts_of_tree(data)
    assert whole is not None
    assert len(whole.parts) == 6
    assert json.loads(whole.join(whole.parts)) == json.loads(data)
    kept = [json.dumps(place).encode() for place in (["a"], ["a", 2], ["a", 2, "b"])]
    assert json.loads(whole.join(kept)) == {"a": [{"b": 3}]}


def test_numbers_keep_within_their_bounds_most_often() -> None:
    chance, schema = Random(1), {"type": "number", "minimum": -5.0, "maximum": 7.0}
    made = [trees.number(chance, schema, 2.0) for _ in range(500)]
    inside = [number for number in made if -5 <= number <= 7]
    assert 400 < len(inside) < 500
    assert {-5.0, 7.0} <= set(inside)


def test_the_same_seed_makes_the_same_case() -> None:
    one, documents = kind_of("jobs"), [write_job(sample(n)) for n in range(3)]
    made, again = (
        [jobs.changed(chance_of(one, 4, case)) for case in range(30)]
        for jobs in (trees.Trees(schema(), documents), trees.Trees(schema(), documents))
    )
    assert made == again
    assert len(set(made)) > 25


@pytest.mark.untraced
def test_made_jobs_are_read_as_often_as_they_are_refused() -> None:
    jobs, one = Jobs(), kind_of("jobs")
    ended = []
    for case in range(20):
        try:
            ended.append(jobs.run(jobs.make(chance_of(one, 2, case))))
        except Exception:  # which the fuzzer finds; here only the making is tried
            ended.append("found")
    assert ended.count("read and derived") > 5
    assert ended.count("refused") > 3


@pytest.mark.untraced
def test_one_job_in_so_many_is_derived_and_each_is_named_for_what_was_done() -> None:
    jobs, one = Jobs(), kind_of("jobs")
    assert one.every > 1
    jobs.every = 10**9
    words = [jobs.run(jobs.make(chance_of(one, 2, case))) for case in range(30)]
    assert set(words) == {"read only", "refused"}


def test_a_long_round_says_of_how_many_cases_all_was_done() -> None:
    chosen = command.parser().parse_args(["jobs", "--long"])
    [one] = command.rounds_of([kind_of("jobs")], chosen, 1)
    one.done.words["read only"] = 24
    assert ", in full one in 25, no find" in rounds.summary(one)
    chosen = command.parser().parse_args(["jobs", "--count", "3"])
    [one] = command.rounds_of([kind_of("jobs")], chosen, 1)
    one.done.words["read and derived"] = 3
    assert "in full" not in rounds.summary(one)


@pytest.mark.untraced
@pytest.mark.skipif(sys.platform == "win32", reason="it starts a process for every case")
def test_sheets_are_opened_as_well_as_refused(tmp_path: Path) -> None:
    one = kind_of("sheets")
    trial = one.trial(tmp_path)
    ended = [trial.run(trial.make(chance_of(one, 3, case))) for case in range(20)]
    assert {"opened", "refused"} == set(ended)


def test_where_a_fault_is_from() -> None:
    with pytest.raises(ReadFault) as fault:
        read_job(b"{")
    assert worker.signature(fault.value) == "ReadFault in codec.py:_raise_no_json"
    assert worker.signature(kind.Find("a job is lost: x")) == "a job is lost"
    calls = [("/usr/lib/json.py", "loads"), (f"{kind.ROOT}/gridjig/a.py", "inner")]
    trace = "\n".join(f'  File "{file}", line 3 in {name}' for file, name in calls)
    assert watch.place_in(trace) == "in a.py:inner"
    assert watch.place_in("killed") == "somewhere"


# -- what is judged --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answer", "why"),
    [
        (Said(0, "", ""), "nothing is printed"),
        (Said(1, "", "x"), "exit code 1"),
        (Said(1, "a table", ""), "exit code 1"),
        (Said(2, "", "gridjig: One.\ngridjig: Two.\n"), "not one sentence"),
        (Said(2, "half a table", "gridjig: No.\n"), "not one sentence"),
        (Said(2, "", "Traceback.\n"), "no sentence"),
        (Said(2, "", "gridjig: \x1b[31mred.\n"), "signs that are not printed"),
    ],
)
def test_answers_that_are_unfit_for_a_person(answer: Said, why: str) -> None:
    with pytest.raises(kind.Find, match=why):
        require_answer(["pull", "x"], answer)


def test_answers_that_are_fit() -> None:
    require_answer(["pull"], Said(0, "a table\n", ""))
    require_answer(["check"], Said(1, "what has to be fixed\n", ""))
    require_answer(["pull"], Said(2, "", "gridjig: There is no job “👩\u200d🏭”.\n"))
    asked = said(main, ["pull", "no such.gridjig"])
    assert asked.code == 2
    assert "no such file" in asked.err
    assert said(main, ["--version"]).code == 0


def test_the_jobs_that_cases_are_made_from_have_every_kind_of_choice() -> None:
    jobs = rich_jobs()
    for job in jobs:
        require_whole(job)
        assert read_job(write_job(job)) == job
        assert [one.opposite_of is None for one in job.weldments] == [True, False, False, True]
        assert job.saw != Job(name="x", table=job.table, rack=job.rack).saw
        assert job.origin is not None
        assert any(placement.clamped_by_hand for placement in job.placements)
        assert len(job.critical) == 2
    welds = [weld for job in jobs for weld in job.welds]
    assert {weld.kind for weld in welds} == set(get_args(WeldKind))
    assert {weld.sides for weld in welds} == set(get_args(WeldedSides))
    assert {(weld.leg > 0, weld.throat > 0) for weld in welds} >= {(True, False), (False, True)}
    parts = [part for job in jobs for part in job.parts]
    holes = [hole for part in parts if isinstance(part, Plate) for hole in part.holes]
    assert {type(hole) for hole in holes} == set(get_args(PlateHole))
    cuts = [cut for part in parts if isinstance(part, Member) for cut in (part.start, part.end)]
    assert {cut.kind for cut in cuts} == set(get_args(CutKind))
    assert max(len(cut.more) for cut in cuts) == 2
    documents = [json.loads(data) for data in job_documents()]
    several = [tree for tree in documents if len(tree.get("weldments", ())) > 2]
    assert len(several) >= len(jobs)


@pytest.mark.parametrize("number", range(4))
def test_all_is_derived_of_jobs_with_every_kind_of_choice(number: int) -> None:
    derived.derive(rich_jobs()[number])


def test_all_is_derived_of_the_samples() -> None:
    assert len(samples()) >= 3
    for path in samples().values():
        job = load_job(path)
        derived.derive(job)
        drawn = list(derived.drawings(job))
        assert len(drawn) > 3 * len(job.placements) + 2 * len(job.parts)
        assert sum(1 for one in drawn for _ in derived.numbers(msgspec.to_builtins(one))) > 500


def test_a_number_that_is_none_is_found() -> None:
    derived.require_finite("it", {"a": [1.0, (2.0, 3)]})
    with pytest.raises(kind.Find, match="it has a number that is not finite"):
        derived.require_finite("it", {"a": [1.0, (math.nan, 3)]})


def test_a_refusal_is_told_from_a_fault() -> None:
    empty = load_job(next(iter(samples().values())))
    empty = msgspec.structs.replace(empty, parts=())
    assert derived.refused_in_words(lambda: weldment_places(empty)) is None
    assert derived.refused_in_words(lambda: 3) == 3
    with pytest.raises(ValueError, match="invalid literal"):
        derived.refused_in_words(lambda: int("x"))


def test_drawings_are_taken_apart_by_their_entities() -> None:
    data = dxf.text_of([(0, "LINE"), (10, "1"), (0, "CIRCLE"), (40, "2"), (0, "EOF")])
    assert dxf.grouped(dxf.tags_of(data))[1] == [(0, "CIRCLE"), (40, "2")]


@pytest.mark.qt_log_level_fail("CRITICAL")  # of a bad drawing Qt says what is bad
@pytest.mark.parametrize("name", ["dxf", "svg"])
@pytest.mark.untraced
def test_drawings_are_brought_in_as_well_as_refused(
    name: str, tmp_path: Path, qapp: QApplication
) -> None:
    one, reader = kind_of(name), svg_process.sketch_of
    trial = one.trial(tmp_path)
    ended = []
    for case in range(16):
        with contextlib.suppress(Exception):  # found, which is not what is tried here
            ended.append(trial.run(trial.make(chance_of(one, 3, case))))
    assert {"read", "refused"} <= set(ended)
    assert svg_process.sketch_of is reader  # nothing of the program stays replaced


def test_the_terminal_is_asked_for_every_verb(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    one = kind_of("terminal")
    trial = one.trial(tmp_path)
    words = [json.loads(trial.make(chance_of(one, 5, case)))["words"] for case in range(200)]
    assert {verb.name for verb in all_verbs()} <= {each[0] for each in words}
    assert any(len(each) > 4 for each in words)
    assert any(each[0] == "import" and "--members" in each for each in words)
    assert any("--weldment" in each for each in words)
    rich = sorted((tmp_path / "desk").glob("9-rich-*.gridjig"))
    assert len(rich) == len(rich_jobs())
    assert any(one.name in each for one in rich for each in words)


@pytest.mark.skipif(sys.platform != "linux", reason="only glibc says what is in use")
@pytest.mark.parametrize("make", [lambda: b"x" * 40_000_000, lambda: [[k] for k in range(400_000)]])
def test_memory_in_use_rises_with_what_is_held_and_falls_when_it_goes(
    make: Callable[[], object],
) -> None:
    before = memory_in_use()
    held = make()
    most = memory_in_use()
    assert most > before + 35.0
    del held
    assert memory_in_use() < before + 5.0


@pytest.mark.skipif(sys.platform != "linux", reason="only glibc says what is in use")
def test_letters_that_were_never_shown_before_leave_nothing_in_use(qtbot: QtBot) -> None:
    """Qt keeps their pictures for minutes, megabytes of them; a sweep takes them away."""
    edit = QLineEdit()
    qtbot.addWidget(edit)
    font = QFont(edit.font())

    def show(pixels: int) -> None:
        font.setPixelSize(pixels)
        edit.setFont(font)
        for start in range(0x100, 0x500, 32):
            edit.setText("".join(map(chr, range(start, start + 32))))
            edit.resize(edit.sizeHint().width() + 40 * pixels, 2 * pixels)
            edit.grab()
        edit.clear()
        edit.resize(100, 30)

    show(40)
    first = swept()
    for pixels in range(41, 61):
        show(pixels)
    assert memory_in_use() > first + 1.0
    assert swept() < first + 0.5


def test_the_events_turn_to_tabs_that_a_person_sees(qtbot: QtBot) -> None:
    tabs = QTabWidget()
    qtbot.addWidget(tabs)
    for name in ("Sizes", "Shape", "Pins"):
        tabs.addTab(QLineEdit(), name)
    tabs.setTabVisible(1, False)
    tabs.setCurrentIndex(1)
    assert tabs.currentIndex() == 1, "Qt turns to a hidden tab if told to"
    assert shown_tabs(tabs.tabBar()) == [0, 2]
