"""Loose lines and arcs joined end to end, into closed outlines where they close.

Works on points in drawing units.  Knows no file and no layer.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

import shapely
from msgspec import Struct

from gridjig.rack import Point

OpenPath = list[Point]
ProgressCall = Callable[[int], None]
"""Called with the number of further steps done; it may raise to stop the work."""
T = TypeVar("T")
_CHUNK = 1000


class Joined(Struct, frozen=True):
    """`rings` are closed (the first point is not repeated), `paths` stay open.

    `used` is how many of the loose paths became part of a ring.
    """

    rings: tuple[OpenPath, ...]
    paths: tuple[OpenPath, ...]
    used: int


def counted(things: Sequence[T], tick: ProgressCall) -> Iterator[T]:
    """Yield the things one by one, reporting from time to time."""
    for start in range(0, len(things), _CHUNK):
        tick(_CHUNK)
        yield from things[start : start + _CHUNK]


def join(paths: list[OpenPath], reach: float, tick: ProgressCall) -> Joined:
    """Join paths whose ends are at most `reach` apart.

    Where exactly two ends meet, they are joined.  Where more meet, the closed faces between the
    paths are taken.
    """
    nodes = _Nodes(reach)
    ends = [(nodes.of(path[0]), nodes.of(path[-1])) for path in counted(paths, tick)]
    at: dict[int, list[int]] = defaultdict(list)
    for index, (a, b) in enumerate(ends):
        at[a].append(index)
        at[b].append(index)
    rings: list[OpenPath] = []
    rest: list[tuple[int, int, OpenPath, int]] = []
    used = 0
    seen = [False] * len(paths)
    for index in range(len(paths)):
        if index % _CHUNK == 0:
            tick(_CHUNK)
        if not seen[index]:
            a, b, path, count = _chain(index, paths, ends, at, seen)
            if a == b and len(path) > 3:
                rings.append(path[:-1])
                used += count
            else:
                rest.append((a, b, path, count))
    faces, open_paths, in_faces = _faces(rest, nodes)
    return Joined((*rings, *faces), open_paths, used + in_faces)


class _Nodes:
    """Gives ends within reach of each other the same number."""

    def __init__(self, reach: float) -> None:
        self._reach = reach
        self._cells: dict[tuple[int, int], list[int]] = defaultdict(list)
        self.places: list[Point] = []
        self._exact: dict[Point, int] = {}

    def of(self, p: Point) -> int:
        """Return the node number of an end."""
        known = self._exact.get(p)
        if known is None:
            known = self._exact[p] = self._near(p)
        return known

    def _near(self, p: Point) -> int:
        cx, cy = math.floor(p[0] / self._reach), math.floor(p[1] / self._reach)
        best, least = -1, self._reach
        for x in (cx - 1, cx, cx + 1):
            for y in (cy - 1, cy, cy + 1):
                for node in self._cells.get((x, y), ()):
                    away = math.dist(p, self.places[node])
                    if away <= least:
                        best, least = node, away
        if best < 0:
            best = len(self.places)
            self.places.append(p)
            self._cells[cx, cy].append(best)
        return best


def _chain(
    first: int,
    paths: list[OpenPath],
    ends: list[tuple[int, int]],
    at: dict[int, list[int]],
    seen: list[bool],
) -> tuple[int, int, OpenPath, int]:
    """The longest chain through a path along nodes where exactly two ends meet: its end nodes, its
    points, and how many paths it has.
    """
    seen[first] = True
    start, end = ends[first]
    made, count = list(paths[first]), 1
    for _ in range(2):
        while start != end and len(at[end]) == 2:
            onward = next(k for k in at[end] if not seen[k])
            seen[onward] = True
            count += 1
            a, b = ends[onward]
            more = paths[onward] if a == end else paths[onward][::-1]
            made += more[1:]
            end = b if a == end else a
        made.reverse()
        start, end = end, start
    return start, end, made, count


def _faces(
    chains: list[tuple[int, int, OpenPath, int]], nodes: _Nodes
) -> tuple[list[OpenPath], tuple[OpenPath, ...], int]:
    """The closed faces between chains that meet in threes or more, what stays open, and how many
    paths bound the faces.
    """
    degree: dict[int, int] = defaultdict(int)
    for a, b, _, _ in chains:
        degree[a] += 1
        degree[b] += 1
    meeting = [c for c in chains if c[0] != c[1] and degree[c[0]] > 1 and degree[c[1]] > 1]
    if not meeting:
        return [], tuple(path for _, _, path, _ in chains), 0
    lines = [
        shapely.LineString([nodes.places[a], *path[1:-1], nodes.places[b]])
        for a, b, path, _ in meeting
    ]
    found = shapely.polygonize(lines)
    faces = [face for face in found.geoms if isinstance(face, shapely.Polygon)]
    rings = [[(x, y) for x, y in face.exterior.coords[:-1]] for face in faces]
    edges = {
        frozenset(side) for ring in rings for side in zip(ring, [*ring[1:], ring[0]], strict=True)
    }
    bounding = [frozenset((line.coords[0], line.coords[1])) in edges for line in lines]
    taken = {id(chain) for chain, bounds in zip(meeting, bounding, strict=True) if bounds}
    rest = tuple(chain[2] for chain in chains if id(chain) not in taken)
    return rings, rest, sum(chain[3] for chain in meeting if id(chain) in taken)
