"""How each starter is built from its sizes: members are drawn and joined as a person would."""

import math
from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct, structs

from gridjig.geometry import Pose, unit
from gridjig.geometry.lines import Line
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member, Part, Section
from gridjig.rack import Point

from .copies import mirrored
from .joining import Ends, butted, cut_along, face_line, mitred, trimmed
from .members import Hold, between
from .parts import polygon

CORNERS = (
    "mitred",
    "front and back run through",
    "sides run through",
    "each runs past the next",
)
POSITIONS = ("front left", "front right", "back left", "back right")
BRACKET_CORNERS = ("upright runs through", "arm runs through", "mitred")
_ONWARD: Ends = ("end", "start")
_FROM_ONE: Ends = ("start", "start")
_TO_ONE: Ends = ("end", "end")
_RAIL = {"Front": "rail", "Back": "rail", "Left": "stile", "Right": "stile"}
HEIGHTS = ("centred in height", "flush below")


class StarterInput(Struct, frozen=True):
    """The inputs of a starter: its numbers, choices and sections, by key."""

    numbers: Mapping[str, float]
    choices: Mapping[str, str]
    sections: Mapping[str, Section]
    places: Mapping[str, tuple[float, ...]] = {}

    def bar(
        self, key: str, name: str, stock: str, a: Point, b: Point, lies: Hold = "left"
    ) -> Member:
        """A member from point to point, with its right face on the line by default."""
        return between(key, name, self.sections[stock], a, b, lies=lies)


def frame(given: StarterInput) -> tuple[Part, ...]:
    """Four members round a rectangle, counter-clockwise from the front."""
    return tuple(framed(given).values())


def framed(given: StarterInput) -> dict[str, Member]:
    """The four members of a frame by where they are: Front, Right, Back and Left."""
    w, d = given.numbers["width"], given.numbers["depth"]
    ring = ((0.0, 0.0), (w, 0.0), (w, d), (0.0, d), (0.0, 0.0))
    names = ("Front", "Right", "Back", "Left")
    bars = {
        name: given.bar(name.lower(), f"{name} {_RAIL[name]}", "frame", a, b)
        for name, (a, b) in zip(names, pairwise(ring), strict=True)
    }
    corners = given.choices["corners"]
    for one, other in pairwise((*names, names[0])):
        if corners == "mitred":
            bars[one], bars[other] = mitred(bars[one], bars[other], _ONWARD)
        elif corners == "each runs past the next" or (one in ("Front", "Back")) is (
            corners == "front and back run through"
        ):
            bars[one], bars[other] = butted(bars[one], bars[other], _ONWARD)
        else:
            bars[other], bars[one] = butted(bars[other], bars[one], ("start", "end"))
    return bars


def railed_frame(given: StarterInput) -> tuple[Part, ...]:
    """A frame with rails from front to back that leave equal gaps."""
    bars = framed(given)
    count = int(given.numbers["rails"])
    w, d = given.numbers["width"], given.numbers["depth"]
    side = bars["Left"].width
    rail = given.bar("rail", "Mid-rail", "rail", (0.0, 0.0), (0.0, d), "centre")
    space = (w - 2.0 * side - count * rail.width) / (count + 1)
    if space <= 0:
        raise ValueError("the mid-rails do not fit; use fewer, or a wider frame")
    rails = []
    for k in range(count):
        x = side + space * (k + 1) + rail.width * (k + 0.5)
        made = structs.replace(rail, id=f"rail-{k + 1}", name=f"Mid-rail {k + 1}", x=x)
        rails.append(trimmed(trimmed(made, bars["Front"]), bars["Back"]))
    return (*bars.values(), *rails)


def bracket(given: StarterInput) -> tuple[Part, ...]:
    """An upright along y and an arm along x, with a brace whose middle meets them as given."""
    up, out = given.numbers["up"], given.numbers["out"]
    upright = given.bar(
        "upright", "Upright", "frame", (0.0, 0.0), (0.0, given.numbers["upright"]), "right"
    )
    arm = given.bar("arm", "Arm", "frame", (0.0, 0.0), (given.numbers["arm"], 0.0))
    corner = given.choices["corner"]
    if corner == "mitred":
        upright, arm = mitred(upright, arm, _FROM_ONE)
    elif corner == "upright runs through":
        upright, arm = butted(upright, arm, _FROM_ONE)
    else:
        arm, upright = butted(arm, upright, _FROM_ONE)
    inside = upright.width
    brace = given.bar(
        "brace", "Brace", "brace", (inside, inside + up), (inside + out, inside), "centre"
    )
    brace = trimmed(trimmed(brace, upright, end="start"), arm, end="end")
    if max(inside + up, *(y for _, y in part_ring(brace))) > given.numbers["upright"]:
        raise ValueError("the brace runs past the top of the upright; move it towards the corner")
    if max(inside + out, *(x for x, _ in part_ring(brace))) > given.numbers["arm"]:
        raise ValueError("the brace runs past the end of the arm; move it towards the corner")
    raised = (upright.depth - brace.depth) / 2.0
    if given.choices["height"] != HEIGHTS[0]:
        raised = 0.0
    low = max(0.0, -raised)
    parts = (
        structs.replace(upright, z_low=low),
        structs.replace(arm, z_low=low),
        structs.replace(brace, z_low=low + raised),
    )
    return _placed(parts, given.choices["position"], given.numbers["arm"], given.numbers["upright"])


def _placed(parts: tuple[Part, ...], position: str, width: float, depth: float) -> tuple[Part, ...]:
    """The parts with their corner at the front left put into another corner of their box."""
    if "right" in position:
        middle = Line((width / 2.0, 0.0), (0.0, 1.0))
        parts = tuple(mirrored(part, middle) for part in parts)
    if "back" in position:
        middle = Line((0.0, depth / 2.0), (1.0, 0.0))
        parts = tuple(mirrored(part, middle) for part in parts)
    return parts


def a_frame(given: StarterInput) -> tuple[Part, ...]:
    """Two legs from the feet to the ridge, and a crossbar trimmed between them."""
    spread, high, at = (given.numbers[k] for k in ("spread", "height", "bar"))
    ridge = (spread / 2.0, high)
    floor = Line((0.0, 0.0), (1.0, 0.0))
    left = given.bar("leg", "Left leg", "leg", (0.0, 0.0), ridge, "right")
    right = given.bar("leg", "Right leg", "leg", (spread, 0.0), ridge)
    left, right = cut_along(left, "start", floor), cut_along(right, "start", floor)
    left, right = mitred(left, right, _TO_ONE)
    bar = given.bar("crossbar", "Crossbar", "bar", (0.0, at), (spread, at))
    if at + bar.width >= min(max(y for _, y in _inner(leg)) for leg in (left, right)):
        raise ValueError("there is no room for the crossbar between the legs; set it lower")
    face_left, face_right = face_line(left, "right"), face_line(right, "left")
    bar = cut_along(cut_along(bar, "start", face_left), "end", face_right)
    return left, right, bar


def _inner(leg: Member) -> tuple[Point, ...]:
    """The ends of the shorter long face: the inner one."""
    ring = part_ring(leg)
    k = leg.mill_edges[0 if leg.edges[1] < leg.edges[0] else 1]
    return ring[k], ring[(k + 1) % len(ring)]


def ring(given: StarterInput) -> tuple[Part, ...]:
    """Identical members round a polygon, the first at the front, each mitred to the next."""
    sides = int(given.numbers["sides"])
    apothem = given.numbers["across"] / 2.0
    corner = apothem / math.cos(math.pi / sides)
    turns = [unit(-90.0 + 360.0 / sides * (k - 0.5)) for k in range(sides)]
    low_x = min(c for c, _ in turns) * corner
    points = [(c * corner - low_x, s * corner + apothem) for c, s in turns]
    bars = [
        given.bar(f"side-{k + 1}", f"Side {k + 1}", "frame", a, b)
        for k, (a, b) in enumerate(pairwise((*points, points[0])))
    ]
    for k in range(sides):
        after = (k + 1) % sides
        bars[k], bars[after] = mitred(bars[k], bars[after], _ONWARD)
    return tuple(bars)


def tripod(given: StarterInput) -> tuple[Part, ...]:
    """Three plates on edge that meet at their inner corners, and a six-sided plate on top."""
    reach, high, thick, top = (given.numbers[k] for k in ("reach", "high", "thick", "top"))
    inner = thick / 2.0 / math.tan(math.radians(60.0))
    if reach <= inner:
        raise ValueError("the legs are thicker than they are long; make them longer")
    half = thick / 2.0
    plan = ((inner, -half), (reach, -half), (reach, half), (inner, half))
    corner = top / 2.0 / math.cos(math.radians(30.0))
    rounds = [unit(60.0 * k) for k in range(6)]
    hub = tuple((c * corner, s * corner) for c, s in rounds)
    rings = [Pose(0.0, 0.0, turn).points(plan) for turn in (90.0, 210.0, 330.0)]
    low_x = min(x for shape in (hub, *rings) for x, _ in shape)
    low_y = min(y for shape in (hub, *rings) for _, y in shape)
    legs = [
        polygon(f"leg-{k + 1}", f"Leg {k + 1}", _shifted(shape, -low_x, -low_y), (0.0, high))
        for k, shape in enumerate(rings)
    ]
    plate = polygon("top", "Top plate", _shifted(hub, -low_x, -low_y), (high, high + thick))
    return (*legs, plate)


def _shifted(points: tuple[Point, ...], dx: float, dy: float) -> tuple[Point, ...]:
    return tuple((x + dx, y + dy) for x, y in points)
