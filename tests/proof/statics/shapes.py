"""Contacts and bodies for the tests of statics."""

import math
import random
from collections.abc import Sequence

from gridjig.proof.statics.rows import BodyFrame, Floats, Push, frame_of
from gridjig.proof.statics.second import Bent
from gridjig.rack import Point

RECTANGLE: tuple[Point, ...] = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
UP, DOWN, RIGHT, LEFT = (0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)
PINS = (Push((50.0, 0.0), UP), Push((250.0, 0.0), UP), Push((0.0, 50.0), RIGHT))
"""Two pins under the rectangle and one at its left end."""
ROOT = math.sqrt(0.5)
CLAMP = Push((300.0, 200.0), (-ROOT, -ROOT))
PLAIN = BodyFrame((0.0, 0.0), 1.0)
"""Rows in mm about the origin."""
BLOCK = frame_of(RECTANGLE)
SIDE = 100.0
HEIGHT = SIDE * math.sqrt(3.0) / 2.0
TRIANGLE: tuple[Point, ...] = ((0.0, 0.0), (SIDE, 0.0), (SIDE / 2.0, HEIGHT))
SQUARE: tuple[Point, ...] = ((0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE))


def inward(a: Point, b: Point) -> Point:
    """The unit normal to the left of a -> b: into a counter-clockwise polygon."""
    long = math.dist(a, b)
    return ((a[1] - b[1]) / long, (b[0] - a[0]) / long)


def touching(
    ring: Sequence[Point], shares: Sequence[float], pin: float, out: float = 1.0
) -> list[Bent]:
    """Pins on the sides of a polygon, from outside it (1) or from inside (-1)."""
    found = []
    for k, share in enumerate(shares):
        a, b = ring[k], ring[(k + 1) % len(ring)]
        nx, ny = inward(a, b)
        at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        found.append(Bent(at, (out * nx, out * ny), pin))
    return found


def at_random(rng: random.Random, count: int) -> list[Push]:
    """Contacts anywhere in a square of 200 mm, in any direction."""
    found = []
    for _ in range(count):
        turn = rng.uniform(0.0, 2.0 * math.pi)
        at = (rng.uniform(-100.0, 100.0), rng.uniform(-100.0, 100.0))
        found.append(Push(at, (math.cos(turn), math.sin(turn))))
    return found


def rows_at_random(seed: int, count: int) -> Floats:
    """Rows of random contacts, scaled by 60 mm about the middle."""
    return BodyFrame((0.0, 0.0), 60.0).rows(at_random(random.Random(seed), count))
