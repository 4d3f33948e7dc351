"""`gridjig angle` and `gridjig chart`: answers, JSON, and refusals in one sentence."""

import cmath
import json
import math
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import shapely

from gridjig.cli import angle as verb
from gridjig.cli import angle_words
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Member, Placement, Seat
from gridjig.model.labels import find_hole
from gridjig.qt.paint import sheet_pdf
from gridjig.solve.angles.answers import WAYS, TakenPiece
from tests.angle.test_moving import gable
from tests.cli.outputs import JOB as KEPT_JOB
from tests.trials.keyed import KEYED

TABLE_2F = "computed apart from the program: best pairs of a square grid for usual angles"
Command = Callable[..., Any]


def asked(gridjig: Command, *words: str) -> dict[str, Any]:
    said = gridjig("angle", *words, "--json")
    assert said.code == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


@pytest.mark.source("method", TABLE_2F)
def test_the_best_pair_as_json(gridjig: Command) -> None:
    found = asked(gridjig, "37.5", "--table", "48x48-5/8", "--way", "pins", "--length", "20")
    best = found["answers"][0]
    assert best["holes"] == ["A1", "N11"]
    assert best["steps"] == [13, 10]
    assert best["angle_deg"] == pytest.approx(37.568592)
    assert best["error_arcmin"] == pytest.approx(4.12, abs=0.01)
    assert best["base_mm"] == pytest.approx(833.182, abs=1e-3)
    assert best["pieces"] == [{"piece": "pin-1", "count": 2, "left": 4}]
    assert best["verdict"] == "A"
    assert best["places"] == 11 * 14
    assert best["chord"] is None
    assert set(best) >= {
        "way",
        "holes",
        "steps",
        "angle_deg",
        "error_arcmin",
        "error_mm",
        "play_arcmin",
        "base_mm",
        "shims_mm",
        "pieces",
        "verdict",
    }
    assert found["wanted"] == {
        "text": "37.5° from table x",
        "angle_deg": 37.5,
        "complement_deg": 52.5,
        "mirror_deg": 142.5,
    }
    assert found["looked_at"]["hole_pairs"] == 576 * 575 // 2
    assert found["looked_at"]["steps"] == (47 * 47 - 1) // 2


def test_every_way_can_be_asked_for_alone(gridjig: Command) -> None:
    for name, way in verb.WAY_NAMES.items():
        if way == "astride":
            continue  # needs a member
        found = asked(gridjig, "33", "--table", "1200x1200-50", "--way", name, "--top", "2")
        assert {a["way"] for a in found["answers"]} == {way}
        assert len(found["answers"]) <= 2
    assert set(verb.WAY_NAMES.values()) == set(WAYS)
    scale = asked(gridjig, "33", "--table", "1200x1200-50", "--way", "scale")["answers"][0]
    assert scale["chord"]["length_mm"] > 0


def test_the_text_has_complement_mirror_and_statement(gridjig: Command) -> None:
    said = gridjig("angle", "4:12", "--table", "48x48-5/8", "--leg", "20")
    assert said.code == 0
    assert "complement ≈71.57°, mirror ≈161.57°" in said.out
    assert "pins   A1 + V8  21:7" in said.out
    assert "none is closer than those listed" in said.out
    assert said.out.startswith("Wanted: ≈18.43° from table x (complement")
    lean = gridjig("angle", "15.5 from y", "--table", "48x48-5/8").out
    assert lean.startswith("Wanted: 15.5° from table y: 74.5° from table x (complement 15.5°")
    assert not any(line.endswith(" ") for line in said.out.splitlines())


def test_how_to_set_what_holes_alone_do_not_fix(gridjig: Command) -> None:
    said = gridjig("angle", "37.5", "--table", "48x48-3/4", "--way", "scale", "--way", "plate")
    assert "arm-leaf-8: set by its scale;" in said.out
    assert 'chord 5.143" at 8" from the pivot.' in said.out
    assert "\nPlate\nPin holes on A1 and " in said.out
    assert "; turned over" in said.out
    metric = gridjig("angle", "37.5", "--table", "1200x1200-50", "--way", "scale")
    assert "chord 128.6 mm at 200 mm from the pivot." in metric.out
    packed = gridjig("angle", "37.5", "--table", "48x48-5/8", "--base", "20", "20").out
    assert 'shims: none at A1, .219" at I7' in packed


def test_no_answer_within_the_class(gridjig: Command) -> None:
    words = ("37.2", "--table", "1200x1200-50", "--base", "0", "260", "--way", "pins")
    limits = ("--length", "500", "--class", "A")
    text = gridjig("angle", *words, *limits).out
    assert "Nearest of each kind" in text
    assert "Cut a plate instead" in text
    assert "Nothing of the kinds asked for comes within class A" in text
    found = asked(gridjig, *words, *limits)
    assert found["answers"] == []
    assert found["within"] is False
    assert found["offer"]["way"] == "plate"
    plate = found["offer"]["plate"]
    assert plate["holes_mm"] == [[0.0, 0.0], [200.0, 150.0]]
    assert len(plate["corners_mm"]) == 4
    assert found["nearest"][0]["verdict"] == "B"


def test_an_angle_of_a_job_keeps_off_what_is_taken(gridjig: Command, tmp_path: Path) -> None:
    table, rack = ready_tables()["1200x1200-50"], starter_racks()["metric-16"]
    corners = [(0, 0), (23, 23)]
    placed = tuple(
        Placement(id=f"p{k}", piece="pin-25", seats=(Seat("shank", Hole(*at)),))
        for k, at in enumerate([*corners, (5, 9)])
    )
    path = tmp_path / "one.gridjig"
    path.write_bytes(write_job(Job(name="One", table=table, rack=rack, placements=placed)))
    found = asked(gridjig, "45", "--job", str(path), "--way", "pins")
    best = found["answers"][0]
    assert best["steps"] == [22, 22]
    assert best["pieces"] == [{"piece": "pin-20", "count": 2, "left": 2}]
    other = asked(gridjig, "45", "--job", str(path), "--way", "pins", "--rack", "metric-28")
    assert other["rack"] != found["rack"]
    left = asked(gridjig, "45", "--job", str(path), "--way", "pins", "--left")
    assert left["answers"][0]["on_rack"]
    rack = starter_racks()["metric-16"]
    said = angle_words.takes_text((TakenPiece("pin-25", 2, 1),), rack)
    assert said == "2 × round pin 25 mm body (1 left)"
    assert angle_words.takes_text((TakenPiece("own", 1, 1),), rack) == "1 × own"


def test_limits_on_the_command_line(gridjig: Command) -> None:
    words = ("45", "--table", "1200x1200-50", "--way", "pins")
    assert asked(gridjig, *words, "--within", "B2", "E9")["answers"][0]["steps"] == [3, 3]
    short = asked(gridjig, *words, "--base", "2 in", "150 mm", "--shorter-leg", "300")
    assert short["answers"][0]["base_mm"] <= 150
    left = asked(gridjig, "33", "--table", "1200x1200-50", "--way", "two-sizes", "--pins", "left")
    right = asked(gridjig, "33", "--table", "1200x1200-50", "--way", "two-sizes")
    turns = [a["answers"][0]["line_mm"][1] - a["answers"][0]["line_mm"][0] for a in (left, right)]
    assert turns[0] == -turns[1] != 0
    lone = asked(gridjig, "33", "--table", "1200x1200-50", "--way", "two-sizes")["answers"][0]
    first, second = lone["standing"]
    assert (first["holes"], second["holes"]) == (lone["holes"][:1], lone["holes"][1:])
    a, b = (one["piece"].removeprefix("pin-") for one in (first, second))
    told = f"pins: {a} mm body at {lone['holes'][0]}, {b} mm body at {lone['holes'][1]}"
    assert told in gridjig("angle", "33", "--table", "1200x1200-50", "--way", "two-sizes").out
    few = asked(gridjig, "33", "--table", "1200x1200-50", "--way", "shims", "--shims", "1")
    assert all(
        sum(p["count"] for p in a["pieces"] if not p["piece"].startswith("pin")) == 1
        for a in few["answers"]
    )


def test_without_a_table_the_first_ready_one_is_meant(gridjig: Command) -> None:
    found = asked(gridjig, "45")
    assert found["table"] == next(iter(ready_tables().values())).name
    assert found["leg_mm"] == pytest.approx(36 * 25.4)
    assert 'far end at 36", as no --length is given' in gridjig("angle", "45").out
    assert asked(gridjig, "45", "--table", "1200x1200-50")["leg_mm"] == 1000.0
    assert "as no --length" not in gridjig("angle", "45", "--length", "36").out


@pytest.mark.expectation(85, 86, 87)
@pytest.mark.parametrize(
    "words",
    [
        ("steep",),
        ("37,5",),
        ("400",),
        ("45", "--table", "nowhere"),
        ("45", "--rack", "nowhere"),
        ("45", "--job", "missing.gridjig"),
        ("45", "--base", "200", "600"),
        ("45", "--base", "9", "4"),
        ("45", "--base", "x", "4"),
        ("45", "--length", "0"),
        ("45", "--leg", "long"),
        ("45", "--shorter-side", "-3"),
        ("45", "--top", "0"),
        ("45", "--top", "many"),
        ("45", "--class", "E"),
        ("45", "--way", "magic"),
        ("45", "--within", "A1", "A1"),
        ("45", "--within", "A1", "ZZ99"),
        ("45", "--shims", "12"),
        ("45", "--table", "48x48-5/8", "--job", "x.gridjig"),
        (),
    ],
)
def test_refusals(refused: Callable[..., str], words: tuple[str, ...]) -> None:
    sentence = refused("angle", *words)
    for word in ("invalid", "illegal", "fatal", "failed", "please", "!", "Error"):
        assert word not in sentence


def test_small_values_are_shown_plainly(gridjig: Command) -> None:
    exact = gridjig("angle", "9:12", "--table", "48x48-5/8", "--way", "pins", "--top", "1").out
    assert re.search(r"≈36\.87°  0 +0 in ", exact)
    near = gridjig("angle", "37.5", "--table", "48x48-5/8", "--base", "20", "20").out
    assert re.search(r"−0\.2′ +under \.01 in ", near)
    assert angle_words.steps_text((-3, 4)) == "-3:4"
    assert angle_words.takes_text((), starter_racks()["metric-28"]) == "nothing from the rack"


@pytest.mark.parametrize("way", [(), *(("--way", name) for name in verb.WAY_NAMES)])
@pytest.mark.parametrize(
    ("base", "says"),
    [
        (("0", "0"), "The longest base needs a length greater than 0."),
        (("0", "-2"), "The longest base needs a length greater than 0."),
        (
            ("5", "3"),
            'The longest base, 3", is shorter than the shortest, 5"; swap the two.',
        ),
    ],
)
def test_a_base_that_cannot_be_is_one_sentence(
    refused: Callable[..., str], base: tuple[str, str], says: str, way: tuple[str, ...]
) -> None:
    assert refused("angle", "20", "--table", "48x48-3/4", "--base", *base, *way) == says


@pytest.mark.source(
    "method", "arithmetic by hand: 300 in times the tangent of 36.31 degrees is 220.45 in"
)
def test_an_error_of_many_inches_keeps_its_digits(gridjig: Command) -> None:
    words = ("20", "--leg", "300", "--way", "pins", "--base", "0", "8", "--table", "48x48-3/4")
    said = gridjig("angle", *words).out
    assert "+220.45 in" in said
    error = asked(gridjig, *words)["answers"][5]["error_mm"]
    assert error / 25.4 == pytest.approx(220.45, abs=0.005)


# -- the chart -----------------------------------------------------------------------------------


def test_the_chart_as_csv(gridjig: Command, tmp_path: Path) -> None:
    out = tmp_path / "chart.csv"
    said = gridjig("chart", "--table", "2400x1200-50", "--base", "0", "500", str(out))
    assert said.code == 0
    assert said.out == f"{out}: 181 angles of {ready_tables()['2400x1200-50'].name}\n"
    rows = out.read_text(encoding="utf-8").splitlines()
    assert len(rows) == 182
    assert all(float(row.split(",")[-1]) <= 500.0 for row in rows[1:])


@pytest.mark.parametrize("table", ["48x48-5/8", "2400x1200-100"])
def test_the_chart_as_pdf_without_a_screen(table: str, tmp_path: Path) -> None:
    out = tmp_path / "chart.pdf"
    code = "import sys; from gridjig.cli import main; sys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", code, "chart", "--table", table, str(out)],
        capture_output=True,
        check=True,
        text=True,
        env={"PATH": "/usr/bin:/bin", "HOME": str(tmp_path)},
    )
    assert done.stderr == ""
    assert out.read_bytes().startswith(b"%PDF-")


@pytest.mark.usefixtures("qapp")
def test_the_chart_as_pdf_on_a_chosen_paper(gridjig: Command, tmp_path: Path) -> None:
    out = tmp_path / "chart.PDF"
    assert gridjig("chart", "--table", "48x48-5/8", "--paper", "A4", str(out)).code == 0
    assert b"595" in out.read_bytes()


@pytest.mark.usefixtures("qapp")
def test_a_page_that_cannot_be_painted_is_refused_and_writes_nothing(
    refused: Callable[..., str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> bytes:
        raise sheet_pdf.Unpainted("The pages cannot be painted: there is no memory left.")

    monkeypatch.setattr(sheet_pdf, "pages_pdf", fail)
    out = tmp_path / "chart.pdf"
    assert refused("chart", "--table", "48x48-5/8", str(out)).startswith("The pages cannot be")
    assert not out.exists()


@pytest.mark.expectation(85, 86, 87)
@pytest.mark.parametrize(
    ("words", "part"),
    [
        (("--table", "48x48-5/8", "chart.txt"), "must end in .pdf or .csv"),
        (("--table", "nowhere", "chart.csv"), "no standard table"),
        (("--table", "48x48-5/8", "missing/chart.csv"), "was not written"),
        (("--table", "48x48-5/8", "missing/chart.pdf"), "was not written"),
        (("--table", "48x48-5/8", "--base", "1", "1.5", "chart.csv"), "widen the limits"),
        (("--table", "48x48-5/8", "--base", "3", "1", "chart.csv"), "swap the two"),
        (("--table", "48x48-5/8", "--base", "0", "0", "chart.csv"), "a length greater than 0"),
        (("chart.csv",), "--table"),
    ],
)
def test_charts_that_are_refused(
    refused: Callable[..., str],
    words: tuple[str, ...],
    part: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert part in refused("chart", *words)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.source("method", "the part's outline: distance of each hole from the face, by shapely")
def test_a_face_of_a_job_is_answered_by_what_can_be_set(gridjig: Command) -> None:
    words = ("--job", str(KEPT_JOB), "--face", "Strut", "side:0")
    found = asked(gridjig, *words, "--way", "pins", "--way", "shims", "--way", "two-sizes")
    job = load_job(KEPT_JOB)
    strut = next(p for p in job.parts if p.name == "Strut")
    ring = shapely.Polygon(part_ring(strut))
    assert found["face"]["part"] == strut.id
    assert found["face"]["face"] == "side:0"
    assert found["wanted"]["angle_deg"] == pytest.approx(60.0)
    assert len(found["answers"]) > 5
    gaps = []
    for answer in found["answers"]:
        assert answer["fouled"] is False
        assert answer["on_rack"] is True
        off = []
        for hole, standing in zip(answer["holes"], answer["standing"], strict=True):
            radius = job.rack.piece(standing["piece"]).rounds[0].radius
            at = shapely.Point(job.table.at(find_hole(job.table, hole)))
            off.append(ring.distance(at) - radius)
        assert answer["gap_mm"] == pytest.approx(max(off), abs=2e-3)
        for gap, packed, left in zip(off, answer["shims_mm"], answer["open_mm"], strict=True):
            assert gap - packed == pytest.approx(left, abs=2e-3)
            assert left >= -1e-3
        gaps.append(answer["gap_mm"])
    level = [a["verdict_with_play"] is None or max(a["open_mm"]) > 0.5 for a in found["answers"]]
    assert level == sorted(level)
    well = [gap for gap, bad in zip(gaps, level, strict=True) if not bad]
    assert well == sorted(well)
    assert len(well) > 3


@pytest.mark.source(
    "method",
    "trigonometry: a line on two rounds leans by R1 - R2 over them, astride by R1 + w + R2",
)
@pytest.mark.parametrize(
    ("job", "face", "seen"),
    [
        (gable(), ("left rafter", 3), {"pins", "shims", "two sizes"}),
        (KEYED["T06"](), ("S strut", 0), {"shims", "two sizes", "astride"}),
    ],
)
def test_the_angle_of_a_sloped_face_is_that_of_its_pins_as_packed(
    gridjig: Command, tmp_path: Path, job: Job, face: tuple[str, int], seen: set[str]
) -> None:
    path = tmp_path / "sloped.gridjig"
    path.write_bytes(write_job(job))
    ways = [word for way in seen for word in ("--way", way.replace(" ", "-"))]
    words = ("--job", str(path), "--face", face[0], str(face[1]), "--top", "60", *ways)
    found = asked(gridjig, *words)
    part = next(p for p in job.parts if p.name == face[0])
    ring = shapely.Polygon(part_ring(part))
    start, end = (complex(*at) for at in found["face"]["ends_mm"])
    along = (end - start) / abs(end - start)
    wide = part.section.width if isinstance(part, Member) else 0.0
    answers = [*found["answers"], *found["nearest"]]
    assert {answer["way"] for answer in answers} >= seen
    for answer in answers:
        if answer["way"] == "plate":
            continue
        assert answer["fouled"] is False
        centres, rounds = [], []
        for k, (hole, how) in enumerate(zip(answer["holes"], answer["standing"], strict=True)):
            at = job.table.at(find_hole(job.table, hole))
            rounds.append(job.rack.piece(how["piece"]).rounds[0].radius + answer["shims_mm"][k])
            centres.append(complex(*at))
            assert ring.distance(shapely.Point(at)) - rounds[-1] == pytest.approx(
                answer["open_mm"][k], abs=2e-3
            )
        a, b = centres
        turn = cmath.rect(1.0, math.radians(answer["angle_deg"]))
        turn = turn if (turn * along.conjugate()).real > 0 else -turn
        leans = ((b - a) * turn.conjugate()).imag  # how far b is to the left of a
        left = [((one - start) * along.conjugate()).imag > 0 for one in (a, b)]
        assert any(left) == (answer["way"] == "astride")
        wanted = rounds[0] - rounds[1]
        if any(left):
            wanted = (1.0 if left[1] else -1.0) * (rounds[0] + wide + rounds[1])
        assert leans == pytest.approx(wanted, abs=2e-3)
        off = math.degrees(cmath.phase(turn / along)) * 60.0
        assert answer["error_arcmin"] == pytest.approx(off, abs=0.02)


def test_a_face_is_told_as_text_with_its_gap(gridjig: Command) -> None:
    said = gridjig("angle", "--job", str(KEPT_JOB), "--face", "Strut", "0", "--way", "shims")
    assert said.code == 0
    assert " off the face" in said.out
    assert "pairs of holes beside the face were tried" in said.out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "Give the angle you want"),
        (("--face", "Strut", "0"), "A face belongs to a job"),
        (("30", "--job", "JOB", "--face", "Strut", "0"), "A face has its own angle"),
        (
            ("--job", "JOB", "--face", "Roof", "0"),
            "There is no part Roof in the job; its parts are: ",
        ),
        (("--job", "JOB", "--face", "Strut", "left"), "Strut has no left; its straight faces are:"),
        (("--job", "JOB", "--face", "Strut", "side:3"), "clear of its joints leaves nothing"),
    ],
)
def test_a_face_that_cannot_be_held_is_refused(
    gridjig: Command, words: tuple[str, ...], told: str
) -> None:
    said = gridjig("angle", *(str(KEPT_JOB) if word == "JOB" else word for word in words))
    assert said.code == 2
    assert told in said.err
