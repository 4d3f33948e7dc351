"""What each icon looks like: one small function of strokes for each, in the order of the menus."""

import math
from collections.abc import Callable

from .pencil import NARROW, Pencil

Shape = Callable[[Pencil], None]


# -- files -----------------------------------------------------------------------------------------


def _new(p: Pencil) -> None:
    p.sheet()
    p.line(12, 10.5, 12, 18.5)
    p.line(8, 14.5, 16, 14.5)


def _open(p: Pencil) -> None:
    p.line(3, 9, 3, 20, 21, 20, 21, 9)
    p.arrow(12, 16, 12, 3)


def _save(p: Pencil) -> None:
    p.line(3, 13, 3, 20, 21, 20, 21, 13)
    p.arrow(12, 3, 12, 16)


def _close(p: Pencil) -> None:
    p.box(4, 4, 20, 20)
    p.line(8.5, 8.5, 15.5, 15.5)
    p.line(8.5, 15.5, 15.5, 8.5)


# -- edit ------------------------------------------------------------------------------------------


def _undo(p: Pencil) -> None:
    p.line(8, 8, 15, 8)
    p.arc(15, 13, 5, 270, 180)
    p.line(6, 18, 15, 18)
    p.head(3, 8, 180, 6)


def _redo(p: Pencil) -> None:
    p.line(16, 8, 9, 8)
    p.arc(9, 13, 5, 90, 180)
    p.line(9, 18, 18, 18)
    p.head(21, 8, 0, 6)


def _copy(p: Pencil) -> None:
    p.line(8, 16, 4, 16, 4, 4, 16, 4, 16, 8)
    p.box(8, 8, 20, 20)


def _paste(p: Pencil) -> None:
    p.line(8, 5, 5, 5, 5, 21, 19, 21, 19, 5, 16, 5)
    p.fill(8, 3, 16, 3, 16, 8, 8, 8)
    p.line(8.5, 12.5, 15.5, 12.5, width=NARROW)
    p.line(8.5, 16.5, 15.5, 16.5, width=NARROW)


def _delete(p: Pencil) -> None:
    p.line(4, 4, 20, 4, 20, 20, 4, 20, closed=True, width=NARROW, dash=(3, 2))
    p.line(7, 12, 17, 12)


def _rename(p: Pencil) -> None:
    p.line(3, 19, 8.5, 5, 14, 19)
    p.line(5, 14, 12, 14)
    p.line(18, 4, 18, 20)
    p.line(15.5, 4, 20.5, 4, width=NARROW)
    p.line(15.5, 20, 20.5, 20, width=NARROW)


# -- tools -----------------------------------------------------------------------------------------


def _select(p: Pencil) -> None:
    p.fill(6, 3, 18.5, 14, 12.5, 14.4, 15.6, 20.6, 12.8, 22, 9.8, 15.8, 6, 19.5)


def _pan(p: Pencil) -> None:
    p.line(12, 6, 12, 18)
    p.line(6, 12, 18, 12)
    for x, y, turn in ((12, 2, 90), (12, 22, 270), (2, 12, 180), (22, 12, 0)):
        p.head(x, y, turn, 5)


def _place(p: Pencil) -> None:
    p.box(3, 9, 15, 21)
    p.dot(9, 15, 2.8)
    p.line(19, 2, 19, 10)
    p.line(15, 6, 23, 6)


def _outline(p: Pencil) -> None:
    p.work(4, 6, 20, 6, 20, 18, 4, 18)
    p.square(4, 18, 2.5)
    p.square(20, 6, 2.5)


def _polygon(p: Pencil) -> None:
    p.work(3, 20, 3, 9, 12, 4, 21, 9, 15, 12, 15, 20)
    p.square(12, 4, 2.2)


def _holes(p: Pencil) -> None:
    for x in (5, 12, 19):
        for y in (5, 12, 19):
            if (x, y) == (12, 12):
                p.dot(x, y, 3)
            else:
                p.ring(x, y, 2.3, NARROW)


def _turn(p: Pencil) -> None:
    p.box(8, 8, 16, 16)
    p.arc(12, 12, 9.5, 30, 285, NARROW)
    c, s = math.cos(math.radians(-45)), math.sin(math.radians(-45))
    p.head(12 + 9.5 * c + 1.4, 12 - 9.5 * s - 1.4, 45, 5.5)


def _flip(p: Pencil) -> None:
    p.line(12, 2, 12, 22, width=NARROW, dash=(4, 1.5))
    p.fill(9.5, 6, 9.5, 18, 2, 18)
    p.line(15, 7.5, 15, 17, 20.5, 17, closed=True, width=NARROW)


# -- pieces ----------------------------------------------------------------------------------------


def _pin(p: Pencil) -> None:
    p.ring(12, 12, 8)
    p.dot(12, 12, 4)


def _stop(p: Pencil) -> None:
    p.box(8, 5, 19, 19)
    p.fill(3.5, 4, 7, 4, 7, 20, 3.5, 20)
    p.ring(13.5, 12, 2.6, NARROW)


def _stop_adjustable(p: Pencil) -> None:
    p.box(3, 7, 21, 17)
    p.line(7, 12, 17, 12, width=NARROW)
    p.head(5.5, 12, 180, 4.5)
    p.head(18.5, 12, 0, 4.5)


def _square(p: Pencil) -> None:
    p.line(4, 3, 10, 3, 10, 14, 21, 14, 21, 20, 4, 20, closed=True)
    p.dot(7, 17, 1.8)


def _bevel(p: Pencil) -> None:
    p.line(3, 19, 3, 14, 20, 4, 20, 19, closed=True)
    p.line(2.4, 13, 20, 2.8, width=NARROW)
    p.dot(15.5, 14.5, 1.8)


def _arm(p: Pencil) -> None:
    p.line(5, 19, 19, 5, width=3.0)
    p.ring(5.5, 18.5, 2.8)
    p.arc(5.5, 18.5, 15, -4, 34, NARROW)
    p.head(18.6, 11, 118, 4.5)


def _v_block(p: Pencil) -> None:
    p.line(3, 20, 3, 5, 6, 5, 12, 12.5, 18, 5, 21, 5, 21, 20, closed=True)
    p.ring(12, 5.5, 3.2, NARROW)


def _clamp(p: Pencil) -> None:
    p.box(13, 7, 21, 17)
    p.line(13, 12, 10, 12, width=3.0)
    p.fill(2, 12, 11, 7.5, 11, 16.5)
    p.ring(17, 12, 2, NARROW)


def _riser(p: Pencil) -> None:
    p.ring(12, 12, 9)
    p.line(7.5, 9, 16.5, 9, width=NARROW)
    p.line(6.5, 12, 17.5, 12, width=NARROW)
    p.line(7.5, 15, 16.5, 15, width=NARROW)


def _shim(p: Pencil) -> None:
    for y in (5, 10, 15):
        p.box(3, y, 21, y + 2, NARROW)
    p.fill(3, 19, 21, 19, 21, 21.5, 3, 21.5)


# -- view ------------------------------------------------------------------------------------------


def _corners(p: Pencil) -> None:
    for x, y, dx, dy in ((3, 3, 5, 5), (21, 3, -5, 5), (21, 21, -5, -5), (3, 21, 5, -5)):
        p.line(x + dx, y, x, y, x, y + dy)


def _fit(p: Pencil) -> None:
    _corners(p)
    p.box(7, 8, 17, 16, NARROW)
    p.dot(12, 12, 1.5)


def _fit_selection(p: Pencil) -> None:
    _corners(p)
    p.square(12, 12, 4.5)


def _actual(p: Pencil) -> None:
    p.line(4, 8, 7, 5, 7, 19)
    p.line(15, 8, 18, 5, 18, 19)
    p.square(11.5, 9.5, 1.4)
    p.square(11.5, 15.5, 1.4)


def _glass(p: Pencil) -> None:
    p.ring(10, 10, 7)
    p.line(15, 15, 21.5, 21.5, width=3.0)
    p.line(6.5, 10, 13.5, 10)


def _zoom_in(p: Pencil) -> None:
    _glass(p)
    p.line(10, 6.5, 10, 13.5)


def _glove(p: Pencil) -> None:
    p.line(6, 21, 6, 13, 2.6, 9.2, 5, 7.4, 8, 10, 8, 4, 18, 4, 18, 21, closed=True)
    p.line(6, 17, 18, 17, width=NARROW)


def _light(p: Pencil) -> None:
    p.ring(12, 12, 4.5)
    for k in range(8):
        c, s = math.cos(k * math.pi / 4), math.sin(k * math.pi / 4)
        p.line(12 + 7.5 * c, 12 + 7.5 * s, 12 + 11 * c, 12 + 11 * s, width=NARROW)


def _dark(p: Pencil) -> None:
    p.ring(12, 12, 9)
    xy: list[float] = []
    for k in range(13):
        a = math.radians(90 + 15 * k)
        xy += [12 + 9 * math.cos(a), 12 - 9 * math.sin(a)]
    p.fill(*xy)


# -- table, rack, lists ----------------------------------------------------------------------------


def _table(p: Pencil) -> None:
    p.box(3, 5, 21, 19)
    for x in (7.5, 12, 16.5):
        for y in (9, 15):
            p.ring(x, y, 1.4, NARROW)
    p.fill(3, 19, 3, 14, 8, 19)


def _rack(p: Pencil) -> None:
    p.line(2, 4, 22, 4)
    p.line(2, 14, 22, 14)
    p.line(4, 4, 4, 10, 9, 10, 9, 4, width=NARROW)
    p.line(13, 4, 13, 11, 15, 11, 15, 7, 20, 7, 20, 4, width=NARROW)
    p.line(5, 14, 5, 21, 11, 21, 11, 14, width=NARROW)
    p.line(15, 14, 15, 19, 20, 19, 20, 14, width=NARROW)


def _bill(p: Pencil) -> None:
    for y in (5, 12, 19):
        p.line(10, y, 21, y)
    p.box(3.5, 3.5, 6.5, 6.5, NARROW)
    p.box(3.5, 10.5, 6.5, 13.5, NARROW)
    p.square(5, 19, 2)


def _list(p: Pencil) -> None:
    p.box(3, 4, 21, 20)
    p.line(14, 4, 14, 20)
    for y in (8, 12, 16):
        p.line(16, y, 19, y, width=NARROW)


def _settings(p: Pencil) -> None:
    for y, x in ((6, 8), (12, 16), (18, 10)):
        p.line(2, y, 22, y, width=NARROW)
        p.square(x, y, 2.6)


def _help(p: Pencil) -> None:
    p.arc(12, 8.5, 5, -50, 230)
    p.line(15.2, 12.2, 12, 14.2, 12, 17)
    p.square(12, 20.5, 1.4)


def _keys(p: Pencil) -> None:
    p.box(2, 6, 22, 18)
    for x in (6, 10, 14, 18):
        p.square(x, 10, 1)
    p.line(7, 14.5, 17, 14.5)


# -- what the check says ---------------------------------------------------------------------------


def _held(p: Pencil) -> None:
    p.box(3, 3, 21, 21)
    p.dot(12, 12, 5, "held")


def _check(p: Pencil) -> None:
    p.fill(12, 2.5, 22, 21, 2, 21, colour="check")
    p.line(12, 2.5, 22, 21, 2, 21, closed=True)
    p.line(12, 8.5, 12, 15)
    p.square(12, 18, 1.2)


def _clash(p: Pencil) -> None:
    ring: list[float] = []
    for k in range(8):
        a = math.radians(22.5 + 45 * k)
        ring += [12 + 10 * math.cos(a), 12 + 10 * math.sin(a)]
    p.line(*ring, closed=True, colour="clash")
    p.line(8, 8, 16, 16, colour="clash")
    p.line(8, 16, 16, 8, colour="clash")


SHAPES: dict[str, Shape] = {
    "new": _new,
    "open": _open,
    "save": _save,
    "close": _close,
    "undo": _undo,
    "redo": _redo,
    "copy": _copy,
    "paste": _paste,
    "delete": _delete,
    "rename": _rename,
    "select": _select,
    "pan": _pan,
    "place": _place,
    "outline": _outline,
    "polygon": _polygon,
    "holes": _holes,
    "turn": _turn,
    "flip": _flip,
    "pin": _pin,
    "stop": _stop,
    "adjustable-stop": _stop_adjustable,
    "square": _square,
    "bevel": _bevel,
    "arm": _arm,
    "v-block": _v_block,
    "clamp": _clamp,
    "riser": _riser,
    "shim": _shim,
    "fit": _fit,
    "fit-selection": _fit_selection,
    "actual": _actual,
    "zoom-in": _zoom_in,
    "zoom-out": _glass,
    "glove": _glove,
    "light": _light,
    "dark": _dark,
    "table": _table,
    "rack": _rack,
    "bill": _bill,
    "list": _list,
    "settings": _settings,
    "help": _help,
    "keys": _keys,
    "held": _held,
    "check": _check,
    "clash": _clash,
}
