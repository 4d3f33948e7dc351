"""The marks of contacts on the plan, kept in step with the contacts by id and identity.

Bars and signs are drawn over the things; signs go below names, which stay readable.
"""

from collections.abc import Iterable, Iterator, Mapping

from gridjig.contact.values import JobContacts, PieceContacts, Role
from gridjig.geometry.box_index import Box, BoxIndex
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.sheets.drawings.contacts import draw_contact_bars, draw_contact_signs
from gridjig.solve.placed.placed_piece import PlacedPiece

from .items import Damage


class ContactMarks:
    """The marks of one document, plotted for one appearance."""

    def __init__(self, plotter: Plotter) -> None:
        self._plotter = plotter
        self._last: JobContacts | None = None
        self._marks: dict[str, tuple[Plot, Plot]] = {}  # signs and bars
        self._nearby: BoxIndex[tuple[str, int]] = BoxIndex()
        self._outreach = 0.0
        self.replaced: set[str] = set()  # by the last call of `sync`

    def __len__(self) -> int:
        return len(self._marks)

    def sync(
        self, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts | None
    ) -> list[Damage]:
        """Show these contacts, or none; return what must be redrawn."""
        last = self._last
        self.replaced = set()
        if contacts is last:
            return []
        self._last = contacts
        damage: list[Damage] = []
        if contacts is None:
            for thing_id in tuple(self._marks):
                self._drop(thing_id, damage)
            return damage
        pieces, roles = contacts.pieces, contacts.roles
        if last is None:
            anew: Iterable[str] = pieces
        else:
            before, old = last.pieces, last.roles
            if before.keys() != pieces.keys():
                for thing_id in before.keys() - pieces.keys():
                    self._drop(thing_id, damage)
            # A piece that was moved gets new contact objects, even if they are equal, so comparing
            # these two is enough.
            anew = [
                k
                for k, own in pieces.items()
                if before.get(k) is not own or old.get(k) is not roles[k]
            ]
        for thing_id in anew:
            self._drop(thing_id, damage)
            self._put(thing_id, placed_pieces[thing_id], pieces[thing_id], roles[thing_id], damage)
        return damage

    def _put(
        self,
        thing_id: str,
        placed: PlacedPiece,
        own: PieceContacts,
        role: Role,
        damage: list[Damage],
    ) -> None:
        self.replaced.add(thing_id)
        plots = (
            self._plotter.plot(draw_contact_signs(placed, own, role)),
            self._plotter.plot(draw_contact_bars(own)),
        )
        self._marks[thing_id] = plots
        for index, plot in enumerate(plots):
            if plot.box is not None:
                self._nearby.put((thing_id, index), plot.box)
                self._outreach = max(self._outreach, plot.outreach)
                damage.append(Damage(plot.box, plot.outreach, plot.rise))

    def _drop(self, thing_id: str, damage: list[Damage]) -> None:
        old = self._marks.pop(thing_id, None)
        if old is None:
            return
        self.replaced.add(thing_id)
        for index, plot in enumerate(old):
            if plot.box is not None:
                self._nearby.drop((thing_id, index))
                damage.append(Damage(plot.box, plot.outreach, plot.rise))

    def signs(self) -> Iterator[tuple[str, Plot]]:
        """Return the ids of all pieces with signs, and their signs."""
        return ((thing_id, marks[0]) for thing_id, marks in self._marks.items())

    def signs_of(self, thing_id: str) -> Plot | None:
        """Return the signs of a piece, or None if it has none."""
        marks = self._marks.get(thing_id)
        return marks[0] if marks is not None else None

    def within(self, box: Box, reach: float) -> tuple[list[Plot], list[Plot]]:
        """Return the signs and bars that may touch a box of the table; `reach` is the size of one
        dot in mm.
        """
        beyond = self._outreach * reach
        wide = (box[0] - beyond, box[1] - beyond, box[2] + beyond, box[3] + beyond)
        near = set(self._nearby.touching(wide))
        return list(self._of(near, 0)), list(self._of(near, 1))

    def _of(self, near: set[tuple[str, int]], index: int) -> Iterator[Plot]:
        for thing_id in sorted(k for k, which in near if which == index):
            yield self._marks[thing_id][index]
