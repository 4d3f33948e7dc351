"""Icons of the weldment's menu: members, how they meet, and what is measured between them."""

from .iconshapes import Shape
from .pencil import NARROW, Pencil


def _member(p: Pencil) -> None:
    p.work(2, 8, 22, 8, 22, 16, 2, 16)
    p.square(2.5, 12, 2.5)
    p.square(21.5, 12, 2.5)


def _trim(p: Pencil) -> None:
    p.box(3, 3, 8, 21)
    p.line(8, 9, 14, 9)
    p.line(8, 15, 14, 15)
    p.line(14, 9, 22, 9, width=NARROW, dash=(2, 1.5))
    p.line(14, 15, 22, 15, width=NARROW, dash=(2, 1.5))
    p.head(10, 12, 180, 5)


def _mitre(p: Pencil) -> None:
    p.line(3, 3, 3, 21, 21, 21, 21, 14, 10, 14, 10, 3, closed=True)
    p.line(3, 21, 10, 14)


def _butt(p: Pencil) -> None:
    p.box(3, 3, 10, 21)
    p.box(10, 14, 21, 21)


def _cope(p: Pencil) -> None:
    p.ring(6.5, 12, 5)
    p.line(10, 7, 22, 7)
    p.line(10, 17, 22, 17)
    p.arc(6.5, 12, 8, -38, 76)


def _notch(p: Pencil) -> None:
    p.line(2, 6, 12, 6, 12, 13, 22, 13, 22, 19, 2, 19, closed=True)
    p.line(12, 6, 22, 6, 22, 13, width=NARROW, dash=(2, 1.5))


def _dimension(p: Pencil) -> None:
    p.line(3, 3, 3, 21)
    p.line(21, 3, 21, 21)
    p.line(8, 12, 16, 12, width=NARROW)
    p.head(4, 12, 180, 5)
    p.head(20, 12, 0, 5)


def _chain(p: Pencil) -> None:
    for y, x in ((6, 9), (12, 15), (18, 21)):
        p.line(3, y, x, y, width=NARROW)
        p.head(x, y, 0, 4.5)
    p.line(3, 2, 3, 22)


def _section(p: Pencil) -> None:
    p.box(4, 4, 20, 20)
    p.box(7.5, 7.5, 16.5, 16.5, NARROW)
    p.line(4, 12, 7, 12, width=NARROW)
    p.line(17, 12, 20, 12, width=NARROW)


SHAPES: dict[str, Shape] = {
    "member": _member,
    "trim": _trim,
    "mitre": _mitre,
    "butt": _butt,
    "cope": _cope,
    "notch": _notch,
    "dimension": _dimension,
    "chain": _chain,
    "section": _section,
}
