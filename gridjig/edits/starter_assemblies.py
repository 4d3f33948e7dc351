"""Starters of more parts: gate, ladder, truss, trestle, gusseted frame; see `starter_shapes`."""

import math
from itertools import pairwise

from msgspec import structs

from gridjig.geometry.lines import Line
from gridjig.model import Member, Part, WayUp
from gridjig.rack import Point

from .ends import cut_on, with_cuts
from .joining import Ends, cut_along, face_line, mitred, trimmed
from .members import between
from .parts import polygon
from .starter_shapes import StarterInput, framed

GUSSETS = ("inside, flush below", "inside, centred in height", "on top")
BRACES = ("none", "rises to the right", "rises to the left")
RUNGS = (
    "between the rails, flush below",
    "between the rails, centred in height",
    "between the rails, flush above",
    "on top of the rails",
)
RAILS = ("flat", "on edge")
POSTS = ("runs to the ridge", "rafters meet over it", "none")
_TO_ONE: Ends = ("end", "end")


def gusset_frame(given: StarterInput) -> tuple[Part, ...]:
    """A frame with a triangular plate in each corner, inside it or on top."""
    bars = framed(given)
    leg, thick = given.numbers["leg"], given.numbers["thick"]
    w, d = given.numbers["width"], given.numbers["depth"]
    deep, side = bars["Front"].depth, bars["Front"].width
    on_top = given.choices["height"] == GUSSETS[2]
    inset = 0.0 if on_top else side
    if 2.0 * (inset + leg) > min(w, d):
        raise ValueError("the gussets meet; make their legs shorter, or the frame larger")
    low = {GUSSETS[0]: 0.0, GUSSETS[1]: (deep - thick) / 2.0, GUSSETS[2]: deep}[
        given.choices["height"]
    ]
    names = {(0, 0): "Front left", (1, 0): "Front right", (1, 1): "Back right", (0, 1): "Back left"}
    made: list[Part] = []
    for (right, back), name in names.items():
        x, y = (w - inset if right else inset), (d - inset if back else inset)
        to_x, to_y = (-leg if right else leg), (-leg if back else leg)
        ring = ((x, y), (x + to_x, y), (x, y + to_y))
        key = f"gusset-{len(made) + 1}"
        made.append(polygon(key, f"{name} gusset", ring, (max(low, 0.0), max(low, 0.0) + thick)))
    lift = max(0.0, -low)
    return (*(structs.replace(bar, z_low=lift) for bar in bars.values()), *made)


def gate(given: StarterInput) -> tuple[Part, ...]:
    """Two stiles along y, and rails between them by the heights of their undersides."""
    w, h = given.numbers["width"], given.numbers["height"]
    left = given.bar("stile", "Left stile", "stile", (0.0, 0.0), (0.0, h), "right")
    right = given.bar("stile", "Right stile", "stile", (w, 0.0), (w, h), "left")
    if 2.0 * left.width >= w:
        raise ValueError("the stiles leave no room for rails; make the gate wider")
    heights = given.places["rails"]
    rails = []
    for k, y in enumerate(heights):
        name = _rail_name(k, len(heights))
        rail = given.bar(f"rail-{k + 1}", name, "rail", (0.0, y), (w, y), "left")
        rails.append(trimmed(trimmed(rail, left, end="start"), right, end="end"))
    deep = rails[0].width
    if heights[0] < 0 or heights[-1] + deep > h + 1e-6:
        raise ValueError("a rail sticks out of the gate; rails lie between 0 and its height")
    for one, then in pairwise(heights):
        if then - one < deep:
            raise ValueError("two rails overlap; set them further apart")
    parts: list[Part] = [left, right, *rails]
    if given.choices["brace"] != BRACES[0]:
        if len(rails) < 2:
            raise ValueError("a brace needs two rails; type the height of another one")
        parts.append(_brace(given, left, right, rails[0], rails[1]))
    return tuple(parts)


def _rail_name(index: int, count: int) -> str:
    if index == 0:
        return "Bottom rail"
    if index == count - 1:
        return "Top rail"
    return "Middle rail" if count == 3 else f"Rail {index + 1}"


def _brace(given: StarterInput, left: Member, right: Member, low: Member, high: Member) -> Member:
    """A bar from corner to corner of a bay, pointed to fit both of its corners."""
    x0, x1 = left.width, given.numbers["width"] - right.width
    y0, y1 = given.places["rails"][0] + low.width, given.places["rails"][1]
    floor, ceiling = face_line(low, "left"), face_line(high, "right")
    near, far = face_line(left, "right"), face_line(right, "left")
    ends: tuple[Point, Point] = ((x0, y0), (x1, y1))
    if given.choices["brace"] == BRACES[2]:
        ends = ((x1, y0), (x0, y1))
        near, far = far, near
    brace = between("brace", "Brace", given.sections["brace"], *ends, lies="centre")
    for end, lines in (("start", (near, floor)), ("end", (far, ceiling))):
        cuts = [cut_on(brace, end, line) for line in lines]  # type: ignore[arg-type]
        brace = with_cuts(brace, end, cuts)  # type: ignore[arg-type]
    return brace


def ladder(given: StarterInput) -> tuple[Part, ...]:
    """Two rails along x, and rungs by their middles between them or on top of them."""
    length, width = given.numbers["length"], given.numbers["width"]
    way: WayUp = 90 if given.choices["rails_lie"] == RAILS[1] else 0
    section = given.sections["rail"]
    front = between(
        "rail", "Front rail", section, (0.0, 0.0), (length, 0.0), lies="left", way_up=way
    )
    back = between(
        "rail", "Back rail", section, (length, width), (0.0, width), lies="left", way_up=way
    )
    if 2.0 * front.width >= width:
        raise ValueError("the rails leave no room for rungs; make the ladder wider")
    rung = given.bar("rung", "Rung", "rung", (0.0, 0.0), (0.0, width), "centre")
    lie = given.choices["rungs_lie"]
    if lie != RUNGS[3]:
        rung = trimmed(trimmed(rung, front), back)
    up = {
        RUNGS[0]: 0.0,
        RUNGS[1]: (front.depth - rung.depth) / 2.0,
        RUNGS[2]: front.depth - rung.depth,
        RUNGS[3]: front.depth,
    }[lie]
    lift = max(0.0, -up)
    rungs = (
        structs.replace(rung, id=f"rung-{k + 1}", name=f"Rung {k + 1}", x=x, z_low=lift + up)
        for k, x in enumerate(_rung_places(given, rung.width))
    )
    rails = (structs.replace(rail, z_low=lift) for rail in (front, back))
    return (*rails, *rungs)


def _rung_places(given: StarterInput, width: float) -> list[float]:
    length, first = given.numbers["length"], given.numbers["first"]
    typed = given.places["places"]
    if typed:
        found = [first + at for at in typed]
        if found[0] < width / 2.0 - 1e-6 or found[-1] > length - width / 2.0 + 1e-6:
            raise ValueError("a rung sticks out past the rails; make them longer, or move it")
    else:
        count = int(given.numbers["rungs"])
        step = (length - 2.0 * first) / (count - 1) if count > 1 else 0.0
        found = [first + step * k for k in range(count)] if count > 1 else [length / 2.0]
    if any(then - one < width for one, then in pairwise(found)):
        raise ValueError("the rungs do not fit; use fewer, or a longer ladder")
    return found


def truss(given: StarterInput) -> tuple[Part, ...]:
    """A tie, two rafters on it with their upper faces from its ends, and a king post if wanted."""
    span, pitch = given.numbers["span"], given.numbers["pitch"]
    tie = given.bar("tie", "Tie", "frame", (0.0, 0.0), (span, 0.0))
    seat = tie.width
    rise = math.tan(math.radians(pitch))
    ridge = (span / 2.0, seat + rise * span / 2.0)
    level = face_line(tie, "left")
    left = given.bar("rafter", "Left rafter", "frame", (0.0, seat), ridge, "right")
    right = given.bar("rafter", "Right rafter", "frame", (span, seat), ridge)
    left, right = cut_along(left, "start", level), cut_along(right, "start", level)
    if given.choices["post"] == POSTS[2]:
        return (tie, *mitred(left, right, _TO_ONE))
    post = given.bar("post", "King post", "post", (span / 2.0, seat), ridge, "centre")
    if given.choices["post"] == POSTS[1]:
        left, right = mitred(left, right, _TO_ONE)
        return tie, left, right, _pointed(post, left, right)
    top = ridge[1] - rise * post.width / 2.0
    post = structs.replace(post, length=top - seat)
    left = cut_along(left, "end", face_line(post, "left"))
    right = cut_along(right, "end", face_line(post, "right"))
    return tie, left, right, post


def _pointed(post: Member, left: Member, right: Member) -> Member:
    """The post with its top cut to the undersides of both rafters."""
    under_left, under_right = face_line(left, "right"), face_line(right, "left")
    apex = Line((post.x, post.y), (0.0, 1.0)).meets(under_left)
    if apex is None or apex <= post.width:
        raise ValueError("there is no room for a king post; make the pitch steeper")
    post = structs.replace(post, length=round(apex, 6))
    return with_cuts(post, "end", [cut_on(post, "end", line) for line in (under_left, under_right)])


def trestle(given: StarterInput) -> tuple[Part, ...]:
    """Two legs, cut level, that lean under a top bar, and spreaders trimmed between them."""
    feet, top, high, long = (given.numbers[k] for k in ("feet", "top", "height", "bar"))
    if long < top - 1e-6:
        raise ValueError("the legs end beside the top bar; make it longer, or the top narrower")
    x0 = max(0.0, (long - feet) / 2.0)
    middle = x0 + feet / 2.0
    left = given.bar("leg", "Left leg", "leg", (x0, 0.0), (middle - top / 2.0, high), "right")
    right = given.bar("leg", "Right leg", "leg", (x0 + feet, 0.0), (middle + top / 2.0, high))
    over = given.bar(
        "top", "Top bar", "top", (middle - long / 2.0, high), (middle + long / 2.0, high)
    )
    floor, under = Line((0.0, 0.0), (1.0, 0.0)), face_line(over, "right")
    left, right = (cut_along(cut_along(leg, "start", floor), "end", under) for leg in (left, right))
    inner_left, inner_right = face_line(left, "right"), face_line(right, "left")
    level = left.width * math.hypot(high, (feet - top) / 2.0) / high
    if min(feet, top) - 2.0 * level < 1e-6:
        raise ValueError("the legs overlap; set them further apart at the top and at the feet")
    spreaders: list[Part] = []
    heights = given.places["spreaders"]
    for k, y in enumerate(heights):
        name = "Spreader" if len(heights) == 1 else f"Spreader {k + 1}"
        bar = given.bar(f"spreader-{k + 1}", name, "spreader", (x0, y), (x0 + feet, y))
        if y < 0 or y + bar.width > high + 1e-6:
            raise ValueError("a spreader lies outside the legs; set it between feet and top bar")
        if k and y - heights[k - 1] < bar.width:
            raise ValueError("two spreaders overlap; set them further apart")
        spreaders.append(cut_along(cut_along(bar, "start", inner_left), "end", inner_right))
    return (left, right, over, *spreaders)
