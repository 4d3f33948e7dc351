"""What is drawn for each thing on the table, kept in step with the document by id and identity.

The one owner of drawn things: it removes what it adds.  Only ids that changed are composed again;
nothing else may draw a placement or an outline.
"""

from collections.abc import Hashable, Iterable, Mapping
from itertools import count

from msgspec import Struct

from gridjig.checks.finding import SignPlaces
from gridjig.geometry.box_index import Box, BoxIndex, touch
from gridjig.model import Job, Table
from gridjig.model.by_weldment import several
from gridjig.model.changes import Things, exchanged
from gridjig.model.titles import weldment_title
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.qt.paint.shared_pictures import PictureKind
from gridjig.rack.same import Same
from gridjig.session.document import Document
from gridjig.sheets.drawings.plan import PLAIN, ShownState, draw_part, draw_placement
from gridjig.solve.placed.placed_piece import PlacedPiece

UNMARKED: tuple[frozenset[str], frozenset[str], SignPlaces] = (
    frozenset(),
    frozenset(),
    {},
)
"""The ids of what clashes and of what needs a look, and where their signs belong: none."""
MOST_LOOKS = 4096
"""The most appearances that are numbered at a time."""


class Item(Struct):
    """One drawn thing.  Higher things are drawn over lower ones."""

    height: float
    thing_id: str
    plot: Plot
    box: Box


class Damage(Struct, frozen=True):
    """A box of the table, mm, to be redrawn, with margins in dots.

    `outreach` is the margin to the sides, `rise` the one above and below.
    """

    box: Box
    outreach: float
    rise: float


class Items:
    """The things of one document, plotted for one appearance."""

    def __init__(self, plotter: Plotter) -> None:
        self._plotter = plotter
        self._items: dict[str, Item] = {}
        self._nearby: BoxIndex[str] = BoxIndex()
        self._looks: dict[Hashable, int] = {}  # numbered, because comparing appearances is slow
        self._numbers = count()  # never the same again, since plots keep theirs
        self._outreach = 0.0
        self.replaced: frozenset[str] = frozenset()  # by the last call of `sync`
        self._beyond: set[str] = set()  # what hangs over the table's edge
        self._job: Job | None = None
        self._selection: frozenset[str] = frozenset()
        self._clash: frozenset[str] = frozenset()
        self._check: frozenset[str] = frozenset()
        self._signs: SignPlaces = {}

    @property
    def items(self) -> Mapping[str, Item]:
        """Every drawn thing by its id."""
        return self._items

    @property
    def looks(self) -> int:
        """How many appearances have a number at present."""
        return len(self._looks)

    def sync(
        self,
        document: Document,
        clash: frozenset[str] = frozenset(),
        check: frozenset[str] = frozenset(),
        signs: SignPlaces | None = None,
    ) -> list[Damage]:
        """Take over what has changed since the last call; return what must be redrawn."""
        job = document.shown
        changed = self._changed_things(job)
        marked = (
            (self._selection ^ document.selection) | (self._clash ^ clash) | (self._check ^ check)
        )
        signs = signs or {}
        if signs is not self._signs:
            moved = {k for k in {*signs, *self._signs} if signs.get(k) != self._signs.get(k)}
            marked |= moved & (clash | check)
        self._signs = signs
        self._job = job
        self._selection, self._clash, self._check = document.selection, clash, check
        self.replaced = frozenset({*changed, *marked})
        if not self.replaced:
            return []
        placed_pieces = document.placed_pieces
        damage: list[Damage] = []
        for thing_id in self.replaced:
            self._replace(job, placed_pieces, thing_id, damage)
        return damage

    def within(self, box: Box, reach: float) -> list[Plot]:
        """Return the plots that may touch a box of the table, lowest first; `reach` is the size of
        one dot in mm.
        """
        beyond = self._outreach * reach
        wide = (box[0] - beyond, box[1] - beyond, box[2] + beyond, box[3] + beyond)
        near = [self._items[thing_id] for thing_id in self._nearby.touching(wide)]
        found = [item for item in near if touch(item.box, box, item.plot.outreach * reach)]
        found.sort(key=_level)
        return [item.plot for item in found]

    def beyond(self, box: Box) -> list[Plot]:
        """Return the plots of what hangs over the table's edge into a box, lowest first."""
        hanging = (self._items[thing_id] for thing_id in self._beyond)
        return [item.plot for item in sorted(hanging, key=_level) if touch(item.box, box)]

    def covered(self, ids: Iterable[str]) -> list[str]:
        """Return the ids of those things that a higher thing covers, judged by their boxes."""
        found = []
        for thing_id in sorted(ids):
            item = self._items.get(thing_id)
            if item is not None and any(
                self._items[other].height > item.height for other in self._nearby.touching(item.box)
            ):
                found.append(thing_id)
        return found

    # -- what has changed ----------------------------------------------------------------------

    def _changed_things(self, job: Job) -> set[str]:
        """Return the ids of things that were added, removed or changed.

        Usually the table, the rack, and the number and order of the things are unchanged.
        """
        last = self._job
        if last is job:
            return set()
        if last is None or last.table is not job.table or last.rack is not job.rack:
            return {*self._items, *_ids(job)}
        changed = _differing(last.placements, job.placements)
        # With several weldments, the name of a part says of which.
        renamed = last.weldments != job.weldments and (several(last) or several(job))
        if renamed or len(last.parts) != len(job.parts):
            # The hatch depends on the position in the list, so everything after a change looks
            # different.
            return changed | {o.id for o in (*last.parts, *job.parts)}
        return changed | _differing(last.parts, job.parts)

    def _replace(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        thing_id: str,
        damage: list[Damage],
    ) -> None:
        old = self._items.pop(thing_id, None)
        self._beyond.discard(thing_id)
        if old is not None:
            self._nearby.drop(thing_id)
            damage.append(Damage(old.box, old.plot.outreach, old.plot.rise))
        new = self._compose(job, placed_pieces, thing_id)
        if new is not None:
            self._items[thing_id] = new
            self._nearby.put(thing_id, new.box)
            x1, y1, x2, y2 = new.box
            if x1 < 0 or y1 < 0 or x2 > job.table.width or y2 > job.table.depth:
                self._beyond.add(thing_id)
            self._outreach = max(self._outreach, new.plot.outreach)
            damage.append(Damage(new.box, new.plot.outreach, new.plot.rise))

    def _compose(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], thing_id: str
    ) -> Item | None:
        state = self._state(thing_id)
        placed = placed_pieces.get(thing_id)
        if placed is not None:
            pin = job.rack.pin_diameter(placed.piece) if placed.piece is not None else 0.0
            drawing = draw_placement(placed, job.table, pin, state)
            height = max((s.z_high for s in placed.solids), default=0.0)
        else:
            index = next((n for n, o in enumerate(job.parts) if o.id == thing_id), -1)
            if index < 0:
                return None
            part = job.parts[index]
            of = weldment_title(job, part.weldment) if several(job) else ""
            drawing = draw_part(part, index, state, of)
            height = part.z_high
        plot = self._plotter.plot(drawing)
        if placed is not None:
            plot.kind = self._kind(placed, job.table, state)
        return None if plot.box is None else Item(height, thing_id, plot, plot.box)

    def _kind(self, placed: PlacedPiece, table: Table, state: ShownState) -> PictureKind | None:
        """Return the picture kind: equal for pieces with the same turn and setting in holes of one
        pattern.
        """
        piece, holes = placed.piece, placed.holes
        if piece is None or placed.fault is not None or not holes or state.at:
            return None
        place, (col, row) = placed.placement, holes[0]
        pattern = tuple(
            (seat.feature, seat.hole.col - col, seat.hole.row - row) for seat in place.seats
        )
        way = (round(placed.turn, 6), place.flipped, placed.slide, placed.leaf, placed.reach)
        appearance = (Same(piece), pattern, way, place.lift, place.packing, state)
        return PictureKind(self._number(appearance), table.at(holes[0]))

    def _number(self, appearance: Hashable) -> int:
        """The number of an appearance; every step of a drag may bring a new one."""
        if appearance not in self._looks:
            if len(self._looks) >= MOST_LOOKS:
                self._looks.clear()
            self._looks[appearance] = next(self._numbers)
        return self._looks[appearance]

    def _state(self, thing_id: str) -> ShownState:
        selected = thing_id in self._selection
        clash, check = thing_id in self._clash, thing_id in self._check
        if not (selected or clash or check):
            return PLAIN
        at = self._signs.get(thing_id, ()) if clash or check else ()
        return ShownState(selected, False, clash, check, at)


def _level(item: Item) -> tuple[float, str]:
    return (item.height, item.thing_id)


def _ids(job: Job) -> set[str]:
    return {t.id for things in (job.placements, job.parts) for t in things}


def _differing(old: Things, new: Things) -> set[str]:
    places = exchanged(old, new)
    if places is not None:
        return {row[k].id for row in (old, new) for k in places}
    before = {t.id: t for t in old}
    after = {t.id: t for t in new}
    gone = before.keys() - after.keys()
    return {*gone, *(i for i, t in after.items() if before.get(i) is not t)}
