"""How fast the sheet answers, as ratios to one full-window picture copied to the screen.

    python scripts/bench.py [--rounds N]

QT_QPA_PLATFORM chooses the screen: "offscreen", or "xcb" under a real or virtual display.

F is the time from a mouse event to the painted frame of an empty 1280 x 800 widget that answers
it by copying one picture as large as itself: the least that any full frame can cost here.  It is
measured again beside every row, in turns, so that a busy machine slows both.  Everything is
measured three times over, a minute apart, and the least disturbed round counts.  The window being
measured is on top.  Painting is requested at once, without waiting for the screen refresh, so that
the work counts and not the pause.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from functools import partial

import bench_contacts
import benchstart
from benchframes import (
    HIGH,
    WIDE,
    Act,
    Frames,
    Row,
    least_disturbed,
    middle,
    mouse,
    p95,
    seconds,
    wheel,
)
from benchjobs import bare, big_table, crowd, few, one_moved, weldment
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtWidgets import QApplication

from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Job, Table
from gridjig.model.changes import exchanged
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.style.metrics import measure
from gridjig.qt.style.theme import THEMES
from gridjig.qt.tasks.collector import Collector
from gridjig.qt.tasks.warmup import before_thread
from gridjig.rack import Piece, Point
from gridjig.session.document import Document
from gridjig.solve.poses.pose_table import _pair_poses, poses


def canvas_of(job: Job) -> Canvas:
    """Return a painted canvas of a job."""
    canvas = Canvas(Document(job), THEMES["light"], measure(QApplication.primaryScreen()))
    canvas.resize(WIDE, HIGH)
    canvas.show()
    QApplication.processEvents()
    return canvas


def drag(
    frames: Frames, what: str, job: Job, at: Point, taken: Sequence[str], limit: float | None
) -> Row:
    """Measure dragging a thing at a place, or one picked up there, to and fro over the table."""
    canvas = canvas_of(job)
    canvas.document.select(taken)
    start = QPointF(*canvas.view.to_screen(at))
    left = Qt.MouseButton.LeftButton
    mouse(canvas, QEvent.Type.MouseMove, start)
    mouse(canvas, QEvent.Type.MouseButtonPress, start, left, left)
    step = [0]

    def act() -> None:
        step[0] += 1
        way = step[0] % 120
        out = 7.0 * (way if way < 60 else 120 - way)
        mouse(canvas, QEvent.Type.MouseMove, start + QPointF(out, 0.4 * out), held=left)

    row = frames.row(f"{what}, 7 px a move: event to frame, p95", canvas, act, limit, p95, 240)
    assert canvas.document.shown is not canvas.document.job, "nothing was dragged"
    mouse(canvas, QEvent.Type.MouseButtonRelease, start, left)
    canvas.close()
    return row


def drags(frames: Frames) -> list[Row]:
    """Measure dragging one piece of 300, one member of a weldment of 60, and the whole weldment."""
    job, thing_id = crowd(300)
    hole = next(p for p in job.placements if p.id == thing_id).seats[0].hole
    ladder, at = weldment(60)
    every = [part.id for part in ladder.parts]
    before_thread()  # contacts are marked once the code that finds them is loaded
    touching = bench_contacts.scene()
    pin = touching.table.at(
        next(p for p in touching.placements if p.piece == "pin-1").seats[0].hole
    )
    return [
        drag(frames, "drag of one among 300", job, job.table.at(hole), (), 8.0),
        drag(frames, "the same at 60 members, contacts marked", touching, pin, (), 8.0),
        drag(frames, "drag of one member among 60", ladder, at, (), 8.0),
        drag(frames, "drag of all 60 members", ladder, at, every, None),
    ]


def zoom(frames: Frames, what: str, job: Job, limit: float | None) -> Row:
    """Measure zooming in and out with the wheel over the middle of the plate."""
    canvas = canvas_of(job)
    at = QPointF(WIDE / 2 + 31, HIGH / 2 + 17)
    step = [0]

    def act() -> None:
        step[0] += 1
        wheel(canvas, at, 120 if step[0] % 6 < 3 else -120)

    row = frames.row(what, canvas, act, limit)
    canvas.close()
    return row


def pan(frames: Frames, what: str, job: Job, limit: float | None) -> Row:
    """Measure panning the sheet to and fro with the middle button."""
    canvas = canvas_of(job)
    canvas.zoom_by(1.6)
    start = QPointF(WIDE / 2, HIGH / 2)
    button = Qt.MouseButton.MiddleButton
    mouse(canvas, QEvent.Type.MouseButtonPress, start, button, button)
    step = [0]

    def act() -> None:
        step[0] += 1
        way = step[0] % 40
        out = 9.0 * (way if way < 20 else 40 - way)
        at = start + QPointF(out, out / 2)
        mouse(canvas, QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton, button)

    row = frames.row(what, canvas, act, limit)
    canvas.close()
    return row


def edit(rounds: int) -> list[Row]:
    """Measure moving one piece of 360 forward and back, each time giving a new job.

    First the edit and finding what differs from the previous job; then also the history step and
    placing what moved; then also its drawing and the area to repaint.
    """
    job, thing_id = crowd(360)
    canvas = canvas_of(job)
    document = canvas.document
    turn = [0]

    def moved() -> Job:
        turn[0] += 1
        return one_moved(document.job, thing_id, 1 if turn[0] % 2 else -1)

    def lean() -> None:
        before = document.job
        assert exchanged(before.placements, moved().placements)

    silent = Document(job)
    silent.select([thing_id])

    def kept() -> None:
        turn[0] += 1
        before = silent.job
        silent.do(one_moved(before, thing_id, 1 if turn[0] % 2 else -1), "Move")
        assert silent.placed_pieces[thing_id].fault is None
        assert exchanged(before.placements, silent.job.placements)

    def drawn() -> None:
        document.do(moved(), "Move")

    rows = [
        Row(what, 1e6 * least(act, rounds, 200), "us", limit)
        for what, act, limit in (
            ("one edit at 360 things, and finding what differs", lean, 50.0),
            ("the same, with its step in the history and its stand made anew", kept, 50.0),
            ("the same, drawn anew, and what to paint marked", drawn, None),
        )
    ]
    canvas.close()
    return rows


def least(act: Act, rounds: int, times: int) -> float:
    """Return the seconds for a call: the median of the least disturbed round."""
    return min(middle(seconds(act, times)) for _ in range(rounds))


def solver(rounds: int) -> Row:
    """Measure finding all poses, on 48 x 24 holes, of the slowest piece of the starter racks."""
    table = ready_tables()["48x96-5/8"]
    taken: list[tuple[float, str]] = []
    for rack in starter_racks().values():
        for piece in rack.pieces:
            if sum(m.body == 0 for m in piece.mounts) > 1:
                once = partial(_anew, table, piece, rack.pin_diameter(piece))
                once()
                taken.append((least(once, rounds, 5), piece.id))
    worst, name = max(taken)
    return Row(f"all poses on 48 x 24 holes, the slowest piece ({name})", 1e3 * worst, "ms", 1.0)


def _anew(table: Table, piece: Piece, pin: float) -> None:
    _pair_poses.cache_clear()  # measure the work, not the cache
    poses(table, piece, pin)


def first_window(rounds: int) -> list[Row]:
    """Measure the program's first painted window, and its complete one, against an empty Qt window.

    The first shows the table that is opened; the complete one also has rack, tools, forms, lists
    and start page.
    """
    empty, frame, whole = benchstart.times(rounds)
    return [
        Row("first painted window, against an empty Qt window", frame / empty, "x", 1.6),
        Row("the same with all that is in it, against an empty Qt window", whole / empty, "x", 4.0),
        Row("the empty window", 1e3 * empty, "ms", None),
        Row("the first painted window", 1e3 * frame, "ms", None),
        Row("the whole window", 1e3 * whole, "ms", None),
    ]


def main() -> int:
    """Measure everything and print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument(
        "--rounds", type=int, default=3, help="rounds of each row, three times over"
    )
    rounds = parser.parse_args().rounds
    app = QApplication.instance() or QApplication([])
    Collector(app)  # as in the program
    frames = Frames(rounds)
    rows = least_disturbed(partial(measured, frames, rounds))
    blit = middle(frames.blits) * 1e3
    name = app.platformName() if isinstance(app, QApplication) else ""
    print(f"{name}, {WIDE} x {HIGH}, {os.cpu_count()} processors, F = {blit:.3f} ms")
    if name == "offscreen":
        print("F is a bare copy in memory here; the promises in F are for a screen, such as xcb.")
    for row in rows:
        print(row.text())
    return 0


def measured(frames: Frames, rounds: int) -> list[Row]:
    """Measure everything once."""
    wide, large = ready_tables()["48x96-5/8"], big_table()
    return [
        *drags(frames),
        zoom(frames, "zoom, 1,152 holes", bare(wide), 5.0),
        zoom(frames, "zoom, 10,000 holes", bare(large), 6.0),
        zoom(frames, "zoom, 1,152 holes and 12 pieces and parts", few(wide), None),
        zoom(
            frames,
            "zoom, 1,152 holes and 300 pieces (sketched; exact 80 ms after)",
            crowd(300)[0],
            None,
        ),
        pan(frames, "pan, 1,152 holes and 300 pieces", crowd(300)[0], 3.0),
        pan(frames, "pan, 10,000 holes and 12 things", few(large), 3.0),
        *edit(rounds),
        solver(rounds),
        *first_window(rounds),
    ]


if __name__ == "__main__":
    sys.exit(main())
