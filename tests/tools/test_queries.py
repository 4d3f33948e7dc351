"""Asking a tool what it says and shows changes nothing and works nothing out, for every tool."""

import pkgutil
import random
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from types import FrameType

import pytest
from msgspec import structs

import gridjig
from gridjig import tools
from gridjig.edits.selection import shift
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.session.document import Document
from gridjig.tools.core.controller import ToolController, ToolMaker
from gridjig.tools.core.gesture import Gesture
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.draw.plate_tool import PlateTool
from gridjig.tools.join.dimension_tool import DimensionTool
from gridjig.tools.join.join_tool import JoinTool
from gridjig.tools.join.notch_tool import NotchTool
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.tools.pick.point_tool import PointTool
from gridjig.tools.select.handles import handles
from gridjig.tools.select.select import SelectTool
from tests.solve.weldments import frame
from tests.test_random_actions import STOCK
from tests.workshop import laid, pin, plate, put, seat, stop

WORKED_OUT = tuple(
    str(Path(gridjig.__file__).parent / package) for package in ("solve", "edits", "checks")
)
READ = {
    "gridjig.edits.lookup.new_id": "the name that the next member will have",
    "gridjig.edits.lookup.all_ids": "the names that are taken",
    "gridjig.edits.lookup.numbered_name": "what the next member will be called",
    "gridjig.edits.lookup.part_of": "one part of the job",
    "gridjig.edits.allowances.point_at": "a point that is marked",
    "gridjig.edits.allowances._place": "where it is on its part",
    "gridjig.edits.joining.end_point": "where an end of a member is",
    "gridjig.edits.joining.changed_end": "the end that the previewed joint changes",
    "gridjig.edits.members.centre_line": "the line that the end is on",
    "gridjig.edits.members.between": "a member as a value, from two points",
    "gridjig.edits.members.direction": "the direction of two points",
    "gridjig.solve.poses.choose.first_seat": "one seat of a placement",
    "gridjig.solve.mounting.ways.Way.slides": "a property of how a piece stands",
    "gridjig.solve.placed.cache.PlacedPieces.of": "the stands of the job shown, kept by the desk",
}
"""All that a query may call in the packages that work things out; each only reads."""

JOB = laid(
    stop("s", 3, 3),
    pin("p", 16, 12),
    put("arm", "arm", seat("h", 8, 12), seat("a", 10, 12)),
    put("hinge", "hinge", seat("h1", 3, 9), seat("h2", 5, 9)),
    put("clamp", "clamp", seat("p", 14, 4), reach=100.0),
    plate("bar", 700, 100, 200, 40),
    *frame(),
)

TOOLS: dict[str, ToolMaker] = {
    "select": SelectTool,
    "place": lambda document: PlaceTool(document, "stop"),
    "place what is not on the rack": lambda document: PlaceTool(document, "nothing"),
    "place what stands nowhere": lambda document: PlaceTool(document, "shim"),
    "holes": lambda document: HoleTool(document, "blocked"),
    "rectangle": lambda document: PlateTool(document, "rectangle"),
    "polygon": lambda document: PlateTool(document, "polygon"),
    "member": lambda document: MemberTool(document, STOCK[0]),
    "trim": lambda document: JoinTool(document, "trim"),
    "mitre": lambda document: JoinTool(document, "mitre"),
    "notch": NotchTool,
    "dimension": DimensionTool,
    "points": PointTool,
    "edge": lambda document: EdgePick(document, "edge", 2),
    "two holes": HolesPick,
    "box of holes": lambda document: HolesPick(document, boxed=True),
}
KEYS = ["left", "right", "up", "down", "enter", "backspace", "escape", "r", "f", "s", "b"]
TEXTS = ["C4", "40 x 20", "300 at 37.5", "37.5", "250", "left", "?"]


def state(thing: object) -> object:
    """All that a tool holds: containers by what is in them, everything else by identity."""
    if type(thing) in (list, tuple, set, frozenset):
        assert isinstance(thing, list | tuple | set | frozenset)
        return [type(thing), *(state(one) for one in thing)]
    if isinstance(thing, dict):
        return [(key, state(value)) for key, value in thing.items()]
    ours = isinstance(thing, Tool) or type(thing).__module__.startswith("gridjig.tools")
    if ours and hasattr(thing, "__dict__"):
        held = {k: v for k, v in vars(thing).items() if k != "context"}
        return [id(thing), state(held)]
    if isinstance(thing, str | int | float | bool | None):
        return thing
    return id(thing)


@contextmanager
def calls(made: set[str]) -> Iterator[None]:
    """Note every function that is called in the packages that work things out."""

    def note(frame: FrameType, event: str, _: object) -> None:
        code = frame.f_code
        plain = "<" not in code.co_qualname.rpartition(".")[2]
        if event == "call" and plain and code.co_filename.startswith(WORKED_OUT):
            made.add(f"{frame.f_globals['__name__']}.{code.co_qualname}")

    sys.setprofile(note)
    try:
        yield
    finally:
        sys.setprofile(None)


def require_pure(controller: ToolController) -> None:
    """Ask twice: tool, document and answers are the same, and nothing was computed."""
    tool, document = controller.tool, controller.document
    told: list[Job | None] = []
    end = document.subscribe(lambda: told.append(document.job))
    document.placed_pieces  # noqa: B018 - kept by identity of the job shown, whoever asks first
    before = state(tool)
    shown, chosen = document.shown, document.selection
    made: set[str] = set()
    with calls(made):
        first = (tool.hint(), tool.overlay())
        second = (tool.hint(), tool.overlay())
    end()
    assert first == second
    assert state(tool) == before, tool.name
    assert (document.shown is shown, document.selection) == (True, chosen)
    assert told == []
    assert made <= set(READ), (tool.name, made - set(READ))


class Hand:
    """Does anything to a tool, and after each act asks it what it says and shows."""

    def __init__(self, make: ToolMaker, number: int) -> None:
        self.chance = random.Random(number)
        self.document = Document(JOB)
        self.controller = ToolController(self.document, SelectTool)
        self.make = make
        self.controller.take(make)
        self.gestures: set[str] = set()
        self.check()

    def check(self) -> None:
        require_pure(self.controller)
        gesture = getattr(self.controller.tool, "_gesture", None)
        if gesture is not None:
            self.gestures.add(type(gesture).__name__)

    def pointer(self) -> Pointer:
        free, fine = self.chance.random() < 0.2, self.chance.random() < 0.2
        if self.chance.random() < 0.6:  # on a thing
            part = self.chance.choice(self.document.shown.parts or JOB.parts)
            x, y = self.chance.choice(part_ring(part))
            return Pointer(x + self.chance.uniform(-8, 8), y + self.chance.uniform(-8, 8))
        table = self.document.job.table
        x, y = self.chance.uniform(-90, table.width), self.chance.uniform(-90, table.depth)
        return Pointer(x, y, free=free, fine=fine)

    def act(self) -> None:
        if self.controller.tool.name == "select" and self.make is not SelectTool:
            self.controller.take(self.make)
        does: list[Callable[[], object]] = [
            *[lambda: self.controller.move(self.pointer())] * 5,
            *[self.click] * 4,
            lambda: self.controller.key(
                KeyPress(self.chance.choice(KEYS), shift=self.chance.random() < 0.3)
            ),
            lambda: self.controller.type(self.chance.choice(TEXTS)),
            self.drag,
            self.document.undo,
            self.document.redo,
        ]
        self.chance.choice(does)()
        self.check()

    def click(self) -> None:
        at = self.pointer()
        for step in (self.controller.move, self.controller.press, self.controller.release):
            step(at)
            self.check()

    def drag(self, start: Pointer | None = None) -> None:
        self.controller.press(start or self.pointer())
        self.check()
        for _ in range(3):
            self.controller.move(self.pointer())
            self.check()
        if self.chance.random() < 0.7:
            self.controller.release(self.pointer())
        else:
            self.document.undo()
        self.check()


@pytest.mark.untraced
@pytest.mark.parametrize("name", TOOLS)
def test_asking_a_tool_changes_nothing_whatever_was_done_before(name: str) -> None:
    for number in range(3):
        hand = Hand(TOOLS[name], number)
        for _ in range(60):
            hand.act()


def test_asking_during_any_drag_changes_nothing() -> None:
    hand = Hand(SelectTool, 1)
    gripped: set[str] = set()
    for thing in ("s", "arm", "hinge", "clamp"):
        for handle in handles(JOB, hand.document.placed_pieces, thing):
            for _ in range(3):
                hand.document.select([thing])
                gripped.add(handle.move)
                hand.drag(Pointer(*handle.at))
                hand.controller.key(KeyPress("escape"))
                while hand.document.undo():
                    pass
    x, y = JOB.table.at(JOB.placements[1].seats[0].hole)
    hand.drag(Pointer(x, y))
    hand.drag(Pointer(750, 120))
    assert gripped == {"swing", "open", "reach"}
    assert hand.gestures >= {"SwingDrag", "LeafDrag", "ReachDrag", "HoleDrag", "PartDrag"}
    assert hand.gestures == {one.__name__ for one in leaves(Gesture)}, (
        "a gesture that no drag above begins"
    )


def leaves(kind: type[object]) -> set[type[object]]:
    """The classes of the program below this one of which there is none further below."""
    below = {one for one in kind.__subclasses__() if one.__module__.startswith("gridjig.")}
    found = {leaf for one in below for leaf in leaves(one)}
    return found or {kind}


def test_every_tool_of_the_program_is_asked() -> None:
    for module in pkgutil.iter_modules(tools.__path__, "gridjig.tools."):
        import_module(module.name)
    tried = {type(make(Document(JOB))) for make in TOOLS.values()}
    assert tried == leaves(Tool)


def test_the_watch_sees_a_query_that_works_something_out() -> None:
    class Eager(Tool):
        name = "eager"

        def hint(self) -> str:

            return str(len(shift(self.context.job, {"s"}, 1, 0).placements))

    class Forgetful(Tool):
        name = "forgetful"
        asked: Mapping[int, int] = {}

        def hint(self) -> str:
            self.asked = {**self.asked, len(self.asked): 1}
            return ""

    for make in (Eager, Forgetful):
        controller = ToolController(Document(structs.replace(JOB)), make)
        with pytest.raises(AssertionError):
            require_pure(controller)
