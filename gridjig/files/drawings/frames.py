"""Frames drawn in one: bars whose edges are partly sides of closed loops.

A frame of tube is often drawn as its outside and its inside, or with lines that meet in its
corners, so that the joined lines close round nothing but the space between its members.  Works on
points in drawing units.  Whether a bar is as wide as a section is for `member` to say.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

import shapely
from msgspec import Struct

from gridjig.rack import Point
from gridjig.units.progress import look, looked_at

from .line_bars import MOST_LINES, MOST_ON_LAYER, LineBar, by_direction, corners_of, pairs
from .rings import Ring

MOST_CORNERS = 64
"""The most corners of a loop that may be the space between members; more is no frame."""
_ROUNDS = 20
"""How often loops are looked at again when the bars of one that stays fall away: each round takes
as long as the first, and drawings need two."""


class FrameBars(Struct, frozen=True):
    """The members of a frame, and what they leave of a layer.

    `bars` are those of the section; `between` are the loops that are only the edges of members.
    """

    bars: tuple[LineBar, ...]
    between: frozenset[Ring] = frozenset()


def side_bars(
    rings: Sequence[Ring], paths: Sequence[Sequence[Point]], reach: float
) -> tuple[LineBar, ...]:
    """Return the bars between the sides of different rings, or a side of a ring and an open line.

    None where a layer has more straight lines than `line_bars` looks at.
    """
    lines: list[tuple[int, list[Point]]] = []
    for k, path in enumerate(paths):
        corners = corners_of(path, reach)
        if len(corners) == 2:
            lines.append((k, corners))
    owner: dict[int, Ring] = {}
    for ring in looked_at(rings, 100):
        for side in _sides(ring, reach):
            number = len(paths) + len(owner)
            owner[number] = ring
            lines.append((number, list(side)))
    made: list[LineBar] = []
    if not owner or len(lines) > MOST_ON_LAYER:
        return ()
    for some in by_direction(lines):
        look()
        if len(some) > MOST_LINES:
            continue
        for bar in pairs(some, reach):
            whose = [owner[k] for k in bar.paths if k in owner]
            if whose and len(set(whose)) == len(whose):
                open_paths = tuple(k for k in bar.paths if k not in owner)
                made.append(LineBar(bar.ring, open_paths, tuple(whose)))
    return tuple(made)


def frame_bars(
    rings: Sequence[Ring],
    loops: frozenset[Ring],
    line_bars: Sequence[LineBar],
    sided: Sequence[LineBar],
    fits: Callable[[Ring], bool],
    reach: float,
) -> FrameBars:
    """Return the bars that fit a section, and the loops between them.

    `loops` are the rings that were joined from loose lines.  A loop is the space between members if
    each of its sides lies on their edges; a ring that was drawn as one, only if each of its sides
    is itself an edge of one of the bars.
    """
    plain = [bar for bar in looked_at(line_bars, 50) if fits(bar.ring)]
    bars = [bar for bar in looked_at(sided, 50) if fits(bar.ring)]
    own = [ring for ring in looked_at(rings, 50) if fits(ring)]
    between = {ring for bar in bars for ring in bar.rings} | loops
    between = {ring for ring in between - set(own) if len(ring) <= MOST_CORNERS}
    bars = [bar for bar in bars if between.issuperset(bar.rings)]
    for _ in range(_ROUNDS if between else 0):
        used = {k for bar in bars for k in bar.paths}
        kept = [bar for bar in plain if used.isdisjoint(bar.paths)]
        every = _edges([*own, *(bar.ring for bar in (*kept, *bars))])
        stay = set()
        for ring in looked_at(between, 5):
            edges = every
            if ring not in loops:
                edges = _edges(bar.ring for bar in bars if ring in bar.rings)
            if not _covered(ring, edges, reach):
                stay.add(ring)
        if not stay:
            return FrameBars((*kept, *bars), frozenset(between))
        between -= stay
        bars = [bar for bar in bars if between.issuperset(bar.rings)]
        if not between:
            break
    return FrameBars(tuple(plain))


def _sides(ring: Sequence[Point], reach: float) -> list[tuple[Point, Point]]:
    """The straight sides of a ring; none of one with too many corners to be a frame's."""
    start = max(range(len(ring)), key=lambda k: ring[k])  # a corner, not a point on a side
    turned = (*ring[start:], *ring[: start + 1])
    corners = corners_of(turned, reach)
    if not 4 < len(corners) <= MOST_CORNERS + 1:
        return []
    return list(pairwise(corners))


def _edges(rings: Iterable[Ring]) -> shapely.STRtree:
    sides = [pair for ring in rings for pair in zip(ring, (*ring[1:], ring[0]), strict=True)]
    return shapely.STRtree([shapely.LineString(side) for side in sides])


def _covered(ring: Ring, edges: shapely.STRtree, reach: float) -> bool:
    """True if each side of a ring lies on the edges, end to end."""
    sides = _sides(ring, reach)
    for side in sides:
        line = shapely.LineString(side)
        near = edges.geometries[edges.query(line, predicate="dwithin", distance=reach)]
        bare = line
        for edge in near:
            bare = bare.difference(edge.buffer(2.0 * reach, quad_segs=1, cap_style="square"))
        if bare.length > 4.0 * reach:
            return False
    return bool(sides)
