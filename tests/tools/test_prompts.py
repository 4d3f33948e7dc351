"""What a prompt promises is what then happens: every tool, in every state it can be in.

Each promise of a prompt (a click, a drag, letting go, typed text, a key) is carried out from a
fresh copy of the state, and must do what its words say.  A promise in words that no rule here
knows fails.
"""

import re
from collections.abc import Callable, Iterator

import pytest
from msgspec import Struct

from gridjig.geometry import Pose
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address, find_hole
from gridjig.model.titles import title
from gridjig.tools.core.prompt import Key, Prompt
from gridjig.tools.core.wording import with_place
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.draw.plate_tool import PlateTool
from gridjig.tools.join.dimension_tool import DimensionTool
from gridjig.tools.join.join_tool import JoinTool
from gridjig.tools.join.notch_tool import NotchTool
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.tools.pick.point_tool import PointTool
from tests.driver import Driver
from tests.solve.weldments import frame
from tests.test_random_actions import STOCK
from tests.workshop import EMPTY, laid, pin, plate, put, seat, stop

State = Callable[[], Driver]
JOB = laid(
    stop("s", 3, 13),
    stop("t", 3, 3),
    pin("p", 16, 12),
    put("hinge", "hinge", seat("h1", 9, 13), seat("h2", 11, 13)),
    put("clamp", "clamp", seat("p", 14, 5), reach=100.0),
    plate("bar", 700, 100, 200, 40),
    *frame(),
)
AWAY = (1150.0, 50.0)
BAR = (800.0, 120.0)


class Seen(Struct, frozen=True):
    """What is so before or after an event."""

    job: Job
    shown: Job
    selection: frozenset[str]
    tool: str
    prompt: Prompt
    overlay: object
    said: str


def seen(d: Driver) -> Seen:
    tool = d.controller.tool
    prompt = d.controller.prompt
    return Seen(
        d.job, d.shown, d.document.selection, tool.name, prompt, d.overlay, d.controller.said
    )


def pointed(d: Driver) -> tuple[float, float]:
    return (d._pointer.x, d._pointer.y)


# -- the states --------------------------------------------------------------------------------


def bench() -> Driver:
    return Driver(JOB).zoom(1.0)


def with_tool(make: Callable[..., object], *given: object) -> Driver:
    return bench().tool(lambda document: make(document, *given))  # type: ignore[return-value, arg-type]


def tip_of(d: Driver, thing_id: str) -> tuple[float, float]:
    tip = d.document.placed_pieces[thing_id].tip
    assert tip is not None
    return tip.at


def rectangle() -> Driver:
    return with_tool(PlateTool, "rectangle").hover("C3")


def polygon(count: int) -> Driver:
    d = with_tool(PlateTool, "polygon").hover("C3")
    for hole in ("C3", "G3", "G6")[:count]:
        d.click(hole)
    return d.hover("J12")


def member() -> Driver:
    return with_tool(MemberTool, STOCK[0]).hover("C3")


def on(d: Driver, part: str, far: float = 0.5) -> tuple[float, float]:
    """A place on a member, that share of its length along it."""
    thing = d.member(part)
    return Pose(thing.x, thing.y, thing.turn).point((thing.length * far, 0.0))


def trim(*, first: bool) -> Driver:
    d = with_tool(JoinTool, "trim")
    ids = [p.id for p in JOB.parts]
    d.hover(on(d, ids[1], 0.1))
    return d.click(on(d, ids[1], 0.1)).hover(on(d, ids[2], 0.5)) if first else d


def notch(*, corner: bool) -> Driver:
    d = with_tool(NotchTool)
    rail = JOB.parts[1].id
    d.hover(on(d, rail, 0.1))
    if not corner:
        return d
    x, y = on(d, rail, 0.1)
    return d.click((x, y)).hover((x, y))


def dimension(count: int) -> Driver:
    d = with_tool(DimensionTool).hover((800.0, 102.0))
    if count:
        d.click((800.0, 102.0)).hover((800.0, 138.0))
    if count > 1:
        d.click((800.0, 138.0))
    return d


def left_plan(d: Driver) -> Driver:
    d.controller.away()
    return d


STATES: dict[str, State] = {
    "select, empty table": lambda: Driver(EMPTY).hover((100, 100)),
    "select, nothing under the pointer": lambda: bench().hover(AWAY),
    "select, over a stop": lambda: bench().hover("D14"),
    "select, over the stop selected": lambda: bench().select("s").hover("D14"),
    "select, the pointer gone": lambda: left_plan(bench().select("s").hover("D14")),
    "select, over one of two selected": lambda: bench().select("s", "p").hover("Q13"),
    "select, a stop selected": lambda: bench().select("s").hover(AWAY),
    "select, an arm selected": lambda: bench().select("hinge").hover(AWAY),
    "select, a part selected": lambda: bench().select("bar").hover(AWAY),
    "select, two selected": lambda: bench().select("s", "p").hover(AWAY),
    "select, at a clamp's tip": lambda: (d := bench()).hover(tip_of(d, "clamp")),
    "select, at the selected clamp's tip": lambda: (d := bench().select("clamp")).hover(
        tip_of(d, "clamp")
    ),
    "select, one thing over another": lambda: bench().hover("D4"),
    "select, dragging": lambda: bench().press("D14").move("F15"),
    "select, dragging a part": lambda: bench().press(BAR).move((900, 300)),
    "select, dragging where it cannot stand": lambda: bench().press("D14").move("Q13"),
    "select, a box": lambda: bench().press((1100, 900)).move((1180, 1000)),
    "place, over a free hole": lambda: with_tool(PlaceTool, "stop").hover("H8"),
    "place, where it cannot stand": lambda: with_tool(PlaceTool, "stop").hover("Q13"),
    "place, beside the table": lambda: with_tool(PlaceTool, "stop").hover((-50, -50)),
    "place, just placed": lambda: with_tool(PlaceTool, "stop").click("H8"),
    "place, not on the rack": lambda: with_tool(PlaceTool, "nothing"),
    "plate, nothing drawn": rectangle,
    "plate, one corner": lambda: rectangle().click("C3").hover("G6"),
    "polygon, nothing drawn": lambda: polygon(0),
    "polygon, two corners": lambda: polygon(2),
    "polygon, three corners": lambda: polygon(3),
    "polygon, back at the first": lambda: polygon(3).hover("C3"),
    "member, nothing drawn": member,
    "member, its start": lambda: member().click("C3").hover("G3"),
    "member, an angle typed": lambda: member().type("at 37.5"),
    "member, start and angle": lambda: member().click("C3").type("at 37.5").hover("G6"),
    "trim, first": lambda: trim(first=False),
    "trim, second": lambda: trim(first=True),
    "trim, no parts": lambda: Driver(EMPTY).tool(lambda document: JoinTool(document, "trim")),
    "notch, over a member": lambda: notch(corner=False),
    "notch, a corner": lambda: notch(corner=True),
    "notch, no parts": lambda: Driver(EMPTY).tool(NotchTool),
    "dimension, first face": lambda: dimension(0),
    "dimension, second face": lambda: dimension(1),
    "dimension, both": lambda: dimension(2),
    "dimension, both ends of a member": lambda: (
        with_tool(DimensionTool).click((101.0, 220.0)).click((499.0, 220.0)).hover(AWAY)
    ),
    "dimension, of two parts": lambda: (
        with_tool(DimensionTool).click((300.0, 239.0)).click((300.0, 461.0)).hover(AWAY)
    ),
    "dimension, no parts": lambda: Driver(EMPTY).tool(DimensionTool),
    "edge, none": lambda: with_tool(EdgePick, "edge", 2).hover((600, 500)),
    "edge, at one": lambda: with_tool(EdgePick, "edge", 2).hover((800.0, 100.0)),
    "edge, the second": lambda: (
        with_tool(EdgePick, "edge", 2).click((800.0, 100.0)).hover((800.0, 140.0))
    ),
    "holes, first": lambda: with_tool(HolesPick).hover("C3"),
    "holes, second": lambda: with_tool(HolesPick).click("C3").hover("J9"),
    "holes, on the first": lambda: with_tool(HolesPick).click("C3"),
    "box of holes": lambda: with_tool(HolesPick, True).hover("C3"),
    "box of holes, second": lambda: with_tool(HolesPick, True).click("C3").hover("J9"),
    "point, none": lambda: with_tool(PointTool).hover((1100, 900)),
    "point, on a part": lambda: with_tool(PointTool).hover((800.0, 120.0)),
    "point, a marked one": lambda: with_tool(PointTool).click((800.0, 120.0)).hover((800.0, 120.0)),
    "point, no parts": lambda: Driver(EMPTY).tool(PointTool),
    "mark, a free hole": lambda: with_tool(HoleTool, "blocked").hover("C7"),
    "mark, a marked hole": lambda: with_tool(HoleTool, "blocked").click("C7").hover("C7"),
    "mark, a box": lambda: with_tool(HoleTool, "blocked").press("C7").move("E9"),
    "mark, without its size": lambda: with_tool(
        HoleTool, "shallow", 0.0, "Type how deep the holes are."
    ).hover("C7"),
    "clear, a marked hole": lambda: (
        with_tool(HoleTool, "blocked").click("C7").tool(lambda d: HoleTool(d, "free")).hover("C7")
    ),
    "clear, a free hole": lambda: (
        with_tool(HoleTool, "blocked").click("C3").tool(lambda d: HoleTool(d, "free")).hover("C7")
    ),
}


# -- what the words mean -----------------------------------------------------------------------


def added(a: Seen, b: Seen) -> list[object]:
    old = {t.id for t in (*a.job.placements, *a.job.parts)}
    return [t for t in (*b.job.placements, *b.job.parts) if t.id not in old]


def stays(a: Seen, b: Seen) -> bool:
    return b.job is a.job and b.shown is a.job


def moved_by_a_hole(a: Seen, b: Seen) -> bool:
    if a.tool != "select":
        return b.prompt != a.prompt
    for thing_id in a.selection:
        was, now = a.job.find(thing_id), b.job.find(thing_id)
        assert was is not None
        if isinstance(was, Placement) and isinstance(now, Placement):
            one, two = was.seats[0].hole, now.seats[0].hole
            if abs(one.col - two.col) + abs(one.row - two.row) != 1:
                return False
        elif was == now:
            return False
    return bool(a.selection)


def turned(a: Seen, b: Seen) -> bool:
    if a.tool == "place":
        return b.said.startswith("Position")
    (thing_id,) = a.selection
    was, now = a.job.find(thing_id), b.job.find(thing_id)
    assert was is not None
    assert now is not None
    return was.turn != now.turn


def over(a: Seen, b: Seen) -> bool:
    if a.tool == "place":
        return "turned over" in b.said
    flipped = [i for i in a.selection if a.job.find(i) != b.job.find(i)]
    return len(flipped) == len(a.selection) > 0


def left(a: Seen, b: Seen) -> bool:
    return b.tool == "select" != a.tool and b.job is a.job


def cancelled(a: Seen, b: Seen) -> bool:
    return left(a, b) if a.tool in ("edge", "holes") else stays(a, b) and b.tool == a.tool


def anew(a: Seen, b: Seen) -> bool:
    """The tool is where it was before anything was begun."""
    return b.tool == a.tool and stays(a, b) and b.prompt != a.prompt


def goes_on(a: Seen, b: Seen) -> bool:
    return (b.prompt, b.overlay) != (a.prompt, a.overlay) and not b.said.startswith("“")


Rule = Callable[[Seen, Seen, "re.Match[str]"], bool]


def rule(check: Callable[[Seen, Seen], bool]) -> Rule:
    return lambda a, b, _: check(a, b)


def named(job: Job, words: str) -> set[str]:
    every = (*job.placements, *job.parts)
    return {t.id for t in every if words in (with_place(job, t.id), title(job, t.id))}


def selects(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    return b.selection <= named(a.job, m[1]) and len(b.selection) == 1


def puts(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    (made,) = added(a, b)
    assert isinstance(made, Placement)
    hole = find_hole(a.job.table, m[2])
    return hole in {s.hole for s in made.seats} and m[1] in a.job.rack.piece(made.piece).name


def marks(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    hole = find_hole(a.job.table, m[1])
    return any(k.hole == hole and k.state == m[2] for k in b.job.table.marks)


def clears(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    hole = find_hole(a.job.table, m[1])
    return all(k.hole != hole for k in b.job.table.marks) and b.job is not a.job


def points(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    before, after = (one.job.accuracy.points for one in (a, b))
    more, fewer = (before, after) if m[1] == "clear" else (after, before)
    return len(more) == len(fewer) + 1 and any(p.name == m[2] for p in more)


def takes_hole(a: Seen, b: Seen, m: "re.Match[str]") -> bool:
    return m[1] in b.said if m[2] == "second" else m[1] in b.prompt.text() and b.tool == a.tool


CLICKS: list[tuple[str, Rule]] = [
    (r"to select it", rule(lambda a, b: len(b.selection) == 1 and b.selection != a.selection)),
    (r"to select it alone", rule(lambda a, b: len(b.selection) == 1 < len(a.selection))),
    (r"to select (.*)", selects),
    (r"to put (.*) in (\w+).*", puts),
    (r"the (first corner|start point).*", rule(goes_on)),
    (r"the first corner to close it", rule(lambda a, b: len(added(a, b)) == 1)),
    (r"the (far corner|end point).*", rule(lambda a, b: len(added(a, b)) == 1)),
    (r"corner \d+.*", rule(goes_on)),
    (r"the member to cut .*", rule(lambda _, b: b.prompt.state.startswith("First"))),
    (r"the member or plate it should meet.*", rule(lambda a, b: b.job is not a.job)),
    (r"a member near the corner to notch.*", rule(lambda _, b: "Notch" in b.prompt.state)),
    (r"to cut (.*)", lambda a, b, m: b.job is not a.job and m[1] in b.said),
    (r"the face to measure from.*", rule(lambda _, b: "From the" in b.prompt.state)),
    (r"to use it", rule(lambda a, b: a.prompt.state.split(" to ")[0] in b.prompt.state)),
    (r"a parallel face", rule(lambda a, b: b.job is a.job)),
    (r"a face for the next one.*", rule(lambda _, b: b.prompt.state.startswith("From the"))),
    (r"to take (the edge .*) as .*", lambda a, b, m: m[1] in b.said or anew(a, b)),
    (r"to take (\w+) as the (first|second) (?:hole|corner)", takes_hole),
    (r"to mark (\w+) (\w+)", marks),
    (r"to clear the mark of (\w+)", clears),
    (r"to (mark|clear) ((?:corner|hole|point) .*)", points),
]
ELSEWHERE = {
    "something to select it",
    "the first edge",
    "a face for the next one",
    "another one as the second hole",
    "another hole as the second hole",
    "a marked hole to clear it",
    "a parallel face",
    "a corner, a hole or a place on a part",
}
"""Clicks that are promised for a place other than where the pointer is."""

KEYS: list[tuple[str, str, Rule]] = [
    (r"arrow keys", r"to move by one hole", rule(moved_by_a_hole)),
    (r"arrow keys", r"to (step|change) .*", rule(goes_on)),
    (r"R", r"to turn", rule(turned)),
    (r"R", r"to turn the section", rule(lambda _, b: b.said.startswith("The section is turned"))),
    (r"F", r"to turn over", rule(over)),
    (r"S", r"to change the side", rule(lambda _, b: b.said.startswith("Now "))),
    (r"L", r"to look for a hole that locks its arm", rule(lambda _, b: "lock" in b.said.lower())),
    (r"B", r"to step through the \d+ here", rule(lambda a, b: a.selection != b.selection)),
    (
        r"Del",
        r"to delete",
        rule(lambda a, b: all(b.job.find(i) is None for i in a.selection) and bool(a.selection)),
    ),
    (r"Enter", r"to close it", rule(lambda a, b: len(added(a, b)) == 1)),
    (r"Enter", r"to take .*", rule(lambda a, b: goes_on(a, b) or b.job is not a.job)),
    (r"Backspace", r"to (remove|drop) the (last|first) .*", rule(anew)),
    (r"Esc", r"to stop", rule(left)),
    (r"Esc", r"to cancel", rule(cancelled)),
    (r"Esc", r"to put it back", rule(stays)),
    (r"Esc", r"to drop the box", rule(lambda a, b: stays(a, b) and b.overlay == ())),
    (r"Esc", r"to (cancel it|end the run|drop .*)", rule(anew)),
    (r"Alt", r"to ignore the face", rule(lambda _, b: "touch" not in b.prompt.click)),
]
OF_THE_WINDOW = {Key("P", "to choose a piece"), Key("M", "to draw a member")}
"""Keys of actions: tests/qt/window presses them in a window."""
NAMES = {"Esc": "escape", "Del": "delete", "arrow keys": "right"}


def meaning(rules: list[tuple[str, Rule]], words: str) -> tuple[Rule, "re.Match[str]"]:
    for pattern, check in rules:
        found = re.fullmatch(pattern, words)
        if found is not None:
            return check, found
    raise AssertionError(f"no rule says what is meant by: {words}")


def key_rule(key: Key) -> tuple[Rule, "re.Match[str]"]:
    return meaning([(does, check) for name, does, check in KEYS if name == key.name], key.does)


def promises(make: State) -> Iterator[tuple[str, Callable[[], bool]]]:
    """Each promise of a state's prompt, and whether it is kept."""
    prompt = make().controller.prompt
    if prompt.click and prompt.click not in ELSEWHERE:
        check, found = meaning(CLICKS, prompt.click)
        yield f"click {prompt.click}", lambda: check(*clicked(make), found)
        if prompt.enter:
            yield "Enter", lambda: check(*pressed(make, "enter"), found)
    if prompt.drag:
        yield f"drag {prompt.drag}", lambda: dragged(make, prompt.drag)
    if prompt.let_go:
        yield f"let go {prompt.let_go}", lambda: let_go(make, prompt.let_go)
    if prompt.types:
        yield f"type {prompt.types}", lambda: goes_on_typed(make, prompt.types)
    for key in prompt.keys:
        if key in OF_THE_WINDOW:
            continue
        yield f"{key.name} {key.does}", lambda key=key: press(make, key)  # type: ignore[misc]


def clicked(make: State) -> tuple[Seen, Seen]:
    d = make()
    before = seen(d)
    d.press(pointed(d)).release()
    return before, seen(d)


def pressed(make: State, name: str) -> tuple[Seen, Seen]:
    d = make()
    before = seen(d)
    d.key(name)
    return before, seen(d)


def press(make: State, key: Key) -> bool:
    check, found = key_rule(key)
    if key.name == "Alt":
        d = make()
        before = seen(d)
        d.move(pointed(d), free=True)
        return check(before, seen(d), found)
    name = NAMES.get(key.name, key.name.lower())
    return check(*pressed(make, name), found)


def dragged(make: State, words: str) -> bool:
    d = make()
    before = seen(d)
    x, y = pointed(d)
    d.press((x, y)).move((x + 60.0, y - 80.0), free=True).move((x + 100.0, y - 100.0), free=True)
    drags = seen(d)
    d.release((x + 100.0, y - 100.0), free=True)
    after = seen(d)
    if words.startswith("a box"):
        return stays(before, drags) or before.tool == "hole"
    return drags.shown is not before.job and (drags.prompt.let_go != "" or after.job is not None)


def let_go(make: State, words: str) -> bool:
    d = make()
    before = seen(d)
    d.release()
    after = seen(d)
    if words == "to leave it there":
        return after.job == before.shown and after.job is not before.job
    if words == "to put it back":
        return stays(before, after)
    if words == "to mark them blocked":
        return len(after.job.table.marks) == 9
    assert words == "to select what is wholly inside the box"
    return stays(before, after) and after.said != ""


def typed_for(words: str) -> str:
    """What a person types who is told to type this."""
    if words.startswith("another distance"):
        return "50"
    such = re.search(r"such as (.*)", words)
    return {
        "a hole or x, y": "C4",
        "a hole, or a point such as 12, 8": "C4",
        "it as x, y": "300, 500",
        "a length": "250",
        "a pattern": "every 5th column from C",
        "an angle from table x": "30",
        "the other one": "K5",
    }.get(words, such[1] if such else words)


def goes_on_typed(make: State, words: str) -> bool:
    d = make()
    before = seen(d)
    d.type(typed_for(words))
    after = seen(d)
    return after.job is not before.job or goes_on(before, after)


@pytest.mark.expectation(93)
@pytest.mark.parametrize("name", STATES)
def test_every_promise_of_a_prompt_is_kept(name: str) -> None:
    make = STATES[name]
    prompt = make().controller.prompt
    assert prompt.text(), name
    kept = {words: keep() for words, keep in promises(make)}
    broken = [words for words, was_kept in kept.items() if not was_kept]
    assert not broken, (prompt.text(), broken)
    assert kept or prompt.click in ELSEWHERE or set(prompt.keys) <= OF_THE_WINDOW


def test_prompts_name_the_key_for_what_may_begin_with_a_letter() -> None:
    told = {}
    for make in STATES.values():
        prompt = make().controller.prompt
        if prompt.types:
            told[prompt.types] = prompt.lettered
    needed = {words: typed_for(words)[0].isalpha() for words in told}
    assert {words for words in told if told[words]} >= {words for words in told if needed[words]}
    assert {"a hole or x, y", "a pattern", "both, such as C4 J9"} <= {w for w in told if told[w]}
    assert not told["a length"]


def test_the_key_is_named_only_where_letters_go_to_the_plan() -> None:
    prompt = Prompt(click="the start point", types="a hole or x, y", lettered=True)
    assert prompt.text() == "Click the start point, or press T and type a hole or x, y."
    assert prompt.text(letters=False) == (
        "Click the start point, or press / and type a hole or x, y."
    )
    assert prompt.text(keys=False) == "Click the start point, or type a hole or x, y."


def test_every_tool_and_nearly_every_rule_is_tried() -> None:
    tools = {make().controller.tool.name for make in STATES.values()}
    assert tools == {
        *("select", "place", "plate", "member", "join", "notch", "dimension"),
        *("edge", "holes", "hole", "point"),
    }
    said = {make().controller.prompt.text() for make in STATES.values()}
    assert len(said) > 45


def test_a_prompt_leaves_out_what_keys_do_where_they_do_nothing() -> None:
    prompt = Prompt(
        click="to put it", enter=True, keys=(Key("R", "to turn"), Key("Esc", "to stop"))
    )
    assert prompt.text() == "Click or press Enter to put it. R to turn, Esc to stop."
    assert prompt.text(letters=False) == "Click or press Enter to put it. Esc to stop."
    assert prompt.text(keys=False) == "Click to put it."
    assert address(EMPTY.table, Hole(2, 3)) == "C4"
