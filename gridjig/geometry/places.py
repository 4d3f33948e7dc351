"""Places for labels: each at the first of its choices that covers nothing that must be seen.

Guards (signs, pins) are never covered, and no label covers another: in order of rank, each takes
the first choice that is free, or none.  What changes is worked out again and nothing else, with the
same result as from the beginning: a label depends only on guards and on labels before it.
"""

import heapq
from collections.abc import Hashable, Iterable, Iterator, Set
from typing import Generic, TypeVar

from msgspec import Struct

from .box_index import Box, BoxIndex, touch

LabelKey = TypeVar("LabelKey", bound=Hashable)
What = TypeVar("What")

_CELL = 48.0  # about the size of a label, in the caller's units


class Choice(Struct, Generic[What], frozen=True):
    """One way to show a label, and the boxes that it would cover; `anyway` even if they are not
    free.
    """

    what: What
    boxes: tuple[Box, ...]
    anyway: bool = False


class LabelChoices(Generic[What]):
    """The choices of a label, in order; each is made when first asked for, and then kept."""

    def __init__(self, made: Iterable[Choice[What]]) -> None:
        self._kept: list[Choice[What]] = []
        self._rest = iter(made)

    def __iter__(self) -> Iterator[Choice[What]]:
        yield from self._kept
        for choice in self._rest:
            self._kept.append(choice)
            yield choice

    def touch(self, box: Box) -> bool:
        """True if one of the choices made so far would cover any of a box."""
        return any(touch(box, one) for choice in self._kept for one in choice.boxes)


class WantedLabel(Struct, Generic[What], frozen=True):
    """A label: its order (the least first), a box around all its choices, and the choices."""

    order: tuple[float, str, int]
    zone: Box
    choices: LabelChoices[What]


class LabelPlaces(Generic[LabelKey, What]):
    """Guards and labels by key, and what was chosen for each label."""

    def __init__(self) -> None:
        self.chosen: dict[LabelKey, Choice[What] | None] = {}
        self._wanted: dict[LabelKey, WantedLabel[What]] = {}
        self._guards: BoxIndex[tuple[Hashable, int]] = BoxIndex(_CELL)
        self._guarded: dict[Hashable, tuple[Box, ...]] = {}
        self._zones: BoxIndex[LabelKey] = BoxIndex(_CELL)
        self._taken: BoxIndex[tuple[LabelKey, int]] = BoxIndex(_CELL)
        self._touched: list[Box] = []
        self._anew: set[LabelKey] = set()

    def guard(self, owner: Hashable, boxes: Iterable[Box]) -> bool:
        """Set the boxes of an owner that no label may cover; return True if they are others."""
        old, new = self._guarded.get(owner, ()), tuple(boxes)
        if old == new:
            return False
        for k in range(len(old)):
            self._guards.drop((owner, k))
        for k, box in enumerate(new):
            self._guards.put((owner, k), box)
        self._touched += [*old, *new]
        self._guarded[owner] = new
        if not new:
            del self._guarded[owner]
        return True

    def want(self, key: LabelKey, wanted: WantedLabel[What] | None) -> None:
        """Add a label, replace it, or remove it if `wanted` is None."""
        last = self._wanted.pop(key, None)
        if last is not None:
            self._zones.drop(key)
        if wanted is None:
            self._anew.discard(key)
            self._take(key, None)
            self.chosen.pop(key, None)
            return
        held = self.chosen.get(key)
        if last is not None and held is not None and last.order != wanted.order:
            self._touched += held.boxes  # what now comes before it may take its place
        self._wanted[key] = wanted
        self._zones.put(key, wanted.zone)
        self._anew.add(key)

    def settle(self) -> list[tuple[LabelKey, Choice[What] | None, Choice[What] | None]]:
        """Work out what has changed; return each label shown otherwise, before and now."""
        waiting = set(self._anew)
        for box in self._touched:
            waiting.update(self._met(box, waiting))
        self._touched, self._anew = [], set()
        heap = [(self._wanted[key].order, key) for key in waiting]
        heapq.heapify(heap)
        changed = []
        while heap:
            order, key = heapq.heappop(heap)
            waiting.discard(key)
            before, now = self.chosen.get(key), self._first(key)
            if before == now and key in self.chosen:
                continue
            changed.append((key, before, now))
            boxes = (*(before.boxes if before else ()), *(now.boxes if now else ()))
            self._take(key, now)
            self._touched = []
            for box in boxes:
                for other in self._met(box, waiting):
                    after = self._wanted[other].order
                    if after > order:
                        waiting.add(other)
                        heapq.heappush(heap, (after, other))
        return changed

    def _met(self, box: Box, waiting: Set[LabelKey]) -> list[LabelKey]:
        """The labels, besides these, that may be shown otherwise once a box is taken or free.

        Each has the first of its choices that was free, so the choices after it do not matter.
        """
        return [
            key
            for key in self._zones.touching(box)
            if key not in waiting and self._wanted[key].choices.touch(box)
        ]

    def covered(self, boxes: Iterable[Box]) -> int:
        """Return how many guards and labels these boxes would cover."""
        return sum(
            len(self._guards.touching(box)) + len(self._taken.touching(box)) for box in boxes
        )

    def _first(self, key: LabelKey) -> Choice[What] | None:
        wanted = self._wanted[key]
        return next(
            (c for c in wanted.choices if c.anyway or self._is_free(key, wanted, c.boxes)), None
        )

    def _is_free(self, key: LabelKey, wanted: WantedLabel[What], boxes: Iterable[Box]) -> bool:
        for box in boxes:
            if self._guards.any_touching(box):
                return False
            for other, _ in self._taken.touching(box):
                if other != key and self._wanted[other].order < wanted.order:
                    return False
        return True

    def _take(self, key: LabelKey, choice: Choice[What] | None) -> None:
        before = self.chosen.get(key)
        old = before.boxes if before is not None else ()
        for k in range(len(old)):
            self._taken.drop((key, k))
        for k, box in enumerate(choice.boxes if choice is not None else ()):
            self._taken.put((key, k), box)
        self._touched += old
        self.chosen[key] = choice
