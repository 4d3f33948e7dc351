"""How fast a piece in hand comes to touch, from the move of the pointer to the frame, in F.

Run: python scripts/bench_touching.py [--rounds N].  F is the time in which a picture as large as
the canvas is copied to the screen, as in `bench.py`; the promise is for a screen, such as xcb.
"""

import argparse
import sys
from functools import partial

from bench import canvas_of
from benchframes import Frames, Row, least_disturbed, mouse, p95
from benchjobs import weldment
from PySide6.QtCore import QEvent, QPointF
from PySide6.QtWidgets import QApplication

from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.tasks.collector import Collector
from gridjig.tools.draw.place_tool import PlaceTool


def in_hand(frames: Frames) -> list[Row]:
    """Measure moving a piece, before it is placed, along 60 members: at each hole it is set to
    touch.
    """
    ladder, at = weldment(60)
    rows = []
    for piece in ("stop-fixed", "stop-adjustable", "clamp-down-low"):
        canvas = canvas_of(ladder)
        canvas.set_tool(PlaceTool(canvas.document, piece))
        start = QPointF(*canvas.view.to_screen(at))
        step = [0]

        def act(canvas: Canvas = canvas, start: QPointF = start, step: list[int] = step) -> None:
            step[0] += 1
            way = step[0] % 120
            out = 7.0 * (way if way < 60 else 120 - way)
            mouse(canvas, QEvent.Type.MouseMove, start + QPointF(0.4 * out, out - 200.0))

        what = f"{piece} in hand among 60 members, 7 px a move: event to frame, p95"
        rows.append(frames.row(what, canvas, act, 8.0, p95, 240))
        canvas.close()
    return rows


def main() -> int:
    """Print the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--rounds", type=int, default=3, help="rounds of each row, three times over"
    )
    rounds = parser.parse_args().rounds
    app = QApplication.instance() or QApplication([])
    Collector(app)  # as in the program
    for row in least_disturbed(partial(in_hand, Frames(rounds))):
        print(row.text())
    return 0 if app is not None else 1


if __name__ == "__main__":
    sys.exit(main())
