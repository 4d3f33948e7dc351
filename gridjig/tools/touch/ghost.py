"""How a piece can stand at a hole: every pose, set to touch where it can, best first.

The best touches the face nearest to the pointer, of two at a corner the one not yet held; then
comes the one with the fewest pieces of packing, then the one nearest to the turn wished for.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache

from msgspec import Struct, structs

from gridjig.checks.conflicts import obstacle
from gridjig.contact.values import TOUCH
from gridjig.geometry import wrap
from gridjig.model import Hole, Job, Part, Placement, Table
from gridjig.rack import MountFeature, Piece, Point
from gridjig.rack.same import Same
from gridjig.solve.mounting.fit import radial_play
from gridjig.solve.mounting.track import apart, turned_to
from gridjig.solve.packing.pack import pack_down
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.poses.attainable import AttainablePose
from gridjig.solve.poses.choose import pose_stops, room_rank, settled
from gridjig.solve.poses.hole_poses import HolePose, hole_poses

from .between import held_last
from .chances import Chance, chances, reach_of
from .faces import FacesAlike, UprightFace, faces_alike, upright_faces
from .free import barred, clear_of, disc, free_values, room_about
from .ground import Ground
from .tries import Try, tries
from .wish import Wish
from .witness import covered, witnesses

FEW = 8
"""The most poses that are tried one by one."""


class AtHole(Struct, frozen=True, dict=True, eq=False):
    """A piece about to be put in a hole, with the pointer at a point of the table, mm."""

    ground: Ground
    piece: Piece
    hole: Hole
    pointer: Point
    wish: Wish
    new_id: str

    # -- poses and faces -----------------------------------------------------------------------

    @cached_property
    def poses(self) -> tuple[HolePose, ...]:
        """Every pose that the hole allows, the usual feature first; taken holes are left out."""
        job = self.ground.job
        taken = holes_besides(self.ground.placed_pieces, *self.ground.without)
        return hole_poses(job.table, job.rack, self.piece, self.hole, self.wish.flipped, taken)

    def _is_barred(self, pose: AttainablePose) -> bool:
        """True if no value that the pins leave free can clear a pose."""
        known = self._barred.get(id(pose))
        if known is None:
            here = self.ground.stood(self._plain(pose, self.wish.turn))
            moved = free_values(here)
            known = here.fault is not None or barred(self.ground, here, moved) is not None
            self._barred[id(pose)] = known
        return known

    def _is_hopeless(self, one: HolePose) -> bool:
        """True if it cannot stand: no room about the hole, and no free value clears it."""
        return (
            self._hub_barred(one.feature)
            or id(one.pose) in self._covering
            or self._is_barred(one.pose)
        )

    @cached_property
    def _barred(self) -> dict[int, bool]:
        return {}

    @cached_property
    def _covering(self) -> set[int]:
        """The ids of the poses, fixed by their pins, that surely lie in what stands here."""
        job, every = self.ground.job, [one.pose for one in self.poses]
        if len(every) <= FEW:
            return set()
        seen = witnesses(self.ground, self._at, reach_of(self.piece))
        pin = job.rack.pin_diameter(self.piece)
        play = max(radial_play(job.table, None, m, pin) for m in self.piece.mounts)
        hit = covered(job.table, self.piece, every, seen, play)
        return {id(pose) for pose, is_hit in zip(every, hit, strict=True) if is_hit}

    def _hub_barred(self, feature: MountFeature) -> bool:
        """True if the body about a feature cannot stand over the hole, however it is turned."""
        known = self._hubs.get(feature.id)
        if known is None:
            known = self._hubs[feature.id] = self._hub_clashes(feature)
        return known

    @cached_property
    def _hubs(self) -> dict[str, bool]:
        return {}

    def _hub_clashes(self, feature: MountFeature) -> bool:
        one = next(p for p in self.poses if p.feature.id == feature.id)
        here = self.ground.stood(self._plain(one.pose, self.wish.turn))
        solids = tuple(
            disc(self._at, radius, there)
            for there, solid in zip(here.solids, self.piece.solids, strict=False)
            if solid.body == 0 and (radius := room_about(solid, feature)) > 0.0
        )
        return (
            obstacle(
                self.ground.job,
                self.ground.placed_pieces,
                structs.replace(here, solids=solids),
                self.ground.without,
            )
            is not None
        )

    @cached_property
    def faces(self) -> list[UprightFace]:
        """The faces that the piece may reach, nearest to the pointer first."""
        ground = self.ground
        return faces_about(ground.job, ground.placed_pieces, self.piece, self.hole, self.pointer)

    @cached_property
    def _below_work(self) -> bool:
        """True if the hole seems to lie below a part; then barred poses are ruled out first."""
        front: dict[str, float] = {}
        for face in self.faces:
            front[face.part] = max(front.get(face.part, -math.inf), face.gap(self._at))
        return any(gap < 0.0 for gap in front.values())

    @cached_property
    def _faces_alike(self) -> list[FacesAlike]:
        return faces_alike(self.faces)

    @cached_property
    def _place(self) -> dict[int, int]:
        return {id(face): k for k, face in enumerate(self.faces)}

    @cached_property
    def _at(self) -> Point:
        return self.ground.job.table.at(self.hole)

    def _blank(self, pose: AttainablePose) -> Placement:
        tip, pivot = self.piece.tip, self.piece.pivot
        return Placement(
            id=self.new_id,
            piece=self.piece.id,
            seats=pose.seats,
            flipped=pose.flipped,
            leaf=min(max(90.0, pivot.low), pivot.high) if pivot else 0.0,
            reach=(tip.reach_min + tip.reach_max) / 2.0 if tip else 0.0,
        )

    def _plain(self, pose: AttainablePose, turn: float) -> Placement:
        """A pose without a face: turned as wished, slid half-way."""
        job = self.ground.job
        middle = (pose.slide_low + pose.slide_high) / 2.0
        return settled(job.table, job.rack, self._blank(pose), pose, turn, middle)

    # -- the best ------------------------------------------------------------------------------

    def best(self) -> Try | None:
        """What a click places; with `why` if nothing can stand.  None if there is no pose."""
        refused: list[Try] = []
        tried: list[Try] = []
        for expected, one, chance in self._chances():
            if any(self._rank(found) <= expected for found in tried):
                break
            if (refused or self._below_work) and self._is_hopeless(one):
                continue
            for found in self._at_face(chance):
                (refused if found.why else tried).append(found)
        if tried:
            return min(tried, key=self._rank)
        missed = min(refused, key=self._rank, default=None)
        held = self._as_held()
        for one in held:
            if refused and (self._hub_barred(one.feature) or id(one.pose) in self._covering):
                continue  # one reason is enough; no slide or turn changes it
            free = self._judged(self._plain(one.pose, self.wish.turn), refused)
            if free is not None:
                return free._replace(missed=missed)
        for one in held:
            if not self._hub_barred(one.feature) and id(one.pose) not in self._covering:
                clear = clear_of(self.ground, self._plain(one.pose, self.wish.turn))
                if clear is not None:
                    return Try(clear, missed=missed)
        return min(refused, key=self._rank, default=None)

    def _judged(self, placement: Placement, refused: list[Try]) -> Try | None:
        stop = self.ground.in_the_way(placement)
        if stop is None:
            return Try(placement)
        refused.append(Try(placement, why=stop.why))
        return None

    def _rank(self, one: Try) -> tuple[float, ...]:
        off = apart(one.placement.turn, self.wish.turn) if self.wish.exact else 0.0
        return (round(off, 3), *one.rank)

    def _chances(self) -> list[tuple[tuple[float, ...], HolePose, Chance]]:
        """What may touch, with the rank it has if it does, best first."""
        if not self.wish.touching:
            return []
        found = []
        for one in self.poses:
            table, most = self.ground.job.table, self.ground.most
            for chance in chances(table, self.piece, one.pose, self._faces_alike, most):
                held = room_rank(self.ground.job.table, one.pose, self.wish.turn)
                found.append((self._expected(chance), one.order, held, one, chance))
        found.sort(key=lambda f: f[:3])
        return [(expected, one, chance) for expected, _, _, one, chance in found]

    def _expected(self, chance: Chance) -> tuple[float, ...]:
        """The rank of a chance by the gap it leaves: never worse than its final rank."""
        off = apart(chance.turn, self.wish.turn) if self.wish.exact else 0.0
        near = self._place[id(chance.face)]
        count, away = 0, False
        if chance.gap > TOUCH:
            pack = pack_down(self.ground.job.rack, chance.gap, self.ground.used)
            away = not (self.piece.takes_packing and pack.pieces)
            count = 0 if away or chance.pose.slide_low < chance.pose.slide_high else pack.count
        return (round(off, 3), away, near, False, count, 0)

    def _at_face(self, chance: Chance) -> list[Try]:
        start = structs.replace(self._blank(chance.pose), turn=chance.turn)
        tip = self.piece.tip
        if tip is not None and tip.push == "down":
            start = structs.replace(start, turn=self._pointed(chance))
        near = self._place[id(chance.face)]
        return tries(self.ground, start, chance.face, near, self.ground.most)

    def _pointed(self, chance: Chance) -> float:
        """The turn that points a clamp's bar square across the face, over the part."""
        assert self.piece.tip is not None
        nx, ny = chance.face.normal
        sign = -1.0 if self.wish.flipped else 1.0
        turn = math.degrees(math.atan2(-ny, -nx)) - sign * self.piece.tip.direction
        return wrap(turned_to(turn, chance.pose.low, chance.pose.high))

    # -- all of them ---------------------------------------------------------------------------

    def every(self) -> tuple[Try, ...]:
        """Every way in which the piece can stand here: those that touch, then all round."""
        at_faces: list[Try] = []
        for _, pose, chance in self._chances():
            if self._is_hopeless(pose):
                continue
            at_faces += [t for t in self._at_face(chance) if not t.why]
        loose = structs.replace(self.wish, exact=False)
        ranked = structs.replace(self, wish=loose)
        at_faces.sort(key=ranked._rank)
        taken = {_way_round(t.placement) for t in at_faces}
        rest: list[Try] = []
        for placement in self._round_about():
            clear = self._standing(placement)
            if clear is not None and _way_round(clear) not in taken:
                taken.add(_way_round(clear))
                rest.append(Try(clear))
        return (*_single(at_faces), *rest)

    def _standing(self, placement: Placement) -> Placement | None:
        if self.ground.in_the_way(placement) is None:
            return placement
        return clear_of(self.ground, placement, turning=False)

    def _as_held(self) -> list[HolePose]:
        """The poses, sorted by how near they come to the turn wished for."""
        table, turn = self.ground.job.table, self.wish.turn
        return sorted(
            self.poses,
            key=lambda p: ((r := room_rank(table, p.pose, turn))[0], p.order, r),
        )

    def _round_about(self) -> Iterator[Placement]:
        """Each pose at each turn that the key steps through, counter-clockwise, by feature."""
        table = self.ground.job.table
        stops = [
            (one.order, round(turn % 360.0, 3), room_rank(table, one.pose, turn), k, turn)
            for k, one in enumerate(self.poses)
            if not self._hub_barred(one.feature)
            for turn in pose_stops(one.pose)
        ]
        for *_, k, turn in sorted(stops):
            yield self._plain(self.poses[k].pose, turn)


def faces_about(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    piece: Piece,
    hole: Hole,
    pointer: Point,
) -> list[UprightFace]:
    """Return the faces that a piece in a hole may reach, with at most a pitch of packing.

    The nearest to the pointer comes first; between two, the one that no piece holds yet.
    """
    found = list(_faces_about(Same(job.parts), Same(job.table), Same(piece), hole, pointer))
    if piece.tip is not None and piece.tip.push != "along":
        return found  # it presses from above, whatever holds the sides
    return held_last(job, placed_pieces, found, pointer)


@lru_cache(maxsize=8)
def _faces_about(
    parts: Same[tuple[Part, ...]], table: Same[Table], piece: Same[Piece], hole: Hole, at: Point
) -> tuple[UprightFace, ...]:
    grid = table.value
    reach = reach_of(piece.value) + max(grid.pitch_x, grid.pitch_y)
    near = upright_faces(parts.value).near(grid.at(hole), reach)
    ranked = sorted(
        (round(f.distance(at), 6), -f.gap(at), f.part, f.side, k) for k, f in enumerate(near)
    )
    found = tuple(near[k] for *_, k in ranked)
    tip = piece.value.tip
    if tip is None or tip.push == "along":
        return found
    of_part: dict[str, UprightFace] = {}
    for face in found:  # a clamp presses parts down: each part counts once
        of_part.setdefault(face.part, face)
    return tuple(of_part.values())


def _way_round(placement: Placement) -> tuple[object, ...]:
    return (frozenset(placement.seats), round(placement.turn, 3) % 360.0)


def _key(placement: Placement) -> tuple[object, ...]:
    return (
        *_way_round(placement),
        *(round(v, 3) for v in (placement.slide, placement.leaf, placement.reach)),
        placement.packing,
    )


def _single(found: Iterable[Try]) -> Iterator[Try]:
    seen: set[tuple[object, ...]] = set()
    for one in found:
        key = _key(one.placement)
        if key not in seen:
            seen.add(key)
            yield one
