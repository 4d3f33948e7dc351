"""Thousands of random acts on a job: nothing breaks, undo leads all the way back, files are true.

The number that the acts are drawn from is printed; GRIDJIG_RANDOM=number runs those acts again.
"""

import os
import random
from collections.abc import Callable
from typing import get_args

import pytest
from hypothesis import settings
from msgspec import structs

from gridjig.edits import details, joints, parts, placements, selection, table, weldment_list
from gridjig.edits.lookup import all_ids, new_id
from gridjig.edits.other_hand import other_hand
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.model import (
    Display,
    Hole,
    Job,
    LabelScheme,
    MarkedState,
    Part,
    Placement,
    Seat,
    Section,
    WeldedSides,
    WeldKind,
    require_whole,
)
from gridjig.session.document import Document
from gridjig.tools.core.controller import ToolController
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import LIES, MemberTool
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.draw.plate_tool import PlateTool
from gridjig.tools.join.dimension_tool import DimensionTool
from gridjig.tools.join.join_kinds import JOIN_METHODS
from gridjig.tools.join.join_tool import JoinTool
from gridjig.tools.join.notch_tool import NotchTool
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.tools.select.select import SelectTool
from gridjig.units import Unit
from gridjig.words.placing_text import placing_text
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
    *["300 < 37.5", "4:12", "z 20", "30 x 10", "tube 1", "250"],
]
STOCK = [
    Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3),
    Section(name="60.3x3.6", kind="round tube", width=60.3, height=60.3, wall=3.6),
    Section(name="L50x30x5", kind="angle", width=50, height=30, wall=5),
]
UNITS: list[Unit] = ["inch fractions", "inch decimals", "millimetres"]
STATES: list[MarkedState] = ["blocked", "damaged", "reserved", "free"]


class Hand:
    """Does random things to a document, as edits and through tools."""

    def __init__(self, job: Job, number: int) -> None:
        self.chance = random.Random(number)
        self.document = Document(job)
        self.controller = ToolController(self.document, SelectTool)

    def any_id(self) -> str | None:
        every = sorted(all_ids(self.document.job))
        return self.chance.choice(every) if every else None

    def some_ids(self) -> frozenset[str]:
        every = sorted(all_ids(self.document.job))
        return frozenset(self.chance.sample(every, self.chance.randint(0, len(every))))

    def any_hole(self) -> Hole:
        t = self.document.job.table
        return Hole(self.chance.randrange(t.columns), self.chance.randrange(t.rows))

    def mm(self) -> float:
        return round(self.chance.uniform(-200, 1400), 2)

    # -- edits ---------------------------------------------------------------------------------

    def edit(self) -> None:
        job = self.document.job
        edit = self.chance.choice(
            (self.shift, self.remove, self.copy, self.put, self.pose, self.note, self.draw)
            if self.chance.random() < 0.6
            else (self.turn, self.move, self.mark, self.show, self.lift, self.weld, self.weldments)
        )
        changed = edit(job)
        if changed is not None:
            self.document.do(changed, edit.__name__, merge_key=self.chance.choice(["", "", "b"]))

    def shift(self, job: Job) -> Job:
        step = (self.chance.randint(-3, 3), self.chance.randint(-3, 3))
        return selection.shift(job, self.some_ids(), *step)

    def remove(self, job: Job) -> Job | None:
        thing = self.any_id()
        return None if thing is None else selection.remove(job, {thing})

    def copy(self, job: Job) -> Job | None:
        if len(job.placements) + len(job.parts) > 30:
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
        return self.chance.choice(job.parts) if job.parts else None

    def pose(self, job: Job) -> Job | None:
        thing = self._placement(job)
        if thing is None:
            return None
        what = self.chance.choice(["turn", "slide", "leaf", "reach"])
        angle = what in ("turn", "leaf")
        set_to = {what: round(self.chance.uniform(-720, 720), 2) if angle else self.mm()}
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
        made = parts.rectangle(new_id(job, "outline"), "tube", a, b, (0.0, 40.0))
        return parts.add_part(job, made)

    def turn(self, job: Job) -> Job | None:
        part = self._outline(job)
        if part is None:
            return None
        return parts.turn_about(job, part.id, self.mm(), (self.mm(), self.mm()))

    def move(self, job: Job) -> Job | None:
        part = self._outline(job)
        return None if part is None else parts.set_place(job, part.id, x=self.mm())

    def weld(self, job: Job) -> Job | None:
        chosen = self.chance.choice
        kind, sides = chosen(get_args(WeldKind)), chosen(get_args(WeldedSides))
        size = round(self.chance.uniform(0, 12), 1)
        if self.chance.random() < 0.2:
            return joints.clear_welds(job)
        by_throat = self.chance.random() < 0.4
        leg, throat = (None, size) if by_throat else (size, None)
        return joints.set_welds(job, None, kind=kind, leg=leg, throat=throat, sides=sides)

    def weldments(self, job: Job) -> Job | None:
        """A new weldment, a copy or an opposite hand, one fewer, parts moved; or it is refused."""
        one, other = self.chance.choices(job.weldments, k=2)
        acts: list[Callable[[], Job]] = [
            lambda: weldment_list.set_hand(job, one.id, other.id),
            lambda: weldment_list.remove_weldment(job, one.id),
            lambda: weldment_list.move_parts(job, self.some_ids(), other.id),
            lambda: details.set_saw(job, self.chance.uniform(10, 80)),
        ]
        if len(job.weldments) < 6 and len(job.placements) + len(job.parts) <= 30:
            line = 25.0 * self.chance.randint(2, 40)
            acts += [
                lambda: weldment_list.add_weldment(job)[0],
                lambda: other_hand(job, one.id, self.some_ids(), "x", line).job,
            ]
        try:
            return self.chance.choice(acts)()
        except ValueError:
            return None

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
        if self.chance.random() < 0.6 and self.document.job.placements:
            hole = self.chance.choice(self.document.job.placements).seats[0].hole
            x, y = self.document.job.table.at(hole)
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
        self.controller.overlay()

    def point(self) -> None:
        how = self.chance.choice(["click", "drag", "move", "press", "release"])
        if how in ("press", "click", "drag"):
            self.controller.press(self.pointer())
        if how in ("drag", "move"):
            for _ in range(self.chance.randint(1, 3)):
                self.controller.move(self.pointer())
                self.controller.overlay()
        if how in ("release", "click", "drag"):
            self.controller.release(self.pointer())

    def strike(self) -> None:
        ctrl = self.chance.random() < 0.3
        if ctrl and len(self.document.job.placements) > 30:
            self.document.select({"none"})
        name = self.chance.choice(WITH_CTRL if ctrl else KEYS)
        self.controller.key(KeyPress(name, shift=self.chance.random() < 0.2, ctrl=ctrl))

    def enter(self) -> None:
        self.controller.type(self.chance.choice(TEXTS))

    def take(self) -> None:
        makers: list[Callable[[Document], Tool]] = [
            SelectTool,
            PlateTool,
            lambda document: PlateTool(document, "polygon"),
            lambda document: HoleTool(document, self.chance.choice(STATES)),
            lambda document: PlaceTool(document, self.chance.choice([*PLACED, LOCK.id])),
            lambda document: MemberTool(
                document, self.chance.choice(STOCK), self.chance.choice(LIES)
            ),
            lambda document: MemberTool(
                document, self.chance.choice(STOCK), self.chance.choice(LIES)
            ),
            lambda document: JoinTool(document, self.chance.choice(list(JOIN_METHODS))),
            NotchTool,
            DimensionTool,
        ]
        self.controller.take(self.chance.choice(makers))

    def undo(self) -> None:
        if self.chance.random() < 0.6:
            self.document.undo()
        else:
            self.document.redo()

    def save(self) -> None:
        self.document.mark_saved()
        assert not self.document.modified


def check(document: Document) -> None:
    """What must hold after every act."""
    shown, placed_pieces = document.shown, document.placed_pieces
    assert set(placed_pieces) == {p.id for p in shown.placements}
    for placement in shown.placements:
        there = placed_pieces[placement.id]
        assert there.placement is placement
        assert there.way is not None or there.fault is not None
        if there.fault is not None:
            assert placing_text(there.fault, shown.table, shown.display)[-1] == "."
    assert document.selection <= all_ids(document.job)


def run(job: Job, number: int, acts: int, step: Callable[[Hand], None]) -> None:
    hand = Hand(job, number)
    for n in range(acts):
        step(hand)
        check(hand.document)
        if n % 25 == 0:
            require_whole(hand.document.job)
            data = write_job(hand.document.job)
            again = read_job(data)
            assert again == hand.document.job
            assert write_job(again) == data
    last, count = hand.document.job, hand.document.undo_count
    while hand.document.redo() is not None:
        last = hand.document.job
        count = hand.document.undo_count
    while hand.document.undo() is not None:
        pass
    assert hand.document.job is job
    for _ in range(count):
        assert hand.document.redo() is not None
    assert hand.document.job is last
    assert hand.document.redo() is None


DEEP = settings.get_current_profile_name() == "deep"
ACTS = 2000 if DEEP else 400  # with ever more on the table every act takes longer


@pytest.fixture(params=range(20 if DEEP else 1))
def number() -> int:
    chosen = os.environ.get("GRIDJIG_RANDOM")
    drawn = int(chosen) if chosen else random.SystemRandom().randrange(10**9)
    print(f"GRIDJIG_RANDOM={drawn}")
    return drawn


@pytest.mark.expectation(35)
@pytest.mark.untraced
def test_random_edits(number: int) -> None:
    run(START, number, ACTS, Hand.edit)


@pytest.mark.expectation(22, 35)
@pytest.mark.untraced
def test_random_use_of_the_tools(number: int, caplog: pytest.LogCaptureFixture) -> None:
    run(START, number, ACTS, Hand.hand)
    assert not caplog.records, caplog.text


@pytest.mark.untraced
def test_random_edits_and_tools_on_an_empty_table(
    number: int, caplog: pytest.LogCaptureFixture
) -> None:
    def either(hand: Hand) -> None:
        (hand.edit if hand.chance.random() < 0.3 else hand.hand)()

    run(EMPTY, number, ACTS, either)
    assert not caplog.records, caplog.text
