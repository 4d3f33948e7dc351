"""The check works in a thread of its own, on the very shapes that the window asks: two at once."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest
import shapely

import gridjig
from gridjig.contact.shapes import Thing, placed_part, rooms_of
from gridjig.model import Drilled, Plate
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import LAYOUTS, layout

SOURCE = Path(gridjig.__file__).parent
LOCAL = {"bad_hole", "_one_by_one", "_outermost", "_prepared"}
"""Functions whose prepared shapes only one thread ever sees."""

TWO_AT_ONCE = """
from threading import Barrier, Thread

from gridjig.contact.overlap import close_pairs
from gridjig.contact.shapes import placed_part
from tests.contact.test_threads import plate

answers = []
for turn in range(40):
    some = [placed_part(plate(f"{turn} {k}", 9.0 * k)) for k in range(24)]
    start = Barrier(2)

    def ask():
        start.wait()
        answers.append(len(close_pairs(some, some[::-1])))

    both = [Thread(target=ask) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
print(len(answers), *set(answers))
"""


def plate(name: str, x: float) -> Plate:
    hole = Drilled((30.0, 30.0), 20.0)
    return Plate(
        id=name,
        name=name,
        corners=((0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0)),
        holes=(hole,),
        x=x,
        z_low=0.0,
        z_high=6.0,
    )


@pytest.mark.source("method", "a single thread gives the same number of pairs")
def test_two_threads_ask_for_the_same_shapes_at_once() -> None:
    done = subprocess.run(
        [sys.executable, "-c", TWO_AT_ONCE],
        capture_output=True,
        text=True,
        timeout=120,
        cwd=SOURCE.parent,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    count, *different = done.stdout.split()
    assert count == "80"
    assert len(different) == 1


@pytest.mark.parametrize("trial", sorted(LAYOUTS))
def test_no_shape_that_is_kept_is_prepared(trial: str) -> None:
    job = layout(trial)
    things: list[Thing] = [*PlacedPieces().of(job).values(), *map(placed_part, job.parts)]
    things.append(placed_part(plate("drilled", 0.0)))
    plans = [room.plan for thing in things for room in rooms_of(thing).every]
    assert len(plans) > len(job.parts)
    assert not any(shapely.is_prepared(plan) for plan in plans)


def test_shapes_are_prepared_only_where_no_other_thread_sees_them() -> None:
    found = {
        function.name
        for path in SOURCE.rglob("*.py")
        if "shapely.prepare(" in (source := path.read_text(encoding="utf-8"))
        for function in ast.walk(ast.parse(source))
        if isinstance(function, ast.FunctionDef)
        for call in ast.walk(function)
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "shapely.prepare"
    }
    assert found == LOCAL
