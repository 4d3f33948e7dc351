"""The marks of contacts on the plan, kept in step with the contacts by id and identity.

Bars lie over the things; signs lie over them too, but below names, which stay readable.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from gridjig.contact.values import JobContacts, PieceContacts, Role
from gridjig.geometry.box_index import Box, BoxIndex
from gridjig.qt.paint.painter import Plot, Plotter
from gridjig.sheets.drawings.contacts import draw_contact_bars, draw_contact_signs
from gridjig.solve.placed.placed_piece import PlacedPiece

from .items import Damage


class _Mark(Struct):
    """What is drawn of the contacts of one piece, and of what it was drawn."""

    placed: PlacedPiece
    own: PieceContacts
    role: Role
    signs: Plot
    bars: Plot


class ContactMarks:
    """The marks of one document, plotted for one look."""

    def __init__(self, plotter: Plotter) -> None:
        self._plotter = plotter
        self._last: JobContacts | None = None
        self._marks: dict[str, _Mark] = {}
        self._nearby: BoxIndex[tuple[str, int]] = BoxIndex()
        self._outreach = 0.0

    def __len__(self) -> int:
        return len(self._marks)

    def sync(
        self, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts | None
    ) -> list[Damage]:
        """Show these contacts, or none; returns what has to be drawn again."""
        if contacts is self._last:
            return []
        self._last = contacts
        damage: list[Damage] = []
        pieces: Mapping[str, PieceContacts] = {} if contacts is None else contacts.pieces
        for thing_id in [k for k in self._marks if k not in pieces]:
            self._drop(thing_id, damage)
        if contacts is None:
            return damage
        for thing_id, own in pieces.items():
            old, role = self._marks.get(thing_id), contacts.roles[thing_id]
            placed = placed_pieces[thing_id]
            if old is not None and old.own is own and old.role is role and old.placed is placed:
                continue
            self._drop(thing_id, damage)
            mark = _Mark(
                placed,
                own,
                role,
                self._plotter.plot(draw_contact_signs(placed, own, role)),
                self._plotter.plot(draw_contact_bars(own)),
            )
            self._marks[thing_id] = mark
            for index, plot in enumerate((mark.signs, mark.bars)):
                if plot.box is not None:
                    self._nearby.put((thing_id, index), plot.box)
                    self._outreach = max(self._outreach, plot.outreach)
                    damage.append(Damage(plot.box, plot.outreach))
        return damage

    def _drop(self, thing_id: str, damage: list[Damage]) -> None:
        old = self._marks.pop(thing_id, None)
        if old is None:
            return
        for index, plot in enumerate((old.signs, old.bars)):
            if plot.box is not None:
                self._nearby.drop((thing_id, index))
                damage.append(Damage(plot.box, plot.outreach))

    def within(self, box: Box, reach: float) -> tuple[list[Plot], list[Plot]]:
        """Signs and bars that may touch a box of the table; `reach` is mm for one dot."""
        beyond = self._outreach * reach
        wide = (box[0] - beyond, box[1] - beyond, box[2] + beyond, box[3] + beyond)
        near = set(self._nearby.touching(wide))
        return list(self._of(near, 0)), list(self._of(near, 1))

    def _of(self, near: set[tuple[str, int]], index: int) -> Iterator[Plot]:
        for thing_id in sorted(k for k, which in near if which == index):
            mark = self._marks[thing_id]
            yield mark.bars if index else mark.signs
