"""What can still move, drawn and played: how far, which way, and back again."""

import math
from itertools import pairwise

import pytest
from msgspec import structs

from gridjig.geometry.display import Arc, DisplayList, Polyline, Symbol, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.proof.located.values import Located, Motion
from gridjig.proof.report import ProofReport, prove
from gridjig.rack import Point
from gridjig.sheets.drawings.proof import draw_proof
from gridjig.sheets.drawings.proof_motion import (
    LEAST_SEEN,
    SLIDE,
    TURN,
    draw_moved,
    enlarged,
    goes,
    loose_ones,
    moved_rings,
    moves_words,
    share_at,
)
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import Proved, layout, piece_named, pin_at, slid, without

JOB = layout("T01")


def proved(job: Job) -> ProofReport:
    return prove(job, PlacedPieces().of(job))


REPORT = proved(JOB)
PART = JOB.parts[0]


def drawn(report: ProofReport, played: Located | None = None) -> DisplayList:
    return draw_proof(JOB, report, frozenset(["motion"]), played)


def loose(motion: Motion) -> tuple[ProofReport, Located]:
    """The report as it would be if the first part could still move so, and nothing else."""
    located = REPORT.located
    assert located is not None
    parts = tuple(
        structs.replace(one, motion=motion if one.id == PART.id else None) for one in located.parts
    )
    whole = tuple(structs.replace(one, motion=None) for one in located.weldments)
    report = structs.replace(REPORT, located=structs.replace(located, parts=parts, weldments=whole))
    (one,) = loose_ones(report)
    return report, one


def moved(one: Located, share: float) -> list[tuple[Point, Point]]:
    """Each corner of the part before and after a share of its motion."""
    (ring,) = moved_rings(JOB, one, share)
    return list(zip(part_ring(PART), ring, strict=True))


def tips(shapes: DisplayList) -> list[Point]:
    """The tips of the arrows, and where the heads of an arc are."""
    return [s.points[1] for s in shapes if isinstance(s, Polyline) and len(s.points) == 3]


def test_the_motion_is_in_the_line_of_moving_things() -> None:
    lines = [shape for shape in drawn(REPORT) if isinstance(shape, Polyline)]
    assert len(lines) >= 4
    assert {line.role for line in lines} == {"reach"}


@pytest.mark.source("method", "arithmetic: every corner is moved by the same vector")
def test_a_slide_goes_as_far_as_its_stops_let_it_each_way() -> None:
    report, one = loose(Motion("slide", direction=(1.0, 0.0), ahead=12.0, back=None))
    for share, by in ((1.0, 12.0), (0.5, 6.0), (0.0, 0.0), (-1.0, -SLIDE)):
        for p, q in moved(one, share):
            assert q == pytest.approx((p[0] + by, p[1]))
    x, y = one.where
    assert tips(drawn(report)) == [(x + 45.0, y), (x - 45.0, y)]
    assert moves_words(JOB, one) == "A bottom moves like this; nothing was found to stop it."


def test_against_a_stop_it_is_drawn_the_other_way_only() -> None:
    report, one = loose(Motion("slide", direction=(1.0, 0.0), ahead=0.0, back=30.0))
    assert goes(one) == (-1.0,)
    rings = [s for s in drawn(report) if isinstance(s, Polyline) and s.closed]
    assert len(rings) == 1
    assert max(x for x, _ in rings[0].points) == max(x for x, _ in part_ring(PART)) - 30.0
    assert tips(drawn(report)) == [(one.where[0] - 45.0, one.where[1])]
    assert moves_words(JOB, one) == 'A bottom moves like this, by 1.181" in all.'


@pytest.mark.source("method", "arithmetic: a turn keeps every distance from its centre")
def test_a_turn_is_drawn_about_its_centre_with_an_arc() -> None:
    report, one = loose(Motion("turn", centre=(0.0, 0.0), ahead=3.0, back=2.0))
    for share, by in ((1.0, 3.0), (-1.0, -2.0)):
        for p, q in moved(one, share):
            assert math.hypot(*q) == pytest.approx(math.hypot(*p))
            turned = math.degrees(math.atan2(q[1], q[0]) - math.atan2(p[1], p[0]))
            assert turned == pytest.approx(by)
    shapes = drawn(report)
    (arc,) = [shape for shape in shapes if isinstance(shape, Arc)]
    assert arc.centre == (0.0, 0.0)
    assert arc.end - arc.start == pytest.approx(30.0)
    assert len(tips(shapes)) == 2
    (sign,) = [shape for shape in shapes if isinstance(shape, Symbol)]
    assert (sign.at, sign.mark) == ((0.0, 0.0), "turns")
    assert moves_words(JOB, one) == "A bottom moves like this, by 5° in all."


def test_what_nothing_stops_is_drawn_a_little_way_on() -> None:
    _, one = loose(Motion("turn", centre=(0.0, 0.0)))
    (x, y), (u, v) = moved(one, 1.0)[0]
    assert math.degrees(math.atan2(v, u) - math.atan2(y, x)) == pytest.approx(TURN)


@pytest.mark.source("method", "arithmetic: .3 mm, drawn 20 times as large, is 6 mm")
def test_a_motion_too_small_to_be_seen_is_enlarged_and_says_so() -> None:
    report, one = loose(Motion("slide", direction=(0.0, 1.0), ahead=0.3, back=0.1))
    assert enlarged(JOB, one) == 20.0
    for p, q in moved(one, 1.0):
        assert math.dist(p, q) == pytest.approx(LEAST_SEEN)
    (told,) = [s.text for s in drawn(report) if isinstance(s, TextLabel)]
    assert told == "enlarged 20 times"
    assert moves_words(JOB, one) == (
        'A bottom moves like this, by .016" in all, drawn 20 times as large.'
    )


def test_what_nothing_touches_slides_every_way_and_turns() -> None:
    report, one = loose(Motion("free"))
    shapes = drawn(report)
    assert [s.mark for s in shapes if isinstance(s, Symbol)] == ["turns"]
    x, y = one.where
    assert set(tips(shapes)) == {(x + 45, y), (x - 45, y), (x, y + 45), (x, y - 45)}


@pytest.mark.source("method", "one pin at a bar: it slides along its face, and turns at the pin")
def test_what_one_pin_touches_slides_along_it_and_turns_about_it() -> None:
    job = pin_at(structs.replace(JOB, placements=()), "H6", PART.id, (0.0, -1.0))
    located = proved(job).located
    assert located is not None
    (whole,) = located.weldments
    assert whole.motion is not None
    assert (whole.motion.kind, whole.motion.direction) == ("free", (1.0, 0.0))
    (touching,) = Proved(job).contacts.pieces[piece_named(job, "Pin H6")].touching
    assert whole.motion.centre == pytest.approx(touching.middle)
    slide, turn = (moved_rings(job, whole, share)[0] for share in (1.0, -1.0))
    old = part_ring(job.parts[0])
    assert [(round(q[0] - p[0], 6), round(q[1] - p[1], 6)) for p, q in zip(old, slide, strict=True)
            ] == [(SLIDE, 0.0)] * len(old)  # fmt: skip
    assert whole.motion.centre is not None
    for p, q in zip(old, turn, strict=True):
        assert math.dist(q, whole.motion.centre) == pytest.approx(math.dist(p, whole.motion.centre))


def test_what_is_played_starts_gently_goes_each_way_and_ends_where_it_began() -> None:
    _, both = loose(Motion("slide", direction=(1.0, 0.0)))
    _, one = loose(Motion("slide", direction=(1.0, 0.0), ahead=0.0))
    times = [k / 120.0 for k in range(121)]
    there = [share_at(both, t) for t in times]
    assert there[0] == there[60] == pytest.approx(0.0)
    assert there[-1] == pytest.approx(0.0, abs=1e-9)
    assert there[30] == pytest.approx(1.0)
    assert there[90] == pytest.approx(-1.0)
    steps = [abs(b - a) for a, b in pairwise(there)]
    assert max(steps) < 0.06  # it never jumps
    alone = [share_at(one, t) for t in times]
    assert alone[60] == pytest.approx(-1.0)
    assert max(alone) <= 0.0
    _, fast = loose(Motion("slide", direction=(1.0, 0.0), ahead=0.0, back=0.0))
    assert share_at(fast, 0.5) == 0.0


def test_what_is_played_is_not_drawn_twice() -> None:
    every = loose_ones(REPORT)
    assert len(every) >= 2
    outlines = [s for s in drawn(REPORT) if isinstance(s, Polyline) and s.closed]
    left = [s for s in drawn(REPORT, every[0]) if isinstance(s, Polyline) and s.closed]
    assert len(outlines) - len(left) == len(goes(every[0]))
    assert len(draw_moved(JOB, every[0], 0.5)) == 1


@pytest.mark.source("method", "arithmetic: the stop behind is set back by 1/8 in, none in front")
def test_how_far_it_goes_ahead_and_back_is_known_apart() -> None:
    job = slid(without(layout("T04"), "H datum 1"), "U end", -0.125)
    motion = Proved(job).part("U upright").motion
    assert motion is not None
    assert (motion.kind, motion.direction, motion.back) == ("slide", (0.0, 1.0), None)
    assert motion.ahead == pytest.approx(25.4 / 8, abs=1e-6)
    assert motion.by is None


def test_what_is_fast_is_not_moved() -> None:
    located = REPORT.located
    assert located is not None
    fast = structs.replace(located.parts[0], motion=None)
    assert moved_rings(JOB, fast, 1.0) == []
    assert goes(fast) == ()
    assert enlarged(JOB, fast) == 1.0
    assert moves_words(JOB, fast) == "A bottom does not move."
    assert loose_ones(structs.replace(REPORT, located=None)) == ()
