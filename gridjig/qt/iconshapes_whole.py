"""Icons for the weldment as a whole: ready ones, cut list, joints, datum, place, way up."""

from .iconshapes import Shape
from .pencil import NARROW, Pencil


def _starter(p: Pencil) -> None:
    p.box(3, 6, 17, 20)
    p.box(6.5, 9.5, 13.5, 16.5, NARROW)
    p.line(20, 1, 20, 9)
    p.line(16, 5, 24, 5)


def _cuts(p: Pencil) -> None:
    p.work(2, 4, 15, 4, 22, 11, 2, 11)
    p.line(3, 16, 21, 16, width=NARROW)
    p.line(3, 20, 15, 20, width=NARROW)


def _joints(p: Pencil) -> None:
    p.line(3, 3, 3, 21, 21, 21)
    p.line(12, 3, 12, 12, 21, 12)
    for x in (5, 8, 11):
        p.line(x - 0.7, 14.5, x - 0.7, 18.5, width=NARROW)
    p.line(3, 16.5, 12, 16.5, width=NARROW)


def _datum(p: Pencil) -> None:
    p.line(3, 3, 3, 21, 21, 21)
    p.fill(9, 20, 15, 20, 12, 14.5)
    p.box(9, 6.5, 15, 12.5)
    p.line(12, 12, 12, 16, width=NARROW)


def _where(p: Pencil) -> None:
    p.line(2, 2, 14, 2, 14, 14, 2, 14, closed=True, width=NARROW, dash=(3, 2))
    p.box(9, 9, 22, 22)
    p.dot(15.5, 15.5, 2.6)
    p.line(5, 5, 11, 11, width=NARROW)


def _way_up(p: Pencil) -> None:
    p.line(2, 20, 22, 20)
    p.box(4, 14, 20, 20)
    p.fill(15, 10, 20, 10, 20, 14, 15, 14)
    p.arc(11, 10, 6.5, 35, 130, NARROW)
    p.head(4.6, 8.6, 240, 5)


SHAPES: dict[str, Shape] = {
    "starter": _starter,
    "cuts": _cuts,
    "joints": _joints,
    "datum": _datum,
    "where": _where,
    "way-up": _way_up,
}
