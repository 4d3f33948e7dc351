"""The contacts of a whole job, cached: after an edit of one piece only that piece is examined."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from gridjig.geometry.box_index import Box
from gridjig.model import Job, Part
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece

from .bores import bore_contacts
from .features import PACKING, FaceFeature, RoundFeature, features_of
from .level import Lying, pad_contacts, rest_contacts
from .overlap import Overlap, close_pairs, overlap
from .roles import role_of
from .shapes import near, placed_part, rooms_of
from .sides import Sides, sides_between
from .upright import Asked, face_contacts, round_contacts
from .values import FACING, Contact, JobContacts, PartContact, PieceContacts, Role
from .weldment import part_contacts, part_overlaps

_FEW = 8
"""Up to this many pieces are compared with the parts one by one; more, all at once."""

_ORDER = {"touches": 0, "overlap": 1, "radius": 2, "out of reach": 3, "gap": 4}

Heights = tuple[float, float]


def contacts(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], within: float = FACING
) -> JobContacts:
    """All contacts of a job, up to `within` mm in front of each feature."""
    return Contacts(within).of(job, placed_pieces)


class _Ground:
    """The parts of a weldment, prepared for the search."""

    def __init__(self, parts: tuple[Part, ...]) -> None:
        self.parts = parts
        self.ids = tuple(part.id for part in parts)
        self.by_id = {part.id: part for part in parts}
        self.things = [placed_part(part) for part in parts]
        self.solids = [(k, solid) for k, t in enumerate(self.things) for solid in t.solids]
        self.lying = Lying(solid for _, solid in self.solids)
        self.boxes = {t.id: rooms_of(t).box for t in self.things}
        self._sides: dict[Heights, Sides] = {}

    def sides(self, heights: Heights) -> Sides:
        """The upright sides between two heights."""
        found = self._sides.get(heights)
        if found is None:
            found = self._sides[heights] = sides_between(self.solids, *heights)
        return found


class Contacts:
    """Keeps the contacts of the last job, and examines only what differs.

    A piece that is the same PlacedPiece, with the same parts around it, keeps the same
    PieceContacts.  `within` is how far in front of each feature to search, mm.  Not thread-safe.
    """

    def __init__(self, within: float = FACING) -> None:
        self._within = within
        self._ground = _Ground(())
        self._stands: Mapping[str, PlacedPiece] = {}
        self._last: JobContacts | None = None
        self._clamps: tuple[str, ...] = ()  # those that press on something

    def of(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> JobContacts:
        """The contacts of a job with these placed pieces; the same input gives the same value."""
        last, before, ground = self._last, self._stands, self._ground
        if last is not None and placed_pieces is before and job.parts is ground.parts:
            return last
        kept = last.pieces if last is not None else {}
        anew = [
            k for k, placed in placed_pieces.items() if before.get(k) is not placed or k not in kept
        ]
        joined, lapped = (last.parts, last.part_overlaps) if last is not None else ((), ())
        if job.parts is not ground.parts:
            self._ground = _Ground(job.parts)
            moved = _moved(ground, self._ground)
            known = [
                k for k, placed in placed_pieces.items() if before.get(k) is placed and k in kept
            ]
            seen = {*anew, *_beside([placed_pieces[k] for k in known], moved, self._within)}
            anew = [k for k in placed_pieces if k in seen]
            joined, lapped = part_contacts(job.parts), part_overlaps(job.parts)
        found = self._find([placed_pieces[k] for k in anew])
        pieces = (
            {**kept, **found}
            if kept.keys() == placed_pieces.keys() and list(kept) == list(placed_pieces)
            else {k: found[k] if k in found else kept[k] for k in placed_pieces}
        )
        roles = self._roles(placed_pieces, pieces, found, last, joined)
        self._stands = (
            dict(placed_pieces)
            if not isinstance(placed_pieces, MappingProxyType)
            else placed_pieces
        )
        self._last = JobContacts(
            MappingProxyType(pieces), MappingProxyType(roles), joined, lapped, self._within
        )
        return self._last

    # -- the contacts of some pieces -------------------------------------------------------------

    def _find(self, placed_pieces: Sequence[PlacedPiece]) -> dict[str, PieceContacts]:
        ground = self._ground
        good = [placed for placed in placed_pieces if placed.fault is None]
        lapped = self._lapped(good)
        ids = [placed.placement.id for placed in good]
        rows = {k: row for row, k in enumerate(ids)}
        columns = {k: column for column, k in enumerate(ground.ids)}
        inside = np.zeros((len(good), len(ground.ids)), dtype=np.bool_)
        for k, overlaps in lapped.items():
            for one in overlaps:
                inside[rows[k], columns[one.b]] = True
        asked = Asked(ids, ground.ids, inside, self._within)
        lists: list[list[Contact]] = [[] for _ in good]
        self._upright(asked, good, lists)
        for row, placed in enumerate(good):
            features = features_of(placed)
            conflicting = [one.b for one in lapped.get(ids[row], ())]
            for rest in features.rests:
                lists[row] += rest_contacts(ids[row], rest, ground.lying, conflicting, self._within)
            if features.pad is not None:
                lists[row] += pad_contacts(ids[row], features.pad, ground.lying, self._within)
        found = {
            k: PieceContacts(
                k,
                tuple(sorted(contacts, key=lambda c: (_ORDER[c.means], c.gap))),
                lapped.get(k, ()),
            )
            for k, contacts in zip(ids, lists, strict=True)
        }
        for placed in placed_pieces:
            found.setdefault(placed.placement.id, PieceContacts(placed.placement.id))
        return found

    def _upright(
        self, asked: Asked, placed_pieces: Sequence[PlacedPiece], lists: Sequence[list[Contact]]
    ) -> None:
        """Contacts of faces and rounds, grouped by their range of heights."""
        faces: dict[Heights, list[tuple[int, FaceFeature]]] = {}
        rounds: dict[Heights, list[tuple[int, RoundFeature]]] = {}
        for row, placed in enumerate(placed_pieces):
            features = features_of(placed)
            for face in features.faces:
                faces.setdefault((face.z_low, face.z_high), []).append((row, face))
            for body in features.rounds:
                rounds.setdefault((body.z_low, body.z_high), []).append((row, body))
        for heights, some in faces.items():
            for row, contact in face_contacts(asked, some, self._ground.sides(heights)):
                lists[row].append(contact)
        for heights, bodies in rounds.items():
            held: set[tuple[int, str]] = set()
            for row, contact in bore_contacts(asked, bodies, self._ground.solids):
                lists[row].append(contact)
                held.add((row, contact.feature))
            for row, contact in round_contacts(asked, bodies, self._ground.sides(heights)):
                # What stands in a hole sees only its wall, not what is beyond the plate.
                if contact.means != "gap" or not (
                    (row, contact.feature) in held or _behind_packing(contact, lists[row])
                ):
                    lists[row].append(contact)

    def _lapped(self, placed_pieces: Sequence[PlacedPiece]) -> dict[str, tuple[Overlap, ...]]:
        """The parts that each piece overlaps; what a handle sweeps through is for the checks."""
        things = self._ground.things
        pairs: Iterable[tuple[int, int]]
        if len(placed_pieces) > _FEW:
            pairs = close_pairs(placed_pieces, things)
        else:
            around = list(enumerate(self._ground.boxes.values()))
            mine = [(i, rooms_of(placed).box) for i, placed in enumerate(placed_pieces)]
            pairs = [(i, j) for i, box in mine for j, other in around if near(box, other)]
        found: dict[str, list[Overlap]] = {}
        for i, j in pairs:
            one = overlap(placed_pieces[i], things[j])
            if one is not None and not one.handle:
                found.setdefault(one.a, []).append(one)
        return {k: tuple(some) for k, some in found.items()}

    # -- roles -----------------------------------------------------------------------------------

    def _roles(
        self,
        placed_pieces: Mapping[str, PlacedPiece],
        pieces: Mapping[str, PieceContacts],
        found: Mapping[str, PieceContacts],
        last: JobContacts | None,
        joined: Sequence[PartContact],
    ) -> dict[str, Role]:
        """Roles; a clamp is examined again if anything changed at the part it presses."""
        old = last.roles if last is not None else {}
        touched = {c.part for one in found.values() for c in one.contacts}
        if last is not None:
            gone = [one for k, one in last.pieces.items() if pieces.get(k) is not one]
            touched |= {c.part for one in gone for c in one.contacts}
        everything = last is None or joined is not last.parts
        clamps = [(k, c.part) for k in self._clamps if (c := old[k].clamped) is not None]
        anew = list(found)
        anew += [
            k
            for k, part in clamps
            if k in pieces and k not in found and (everything or part in touched)
        ]
        pressed = {c.part for k in anew for c in pieces[k].contacts if c.feature == "tip"}
        touching: dict[str, list[Contact]] = {part: [] for part in pressed}
        if pressed:
            for one in pieces.values():
                for contact in one.contacts:
                    if contact.means != "touches":
                        break  # those that touch come first
                    if contact.part in touching:
                        touching[contact.part].append(contact)
        by_id = self._ground.by_id
        made = {k: role_of(placed_pieces[k], pieces[k], touching, by_id, joined) for k in anew}
        kept = [k for k, _ in clamps if k in pieces and k not in made]
        self._clamps = (*kept, *(k for k, role in made.items() if role.clamped is not None))
        if old.keys() == pieces.keys() and list(old) == list(pieces):
            return {**old, **made}
        return {k: made[k] if k in made else old[k] for k in pieces}


def _behind_packing(contact: Contact, others: Iterable[Contact]) -> bool:
    """True if a round body's gap is the room of its own packing, whose contact is listed."""
    return any(
        one.feature == PACKING and (one.part, one.face) == (contact.part, contact.face)
        for one in others
    )


def _moved(old: _Ground, new: _Ground) -> list[Box]:
    """The boxes, before and after, of parts that differ between two weldments."""
    gone = [k for k, part in old.by_id.items() if new.by_id.get(k) is not part]
    come = [k for k, part in new.by_id.items() if old.by_id.get(k) is not part]
    return [*(old.boxes[k] for k in gone), *(new.boxes[k] for k in come)]


def _beside(placed_pieces: Sequence[PlacedPiece], boxes: Sequence[Box], within: float) -> list[str]:
    """The pieces that may have a contact in any of these boxes."""
    if not placed_pieces or not boxes:
        return []
    x0, y0, x1, y1 = np.array([_reach_box(Same(placed)) for placed in placed_pieces]).T[:, :, None]
    u0, v0, u1, v1 = np.array(boxes).T
    near = (x0 - within <= u1) & (u0 <= x1 + within) & (y0 - within <= v1) & (v0 <= y1 + within)
    return [placed_pieces[k].placement.id for k in np.flatnonzero(near.any(axis=1)).tolist()]


@lru_cache(maxsize=4096)
def _reach_box(key: Same[PlacedPiece]) -> Box:
    """The bounding box of a piece and all its features."""
    placed = key.value
    features = features_of(placed)
    points = [p for f in features.faces for p in (f.a, f.b)]
    discs = [(body.centre, body.radius) for body in features.rounds]
    discs += [(rest.centre, rest.radius) for rest in features.rests]
    if features.pad is not None:
        discs.append((features.pad.at, features.pad.pad_radius))
    for (x, y), r in discs:
        points += [(x - r, y - r), (x + r, y + r)]
    x0, y0, x1, y1 = rooms_of(placed).box
    return (
        min([x0, *(p[0] for p in points)]),
        min([y0, *(p[1] for p in points)]),
        max([x1, *(p[0] for p in points)]),
        max([y1, *(p[1] for p in points)]),
    )
