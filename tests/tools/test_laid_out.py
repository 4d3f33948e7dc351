"""Weldments jigged from an empty table with the place tool alone, every action counted.

An action is one key, one click, or one text typed with its Enter.  The shape and its corner are
counted as the form of standard weldments takes them.  Nothing is typed for a piece: it turns,
slides, reaches and is packed by itself where its hole is clicked.
"""

from collections.abc import Callable

import pytest

from gridjig.checks.finding import Finding
from gridjig.contact.accepted import open_gap
from gridjig.contact.book import contacts
from gridjig.edits.placements import set_accepted_gap
from gridjig.edits.starters import build, put_starter, starter
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import Job
from gridjig.proof.report import ProofReport, prove
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.draw.place_tool import PlaceTool
from tests.driver import Driver
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH

pytestmark = pytest.mark.untraced
CORNER = "front and back run through"
STARTED, FORM, PICKED = 1, 4, 3
"""Actions to begin a job, for the form (its key, the shape, the corner, Enter), and for a piece
(the key, its name, Enter).
"""


class Fabricator:
    """Somebody with a mouse at the table."""

    def __init__(self, job: Job) -> None:
        self.driver = Driver(job)
        self.actions = STARTED + FORM

    def take(self, piece: str, *holes: str) -> None:
        """Take a piece from the rack and click these holes; "R" before one is the key."""
        self.driver.tool(lambda document: PlaceTool(document, piece))
        self.actions += PICKED
        for hole in holes:
            turned, _, at = hole.rpartition(" ")
            self.driver.hover(at)
            if turned:
                self.driver.key("r")
            before = len(self.driver.job.placements)
            self.driver.click(at)
            assert len(self.driver.job.placements) == before + 1, (piece, at, self.driver.hint)
            self.actions += 1 + bool(turned)

    def accept_gaps(self) -> None:
        """Select what leaves a gap, one by one, and choose the line of the menu."""
        job = self.driver.job
        found = contacts(job, PlacedPieces().of(job))
        gaps = [(p.id, gap) for p in job.placements if (gap := open_gap(found, p.id)) > 0.0]
        for thing_id, gap in gaps:
            job = set_accepted_gap(job, thing_id, gap)
        self.driver.document.do(job, "Accept the gaps")
        self.actions += len(gaps) + 2


def standard(key: str, at: Point, chosen: dict[str, str], **numbers: float) -> Job:
    """An empty table with a standard weldment, its corner at a point in inches."""
    one, table = starter(key), ready_tables()["48x48-5/8"]
    found = {stock.key: find_section(stock.inches) for stock in one.stock}
    sections = {name: section for name, section in found.items() if section is not None}
    sizes = {size.key: size.inches for size in one.sizes} | numbers
    parts = build(one, sections, sizes, chosen, {p.key: p.inches for p in one.places})
    job = Job(name=one.name, table=table, rack=rack_for(table))
    return put_starter(job, parts, (at[0] * INCH, at[1] * INCH))[0]


def frame() -> Fabricator:
    job = standard("railed-frame", (9.5, 11.5), {"corners": CORNER}, rails=1)
    hands = Fabricator(job)
    hands.actions += 2  # one mid-rail, and how the corners are made
    hands.take("stop-fixed", "G6", "O6", "E15", "E6")
    hands.take("stop-adjustable", "R11", "G16", "O16")
    hands.take("pin-1", "L9", "L13", "R9")
    hands.take("pin-3-4", "E12", "E9")
    hands.take("clamp-down-low", "K5", "K17", "D11", "S12")
    hands.take("clamp-down-tall", "J11")
    return hands


def gable() -> Fabricator:
    hands = Fabricator(standard("gable", (3.5, 11.5), {}, span=40 * INCH))
    hands.actions += 1  # the span
    hands.take("stop-fixed", "F6", "R6", "B6")
    hands.take("pin-1", "F10", "H11", "Q11", "O12")
    hands.take("clamp-down-low", "E10", "T9", "L5", "N9")
    hands.accept_gaps()
    return hands


def t02() -> Fabricator:
    hands = Fabricator(KEYED["T02"]())
    hands.actions += 3  # width, depth and section
    hands.take("stop-fixed", "F6", "S6", "C14", "C10")
    hands.take("stop-adjustable", "V12", "V9", "F19")
    hands.take("pin-1", "S18")
    hands.take("clamp-down-low", "L8", "L16", "E12", "T12")
    return hands


def t04() -> Fabricator:
    hands = Fabricator(KEYED["T04"]())
    hands.actions += 3
    hands.take("stop-fixed", "F8", "F13", "M6", "I6")
    hands.take("stop-adjustable", "P7", "G16")
    hands.take("riser-1-4", "H11", "K8")
    hands.take("pin-1", "I12", "L9")
    hands.take("clamp-down-low", "H14", "N8", "I9")
    hands.accept_gaps()
    return hands


def t06() -> Fabricator:
    hands = Fabricator(KEYED["T06"]())
    hands.actions += 14  # no standard weldment: two members and a plate are drawn and trimmed
    hands.take("stop-fixed", "G5", "R5", "E6")
    hands.take("riser-1-4", "I7", "O11")
    hands.take("pin-1", "J9", "M11", "Q13")
    hands.take("stop-one-pin", "Q11")
    hands.take("clamp-down-low", "M13", "K3", "P4")
    hands.accept_gaps()
    return hands


def t08() -> Fabricator:
    hands = Fabricator(KEYED["T08"]())
    hands.take("stop-fixed", "H21")
    hands.take("stop-adjustable", "F2", "T2", "M6")
    hands.take("pin-1", "F9", "I19", "S9", "P19")
    hands.take("clamp-down-low", "F12", "S12", "M14", "M9")
    hands.accept_gaps()
    return hands


LAID: dict[str, tuple[Callable[[], Fabricator], int, set[str], set[str]]] = {
    "frame with a mid-rail": (frame, 60, set(), set()),
    "gable": (gable, 70, {"sharp"}, set()),
    "T02": (t02, 60, {"loose"}, set()),
    "T04": (t04, 60, {"sharp"}, set()),
    "T06": (t06, 70, {"sharp", "stands", "turns"}, {"E end plate 3x.25"}),
    "T08": (t08, 60, {"edge"}, {"TB top bar"}),
}
"""For each the most actions, what stays to look at, and what is not clamped.

A tube at a sharp angle and stops over the front edge are in the drawing.  A mitred frame has a
first member that nothing holds along its length.  The end plate of T06 is thin and stands on edge;
the rack has no fifth low clamp for the top bar of T08.
"""


def kinds(report: ProofReport) -> set[str]:
    """What there is to look at."""
    return {one.id.partition("/")[0] for one in report.findings if one.level == "look"}


@pytest.mark.source("practice", "a frame with a mid-rail in 60 actions, a gable in 70")
@pytest.mark.parametrize("name", sorted(LAID))
def test_laid_out_in_few_actions_located_and_clamped(name: str) -> None:
    lay, most, left, bare = LAID[name]
    hands = lay()
    job = hands.driver.job
    report = prove(job, PlacedPieces().of(job))
    stops: list[Finding] = [one for one in report.findings if one.level == "stop"]
    assert not stops
    assert kinds(report) == left
    assert report.located is not None
    assert report.held is not None
    names = {part.id: part.name for part in job.parts}
    assert len(report.located.parts) == len(names) >= 3
    loose = [names[one.id] for one in report.located.parts if one.located == "loose"]
    assert len(loose) == ("loose" in left)
    held = {names[one.id]: one.by for one in report.held.parts}
    assert {part for part, by in held.items() if by == "weight"} == bare
    assert "nothing" not in held.values()
    assert hands.actions <= most, hands.actions
