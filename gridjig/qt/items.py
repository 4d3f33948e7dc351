"""What is drawn of each thing on the table, kept in step with the desk by id and identity.

The one owner of drawn things: what it adds it takes away.  Only the ids that changed are composed
again; nobody else may draw a placement or an outline.
"""

from collections.abc import Hashable, Iterable, Mapping

from msgspec import Struct

from gridjig.geometry.nearby import Nearby, touch
from gridjig.model import Job, Table
from gridjig.model.changes import Things, exchanged
from gridjig.rack.same import Same
from gridjig.session.desk import Desk
from gridjig.sheets.names import Pad, clear_of
from gridjig.sheets.plan import PLAIN, State, draw_outline, draw_placement
from gridjig.solve import Stand

from .looks import Kind
from .painter import Box, Plot, Plotter


class Item(Struct):
    """One thing as drawn.  Higher things are drawn over lower ones."""

    height: float
    thing_id: str
    plot: Plot
    box: Box


class Damage(Struct, frozen=True):
    """A box of the table, mm, to be drawn again, and how many dots beyond it."""

    box: Box
    outreach: float


class Items:
    """The things of one desk, plotted for one look."""

    def __init__(self, plotter: Plotter) -> None:
        self._plotter = plotter
        self._items: dict[str, Item] = {}
        self._nearby: Nearby[str] = Nearby()
        self._looks: dict[Hashable, int] = {}  # numbers, as looks are long to compare
        self._outreach = 0.0
        self._pads: dict[str, Pad] = {}
        self._job: Job | None = None
        self._selection: frozenset[str] = frozenset()
        self._clash: frozenset[str] = frozenset()
        self._check: frozenset[str] = frozenset()

    @property
    def items(self) -> Mapping[str, Item]:
        """Every drawn thing by its id."""
        return self._items

    def sync(
        self, desk: Desk, clash: frozenset[str] = frozenset(), check: frozenset[str] = frozenset()
    ) -> list[Damage]:
        """Take over what differs from last time; returns what has to be drawn again."""
        job = desk.shown
        changed = self._changed_things(job)
        marked = (self._selection ^ desk.selection) | (self._clash ^ clash) | (self._check ^ check)
        self._job = job
        self._selection, self._clash, self._check = desk.selection, clash, check
        if not changed and not marked:
            return []
        stands = desk.stands
        damage: list[Damage] = []
        for thing_id in {*changed, *marked, *self._beside_pads(job, stands, changed)}:
            self._replace(job, stands, thing_id, damage)
        return damage

    def within(self, box: Box, reach: float) -> list[Plot]:
        """Plots that may touch a box of the table, low ones first; `reach` is mm for one dot."""
        beyond = self._outreach * reach
        wide = (box[0] - beyond, box[1] - beyond, box[2] + beyond, box[3] + beyond)
        near = [self._items[thing_id] for thing_id in self._nearby.touching(wide)]
        found = [item for item in near if touch(item.box, box, item.plot.outreach * reach)]
        found.sort(key=_level)
        return [item.plot for item in found]

    def covered(self, ids: Iterable[str]) -> list[str]:
        """Those of some things over which a higher one lies, by their boxes."""
        found = []
        for thing_id in sorted(ids):
            item = self._items.get(thing_id)
            if item is not None and any(
                self._items[other].height > item.height for other in self._nearby.touching(item.box)
            ):
                found.append(thing_id)
        return found

    # -- what differs --------------------------------------------------------------------------

    def _changed_things(self, job: Job) -> set[str]:
        """Ids of what came, went or is another value.

        The same table and rack and as many things in the same order is the usual case.
        """
        last = self._job
        if last is job:
            return set()
        if last is None or last.table is not job.table or last.rack is not job.rack:
            return {*self._items, *_ids(job)}
        changed = _differing(last.placements, job.placements)
        if len(last.outlines) != len(job.outlines):
            # The hatch goes by the place in the row, so that all that follow look different.
            return changed | {o.id for o in (*last.outlines, *job.outlines)}
        return changed | _differing(last.outlines, job.outlines)

    def _beside_pads(self, job: Job, stands: Mapping[str, Stand], changed: set[str]) -> set[str]:
        """Parts of the weldment on which a clamp's pad came, went or moved: names make room."""
        moved: set[Pad] = set()
        for thing_id in changed:
            stand, old = stands.get(thing_id), self._pads.pop(thing_id, None)
            tip = None if stand is None else stand.tip
            new = None if tip is None else (tip.at, tip.pad_radius)
            if new is not None:
                self._pads[thing_id] = new
            if old != new:
                moved |= {pad for pad in (old, new) if pad is not None}
        if not moved:
            return set()
        beside = {
            thing_id
            for (x, y), r in moved
            for thing_id in self._nearby.touching((x - 2 * r, y - 2 * r, x + 2 * r, y + 2 * r))
        }
        return {part.id for part in job.outlines if part.id in beside}

    def _replace(
        self, job: Job, stands: Mapping[str, Stand], thing_id: str, damage: list[Damage]
    ) -> None:
        old = self._items.pop(thing_id, None)
        if old is not None:
            self._nearby.drop(thing_id)
            damage.append(Damage(old.box, old.plot.outreach))
        new = self._compose(job, stands, thing_id)
        if new is not None:
            self._items[thing_id] = new
            self._nearby.put(thing_id, new.box)
            self._outreach = max(self._outreach, new.plot.outreach)
            damage.append(Damage(new.box, new.plot.outreach))

    def _compose(self, job: Job, stands: Mapping[str, Stand], thing_id: str) -> Item | None:
        state = self._state(thing_id)
        stand = stands.get(thing_id)
        if stand is not None:
            pin = job.rack.pin_diameter(stand.piece) if stand.piece is not None else 0.0
            drawing = draw_placement(stand, job.table, pin, state)
            height = max((s.z_high for s in stand.solids), default=0.0)
        else:
            index = next((n for n, o in enumerate(job.outlines) if o.id == thing_id), -1)
            if index < 0:
                return None
            outline = job.outlines[index]
            drawing = clear_of(draw_outline(outline, index, state), self._pads.values())
            height = outline.z_high
        plot = self._plotter.plot(drawing)
        if stand is not None:
            plot.kind = self._kind(stand, job.table, state)
        return None if plot.box is None else Item(height, thing_id, plot, plot.box)

    def _kind(self, stand: Stand, table: Table, state: State) -> Kind | None:
        """Pieces of one kind stand the same way round, set the same, in holes of one pattern."""
        piece, holes = stand.piece, stand.holes
        if piece is None or stand.fault is not None or not holes:
            return None
        place, (col, row) = stand.placement, holes[0]
        pattern = tuple(
            (seat.feature, seat.hole.col - col, seat.hole.row - row) for seat in place.seats
        )
        way = (round(stand.turn, 6), place.flipped, stand.slide, stand.leaf, stand.reach)
        look = (Same(piece), pattern, way, place.lift, place.packing, state)
        return Kind(self._looks.setdefault(look, len(self._looks)), table.at(holes[0]))

    def _state(self, thing_id: str) -> State:
        selected = thing_id in self._selection
        clash, check = thing_id in self._clash, thing_id in self._check
        return State(selected, False, clash, check) if selected or clash or check else PLAIN


def _level(item: Item) -> tuple[float, str]:
    return (item.height, item.thing_id)


def _ids(job: Job) -> set[str]:
    return {t.id for things in (job.placements, job.outlines) for t in things}


def _differing(old: Things, new: Things) -> set[str]:
    places = exchanged(old, new)
    if places is not None:
        return {row[k].id for row in (old, new) for k in places}
    before = {t.id: t for t in old}
    after = {t.id: t for t in new}
    gone = before.keys() - after.keys()
    return {*gone, *(i for i, t in after.items() if before.get(i) is not t)}
