"""Drawings under 1 MB that once took gigabytes or minutes, each named after what it does.

Each ends within 10 s and 1 GB in a result or a sentence, and can be stopped within half a second.
"""

import math
import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import msgspec
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.files.drawings import nesting, rings
from gridjig.files.drawings.curves import Affine
from gridjig.files.drawings.nesting import depths, swept

HOSTILE = Path(__file__).parent / "hostile"
SECONDS, BYTES = 10.0, 1024**3
STOPPED = 0.5
Points = Iterable[tuple[float, float]]


def drawn(things: str, blocks: str = "") -> str:
    return (
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
        f"0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n"
        f"0\nSECTION\n2\nENTITIES\n{things}0\nENDSEC\n0\nEOF\n"
    )


def poly(points: Points, bulge: float = 0.0) -> str:
    arc = f"42\n{bulge}\n" if bulge else ""
    corners = "".join(f"10\n{x}\n20\n{y}\n{arc}" for x, y in points)
    return f"0\nLWPOLYLINE\n8\n0\n70\n1\n{corners}"


def circle(x: float, y: float, radius: float) -> str:
    return f"0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{radius}\n"


def block(name: str, things: str, base: str = "0") -> str:
    return f"0\nBLOCK\n2\n{name}\n10\n{base}\n20\n0\n{things}0\nENDBLK\n"


def insert(name: str, **more: float) -> str:
    codes = {"columns": 70, "rows": 71, "right": 44, "back": 45, "wide": 41, "high": 42}
    said = "".join(f"{codes[key]}\n{value}\n" for key, value in more.items())
    return f"0\nINSERT\n2\n{name}\n10\n0\n20\n0\n{said}"


def spline(count: int, *, fits: bool) -> str:
    wave = [(k, round(math.sin(k) * 10, 2)) for k in range(count)]
    if fits:
        return "0\nSPLINE\n8\n0\n71\n3\n" + "".join(f"11\n{x}\n21\n{y}\n" for x, y in wave)
    knots = [*[0] * 4, *range(1, count - 3), *[count - 3] * 4]
    return (
        "0\nSPLINE\n8\n0\n71\n3\n"
        + "".join(f"40\n{k}\n" for k in knots)
        + "".join(f"41\n{1 + k % 3}\n10\n{x}\n20\n{y}\n" for k, (x, y) in enumerate(wave))
    )


PLATE = poly([(0, 0), (90, 0), (90, 60)])
HURTS = {
    "3000 huge bulges": drawn(
        "".join(poly([(k * 3e6, 0), (k * 3e6 + 2e6, 1e6)], 1.0) for k in range(3000))
    ),
    "100,000 squares on a heap": drawn(
        insert("A", columns=400, rows=250, right=0.0001, back=0.0001),
        block("A", poly([(0, 0), (10, 0), (10, 10), (0, 10)])),
    ),
    "190,000 rings of 100 corners": drawn(
        insert("A", columns=500, rows=380, right=9, back=9),
        block("A", poly([(math.cos(k / 16), math.sin(k / 16)) for k in range(100)], 0.1)),
    ),
    "2000 circles of radius 4e7": drawn("".join(circle(k, 0, 4e7) for k in range(2000))),
    "a spline with 15000 fit points": drawn(spline(15_000, fits=True) + PLATE),
    "a rational spline of 20000 poles": drawn(spline(20_000, fits=False) + PLATE),
    "12000 concentric circles": drawn("".join(circle(0, 0, k + 1) for k in range(12_000))),
    "8000 concentric squares": drawn(
        "".join(poly([(-k, -k), (k, -k), (k, k), (-k, k)]) for k in range(1, 8000))
    ),
    "7000 polygons of one box": drawn(
        "".join(
            poly([(0, 0), (99, 0), (99, 99), (50 + k % 80 * 0.3, 98 - k // 80 * 0.5), (0, 99)])
            for k in range(7000)
        )
    ),
    "32767 by 32767 inserts of nothing": drawn(
        insert("E", columns=32767, rows=32767, right=1, back=1) + PLATE, block("E", "")
    ),
    "32767 by 32767 inserts of a text": drawn(
        insert("E", columns=32767, rows=32767, right=1, back=1) + PLATE,
        block("E", "0\nTEXT\n1\nhello\n"),
    ),
    "9000 nested blocks": drawn(
        insert("B0"),
        "".join(block(f"B{k}", insert(f"B{k + 1}")) for k in range(9000)) + block("B9000", PLATE),
    ),
    "blocks doubled 19 times": (HOSTILE / "exp2x19sq.dxf").read_text(),
    "a block base that is no number": drawn(insert("A") + PLATE, block("A", PLATE, "nan")),
    "a block base that is infinite": drawn(insert("A") + PLATE, block("A", PLATE, "inf")),
    "an insert scale of 1e150": (HOSTILE / "scale1e150.dxf").read_text(),
    "an ellipse of endless angles": drawn(
        "0\nELLIPSE\n8\n0\n10\n0\n20\n0\n11\n9\n21\n0\n40\n.5\n41\n-1.7e308\n42\n1.7e308\n" + PLATE
    ),
}
SENTENCES = {
    "3000 huge bulges": "its curves need more than 1,120,000 points to be accurate to 0.05 of its",
    "190,000 rings of 100 corners": "its blocks draw more than 1,000,000 points",
    "2000 circles of radius 4e7": "its curves need more than 1,080,000 points",
    "12000 concentric circles": "its curves need more than 1,480,000 points",
    "7000 polygons of one box": "on layer 0 too many outlines lie on or across one another",
    "blocks doubled 19 times": "its blocks draw more than 200,000 shapes",
}
LISTED = {
    "a spline with 15000 fit points": "1 spline through more than 1,000 points",
    "a rational spline of 20000 poles": "1 spline of more than 2,000 weighted poles",
    "32767 by 32767 inserts of a text": "1,073,676,289 texts",
    "a block base that is no number": "1 damaged shape",
    "a block base that is infinite": "1 damaged shape",
    "an insert scale of 1e150": "1 unusable curve",
}
PROGRAM = """
import json, os, resource, sys, time
from pathlib import Path
from gridjig.files.drawings.drawing import read_drawing
from gridjig.files.drawings.tags import prepare
from gridjig.files.format.faults import ReadFault

def read(path, most):
    resource.setrlimit(resource.RLIMIT_AS, (most, most))  # what holds it to 1 GB
    begun = last = time.process_time()
    longest = 0.0
    def report(done, total):
        nonlocal last, longest
        now = time.process_time()
        longest, last = max(longest, now - last), now
    try:
        said = ", ".join(map(str, read_drawing(path, report=report).unused))
        fault = ""
    except ReadFault as refusal:
        said, fault = "", str(refusal)
    report(1, 1)
    return {"fault": fault, "unused": said, "seconds": last - begun, "longest": longest}

prepare()  # what is imported is imported
for path in sys.argv[2:]:
    child = os.fork()  # each in a process of its own, which need not load the program
    if child == 0:
        print(json.dumps(read(Path(path), int(sys.argv[1]))), flush=True)
        os._exit(0)
    if os.waitpid(child, 0)[1] != 0:
        sys.exit(path)
"""


class Ending(msgspec.Struct):
    """How the reading of a drawing ended: its times are processor time."""

    fault: str
    unused: str
    seconds: float
    longest: float


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_each_ends_within_its_time_and_memory_and_can_be_stopped_at_any_moment(
    tmp_path: Path,
) -> None:
    paths = [tmp_path / f"{number}.dxf" for number in range(len(HURTS))]
    for path, text in zip(paths, HURTS.values(), strict=True):
        path.write_text(text)
        assert path.stat().st_size < 1024**2
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(BYTES), *map(str, paths)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert (done.stderr, done.returncode) == ("", 0)
    lines = [msgspec.json.decode(line, type=Ending) for line in done.stdout.splitlines()]
    endings = dict(zip(HURTS, lines, strict=True))
    assert {name for name, end in endings.items() if end.fault} == set(SENTENCES)
    assert {
        name for name, end in endings.items() if SENTENCES.get(name, "") not in end.fault
    } == set()
    assert {
        name for name, end in endings.items() if LISTED.get(name, "") not in end.unused
    } == set()
    assert {name: end.seconds for name, end in endings.items() if end.seconds > SECONDS} == {}
    assert {name: end.longest for name, end in endings.items() if end.longest > STOPPED} == {}


# -- outlines in one another -----------------------------------------------------------------------


def square(x: float, y: float, half: float) -> shapely.Polygon:
    return shapely.box(x - half, y - half, x + half, y + half)


def star(x: float, y: float, size: float, points: int, turn: float) -> shapely.Polygon:
    turns = [turn + math.pi * k / points for k in range(2 * points)]
    sizes = [size if k % 2 else size * 0.4 for k in range(2 * points)]
    return shapely.Polygon(
        [(x + s * math.cos(t), y + s * math.sin(t)) for s, t in zip(sizes, turns, strict=True)]
    )


@st.composite
def families(draw: st.DrawFn) -> list[shapely.Polygon]:
    """Shapes of which no two cross: in cells of their own, one in another."""
    made: list[shapely.Polygon] = []

    def fill(x: float, y: float, half: float, depth: int) -> None:
        kind = draw(st.sampled_from(["none", "square", "star", "both"] if depth else ["none"]))
        if kind == "none":
            return
        shape = (
            square(x, y, half * 0.9)
            if kind == "square"
            else star(x, y, half * 0.9, draw(st.integers(3, 7)), draw(st.floats(0, 6)))
        )
        made.append(shape)
        inside = half * (0.4 if kind == "square" else 0.1)
        for dx, dy in ((-1, -1), (1, -1), (-1, 1), (1, 1)):
            fill(x + dx * inside, y + dy * inside, inside, depth - 1)

    for cell in range(3):
        fill(cell * 200.0, draw(st.floats(-50, 50)), 100.0, 3)
    return draw(st.permutations(made))


@pytest.mark.source("library", "shapely 2", "contains of every two shapes")
@settings(max_examples=60)
@given(families())
def test_a_line_swept_over_the_shapes_finds_what_each_lies_in(
    shapes: list[shapely.Polygon],
) -> None:
    ticks: list[int] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(nesting, "MOST_PAIRS", -len(shapes))
        found = depths(shapes, ticks.append)
    every = np.array(shapes, dtype=object)
    wanted = [int(np.sum(shapely.contains(every, shape))) - 1 for shape in shapes]
    assert found == [max(depth, 0) for depth in wanted]


def test_what_crosses_each_other_is_not_told_apart_by_a_guess(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shapes = [square(k * 7.0 % 31, k * 11.0 % 29, 20) for k in range(40)]
    few = depths(shapes, lambda _: None)
    assert few == [0] * 40
    monkeypatch.setattr(nesting, "MOST_PAIRS", 10)
    with pytest.raises(nesting.Tangled):
        depths(shapes, lambda _: None)
    assert len(swept(shapes, lambda _: None)) == 40


def test_looking_for_what_is_not_in_its_place_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thin shapes cross each other over and over, so that nothing is where the line expects it."""
    shapes = [
        shapely.Polygon([(0, k), (100, 60 - k), (100, 60.5 - k), (0, k + 0.5)])
        for k in reversed(range(60))
    ]
    assert len(swept(shapes, lambda _: None)) == 60
    monkeypatch.setattr(nesting, "MOST_SEARCHED", 100)
    with pytest.raises(nesting.Tangled):
        swept(shapes, lambda _: None)


@pytest.mark.source("method", "symmetry: an outline is the same whichever way round it is listed")
def test_which_way_round_an_outline_runs_changes_nothing() -> None:
    shapes = [square(0, 0, 90), square(10, 10, 60), square(20, 20, 5)]
    found = swept(shapes, lambda _: None)
    assert found == {0: -1, 1: 0, 2: 1}
    assert swept([shape.reverse() for shape in shapes], lambda _: None) == found


@pytest.mark.source("library", "shapely 2", "Polygon.hausdorff_distance")
def test_outlines_of_many_corners_are_as_far_apart_as_hausdorff_says(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    round_one = shapely.Point(3, 4).buffer(100, quad_segs=200)
    pairs = [
        (round_one, shapely.Point(3, 4).buffer(103, quad_segs=200)),
        (round_one, shapely.Point(3.5, 4).buffer(100, quad_segs=150)),
        (round_one, shapely.Point(3, 4).buffer(100, quad_segs=5)),
    ]
    wanted = [one.hausdorff_distance(other) for one, other in pairs]
    monkeypatch.setattr(rings, "_FEW", 0)
    assert [rings._apart(one, other) for one, other in pairs] == pytest.approx(wanted, abs=0.02)
    assert wanted[0] == pytest.approx(3.0, abs=0.01)


@pytest.mark.source("method", "arithmetic: the greater singular value of a turn and a stretch")
@pytest.mark.parametrize("size", [1e-300, 1e-12, 1.0, 1e11, 1e150, 1e300])
def test_the_stretch_of_any_scale_is_a_number(size: float) -> None:
    c, s = math.cos(0.3), math.sin(0.3)
    turned = Affine(c * size, s * size, -s * size * 0.5, c * size * 0.5)
    assert turned.stretch == pytest.approx(size, rel=0.05)


# -- what lies about -------------------------------------------------------------------------------


def test_a_settings_file_of_the_reader_in_the_current_folder_is_not_read(tmp_path: Path) -> None:
    (tmp_path / "ezdxf.ini").write_text("[core]\ntest_files = /hijacked\n[broken\n")
    code = (
        "from gridjig.files.drawings.tags import prepare; prepare();"
        "import ezdxf, configparser; print(ezdxf.options.get('core', 'test_files'));"
        "made = configparser.ConfigParser(); made.read('ezdxf.ini.good'); print(made.sections())"
    )
    (tmp_path / "ezdxf.ini.good").write_text("[shop]\n")
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "hijacked" not in done.stdout
    assert done.stdout.endswith("['shop']\n")
