"""Which way up and which hand, in words, on the trials."""

import pytest
from msgspec import structs

from gridjig.edits.setup_mirror import MirroredSetup, mirror_line, mirror_setup
from gridjig.edits.weldment import middle
from gridjig.geometry.display import Polyline
from gridjig.model import Job
from gridjig.sheets.drawings.layout import draw_setup
from gridjig.sheets.text.symmetry_text import advice_words, follow_words, hand_words, way_line
from gridjig.solve.layout.ways_up import ways_up
from gridjig.solve.mirror.symmetry import Symmetry, SymmetryKind
from tests.trials.keyed import KEYED
from tests.trials.layout import load, with_stop
from tests.workshop import EMPTY

HAND = "trial weldments, reckoned by hand"


@pytest.mark.source("method", HAND)
def test_the_trap_of_three_heights_is_told_in_plain_words() -> None:
    job = KEYED["T10"]()
    ways = ways_up(job)
    checks = load("T10")["checks"]
    assert (checks["total_stack_height_needed"], checks["total_height_in_stock"]) == (18.5, 15.5)
    words = advice_words(job, ways)
    assert words == (
        "Face down, 5 of 9 parts lie flush and no risers are needed. As placed, it cannot be "
        "set up:"
        ' it needs 18-1/2" of risers and the rack has 15-1/2". Turning it over mirrors the plan:'
        " left and right swap."
    )
    down, up = (way_line(job, way) for way in ways)
    assert (down.head, down.level, down.right) == ("Face down", "fine", "5 of 9 flush")
    assert down.under.endswith("no risers needed")
    assert (up.head, up.level) == ("As placed", "stop")
    assert 'risers: 8 × 2" high, 6 × 1/4" high, 8 × 1/8" high' in up.under
    assert 'short of 4 × 2" high, 2 × 1/4" high, 4 × 1/8" high' in up.under
    assert 'raise X1 cross, X2 cross 2-3/8" on 2 points each' in up.under
    assert 'raise R1 rail, R2 rail 3/8" on 1 point each' in up.under
    assert 'raise F strap 4-1/8" on 2 points: 2" high + 2" high + 1/8" high' in up.under


def test_a_flat_frame_lies_flush_either_way() -> None:
    job = KEYED["T01"]()
    assert advice_words(job, ways_up(job)).startswith("Every part lies flush")
    assert advice_words(EMPTY, ways_up(EMPTY)).startswith("There is no weldment")
    assert hand_words(EMPTY) == ""


@pytest.mark.source("method", HAND)
def test_risers_that_the_rack_has_are_fine() -> None:
    job = KEYED["T04"]()
    ways = ways_up(job)
    line = way_line(job, ways[0])
    assert (line.level, line.under) == (
        "fine",
        'raise K brace 1/4" on 2 points: 1/4" high\nrisers: 2 × 1/4" high',
    )
    assert "2 stacks of risers are needed" in advice_words(job, ways)


def test_a_rack_without_risers_is_told() -> None:
    job = KEYED["T04"]()
    bare = structs.replace(job.rack, pieces=tuple(p for p in job.rack.pieces if p.kind != "riser"))
    line = way_line(structs.replace(job, rack=bare), ways_up(structs.replace(job, rack=bare))[0])
    assert "no riser fits" in line.under
    few = structs.replace(
        job.rack,
        pieces=tuple(
            structs.replace(p, owned=1) if p.kind == "riser" else p for p in job.rack.pieces
        ),
    )
    short = structs.replace(job, rack=few)
    assert way_line(short, ways_up(short)[0]).level == "look"


def test_own_opposite_hand_is_shown_with_a_sign() -> None:
    assert hand_words(KEYED["T01"]()).startswith("● It is the same above and below")
    assert hand_words(KEYED["T06"]()).startswith("▲ It has a left and a right hand: E end plate")


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("mirror line", "on both sides of a line"),
        ("turned over", "above and below its middle"),
        ("turned over and rotated", "Turned over and rotated"),
    ],
)
def test_each_kind_of_symmetry_has_its_words(
    monkeypatch: pytest.MonkeyPatch, kind: SymmetryKind, words: str
) -> None:
    monkeypatch.setattr(
        "gridjig.sheets.text.symmetry_text.weldment_symmetry", lambda _: Symmetry(kind)
    )
    said = hand_words(KEYED["T01"]())
    assert said.startswith("● ")
    assert words in said


def set_up(trial: str) -> Job:
    job = KEYED[trial]()
    for stop in load(trial)["stops"]:
        job = with_stop(job, stop)
    return job


def mirrored(job: Job, face_down: bool = False) -> MirroredSetup:
    at = mirror_line(job, "x", middle(job)[0])
    return mirror_setup(job, "x", at, face_down=face_down)


@pytest.mark.source("method", HAND)
def test_what_follows_over_is_told_and_drawn() -> None:
    job = set_up("T01")
    made = mirrored(job)
    said = follow_words(job, made, face_down=False)
    assert said[0].startswith("The weldment becomes its opposite hand")
    assert said[1] == "6 of 6 pieces move to the mirrored holes."
    assert any(isinstance(s, Polyline) and s.role == "ghost" for s in draw_setup(job, made.job))
    assert draw_setup(job, job) == ()
    down = follow_words(job, mirrored(job, face_down=True), face_down=True)
    assert down[0].startswith("It is turned over: the plan is mirrored")


def test_what_cannot_follow_is_named() -> None:
    job = set_up("T01")
    first, second, third, *_ = job.placements
    made = MirroredSetup(
        job,
        ((first.id, "A datum 1 has a hand."),),
        (second.id,),
        ((third.id, "stop-adjustable"),),
    )
    said = follow_words(job, made, face_down=False)
    assert said[1] == "5 of 6 pieces move to the mirrored holes."
    assert said[2] == "Turned over: A datum 2."
    assert said[3] == "C datum end: Adjustable stop takes its place."
    assert said[4] == "✕ A datum 1 has a hand."
    assert len(follow_words(EMPTY, MirroredSetup(EMPTY, (), (), ()), face_down=False)) == 1
