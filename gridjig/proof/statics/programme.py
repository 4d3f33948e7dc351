"""What a linear programme comes to: greatest c.x with A x = b and x >= 0."""

from typing import NamedTuple

from .rows import Floats


class Optimum(NamedTuple):
    """The answer: x >= 0 of the greatest c.x with A x = b, and the dual values of the rows."""

    value: float
    x: Floats
    dual: Floats


class NoSolution(NamedTuple):
    """There is no x >= 0 with A x = b: `proof` is a y with A^T y >= 0 and b.y < 0."""

    proof: Floats


class Unbounded(NamedTuple):
    """c.x grows without limit along x + t `ray`."""

    x: Floats
    ray: Floats


Solved = Optimum | NoSolution | Unbounded
