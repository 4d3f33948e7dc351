"""Whether a torch gets to each side of each joint: everything together, kept from edit to edit."""

import math
from collections.abc import Mapping, Sequence

import shapely

from gridjig.contact.shapes import Room, placed_part, rooms_of
from gridjig.geometry.box_index import Box, BoxIndex, touch
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part, Shop
from gridjig.rack.same import alike
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.weldment.all_round import SideName
from gridjig.solve.weldment.welding import WeldLine, weld_lines
from gridjig.units.progress import look

from .cone import FreeCone, Obstacles, axes, obstacles, widest
from .seats import TorchSeat, seats
from .values import TABLE, AccessReport, AccessState, JointAccess, NearWeld, SideAccess

_NEARLY = 0.9
"""This share of the room that the torch takes counts as all of it: no torch is known better."""
_TIGHT = 0.5
"""Less than this share of the room that the torch takes is no room."""
LEAST_BEAD = 3.0
"""The smallest usual fillet, mm, for a joint whose weld has no size."""


def access(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> AccessReport:
    """Return how a torch gets to every joint of a job."""
    return Access().of(job, placed_pieces)


class Access:
    """Keeps what is known of each joint, and looks again only where something near it differs.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._near = BoxIndex[str]()
        self._things: dict[str, Part | PlacedPiece] = {}
        self._rooms: dict[str, tuple[Room, ...]] = {}
        self._boxes: dict[str, Box] = {}
        self._joints: dict[tuple[str, int], tuple[tuple[object, ...], Box, JointAccess]] = {}

    def of(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> AccessReport:
        """The access of a job with these placed pieces."""
        changed = self._follow(job, placed_pieces)
        parts = {part.id: part for part in job.parts}
        shop, kept, found = job.shop, self._joints, []
        self._joints = {}
        for line in weld_lines(job):
            look()
            joint = line.one.joint
            key = (joint.id, joint.nth)
            before = kept.get(key)
            given = (line, parts[joint.a], parts[joint.b], shop)
            if (
                before is not None
                and alike(before[0], given)
                and not any(touch(before[1], box) for box in changed)
            ):
                _, around, one = before
            else:
                around = _around(joint.seam or (joint.place,), shop)
                one = self._joint(line, parts[joint.a], parts[joint.b], shop, around, placed_pieces)
            self._joints[key] = (given, around, one)
            found.append(one)
        return AccessReport(tuple(found))

    def _follow(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> list[Box]:
        """Take note of what is on the table; return the boxes of what has come, gone or moved."""
        now: dict[str, Part | PlacedPiece] = {p.id: p for p in job.parts}
        now.update((k, p) for k, p in placed_pieces.items() if p.fault is None)
        changed: list[Box] = []
        for thing_id in [k for k, thing in self._things.items() if now.get(k) is not thing]:
            if thing_id in self._boxes:
                changed.append(self._boxes.pop(thing_id))
            self._near.drop(thing_id)
            self._rooms.pop(thing_id, None)
            del self._things[thing_id]
        for thing_id, thing in now.items():
            if thing_id in self._things:
                continue
            self._things[thing_id] = thing
            whole = thing if isinstance(thing, PlacedPiece) else placed_part(thing)
            rooms = tuple(room for room in rooms_of(whole).every if not room.handle)
            if rooms:
                box = bounds([p for room in rooms for p in room.points])
                self._rooms[thing_id], self._boxes[thing_id] = rooms, box
                self._near.put(thing_id, box)
                changed.append(box)
        return changed

    def _joint(
        self,
        line: WeldLine,
        a: Part,
        b: Part,
        shop: Shop,
        around: Box,
        placed_pieces: Mapping[str, PlacedPiece],
    ) -> JointAccess:
        joint = line.one.joint
        every = seats(line, a, b)
        names = sorted(self._near.touching(around))
        rooms = [(name, room) for name in names for room in self._rooms[name]]
        among = obstacles([room for _, room in rooms])
        ids = [name for name, _ in rooms]
        welds = [seat for seat in every if seat.welded]
        bead = line.one.leg or line.one.throat * math.sqrt(2.0) or LEAST_BEAD
        sides = _sides(every, among, ids, shop)
        lying = {side.name for side in sides if side.state == "turned over"}
        near = _near(
            [seat for seat in welds if seat.name not in lying],
            [(name, self._rooms[name]) for name in names if name in placed_pieces],
            max(shop.weld_clear, bead),
        )
        return JointAccess(
            joint.id, line.one.name, joint.a, joint.b, joint.nth, joint.place, sides, near, bead
        )


def _around(seam: Sequence[tuple[float, float]], shop: Shop) -> Box:
    """The box in which something may be in the way of a torch at a seam, or too near to it."""
    margin = max(shop.torch_length + shop.torch_radius, shop.weld_clear)
    x0, y0, x1, y1 = bounds(seam)
    return (x0 - margin, y0 - margin, x1 + margin, y1 + margin)


def _sides(
    every: Sequence[TorchSeat], among: Obstacles, ids: Sequence[str], shop: Shop
) -> tuple[SideAccess, ...]:
    tips = [(seat, place, way) for seat in every if not seat.closed
            for place, way in zip(seat.places, seat.towards, strict=True)]  # fmt: skip
    free = (
        widest(
            [place for _, place, _ in tips],
            [axes(way, shop.torch_lean) for _, _, way in tips],
            shop.torch_length,
            among,
        )
        if tips
        else []
    )
    found = []
    for seat in every:
        mine = [(one, place) for (s, place, _), one in zip(tips, free, strict=True) if s is seat]
        if not mine:
            at = seat.places[0] if seat.places else (*seat.lines[0][0], seat.z_high)
            found.append(
                SideAccess(seat.name, seat.kind, "closed in", 0.0, at, (0.0, 0.0, 1.0), "",
                           seat.angle, seat.welded)
            )  # fmt: skip
            continue
        one, at = min(mine, key=lambda pair: pair[0].room)
        blocker = ids[one.blocker] if one.blocker < len(ids) else TABLE
        state = _state(one, blocker, shop, seat.kind)
        found.append(
            SideAccess(seat.name, seat.kind, state, one.room, at, one.towards, blocker,
                       seat.angle, seat.welded)
        )  # fmt: skip
    return tuple(found)


def _state(one: FreeCone, blocker: str, shop: Shop, kind: SideName) -> AccessState:
    if one.room >= _NEARLY * shop.torch_radius:
        return "free"
    if kind == "underside" or (blocker == TABLE and one.towards[2] <= 0.0):
        return "turned over"
    return "tight" if one.room >= _TIGHT * shop.torch_radius else "blocked"


def _near(
    welds: Sequence[TorchSeat], pieces: Sequence[tuple[str, tuple[Room, ...]]], within: float
) -> tuple[NearWeld, ...]:
    """The pieces within some mm of what is welded, nearest first."""
    best: dict[str, NearWeld] = {}
    for seat in welds:
        for line in seat.lines:
            shape = shapely.LineString(line) if len(line) > 1 else shapely.Point(line[0])
            x0, y0, x1, y1 = bounds(line)
            reach = (x0 - within, y0 - within, x1 + within, y1 + within)
            for name, rooms in pieces:
                for room in rooms:
                    if not touch(room.box, reach):
                        continue
                    apart = max(room.z_low - seat.z_high, seat.z_low - room.z_high, 0.0)
                    if apart > within:
                        continue
                    far = math.hypot(float(shapely.distance(shape, room.plan)), apart)
                    if far <= within and (name not in best or far < best[name].distance):
                        nearest = shapely.shortest_line(shape, room.plan)
                        x, y = shapely.get_coordinates(nearest)[0].tolist()
                        best[name] = NearWeld(name, far, (x, y))
    return tuple(sorted(best.values(), key=lambda one: (one.distance, one.piece)))
