"""Thousands of random acts on a job: nothing breaks, undo leads all the way back, files are true.

The number that the acts are drawn from is printed; GRIDJIG_RANDOM=number runs those acts again.
"""

import os
import random
from collections.abc import Callable

import pytest
from msgspec import structs

from gridjig.edits import details, outlines, placements, selection, table
from gridjig.edits.things import all_ids, new_id
from gridjig.files.jobfile import read_job, write_job
from gridjig.model import (
    Display,
    Hole,
    Job,
    LabelScheme,
    Part,
    Placement,
    Seat,
    Section,
    require_whole,
)
from gridjig.session.desk import Desk
from gridjig.tools.bench import Bench
from gridjig.tools.dimension import DimensionTool
from gridjig.tools.holes import HoleTool, Wanted
from gridjig.tools.join import JoinTool
from gridjig.tools.joins import WAYS
from gridjig.tools.member import LIES, MemberTool
from gridjig.tools.notch import NotchTool
from gridjig.tools.outline import OutlineTool
from gridjig.tools.place import PlaceTool
from gridjig.tools.pointer import Key, Pointer
from gridjig.tools.select import SelectTool
from gridjig.tools.tool import Tool
from gridjig.units import Unit
from tests.workshop import EMPTY, LOCK, RACK, SHIM, laid, pin, plate, stop

START = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 600, 600, 200, 40))
PLACED = [p.id for p in RACK.pieces if p.is_placed]
KEYS = [
    "left",
    "right",
    "up",
    "down",
    "r",
    "f",
    "b",
    "enter",
    "space",
    "escape",
    "delete",
    "a",
    "s",
]
WITH_CTRL = ["a", "c", "x", "v", "d", "left", "right", "up", "down"]
TEXTS = [
    *["C4", "37.5", "600 x 50", "every 5th column from C", "1/2 in", "?", "", "0,0; 90,0; 90,90"],
    *["300 < 37.5", "4:12", "z 20", "30 x 10", "member 1", "250"],
]
STOCK = [
    Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3),
    Section(name="60.3x3.6", kind="round tube", width=60.3, height=60.3, wall=3.6),
    Section(name="L50x30x5", kind="angle", width=50, height=30, wall=5),
]
UNITS: list[Unit] = ["inch fractions", "inch decimals", "millimetres"]
STATES: list[Wanted] = ["blocked", "damaged", "reserved", "free"]


class Hand:
    """Does random things to a desk, as edits and through tools."""

    def __init__(self, job: Job, number: int) -> None:
        self.chance = random.Random(number)
        self.desk = Desk(job)
        self.bench = Bench(self.desk, SelectTool)

    def any_id(self) -> str | None:
        every = sorted(all_ids(self.desk.job))
        return self.chance.choice(every) if every else None

    def some_ids(self) -> frozenset[str]:
        every = sorted(all_ids(self.desk.job))
        return frozenset(self.chance.sample(every, self.chance.randint(0, len(every))))

    def any_hole(self) -> Hole:
        t = self.desk.job.table
        return Hole(self.chance.randrange(t.columns), self.chance.randrange(t.rows))

    def mm(self) -> float:
        return round(self.chance.uniform(-200, 1400), 2)

    # -- edits ---------------------------------------------------------------------------------

    def edit(self) -> None:
        job = self.desk.job
        edit = self.chance.choice(
            (self.shift, self.remove, self.copy, self.put, self.pose, self.note, self.draw)
            if self.chance.random() < 0.6
            else (self.turn, self.move, self.mark, self.show, self.lift)
        )
        changed = edit(job)
        if changed is not None:
            self.desk.do(changed, edit.__name__, burst=self.chance.choice(["", "", "b"]))

    def shift(self, job: Job) -> Job:
        step = (self.chance.randint(-3, 3), self.chance.randint(-3, 3))
        return selection.shift(job, self.some_ids(), *step)

    def remove(self, job: Job) -> Job | None:
        thing = self.any_id()
        return None if thing is None else selection.remove(job, {thing})

    def copy(self, job: Job) -> Job | None:
        if len(job.placements) + len(job.outlines) > 30:
            return None
        return selection.copy(job, self.some_ids(), self.chance.randint(-4, 4), 2)[0]

    def put(self, job: Job) -> Job:
        piece = RACK.piece(self.chance.choice(PLACED))
        seats = tuple(Seat(m.id, self.any_hole()) for m in piece.mounts)
        made = Placement(id=new_id(job, piece.kind), piece=piece.id, seats=seats)
        return placements.place(job, structs.replace(made, turn=self.chance.uniform(-180, 180)))

    def _placement(self, job: Job) -> str | None:
        return self.chance.choice(job.placements).id if job.placements else None

    def _outline(self, job: Job) -> Part | None:
        return self.chance.choice(job.outlines) if job.outlines else None

    def pose(self, job: Job) -> Job | None:
        thing = self._placement(job)
        if thing is None:
            return None
        set_to = {self.chance.choice(["turn", "slide", "leaf", "reach"]): self.mm()}
        return placements.set_pose(placements.flip(job, thing), thing, **set_to)

    def note(self, job: Job) -> Job | None:
        thing = self._placement(job)
        if thing is None:
            return None
        return placements.set_note(
            placements.rename(job, thing, "Nord „½“ ✓"), thing, "a\n\tb\u2028c"
        )

    def lift(self, job: Job) -> Job | None:
        thing = self._placement(job)
        if thing is None:
            return None
        stack = tuple(self.chance.choices(["riser", SHIM.id], k=self.chance.randint(0, 3)))
        return placements.set_packing(placements.set_lift(job, thing, stack), thing, stack[:1])

    def draw(self, job: Job) -> Job:
        a, b = (self.mm(), self.mm()), (self.mm(), self.mm())
        if a[0] == b[0] or a[1] == b[1]:
            return job
        made = outlines.rectangle(new_id(job, "outline"), "tube", a, b, (0.0, 40.0))
        return outlines.add_part(job, made)

    def turn(self, job: Job) -> Job | None:
        outline = self._outline(job)
        if outline is None:
            return None
        return outlines.turn_about(job, outline.id, self.mm(), (self.mm(), self.mm()))

    def move(self, job: Job) -> Job | None:
        outline = self._outline(job)
        return None if outline is None else outlines.set_place(job, outline.id, x=self.mm())

    def mark(self, job: Job) -> Job:
        holes = {self.any_hole() for _ in range(self.chance.randint(1, 4))}
        if self.chance.random() < 0.5:
            return table.clear_holes(job, holes)
        return table.mark_holes(job, holes, self.chance.choice(["blocked", "damaged"]))

    def show(self, job: Job) -> Job:
        job = table.set_labels(job, LabelScheme(along_x=self.chance.choice(["letters", "numbers"])))
        return details.set_display(job, Display(unit=self.chance.choice(UNITS)))

    # -- the window's ways ---------------------------------------------------------------------

    def pointer(self) -> Pointer:
        if self.chance.random() < 0.6 and self.desk.job.placements:
            hole = self.chance.choice(self.desk.job.placements).seats[0].hole
            x, y = self.desk.job.table.at(hole)
        else:
            x, y = self.mm(), self.mm()
        return Pointer(
            x + self.chance.uniform(-20, 20),
            y + self.chance.uniform(-20, 20),
            table_mm=self.chance.choice([0.2, 1.0, 5.0]),
            add=self.chance.random() < 0.1,
            free=self.chance.random() < 0.2,
        )

    def hand(self) -> None:
        act = self.chance.choices(
            [self.point, self.strike, self.enter, self.take, self.undo, self.save],
            [12, 6, 2, 2, 2, 1],
        )[0]
        act()
        self.bench.overlay()

    def point(self) -> None:
        how = self.chance.choice(["click", "drag", "move", "press", "release"])
        if how in ("press", "click", "drag"):
            self.bench.press(self.pointer())
        if how in ("drag", "move"):
            for _ in range(self.chance.randint(1, 3)):
                self.bench.move(self.pointer())
                self.bench.overlay()
        if how in ("release", "click", "drag"):
            self.bench.release(self.pointer())

    def strike(self) -> None:
        ctrl = self.chance.random() < 0.3
        if ctrl and len(self.desk.job.placements) > 30:
            self.desk.select({"none"})
        name = self.chance.choice(WITH_CTRL if ctrl else KEYS)
        self.bench.key(Key(name, shift=self.chance.random() < 0.2, ctrl=ctrl))

    def enter(self) -> None:
        self.bench.type(self.chance.choice(TEXTS))

    def take(self) -> None:
        makers: list[Callable[[Desk], Tool]] = [
            SelectTool,
            OutlineTool,
            lambda desk: OutlineTool(desk, "polygon"),
            lambda desk: HoleTool(desk, self.chance.choice(STATES)),
            lambda desk: PlaceTool(desk, self.chance.choice([*PLACED, LOCK.id])),
            lambda desk: MemberTool(desk, self.chance.choice(STOCK), self.chance.choice(LIES)),
            lambda desk: MemberTool(desk, self.chance.choice(STOCK), self.chance.choice(LIES)),
            lambda desk: JoinTool(desk, self.chance.choice(list(WAYS))),
            NotchTool,
            DimensionTool,
        ]
        self.bench.take(self.chance.choice(makers))

    def undo(self) -> None:
        if self.chance.random() < 0.6:
            self.desk.undo()
        else:
            self.desk.redo()

    def save(self) -> None:
        self.desk.mark_saved()
        assert not self.desk.modified


def check(desk: Desk) -> None:
    """What must hold after every act."""
    shown, stands = desk.shown, desk.stands
    assert set(stands) == {p.id for p in shown.placements}
    for placement in shown.placements:
        there = stands[placement.id]
        assert there.placement is placement
        assert there.way is not None or there.fault
        assert there.fault is None or there.fault[-1] == "."
    assert desk.selection <= all_ids(desk.job)


def run(job: Job, number: int, acts: int, step: Callable[[Hand], None]) -> None:
    hand = Hand(job, number)
    for n in range(acts):
        step(hand)
        check(hand.desk)
        if n % 25 == 0:
            require_whole(hand.desk.job)
            data = write_job(hand.desk.job)
            again = read_job(data)
            assert again == hand.desk.job
            assert write_job(again) == data
    last, count = hand.desk.job, hand.desk.undo_count
    while hand.desk.redo() is not None:
        last = hand.desk.job
        count = hand.desk.undo_count
    while hand.desk.undo() is not None:
        pass
    assert hand.desk.job is job
    for _ in range(count):
        assert hand.desk.redo() is not None
    assert hand.desk.job is last
    assert hand.desk.redo() is None


@pytest.fixture
def number() -> int:
    chosen = os.environ.get("GRIDJIG_RANDOM")
    drawn = int(chosen) if chosen else random.SystemRandom().randrange(10**9)
    print(f"GRIDJIG_RANDOM={drawn}")
    return drawn


@pytest.mark.expectation(35)
def test_random_edits(number: int) -> None:
    run(START, number, 2000, Hand.edit)


@pytest.mark.expectation(22, 35)
def test_random_use_of_the_tools(number: int, caplog: pytest.LogCaptureFixture) -> None:
    run(START, number, 1500, Hand.hand)
    assert not caplog.records, caplog.text


def test_random_edits_and_tools_on_an_empty_table(
    number: int, caplog: pytest.LogCaptureFixture
) -> None:
    def either(hand: Hand) -> None:
        (hand.edit if hand.chance.random() < 0.3 else hand.hand)()

    run(EMPTY, number, 1500, either)
    assert not caplog.records, caplog.text
