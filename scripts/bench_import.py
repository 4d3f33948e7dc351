"""How long importing a drawing of 10,000 polylines takes, compared with the library's reading of
it.

    .venv/bin/python scripts/bench_import.py [POLYLINES]

Importing it may take at most 2 s longer than the library takes to read it.
"""

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

MOST_OVER_S = 2.0


def write_drawing(path: Path, count: int) -> None:
    """Write a drawing of `count` closed polylines, each with 20 corners and an arc."""
    from ezdxf.filemanagement import new  # noqa: PLC0415

    document = new("R2010", units=4)
    space = document.modelspace()
    for k in range(count):
        x, y = k % 100 * 120, k // 100 * 120
        there = [(x + 10 * i, y + i % 2 * 5, 0.0) for i in range(10)]
        back = [(x + 90 - 10 * i, y + 50 + i % 2 * 5, 0.3 * (i == 4)) for i in range(10)]
        space.add_lwpolyline([*there, *back], format="xyb", close=True)
    document.saveas(path)


def seconds(action: Callable[[], object]) -> float:
    """Return how long a call takes, the best of three."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> int:
    """Print the times; return 1 if importing takes too long."""
    from gridjig.files.drawings.drawing import read_drawing  # noqa: PLC0415
    from gridjig.files.drawings.tags import prepare  # noqa: PLC0415

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    prepare()
    from ezdxf.filemanagement import readfile  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "many.dxf"
        write_drawing(path, count)
        library = seconds(lambda: readfile(path))
        ours = seconds(lambda: read_drawing(path))
    over = ours - library
    verdict = "met" if over <= MOST_OVER_S else "NOT met"
    print(f"{count:,} polylines: library {library:.2f} s, brought in {ours:.2f} s")
    print(f"over the library's own reading: {over:.2f} s <= {MOST_OVER_S} s  {verdict}")
    return int(over > MOST_OVER_S)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    sys.exit(main())
