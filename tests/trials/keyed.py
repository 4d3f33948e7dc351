"""The trial weldments keyed in as a person would: members drawn by two points, then joined.

Each builder gives a job on the trial's table with its weldment at the trial's origin; parts are
named as in the trial's data, sections come from the program's own list.
"""

import math
from collections.abc import Callable

from gridjig.edits import joining, members
from gridjig.edits.lookup import new_id, with_part
from gridjig.edits.members import member_of
from gridjig.edits.parts import add_part, polygon, rectangle
from gridjig.files.library.sections import find_section
from gridjig.geometry.lines import through
from gridjig.model import Job, Member, Section, WayUp
from gridjig.rack import Point
from tests.trials.layout import INCH, empty, load

TUBE_2 = "2x2x1/8"
TUBE_2_THICK = "2x2x1/4"
TUBE_1_5 = "1-1/2x1-1/2x1/8"


def section(name: str) -> Section:
    found = find_section(name)
    assert found is not None, name
    return found


def part_named(job: Job, name: str) -> str:
    """The id of the part of that name."""
    return next(p.id for p in job.parts if p.name == name)


class Keying:
    """A job under way; points in inches from the trial's origin."""

    def __init__(self, trial: str) -> None:
        data = load(trial)
        self.origin = data["origin"]
        self.job = empty(data)

    def at(self, p: Point) -> Point:
        return ((p[0] + self.origin[0]) * INCH, (p[1] + self.origin[1]) * INCH)

    def bar(
        self,
        name: str,
        stock: str,
        a: Point,
        b: Point,
        lies: members.Hold = "left",
        z: float = 0.0,
        way_up: WayUp = 0,
    ) -> str:
        made = members.between(
            new_id(self.job, "member"),
            name,
            section(stock),
            self.at(a),
            self.at(b),
            lies=lies,
            z_low=z * INCH,
            way_up=way_up,
        )
        self.job = members.add(self.job, made)
        return made.id

    def butt(self, running: str, *butting: str) -> None:
        for one in butting:
            self.job = joining.butt(self.job, running, one)

    def mitre(self, one: str, other: str) -> None:
        self.job = joining.mitre(self.job, one, other)

    def trim(self, thing: str, to: str) -> None:
        self.job = joining.trim(self.job, thing, to)


def t01() -> Job:
    """Butted frame: A and B run through, cut by butting bars drawn over the full 24."""
    k = Keying("T01")
    a = k.bar("A bottom", TUBE_2, (0, 0), (24, 0))
    b = k.bar("B top", TUBE_2, (24, 24), (0, 24))
    c = k.bar("C left", TUBE_2, (0, 24), (0, 0))
    d = k.bar("D right", TUBE_2, (24, 0), (24, 24))
    k.butt(a, c, d)
    k.butt(b, c, d)
    return k.job


def t02() -> Job:
    """Mitred frame."""
    k = Keying("T02")
    a = k.bar("A bottom", TUBE_1_5, (0, 0), (36, 0))
    b = k.bar("B top", TUBE_1_5, (36, 23), (0, 23))
    c = k.bar("C left", TUBE_1_5, (0, 23), (0, 0))
    d = k.bar("D right", TUBE_1_5, (36, 0), (36, 23))
    for one, other in ((a, d), (d, b), (b, c), (c, a)):
        k.mitre(one, other)
    return k.job


def t04() -> Job:
    """Bracket: the brace's middle meets the inside 10 in from the corner; drawn past, trimmed."""
    k = Keying("T04")
    u = k.bar("U upright", TUBE_2_THICK, (0, 0), (0, 18), "right")
    h = k.bar("H arm", TUBE_2_THICK, (0, 0), (18, 0))
    k.butt(u, h)
    brace = k.bar("K brace", TUBE_1_5, (2, 12), (12, 2), "centre", z=0.25)
    k.trim(brace, u)
    k.trim(brace, h)
    return k.job


def t06() -> Job:
    """Strut at 37.5 degrees, 20 in along its middle from the base, with a plate across its end."""
    k = Keying("T06")
    b = k.bar("B base", TUBE_2, (0, 0), (28, 0))
    c, s = math.cos(math.radians(37.5)), math.sin(math.radians(37.5))
    top = (6 + 20 * c, 2 + 20 * s)
    strut = k.bar("S strut", TUBE_1_5, (6, 2), top, "centre", z=0.25)
    k.job = joining.trim(k.job, strut, b, end="start")
    corners = [
        (top[0] + along * c - across * s, top[1] + along * s + across * c)
        for along, across in ((0.0, -1.5), (0.25, -1.5), (0.25, 1.5), (0.0, 1.5))
    ]
    plate = polygon(
        new_id(k.job, "plate"), "E end plate 3x.25", [k.at(p) for p in corners], (0.0, 3 * INCH)
    )
    return add_part(k.job, plate)


def t08() -> Job:
    """Tapered trestle end: legs by their outer edges, cut level; spreaders trimmed between them."""
    k = Keying("T08")
    left = k.bar("LL leg", TUBE_1_5, (0, 0), (10, 36), "right")
    right = k.bar("RL leg", TUBE_1_5, (30, 0), (20, 36))
    top = k.bar("TB top bar", TUBE_1_5, (8, 36), (22, 36))
    for leg in (left, right):
        floor = through(k.at((0, 0)), k.at((30, 0)))
        k.job = with_part(k.job, joining.cut_along(member_of(k.job, leg), "start", floor))
        k.trim(leg, top)
    for name, y in (("SL spreader low", 9), ("SU spreader up", 24)):
        bar = k.bar(name, TUBE_1_5, (0, y), (30, y))
        k.trim(bar, left)
        k.trim(bar, right)
    return k.job


def t10() -> Job:
    """Machine base at three heights, the right way up."""
    k = Keying("T10")
    rails = [
        k.bar(f"R{n} rail", "4x2x1/8", (0, y), (40, y), z=0.375, way_up=90)
        for n, y in ((1, 0), (2, 22))
    ]
    stock = (
        ("X1 cross", TUBE_2, 0.0, 2.375),
        ("X2 cross", TUBE_2, 38.0, 2.375),
        ("F strap", "3x1/4", 18.5, 4.125),
    )
    for name, bar, x, z in stock:
        cross = k.bar(name, bar, (x, 0), (x, 24), "right", z)
        for rail in rails:
            k.trim(cross, rail)
    for n, (x, y) in enumerate(((-1, -1), (37, -1), (-1, 21), (37, 21)), start=1):
        plate = rectangle(
            new_id(k.job, "plate"),
            f"P{n} foot plate",
            k.at((x, y)),
            k.at((x + 4, y + 4)),
            (0, 0.375 * INCH),
        )
        k.job = add_part(k.job, plate)
    return k.job


KEYED: dict[str, Callable[[], Job]] = {
    "T01": t01,
    "T02": t02,
    "T04": t04,
    "T06": t06,
    "T08": t08,
    "T10": t10,
}


def bars(job: Job) -> dict[str, Member]:
    """The members of a job by their names."""
    return {p.name: p for p in job.parts if isinstance(p, Member)}
