"""Drives tools without a window: press, move, release, type, expect; each step gives the driver.

Places are given in table mm or as hole addresses.  The pointer stands at the zoom and the grip set
by `zoom`; every event goes through the tool controller, as in the window.
"""

from collections.abc import Callable

from msgspec import structs

from gridjig.geometry.display import Circle, DisplayList, Polyline, TextLabel
from gridjig.model import Hole, Job, Member, Placement, Plate
from gridjig.model.labels import find_hole
from gridjig.session.document import Document
from gridjig.tools.core.controller import ToolController, ToolMaker
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.select.select import SelectTool

Where = str | tuple[float, float]


class Driver:
    """A document with a bench, and a hand that does things to it."""

    def __init__(self, job: Job) -> None:
        self.document = Document(job)
        self.controller = ToolController(self.document, SelectTool)
        self._pointer = Pointer(0.0, 0.0)
        self.calls = 0
        self.document.subscribe(self._called)

    def _called(self) -> None:
        self.calls += 1

    # -- doing ---------------------------------------------------------------------------------

    def tool(self, make: ToolMaker) -> "Driver":
        self.controller.take(make)
        return self

    def zoom(self, table_mm: float, grip: float = 3.0, drag_start: float = 1.0) -> "Driver":
        self._pointer = Pointer(
            self._pointer.x, self._pointer.y, table_mm=table_mm, grip=grip, drag_start=drag_start
        )
        return self

    def at(self, where: Where, dx: float = 0.0, dy: float = 0.0) -> tuple[float, float]:
        if isinstance(where, str):
            where = self.job.table.at(find_hole(self.job.table, where))
        return (where[0] + dx, where[1] + dy)

    def _point(self, where: Where, add: bool, free: bool, fine: bool = False) -> Pointer:
        x, y = self.at(where)
        now = self._pointer
        self._pointer = Pointer(x, y, now.table_mm, now.grip, now.drag_start, add, free, fine)
        return self._pointer

    def hover(self, where: Where) -> "Driver":
        return self.move(where)

    def press(self, where: Where, add: bool = False, free: bool = False) -> "Driver":
        self.controller.press(self._point(where, add, free))
        return self

    def move(
        self, where: Where, add: bool = False, free: bool = False, fine: bool = False
    ) -> "Driver":
        self.controller.move(self._point(where, add, free, fine))
        return self

    def release(self, where: Where | None = None, free: bool = False) -> "Driver":
        here = (self._pointer.x, self._pointer.y) if where is None else where
        self.controller.release(self._point(here, self._pointer.add, free))
        return self

    def click(self, where: Where, add: bool = False) -> "Driver":
        return self.move(where).press(where, add).release(where)

    def drag(self, a: Where, b: Where, free: bool = False) -> "Driver":
        (ax, ay), (bx, by) = self.at(a), self.at(b)
        self.press(a, free=free).move(((ax + bx) / 2, (ay + by) / 2), free=free).move(b, free=free)
        return self.release(b, free=free)

    def key(self, name: str, shift: bool = False, ctrl: bool = False) -> "Driver":
        self.controller.key(KeyPress(name, shift, ctrl))
        return self

    def type(self, text: str) -> "Driver":
        self.controller.type(text)
        return self

    def select(self, *ids: str) -> "Driver":
        self.document.select(ids)
        return self

    def undo(self) -> "Driver":
        self.document.undo()
        return self

    def redo(self) -> "Driver":
        self.document.redo()
        return self

    # -- looking -------------------------------------------------------------------------------

    @property
    def job(self) -> Job:
        return self.document.job

    @property
    def shown(self) -> Job:
        return self.document.shown

    @property
    def hint(self) -> str:
        """What was just said, and what the next click or key will do."""
        return f"{self.controller.said} {self.controller.prompt.text()}".strip()

    @property
    def overlay(self) -> DisplayList:
        return self.controller.overlay()

    @property
    def words(self) -> list[str]:
        return [s.text for s in self.overlay if isinstance(s, TextLabel)]

    @property
    def roles(self) -> set[str]:
        return {s.role for s in self.overlay if isinstance(s, Polyline | Circle)}

    def placement(self, thing_id: str, shown: bool = False) -> Placement:
        found = (self.shown if shown else self.job).find(thing_id)
        assert isinstance(found, Placement)
        return found

    def outline(self, thing_id: str, shown: bool = False) -> Plate:
        found = (self.shown if shown else self.job).find(thing_id)
        assert isinstance(found, Plate)
        return found

    def member(self, thing_id: str, shown: bool = False) -> Member:
        found = (self.shown if shown else self.job).find(thing_id)
        assert isinstance(found, Member)
        return found

    def hole(self, thing_id: str, shown: bool = False) -> Hole:
        return self.placement(thing_id, shown).seats[0].hole

    # -- expecting -----------------------------------------------------------------------------

    def expect(self, check: Callable[["Driver"], bool]) -> "Driver":
        assert check(self), self.hint
        return self

    def expect_hint(self, part: str, *more: str) -> "Driver":
        for one in (part, *more):
            assert one in self.hint, self.hint
        return self

    def expect_selected(self, *ids: str) -> "Driver":
        assert self.document.selection == frozenset(ids), (set(self.document.selection), self.hint)
        return self

    def expect_step(self, name: str) -> "Driver":
        assert self.document.undo_name == name, (self.document.undo_name, self.hint)
        return self

    def expect_steps(self, count: int) -> "Driver":
        assert self.document.undo_count == count, (self.document.undo_name, self.hint)
        return self

    def expect_untouched(self, job: Job) -> "Driver":
        """The very same job, nothing in undo, nothing previewed."""
        assert self.job is job
        assert self.shown is job
        assert not self.document.can_undo
        return self

    def with_display(self, **display: object) -> "Driver":
        shown = structs.replace(self.job.display, **display)
        self.document.do(structs.replace(self.job, display=shown), "Show lengths")
        return self
