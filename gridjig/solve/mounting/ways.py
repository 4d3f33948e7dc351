"""One way in which a piece can be pinned: the range of poses it leaves, in closed form."""

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from gridjig.geometry import Pose, unit
from gridjig.model import Hole, Seat
from gridjig.rack import Point

from .faults import MountFault
from .slot_pairs import linked_turn
from .track import Track, apart, tidy, turned_to

Freedom = Literal["pinned", "turns", "slides", "slides and turns"]


class Link(Struct, frozen=True):
    """A second pin that runs in another slot, so that the turn follows from the slide."""

    second: Track
    branch: int
    vx: float
    vy: float


class Way(Struct, frozen=True):
    """The range of poses that a set of seats leaves, and how exact they are.

    Turns are in degrees from `turn_low` to `turn_high`, which may exceed 180 (a full circle is
    -180..180).  Slides are in mm along the first pinned slot from its end a (of an arc, from its
    start), or 0 if no slot is pinned.  `play_mm` is the largest radial play at a pin; `play_deg` is
    how far play lets the piece turn to one side, 0 if the turn is free.  With "turns" the slide
    follows from the turn; with `link` the turn follows from the slide.
    """

    seats: tuple[Seat, ...]
    kind: Freedom
    turn_low: float
    turn_high: float
    slide_low: float
    slide_high: float
    play_mm: float
    play_deg: float
    flipped: bool
    anchor: Point
    track: Track
    slot: Track | None = None
    slot_at: Point = (0.0, 0.0)
    link: Link | None = None

    def nearest(self, turn: float, slide: float) -> tuple[float, float]:
        """The turn (-180 < t <= 180) and slide of this way nearest to those wanted."""
        at = min(max(slide, self.slide_low), self.slide_high)
        if self.link is not None:
            k = self.link
            return (linked_turn(self.track, k.second, k.branch, at, k.vx, k.vy), at)
        if self.turn_low == self.turn_high:
            return (self.turn_low, at)
        now = tidy(turned_to(turn, self.turn_low, self.turn_high))
        if self.slot is not None and self.track.kind == "point":
            at = self.slot.nearest(*_back(self.attained(now, 0.0), self.slot_at))
        return (now, at)

    def pose(self, turn: float, slide: float) -> Pose:
        """The pose of the base body at the nearest turn and slide."""
        return self.attained(*self.nearest(turn, slide))

    def off(self, turn: float, slide: float) -> tuple[float, float]:
        """How far the nearest turn (degrees) and slide (mm) are from the ones wanted."""
        now, at = self.nearest(turn, slide)
        return (apart(now, turn), abs(at - slide) if self.track.kind != "point" else 0.0)

    @property
    def slides(self) -> bool:
        """True if the slide can be chosen: neither the pins nor the turn fix it."""
        return self.slide_low < self.slide_high and self.track.kind != "point"

    def turn_to(self, turn: float, slide: float) -> tuple[float, float]:
        """Like `nearest`, but if turn and slide depend on each other, the turn takes precedence."""
        if self.link is None:
            return self.nearest(turn, slide)
        low, high = self.slide_low, self.slide_high
        at = least(lambda t: apart(self.nearest(0.0, t)[0], turn), low, high, 64)
        return self.nearest(turn, at)

    def attained(self, turn: float, slide: float) -> Pose:
        """The pose at a turn and slide that `nearest` returned."""
        c, s = unit(turn)
        px, py = self.track.at(slide)
        x = self.anchor[0] - (c * px - s * py) + 0.0
        return Pose(x, self.anchor[1] - (s * px + c * py) + 0.0, turn, self.flipped)


def least(f: Callable[[float], float], low: float, high: float, parts: int) -> float:
    """Where f is least in low..high: sampled in equal parts, then by golden section to 1e-10."""
    step = (high - low) / parts
    best = min((low + step * k for k in range(parts + 1)), key=f)
    a, b = max(low, best - step), min(high, best + step)
    ratio = 0.6180339887498949
    while b - a > 1e-10 * max(1.0, abs(b)):
        m, n = b - ratio * (b - a), a + ratio * (b - a)
        if f(m) <= f(n):
            b = n
        else:
            a = m
    return min((best, (a + b) / 2.0), key=f)


def _back(pose: Pose, p: Point) -> Point:
    """A table point in the body's frame, mirrored as tracks are."""
    c, s = unit(pose.turn)
    dx, dy = p[0] - pose.x, p[1] - pose.y
    return (c * dx + s * dy, -s * dx + c * dy)


class Mounting(Struct, frozen=True):
    """All ways of one set of seats; if there are none, `why` is the reason."""

    ways: tuple[Way, ...]
    why: MountFault | None = None

    def nearest(self, turn: float, slide: float) -> Way | None:
        """The way with the pose nearest to the wanted turn, then to the wanted slide."""
        if len(self.ways) < 2:
            return self.ways[0] if self.ways else None
        return min(self.ways, key=lambda way: _rounded(way.off(turn, slide)))


def _rounded(off: tuple[float, float]) -> tuple[float, float]:
    return (round(off[0], 7), round(off[1], 7))


class LeafWay(Struct, frozen=True):
    """Angles of an arm's second body from its base, degrees: a range, or one locked by `hole`.

    `play_deg` is how far play lets it turn to one side; if set by scale, the scale's accuracy.
    """

    low: float
    high: float
    hole: Hole | None
    play_deg: float


class LeafMounting(Struct, frozen=True):
    """All ways to hold an arm's second body; if there are none, `why` is the reason."""

    ways: tuple[LeafWay, ...]
    why: MountFault | None = None

    def nearest(self, leaf: float) -> tuple[LeafWay, float] | None:
        """The way and angle nearest to the wanted leaf angle; a scale does not wrap round."""
        if not self.ways:
            return None
        reached = [(way, min(max(leaf, way.low), way.high)) for way in self.ways]
        return min(reached, key=lambda r: round(abs(r[1] - leaf), 7))
