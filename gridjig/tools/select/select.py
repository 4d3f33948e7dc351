"""Selecting, and everything done to the selection with the pointer or a key.

It only decides which gesture or command is meant; each has a module of its own.
"""

import math
from collections.abc import Callable, Iterable

from msgspec import structs

from gridjig.edits.lookup import all_ids
from gridjig.edits.selection import things
from gridjig.geometry.display import DisplayList, TextLabel
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part
from gridjig.rack import Point
from gridjig.tools.aim.ghosts import box, ghosts, rings_of
from gridjig.tools.aim.hit_test import HitTester
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.gesture import Gesture
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import (
    CopyToClipboard,
    Nothing,
    Outcome,
    Preview,
    Select,
    Tool,
    ToolContext,
)
from gridjig.tools.core.wording import capital, several, with_place
from gridjig.units.spelling import spelled

from .arm_lock import lock
from .commands import delete, flip, paste, turn
from .drag_holes import HoleDrag
from .drag_parts import PartDrag
from .handles import Handle, grip, handles
from .nudge import nudge
from .typed_move import go_to


class SelectTool(Tool):
    """Click selects, drag moves, keys act on the selection."""

    name = "select"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._catcher = HitTester()
        self._hover: tuple[str, ...] = ()
        self._at: Pointer | None = None
        self._down: Pointer | None = None
        self._begun: Job | None = None
        self._gesture: Gesture | None = None
        self._dragged: frozenset[str] = frozenset()
        self._box: Pointer | None = None
        self._last_click: tuple[Point, tuple[str, ...]] | None = None

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        if self._gesture is not None:
            return self._gesture.prompt()
        if self._box is not None:
            drop = (esc("to drop the box"),)
            return Prompt(let_go="to select what is wholly inside the box", keys=drop)
        hover = self._hovered()
        handle = _nearest(self._handles(), self._at) if hover and self._at is not None else None
        if handle is not None:
            return self._at_handle(handle)
        return self._over(hover) if hover else self._beside()

    def _beside(self) -> Prompt:
        """Return the prompt while nothing is under the pointer."""
        chosen, job = self.context.selection, self.context.job
        if chosen:
            name = capital(several(job, sorted(chosen)))
            arrows = Key("arrow keys", "to move by one hole")
            return Prompt(state=f"{name} selected.", keys=(arrows, *self._keys(chosen)))
        if job.placements or job.parts:
            return Prompt(click="something to select it", drag="a box around several")
        return Prompt(
            state="Nothing is on the table yet. Take a piece from the rack, or draw a member.",
            keys=(Key("P", "to choose a piece"), Key("M", "to draw a member")),
        )

    def _at_handle(self, handle: Handle) -> Prompt:
        name = capital(with_place(self.context.job, handle.thing_id))
        return Prompt(
            state=f"{name}.",
            click="" if handle.thing_id in self.context.selection else "to select it",
            drag=f"to {handle.does}; a face catches it unless you hold Alt",
        )

    def _over(self, hover: tuple[str, ...]) -> Prompt:
        chosen, job = self.context.selection, self.context.job
        name = with_place(job, hover[0])
        below = (Key("B", f"to step through the {len(hover)} here"),) if len(hover) > 1 else ()
        if hover[0] not in chosen:
            grabbed = next((i for i in hover if i in chosen), None)
            drag = f"to move {with_place(job, grabbed)}, which is selected" if grabbed else ""
            return Prompt(click=f"to select {name}", drag=drag or "to move it", keys=below)
        state = f"{capital(name)} is selected."
        if len(chosen) == 1:
            return Prompt(state=state, drag="to move it", keys=(*self._keys(chosen), *below))
        return Prompt(
            state=f"{capital(name)} is one of {len(chosen)} selected.",
            click="to select it alone",
            drag="to move them together",
            keys=(*self._keys(chosen), *below),
        )

    def _keys(self, chosen: frozenset[str]) -> tuple[Key, ...]:
        """Return which keys apply to these."""
        turns = (Key("R", "to turn"),) if len(chosen) == 1 else ()
        return (*turns, *self._flip_key(chosen), *self._lock_key(chosen), Key("Del", "to delete"))

    def _flip_key(self, chosen: frozenset[str]) -> tuple[Key, ...]:
        job = self.context.job
        pieces = [job.rack.find(p.piece) for p in job.placements if p.id in chosen]
        flips = bool(pieces) and all(piece is not None and piece.flips for piece in pieces)
        return (Key("F", "to turn over"),) if flips else ()

    def _lock_key(self, chosen: frozenset[str]) -> tuple[Key, ...]:
        there = self.context.placed_pieces.get(next(iter(chosen))) if len(chosen) == 1 else None
        if there is None or there.fault is not None:
            return ()
        if there.piece is None or there.piece.pivot is None:
            return ()
        does = (
            "to look for a hole that locks its arm"
            if there.leaf_hole is None
            else "to free its arm"
        )
        return (Key("L", does),)

    def _hovered(self) -> tuple[str, ...]:
        """What is under the pointer, except anything that an undo has removed."""
        return tuple(i for i in self._hover if self.context.job.find(i) is not None)

    # -- pointer -------------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> Outcome:
        """Remember where the button went down; nothing happens until it moves or is released."""
        lost = self._gesture is not None  # its release never came
        self._gesture = self._box = None
        self._down = self._at = pointer
        return Preview(None) if lost else Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """Hover, or drag once the pointer has moved by the drag distance."""
        self._at = pointer
        if self._gesture is not None:
            return self._to(pointer) if self._in_time() else self._late()
        if self._box is not None:
            return Nothing()
        if self._down is None:
            self._hover = self._catch(pointer)
            return Nothing()
        if _apart(self._down, pointer) < pointer.drag_start * pointer.table_mm:
            return Nothing()
        self._begun = self.context.job
        self._gesture = self._begin(self._down)
        if self._gesture is None:
            self._box = self._down
            return Nothing()
        return self._to(pointer)

    def _to(self, pointer: Pointer) -> Outcome:
        """Go on with the drag, and say what it is that moves."""
        assert self._gesture is not None
        shown = self._gesture.to(pointer)
        return structs.replace(shown, about=self._dragged) if isinstance(shown, Preview) else shown

    def release(self, pointer: Pointer) -> Outcome:
        """Finish the drag, or take what was clicked."""
        gesture, corner, down = self._gesture, self._box, self._down
        if gesture is not None and not self._in_time():
            return self._late()
        self._forget()
        self._at = pointer
        if gesture is not None:
            gesture.to(pointer)
            return gesture.drop()
        if corner is not None:
            return self._boxed(corner, pointer)
        if down is None:
            return Nothing()
        return self._click(down, pointer)

    def away(self) -> Outcome:
        """Nothing is under the pointer any more, unless it is dragging."""
        if self._down is None:
            self._hover = ()
        return Nothing()

    def _in_time(self) -> bool:
        """False if the job has changed since the drag began, for instance by an undo."""
        return self.context.job is self._begun

    def _late(self) -> Outcome:
        self._forget()
        return Preview(None, spelled("The job changed during the drag, so the drag was cancelled."))

    def _forget(self) -> None:
        self._gesture = self._box = self._down = None
        self._dragged = frozenset()
        self._hover = ()

    def _catch(self, pointer: Pointer) -> tuple[str, ...]:
        return self._catcher.at(self.context.job, self.context.placed_pieces, pointer)

    def _begin(self, down: Pointer) -> Gesture | None:
        job, placed_pieces, chosen = (
            self.context.job,
            self.context.placed_pieces,
            self.context.selection,
        )
        handle = _nearest(self._handles(down), down)
        if handle is not None:
            self._dragged = frozenset([handle.thing_id])
            return grip(job, placed_pieces, handle, down)
        hits = self._catch(down)
        if not hits:
            return None
        grabbed = next((i for i in hits if i in chosen), hits[0])
        ids = self._dragged = chosen if grabbed in chosen else frozenset([grabbed])
        if all(isinstance(job.find(i), Part) for i in ids):
            return PartDrag(job, placed_pieces, ids, down)
        return HoleDrag(job, placed_pieces, ids, grabbed, down)

    def _handles(self, pointer: Pointer | None = None) -> tuple[Handle, ...]:
        """Return the handles of a single selected piece and of the piece under the pointer.

        Several pieces selected together have none, as they move together.
        """
        chosen = self.context.selection
        ids = list(chosen) if len(chosen) == 1 else []
        below = self._hovered()[:1] if pointer is None else self._catch(pointer)[:1]
        ids += [i for i in below if i not in chosen]
        job, placed_pieces = self.context.job, self.context.placed_pieces
        return tuple(h for i in ids for h in handles(job, placed_pieces, i))

    def _boxed(self, a: Pointer, b: Pointer) -> Outcome:
        found = self._catcher.within(
            self.context.job, self.context.placed_pieces, (a.x, a.y), (b.x, b.y)
        )
        if a.add or b.add:
            found |= self.context.selection
        return Select(found, f"{len(found)} selected." if found else "Nothing is in the box.")

    def _click(self, down: Pointer, pointer: Pointer) -> Outcome:
        hits, chosen = self._catch(down), self.context.selection
        again = self._last_click
        self._last_click = ((pointer.x, pointer.y), hits)
        self._hover = hits
        if not hits:
            return Nothing() if pointer.add else Select(frozenset())
        if pointer.add:
            return Select(chosen ^ {hits[0]})
        repeated = (
            again is not None
            and again[1] == hits
            and math.dist(again[0], (pointer.x, pointer.y)) <= pointer.drag_start * pointer.table_mm
        )
        return self._below(hits) if repeated else self._take(hits, 0)

    def _below(self, hits: tuple[str, ...]) -> Outcome:
        """Select the next thing under the pointer; after the last, the first again."""
        chosen = self.context.selection
        here = [n for n, i in enumerate(hits) if chosen == {i}]
        return self._take(hits, (here[0] + 1) % len(hits) if here else 0)

    def _take(self, hits: tuple[str, ...], number: int) -> Outcome:
        name = capital(with_place(self.context.job, hits[number]))
        if len(hits) == 1:
            return Select(frozenset(hits), f"{name} is selected.")
        after = with_place(self.context.job, hits[(number + 1) % len(hits)])
        return Select(
            frozenset([hits[number]]),
            f"{name} is selected, {number + 1} of {len(hits)} here; next is {after}.",
        )

    # -- keys ----------------------------------------------------------------------------------

    def key(self, key: KeyPress) -> Outcome:
        """Act on the selection."""
        if key.name == "escape":
            return self._escape()
        if self._gesture is not None or self._box is not None:
            return Nothing("Keys wait until you let go; Esc puts everything back.")
        if key.name in ARROWS:
            return nudge(self.context.job, self.context.placed_pieces, self.context.selection, key)
        return self._with_ctrl(key.name) if key.ctrl else self._plain(key)

    def _plain(self, key: KeyPress) -> Outcome:
        job, placed_pieces, ids = (
            self.context.job,
            self.context.placed_pieces,
            self.context.selection,
        )
        acts: dict[str, Callable[[], Outcome]] = {
            "r": lambda: turn(job, placed_pieces, ids, -1 if key.shift else 1),
            "f": lambda: flip(job, placed_pieces, ids),
            "l": lambda: lock(job, placed_pieces, ids),
            "b": self._key_below,
            "delete": lambda: delete(job, ids),
            "backspace": lambda: delete(job, ids),
            "enter": lambda: Nothing(
                "Press Tab for the form, where you can type a hole, angle or length."
            ),
        }
        act = acts.get(key.name)
        return Nothing() if act is None else act()

    def _key_below(self) -> Outcome:
        hits = self._catch(self._at) if self._at is not None else ()
        if not hits:
            return Nothing("Nothing is under the pointer.")
        return self._below(hits)

    def _with_ctrl(self, name: str) -> Outcome:
        job, placed_pieces, ids = (
            self.context.job,
            self.context.placed_pieces,
            self.context.selection,
        )
        match name:
            case "a":
                every = all_ids(job)
                return Select(every, f"{len(every)} selected.")
            case "c" | "x":
                if not ids:
                    return Nothing("Nothing is selected to copy.")
                said = f"{capital(several(job, sorted(ids)))} copied. Ctrl+V pastes it."
                then = Nothing(said) if name == "c" else delete(job, ids, "Cut")
                return CopyToClipboard(things(job, ids), then)
            case "v":
                return paste(job, placed_pieces, self.context.clipboard)
            case "d":
                return paste(job, placed_pieces, things(job, ids))
            case _:
                return Nothing()

    def type(self, text: str) -> Outcome:
        """A hole address moves the selection there; an angle or a length sets it."""
        return go_to(self.context.job, self.context.placed_pieces, self.context.selection, text)

    def _escape(self) -> Outcome:
        if self._gesture is not None or self._box is not None:
            self._forget()
            return Preview(None, "Everything was put back.")
        self._forget()
        return Select(frozenset())

    def leave(self, reason: str) -> Outcome:
        """Drop what is in progress."""
        self._forget()
        return Preview(None)

    # -- drawing -------------------------------------------------------------------------------

    def overlay(self) -> DisplayList:
        """The gesture's drawing, the box, or what a click would take with its handles."""
        if self._gesture is not None:
            return self._gesture.overlay()
        if self._box is not None and self._at is not None:
            return box((self._box.x, self._box.y), (self._at.x, self._at.y))
        shown: DisplayList = tuple(shape for h in self._handles() for shape in h.mark())
        job, placed_pieces = self.context.job, self.context.placed_pieces
        for first in self._hovered()[:1]:
            x0, _, x1, y1 = bounds(p for ring in rings_of(job, placed_pieces, first) for p in ring)
            top = ((x0 + x1) / 2, y1)
            shown += ghosts(job, placed_pieces, [first], "selected")
            shown += (
                TextLabel(top, with_place(job, first), "selected", anchor="above", cleared=True),
            )
        return shown


def _nearest(handles: Iterable[Handle], pointer: Pointer) -> Handle | None:
    """The handle within the pointer's grip that is nearest to it, or None."""
    within = pointer.grip * pointer.table_mm
    near = [
        (math.dist(h.at, (pointer.x, pointer.y)), h)
        for h in handles
        if math.dist(h.at, (pointer.x, pointer.y)) <= min(within, h.room)
    ]
    return min(near, key=lambda n: n[0])[1] if near else None


def _apart(a: Pointer, b: Pointer) -> float:
    return math.hypot(a.x - b.x, a.y - b.y)
