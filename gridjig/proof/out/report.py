"""How everything on the table comes out again; after an edit only what it touches is looked at."""

from collections.abc import Mapping, Sequence

from gridjig.contact.shapes import Thing, placed_part
from gridjig.contact.values import TOUCH, Contact, JobContacts, PieceContacts
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.proof.statics.rows import frame_of
from gridjig.rack import Point
from gridjig.rack.kept import KeptResults
from gridjig.rack.same import alike, kept_for
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.joints import joints

from .around import WaysAround
from .closing import closings
from .drawing_in import Drift, all_drawn_in
from .free_ends import free_ends
from .gripping import gripped
from .lifting import clamps_on, fixed, in_order, over, place_of
from .values import JointClosing, OutReport, Trap, Verdict, WeldmentOut

REACH = 25.0
"""No weldment closes by more than this, mm: what is further away is not reached."""


def out(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> OutReport:
    """How everything on the table comes out again, with the clamps open."""
    return Ways().of(job, placed_pieces, contacts)


class Ways:
    """Keeps what was found for the last job.  Not thread-safe."""

    def __init__(self) -> None:
        self._around: dict[str, WaysAround] = {}
        self._motions: dict[str, _Drawn] = {}
        self._grips = KeptResults[tuple[Trap | None, Verdict]]()

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> OutReport:
        """How everything on the table comes out again, with the clamps open."""
        closed = closings(job)
        with self._grips.round():
            return OutReport(
                tuple(
                    self._weldment(job, weldment, parts, placed_pieces, contacts, closed)
                    for weldment, parts in parts_by_weldment(job.parts).items()
                ),
                closed,
                free_ends(job.parts, joints(job.parts)),
            )

    def _weldment(
        self,
        job: Job,
        weldment: str,
        parts: tuple[Part, ...],
        placed_pieces: Mapping[str, PlacedPiece],
        contacts: JobContacts,
        closed: tuple[JointClosing, ...],
    ) -> WeldmentOut:
        ids = {part.id for part in parts}
        things: dict[str, Thing] = {
            k: placed for k, placed in placed_pieces.items() if placed.fault is None
        }
        things.update((p.id, placed_part(p)) for p in job.parts if p.id not in ids)
        around = self._around.setdefault(weldment, WaysAround())
        around.follow(parts, things)
        blocking, captured, swinging = around.over()
        grip, verdict = self._grip(weldment, parts, contacts, closed)
        inside = grip.pieces if grip is not None and verdict != "free" else ()
        clamps = {*clamps_on(contacts, ids), *swinging} & things.keys()
        return WeldmentOut(
            weldment,
            not blocking,
            around.directions(),
            in_order(
                inside,
                clamps,
                blocking,
                {k: place_of(things[k]) for k in clamps},
                _datum(job, weldment, parts),
                _stacked(blocking, things),
            ),
            blocking,
            captured,
            grip if verdict != "free" else None,
            verdict,
        )

    def _grip(
        self,
        weldment: str,
        parts: tuple[Part, ...],
        contacts: JobContacts,
        closed: tuple[JointClosing, ...],
    ) -> tuple[Trap | None, Verdict]:
        mine = {part.id: part for part in parts}
        low, high = self._drawn(weldment, parts, contacts, closed)
        reach = sum(one.high for one in closed if one.a in mine) + TOUCH
        locating = tuple(
            contact
            for own in contacts.pieces.values()
            for contact in _around_of(own)
            if contact.part in mine and contact.gap <= reach
        )

        def grip() -> tuple[Trap | None, Verdict]:
            frame = frame_of([p for part in parts for p in placed_part(part).points])
            return gripped(locating, frame, low, high)

        return self._grips.of(weldment, (low, high, *locating), grip)

    def _drawn(
        self,
        weldment: str,
        parts: tuple[Part, ...],
        contacts: JobContacts,
        closed: tuple[JointClosing, ...],
    ) -> "tuple[_Motions, _Motions]":
        mine = {part.id for part in parts}
        own = tuple(one for one in closed if one.a in mine)
        joined = tuple(one for one in contacts.parts if one.a in mine)
        key: tuple[object, ...] = (*parts, *joined)
        known = self._motions.get(weldment)
        if known is not None and known[1] == own and alike(known[0], key):
            return known[2]
        low, high = all_drawn_in(
            parts, joined, [{one.id: one.low for one in own}, {one.id: one.high for one in own}]
        )
        self._motions[weldment] = (key, own, (low, high))
        return low, high


_Motions = Mapping[str, Drift]
_Drawn = tuple[tuple[object, ...], tuple[JointClosing, ...], tuple[_Motions, _Motions]]


@kept_for(4096)
def _around_of(own: PieceContacts) -> tuple[Contact, ...]:
    """The contacts of a piece that locate, or stand so near that shrinkage may bring the work."""
    return tuple(
        contact
        for contact in own.contacts
        if contact.locates
        and contact.means in ("touches", "gap", "overlap")
        and contact.gap <= REACH
    )


def _datum(job: Job, weldment: str, parts: Sequence[Part]) -> Point:
    """Where both datum faces meet, or about there."""
    datum = datum_faces(job, weldment)
    ends = [face for face in (datum.long, datum.end) if face is not None]
    if not ends:
        x, y = placed_part(parts[0]).points[0]
        return (x, y)
    points = [p for face in ends for p in (face.a, face.b)]
    if len(ends) == 2:
        return min(
            ((p, q) for p in points[:2] for q in points[2:]),
            key=lambda pair: (pair[0][0] - pair[1][0]) ** 2 + (pair[0][1] - pair[1][1]) ** 2,
        )[0]
    return points[0]


def _stacked(blocking: Sequence[str], things: Mapping[str, Thing]) -> dict[str, list[str]]:
    """For each thing that has to come off, what is on top of it."""
    return {
        k: [other for other, thing in things.items() if other != k and _on(things[k], thing)]
        for k in blocking
    }


def _on(lower: Thing, upper: Thing) -> bool:
    rooms = fixed(upper)
    return over(lower, (*rooms.stays, *rooms.opens))
