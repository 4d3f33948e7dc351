"""The plan for screen readers: a list of what is on the table, each thing with its name, where it
is, how it is, whether it is selected, and where it lies on the screen.

The words are those of the placed list.  They are made when a reader asks, and kept until the job
changes; nothing is done while there is no reader.
"""

import weakref
from collections.abc import Iterable

from PySide6.QtCore import QObject, QPointF, QRect, QRectF
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QAccessibleInterface,
    QPolygonF,
    QWindow,
)
from PySide6.QtWidgets import QAccessibleWidget
from shiboken6 import isValid

from gridjig.sheets.text.placed_text import PlacedLine, placed_lines

from .covered_points import points_of
from .plan_view import PlanView

_known: "weakref.WeakKeyDictionary[PlanView, AccessiblePlan]" = weakref.WeakKeyDictionary()


class AccessibleThing(QAccessibleInterface):
    """One thing on the table.  Invalid once it has been taken off."""

    def __init__(self, plan: "AccessiblePlan", thing_id: str) -> None:
        super().__init__()
        self._plan = plan
        self.thing_id = thing_id

    def isValid(self) -> bool:
        """True while it is on the table."""
        return self._plan.line_of(self.thing_id) is not None

    def object(self) -> QObject | None:  # type: ignore[override]
        """Return None: it is no object of Qt's."""
        return None

    def window(self) -> QWindow | None:  # type: ignore[override]
        """Return the window of the plan."""
        return self._plan.window()

    def parent(self) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the plan."""
        return self._plan

    def child(self, index: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return None: it has no parts of its own."""
        return None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return None: it has no parts of its own."""
        return None

    def childCount(self) -> int:
        """Return 0."""
        return 0

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return -1: it has no parts of its own."""
        return -1

    def text(self, kind: QAccessible.Text) -> str:
        """Return its name with its place, or how it is."""
        line = self._plan.line_of(self.thing_id)
        if line is None:
            return ""
        if kind == QAccessible.Text.Name:
            return f"{line.name}, {line.place}" if line.place else line.name
        if kind in (QAccessible.Text.Value, QAccessible.Text.Description):
            return self._plan.state_words(line)
        return ""

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Change nothing: things are named in the form."""

    def rect(self) -> QRect:
        """Return where it lies on the screen."""
        return self._plan.place_of(self.thing_id)

    def role(self) -> QAccessible.Role:
        """Return that it is a line of a list."""
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        """Return whether it is selected, has the focus, and is in view."""
        return self._plan.state_of(self.thing_id)


class AccessiblePlan(QAccessibleWidget):
    """The plan as a list."""

    def __init__(self, view: PlanView) -> None:
        super().__init__(view, QAccessible.Role.List)
        self._of = weakref.ref(view)
        self._things: dict[str, AccessibleThing] = {}
        self._lines: tuple[PlacedLine, ...] = ()
        self._made_of: tuple[object, ...] = ()
        self._selected: frozenset[str] = frozenset()
        self._marked: dict[str, str] = {}
        _known[view] = self

    @property
    def view(self) -> PlanView | None:
        """Return the plan; None once it is gone."""
        view = self._of()
        return view if view is not None and isValid(view) else None

    @property
    def chosen(self) -> frozenset[str]:
        """Return the ids of what is selected."""
        return self.view.document.selection if self.view is not None else frozenset()

    # -- the list --------------------------------------------------------------------------------

    def childCount(self) -> int:
        """Return how many things are on the table."""
        return len(self._kept())

    def child(self, index: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return one of the things, parts first."""
        lines = self._kept()
        return self._thing(lines[index].id) if 0 <= index < len(lines) else None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the last thing whose place on the screen has that point."""
        for line in reversed(self._kept()):
            if self.place_of(line.id).contains(x, y):
                return self._thing(line.id)
        return None

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return the place of a thing in the list, or -1."""
        if not isinstance(child, AccessibleThing):
            return -1
        return next((k for k, one in enumerate(self._kept()) if one.id == child.thing_id), -1)

    def focusChild(self) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the one selected thing while the plan has the focus, or None."""
        chosen, view = self.chosen, self.view
        if view is not None and view.hasFocus() and len(chosen) == 1:
            return self._thing(next(iter(chosen)))
        return None

    def _thing(self, thing_id: str) -> AccessibleThing:
        # Kept for good: a reader may still hold one that was taken off the table.
        if thing_id not in self._things:
            self._things[thing_id] = AccessibleThing(self, thing_id)
        return self._things[thing_id]

    def _kept(self) -> tuple[PlacedLine, ...]:
        """The lines of the job as it is now."""
        if self.view is None:
            return ()
        document = self.view.document
        job = document.job
        made_of = (job.table, job.rack, job.parts, job.placements, job.weldments, job.display)
        old = self._made_of
        if len(old) != len(made_of) or any(a is not b for a, b in zip(old, made_of, strict=True)):
            if document.previewing:  # a drag: what is said is the job as it is
                return self._lines
            self._made_of = made_of
            self._lines = placed_lines(job, document.placed_pieces, ())
        return self._lines

    # -- one thing -------------------------------------------------------------------------------

    def line_of(self, thing_id: str) -> PlacedLine | None:
        """Return what is said of a thing; None if it is not on the table."""
        return next((line for line in self._kept() if line.id == thing_id), None)

    def state_words(self, line: PlacedLine) -> str:
        """Return how a thing is, with what the check has found first."""
        marked = self._marked.get(line.id, "")
        return f"{marked}: {line.state}" if marked else line.state

    def place_of(self, thing_id: str) -> QRect:
        """Return where a thing lies on the screen; empty if it is not in view."""
        view = self.view
        points = points_of(view.document, frozenset((thing_id,))) if view is not None else []
        if view is None or not points:
            return QRect()
        box = QPolygonF([QPointF(*view.view.to_screen(p)) for p in points]).boundingRect()
        seen = box.intersected(QRectF(view.rect())).toAlignedRect()
        return QRect(view.mapToGlobal(seen.topLeft()), seen.size())

    def state_of(self, thing_id: str) -> QAccessible.State:
        """Return whether a thing is selected, has the focus, and is in view."""
        state = QAccessible.State()
        line = self.line_of(thing_id)
        if line is None:
            state.invalid = True
            return state
        chosen, view = self.chosen, self.view
        state.selectable = state.focusable = state.multiSelectable = True
        state.selected = thing_id in chosen
        state.focused = state.selected and len(chosen) == 1 and view is not None and view.hasFocus()
        state.offscreen = self.place_of(thing_id).isEmpty()
        return state

    # -- changes ---------------------------------------------------------------------------------

    def mark(self, clash: Iterable[str], check: Iterable[str]) -> None:
        """Note what the check has found, and tell of every thing whose state that changes."""
        before = self._marked
        self._marked = {**dict.fromkeys(check, "look at it"), **dict.fromkeys(clash, "clash")}
        for line in self._kept():
            if before.get(line.id) != self._marked.get(line.id):
                self._tell(line.id, QAccessible.Event.DescriptionChanged)

    def follow(self) -> None:
        """Tell of what has changed since the last time: things, their words, the selection."""
        before, selected = self._lines, self._selected
        lines = self._kept()
        self._selected = self.chosen
        if [line.id for line in before] != [line.id for line in lines]:
            if self.view is not None:
                event = QAccessibleEvent(self.view, QAccessible.Event.ObjectReorder)
                QAccessible.updateAccessibility(event)
        elif lines is not before:
            for old, new in zip(before, lines, strict=True):
                if (old.name, old.place) != (new.name, new.place):
                    self._tell(new.id, QAccessible.Event.NameChanged)
                if old.state != new.state:
                    self._tell(new.id, QAccessible.Event.DescriptionChanged)
        for thing_id in sorted(selected ^ self._selected):
            added = thing_id in self._selected
            kinds = QAccessible.Event
            self._tell(thing_id, kinds.SelectionAdd if added else kinds.SelectionRemove)
        if selected != self._selected and self.focusChild() is not None:
            self._tell(next(iter(self._selected)), QAccessible.Event.Focus)

    def _tell(self, thing_id: str, event: QAccessible.Event) -> None:
        index = next((k for k, one in enumerate(self._kept()) if one.id == thing_id), None)
        if index is not None and self.view is not None:
            told = QAccessibleEvent(self.view, event)
            told.setChild(index)
            QAccessible.updateAccessibility(told)


def plan_of(view: PlanView) -> AccessiblePlan | None:
    """Return the plan as a screen reader knows it; None if none has asked for it."""
    return _known.get(view)


def _make(_key: str, thing: object) -> QAccessibleInterface | None:
    return AccessiblePlan(thing) if isinstance(thing, PlanView) else None


def install() -> None:
    """Make plans accessible from now on; once is enough."""
    if not _installed:
        _installed.append(True)
        QAccessible.installFactory(_make)


_installed: list[bool] = []
