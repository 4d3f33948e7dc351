"""An old job checked against the table and the rack of today: what no longer holds.

Values only; `sheets/text/repeat_text` puts them into words.
"""

from msgspec import Struct, structs

from gridjig.checks.finding import Finding
from gridjig.checks.needs import needs, short_by
from gridjig.edits.comparison import Difference, compare
from gridjig.edits.table import replace_table
from gridjig.model import Job, Table
from gridjig.model.labels import address
from gridjig.proof.report import prove
from gridjig.rack import Rack
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.units.progress import SILENT, Progress

_SAME = 0.005


class MovedFace(Struct, frozen=True):
    """The face of a placed piece stands elsewhere, because the piece on the rack has other sizes:
    how far from its hole before and now, mm.
    """

    placement: str
    before: float
    now: float


class Lacking(Struct, frozen=True):
    """Pieces that the rack of today lacks: how many are needed, and how many too few there are.

    `gone` is True if the rack does not have that piece at all.
    """

    piece: str
    needed: int
    short: int
    gone: bool


class NewAddress(Struct, frozen=True):
    """A hole that is painted differently: what stands on the old sheet is another hole now."""

    placement: str
    before: str
    now: str


class Today(Struct, frozen=True):
    """What no longer holds of a job; all empty if it can be set as it is.

    `job` is the old one on the table and with the rack of today.  `changes` are what differs of the
    table and of the pieces that the job uses; `found` are findings that there were not before.
    """

    job: Job
    changes: tuple[Difference, ...]
    short: tuple[Lacking, ...]
    faces: tuple[MovedFace, ...]
    addresses: tuple[NewAddress, ...]
    found: tuple[Finding, ...]

    @property
    def holds(self) -> bool:
        """True if nothing stands in the way of setting it again as it was."""
        return not (self.short or self.faces or self.addresses or self.found)


def check_today(
    job: Job, table: Table | None = None, rack: Rack | None = None, progress: Progress = SILENT
) -> Today:
    """Return what no longer holds of a job on this table and with this rack.  Raises Cancelled."""
    now = replace_table(job, table) if table is not None else job
    if rack is not None:
        now = structs.replace(now, rack=rack)
    before, after = PlacedPieces().of(job), PlacedPieces().of(now)
    used = {p.piece for p in job.placements} | set(needs(job))
    changes = tuple(
        one
        for one in compare(job, now)
        if one.sort in ("table", "hole") or (one.sort == "piece of the rack" and _of(one) in used)
        if one.fields != ("typed",)  # which sizes were typed makes no other piece
    )
    faces: list[MovedFace] = []
    addresses: list[NewAddress] = []
    for placement in job.placements:
        old, new = before[placement.id], after[placement.id]
        stood = face_from_hole(job.table, old) if old.fault is None else None
        stands = face_from_hole(now.table, new) if new.fault is None else None
        if stood is not None and stands is not None:
            moved = abs(stood.distance - stands.distance) > _SAME
            if moved:
                faces.append(MovedFace(placement.id, stood.distance, stands.distance))
        names = [
            " + ".join(address(one.table, seat.hole) for seat in placement.seats)
            for one in (job, now)
        ]
        if names[0] != names[1] and all(now.table.has(seat.hole) for seat in placement.seats):
            addresses.append(NewAddress(placement.id, names[0], names[1]))
    known = {_told(one) for one in prove(job, before, progress.part(0, 500)).findings}
    found = tuple(
        one
        for one in prove(now, after, progress.part(500, 1000)).findings
        if one.level not in ("fine", "note") and _told(one) not in known
        if one.kind != "shortage"  # told by itself
    )
    return Today(now, changes, _short(now), tuple(faces), tuple(addresses), found)


def _of(one: Difference) -> str:
    return getattr(one.thing, "id", "")


def _told(one: Finding) -> tuple[object, ...]:
    return (one.level, one.ids, one.what)


def _short(job: Job) -> tuple[Lacking, ...]:
    found = []
    for piece_id, need in needs(job).items():
        piece = job.rack.find(piece_id)
        lacking = need.count if piece is None else short_by(piece, need)
        if lacking:
            found.append(Lacking(piece_id, need.count, lacking, piece is None))
    return tuple(found)
