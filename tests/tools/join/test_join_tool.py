import math

import pytest
from msgspec import structs

from gridjig.edits.joining import butted, coped, end_point, mitred, trimmed
from gridjig.edits.members import between
from gridjig.model import Job, Member, Section
from gridjig.tools.core.tool import Commit, Nothing
from gridjig.tools.join.join_kinds import JoinKind, join_selected, mitre_selected
from gridjig.tools.join.join_tool import JoinTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, pin, plate

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ROUND = Section(name="60.3x3.6", kind="round tube", width=60.3, height=60.3, wall=3.6)
SMALL = Section(name="42.4x3.2", kind="round tube", width=42.4, height=42.4, wall=3.2)
A = between("a", "bottom", TUBE, (100, 100), (500, 100))
B = between("b", "right", TUBE, (500, 100), (500, 400))
C = between("c", "brace", TUBE, (200, 200), (350, 350))
PIPE = between("p", "pipe", ROUND, (100, 600), (500, 600))
BRANCH = between("r", "branch", SMALL, (300, 300), (300, 500), z_low=8.95)
LOW = between("l", "low branch", SMALL, (300, 300), (300, 500))
JOB = laid(A, B, C, PIPE, BRANCH, LOW, plate("sheet", 600, 300), pin("pin", 0, 0))


def joining(kind: JoinKind, job: Job = JOB, first: str | None = None) -> Driver:
    return Driver(job).tool(lambda document: JoinTool(document, kind, first))


def test_trimming_by_two_clicks_shows_the_result_first() -> None:
    d = joining("trim").hover((205, 205)).expect_hint("near the end that moves (brace)")
    d.click((205, 205)).expect_hint("member or plate", "First: brace")
    d.hover((300, 110))
    assert d.member("c", shown=True) == trimmed(C, A, end="start")
    assert d.job is JOB
    d.click((300, 110)).expect_step("Cut brace to fit bottom").expect_hint("Brace ends at bottom")
    assert d.member("c") == trimmed(C, A, end="start")


def test_a_name_typed_straight_on_the_plan_may_lack_the_t_that_opened_the_row() -> None:
    tubes = laid(*(structs.replace(one, name=f"tube {k}") for k, one in enumerate((A, B, C), 1)))
    d = joining("trim", tubes).type("ube 3").expect_hint("First: tube 3")
    d.type("tube 1").expect_step("Cut tube 3 to fit tube 1")
    joining("trim", tubes).type("").expect_hint("near the end that moves")
    both = laid(structs.replace(A, name="op"), structs.replace(B, name="top"))
    joining("trim", both).type("op").expect_hint("First: op")


def test_the_prompt_names_the_end_that_was_taken() -> None:
    joining("trim").click((205, 205)).expect_hint("First: brace, its end at D4.")
    joining("trim").click((345, 345)).expect_hint("First: brace, its end at G7.")
    d = joining("mitre").click((105, 100)).expect_hint("First: bottom.")
    assert "its end" not in d.hint


def test_and_the_end_that_moves_if_the_previewed_joint_moves_the_other_one() -> None:
    """Clicked nearer to its free end, a post that begins in a rail is cut at the rail."""
    post = between("c", "post", TUBE, (300, 100), (300, 400))
    d = joining("trim", laid(A, post)).click((300, 300)).expect_hint("First: post, its end at F8.")
    d.hover((150, 100)).expect_hint("First: post, its end at F2.")
    assert d.member("c", shown=True).length == pytest.approx(275)
    d.hover((300, 450)).expect_hint("First: post, its end at F8.")  # nothing is shown any more
    d.click((150, 100)).expect_step("Cut post to fit bottom")
    assert d.member("c").y == pytest.approx(125)


def test_a_brace_that_still_runs_into_another_part_says_so() -> None:
    left = between("left", "left", TUBE, (100, 100), (100, 700))
    brace = between("brace", "brace", TUBE, (400, 100), (100, 400))
    job = laid(A, left, brace)
    d = joining("trim", job).click((370, 130)).click((300, 100))
    d.expect_hint("Brace ends at bottom. It still runs into left. Ctrl+Z undoes it.")
    d.click((130, 370)).click((100, 600)).expect_hint("Brace ends at left. Ctrl+Z undoes it.")
    assert "runs into" not in d.hint
    across = between("across", "across", TUBE, (250, 150), (250, 400))
    d = joining("trim", laid(A, left, across, brace)).click((370, 130)).click((300, 100))
    d.expect_hint("Brace ends at bottom. It still runs into left and across. Ctrl+Z undoes it.")
    d = joining("trim", job).click((130, 370)).click((300, 100))  # the end inside it is meant
    d.expect_hint("Brace ends at bottom. It still runs into left.")


def test_a_far_face_through_the_part_points_to_the_near_one() -> None:
    brace = between("brace", "brace", TUBE, (300, 100), (300, 400))
    d = joining("trim", laid(A, brace)).click((300, 160)).click((400, 76))
    d.expect_hint(
        "Brace ends at bottom. It runs through bottom: click the middle of bottom for its near"
        " face. Ctrl+Z undoes it."
    )
    d.click((300, 160)).click((400, 100)).expect_hint("Brace ends at bottom. Ctrl+Z undoes it.")


@pytest.mark.parametrize("kind", ["mitre", "butt"])
@pytest.mark.parametrize(
    ("across", "words"),
    [
        (between("x", "bar", TUBE, (300, 50), (300, 400)), "Bottom still runs into bar."),
        (between("x", "bar", TUBE, (300, 250), (700, 250)), "Right still runs into bar."),
    ],
)
def test_a_corner_that_still_runs_into_another_part_names_what_does(
    kind: JoinKind, across: Member, words: str
) -> None:
    d = joining(kind, laid(A, B, across)).click((200, 100)).click((500, 350))
    d.expect_hint(f". {words} Ctrl+Z undoes it.")


def test_a_click_on_one_face_cuts_at_that_face() -> None:
    d = joining("trim").click((205, 205)).hover((300, 76))
    assert {"selected", "face"} <= d.roles
    d.click((300, 76))
    assert d.member("c") == trimmed(C, A, A.mill_edges[0], "start")
    assert d.member("c").length > trimmed(C, A, None, "start").length


def test_a_member_that_runs_into_another_on_its_way_is_named() -> None:
    """The brace lies over the stile if it is drawn out to the rail beyond."""
    rail = between("far", "far rail", TUBE, (-200, -100), (-200, 300))
    stile = between("s", "stile", TUBE, (0, -100), (0, 300))
    brace = between("b", "brace", TUBE, (100, 100), (300, 100))
    d = joining("trim", laid(rail, stile, brace)).click((110, 100)).click((-200, 100))
    d.expect_step("Cut brace to fit far rail").expect_hint("Brace ends at far rail.")
    d.expect_hint("But stile and brace now overlap by 50 mm. Ctrl+Z undoes it.")
    clear = joining("trim", laid(stile, brace)).click((110, 100)).click((0, 100))
    assert "overlap" not in clear.hint


def test_the_middle_of_a_member_means_the_member_however_small_it_is_shown() -> None:
    d = joining("trim").click((205, 205))
    d.zoom(5.0).hover((300, 98))
    assert "face" not in d.roles
    d.click((300, 98))
    assert d.member("c") == trimmed(C, A, None, "start")


def test_a_post_is_pointed_by_trimming_it_to_one_rafter_after_the_other() -> None:
    left, right = mitred(
        between("l", "left", TUBE, (100, 200), (500, 400)),
        between("r", "right", TUBE, (900, 200), (500, 400)),
    )
    post = between("k", "post", TUBE, (500, 100), (500, 250))
    d = joining("trim", laid(left, right, post))
    d.click((500, 240)).click((300, 300)).expect_step("Cut post to fit left")
    d.click((500, 240)).hover((700, 300))
    assert len(d.member("k", shown=True).end.more) == 1
    d.click((700, 300)).expect_step("Cut post to fit right").expect_hint("Post ends at right")
    assert [abs(cut.angle) for cut in d.member("k").end.saws] == pytest.approx(
        [math.degrees(math.atan2(1, 2))] * 2
    )
    d.click((500, 240)).click((700, 300)).expect_hint("already")


def test_a_far_face_out_of_reach_points_to_the_near_one() -> None:
    """The post still runs into the rafter: that it does not reach it would be no help."""
    left, right = (between(*ends) for ends in (
        ("l", "left", TUBE, (100, 200), (520, 410)), ("r", "right", TUBE, (900, 200), (530, 385)),
    ))  # fmt: skip
    post = between("k", "post", TUBE, (500, 0), (500, 450))
    d = joining("trim", laid(left, right, post)).click((500, 300)).click((300, 300))
    d.expect_hint("Post ends at left. It still runs into right.")
    before = d.job
    d.click((500, 300)).click((711.0, 322.0)).expect_hint(
        "Post cannot end at that face of right. Click the middle of right for its near face."
    )
    assert d.job is before
    d.click((700, 300)).expect_step("Cut post to fit right")
    assert len(d.member("k").end.more) == 1


def test_a_member_is_extended_to_a_plate_and_another_member() -> None:
    short = between("s", "short", TUBE, (300, 320), (400, 320))
    job = laid(short, plate("sheet", 600, 300))
    d = joining("trim", job).click((390, 330)).click((620, 310))
    d.expect_step("Cut short to fit sheet")
    assert d.member("s").length == 300
    joining("trim").click((495, 390)).click((300, 590)).expect_hint("Right ends at pipe")


@pytest.mark.expectation(24, 85)
def test_what_cannot_be_is_said_before_the_click_and_changes_nothing() -> None:
    d = joining("trim").click((110, 100)).hover((300, 590)).expect_hint("parallel")
    d.click((300, 590)).expect_hint("parallel").expect_untouched(JOB)
    d = joining("cope").click((300, 490)).hover((300, 110))
    d.expect_hint("is not round").expect_untouched(JOB)
    job = laid(PIPE, LOW)
    d = joining("cope", job).click((300, 490)).click((300, 600)).expect_hint("the same height")
    d.expect_untouched(job)


def test_a_corner_is_mitred_or_butted() -> None:
    d = joining("mitre").click((300, 90)).click((510, 250)).expect_step("Mitre bottom and right")
    assert (d.member("a"), d.member("b")) == mitred(A, B)
    d = joining("butt").click((300, 90)).click((510, 250)).expect_step("Butt right against bottom")
    assert (d.member("a"), d.member("b")) == butted(A, B)


def test_a_round_member_is_coped() -> None:
    job = laid(PIPE, BRANCH)
    d = (
        joining("cope", job)
        .click((300, 490))
        .click((200, 600))
        .expect_step("Cope branch around pipe")
    )
    assert d.member("r") == coped(BRANCH, PIPE)


def test_the_first_must_be_a_member_and_the_second_another() -> None:
    d = joining("mitre").click((620, 310)).expect_hint("is a plate; click a member first")
    d.click((300, 90)).click((300, 90)).expect_hint("same member")
    d.hover((20, 20)).expect_hint("First: bottom")
    d.click((900, 20)).expect_hint("no part of the weldment here")


@pytest.mark.expectation(22)
def test_escape_drops_the_first_then_leaves() -> None:
    d = joining("mitre").click((300, 90)).hover((510, 250))
    assert d.shown is not JOB
    d.key("escape").expect_untouched(JOB).expect_hint("Click one member of the corner")
    d.key("escape").expect(lambda d: d.controller.tool.name == "select")
    d = joining("mitre").click((300, 90)).hover((510, 250))
    d.controller.home()
    d.expect_untouched(JOB)


@pytest.mark.expectation(25, 61)
def test_keys_and_names_do_it_without_a_pointer() -> None:
    d = joining("mitre").key("right").expect_hint("(bottom)").key("enter")
    d.key("right").key("enter").expect_step("Mitre bottom and right")
    d = joining("trim").type("brace").type("frogs").expect_hint("No part", "frogs").type("A")
    assert d.member("c") == trimmed(C, A)
    d = joining("trim").key("left").expect_hint("(sheet)").key("up").expect_hint("(bottom)")
    d.key("q")
    joining("trim", EMPTY).key("up").expect_hint("no parts yet")


def test_an_undo_that_takes_the_first_away_starts_anew() -> None:
    d = Driver(laid(A))
    d.document.do(laid(A, B), "Draw right")
    d.tool(lambda document: JoinTool(document, "mitre")).click((510, 250))
    d.undo().hover((300, 90)).expect_hint("Click one member")
    d.document.redo()
    d.click((510, 250)).undo().click((300, 90)).expect_hint("First: bottom")


def test_a_joint_that_is_there_already_is_no_step() -> None:
    d = joining("mitre").click((300, 90)).click((510, 250))
    d.click((300, 90)).click((510, 250)).expect_hint("mitred already").expect_steps(1)
    d.release()


# -- two that are selected -------------------------------------------------------------------------


def outcome(kind: JoinKind, *ids: str, job: Job = JOB) -> Job:
    done = join_selected(job, kind, frozenset(ids))
    assert isinstance(done, Commit), done
    return done.job


def test_two_selected_are_joined_at_once_and_a_butt_changes_over() -> None:
    once = outcome("butt", "a", "b")
    assert (once.find("a"), once.find("b")) == butted(A, B)
    twice = outcome("butt", "a", "b", job=once)
    right, bottom = butted(B, A)
    found_a, found_b = twice.find("a"), twice.find("b")
    assert isinstance(found_a, Member)
    assert isinstance(found_b, Member)
    assert (found_a.length, found_b.length) == (bottom.length, right.length)
    assert outcome("mitre", "a", "b").find("a") == mitred(A, B)[0]


def test_of_two_selected_the_one_that_changes_less_is_trimmed() -> None:
    brace = between("x", "brace", TUBE, (350, 200), (500, 350))
    once = outcome("trim", "a", "x", job=laid(A, brace))
    assert once.find("x") == trimmed(brace, A)
    assert once.find("a") is A
    again = join_selected(once, "trim", frozenset(["a", "x"]))
    assert again.said == "Brace ends at bottom already."


def test_of_two_selected_the_one_that_is_not_round_is_coped() -> None:
    square = between("s", "post", TUBE, (300, 300), (300, 500), z_low=5.15)
    job = laid(PIPE, square)
    assert outcome("cope", "p", "s", job=job).find("s") == coped(square, PIPE)


@pytest.mark.parametrize("ids", [(), ("a",), ("a", "b", "c"), ("a", "pin")])
def test_less_or_more_than_two_parts_are_asked_for(ids: tuple[str, ...]) -> None:
    done = join_selected(JOB, "mitre", frozenset(ids))
    assert isinstance(done, Nothing)
    assert "Select two members" in done.said


@pytest.mark.source("method", "a closed run of n members has n corners; each angle is halved")
@pytest.mark.parametrize("count", [3, 4, 6])
def test_all_corners_of_a_closed_run_are_mitred_in_one_step(count: int) -> None:
    """Opposite members of a hexagon meet too, if they are extended: that is no corner."""
    turns = [math.radians(360.0 / count * k) for k in range(count)]
    at = [(500 + 300 * math.cos(t), 500 + 300 * math.sin(t)) for t in turns]
    ring = [between(f"m{k}", f"m{k}", TUBE, at[k], at[(k + 1) % count]) for k in range(count)]
    job = laid(*ring, PIPE)
    done = mitre_selected(job, frozenset(one.id for one in ring))
    assert isinstance(done, Commit)
    assert done.said == f"{count} corners are mitred. Ctrl+Z undoes it."
    for one in ring:
        cut = done.job.find(one.id)
        assert isinstance(cut, Member)
        half = 90.0 - (180.0 - 360.0 / count) / 2.0
        assert (abs(cut.start.angle), abs(cut.end.angle)) == pytest.approx((half, half))
    assert done.job.find("p") is PIPE
    again = mitre_selected(done.job, frozenset(one.id for one in ring))
    assert again.said == "All corners of the selected members are mitred already."


@pytest.mark.parametrize("foot", [45.0, 80.0, 95.0])
def test_a_brace_that_branches_off_is_no_corner(foot: float) -> None:
    """A mitre would cut off the foot of the post, which may be longer than the tube is wide."""
    post = between("a", "post", TUBE, (400, 200), (400, 600))
    arm = between("b", "arm", TUBE, (400, 600), (900, 600))
    brace = between("c", "brace", TUBE, (400, 200 + foot), (800, 600))
    job = laid(post, arm, brace)
    done = mitre_selected(job, frozenset("abc"))
    assert isinstance(done, Commit)
    cut = done.job.find("a")
    assert isinstance(cut, Member)
    assert end_point(cut, "start") == pytest.approx((400, 200 + (foot if foot < 70.0 else 0.0)))


def test_corners_that_cannot_be_mitred_are_told_and_the_others_are() -> None:
    along = between("d", "top", TUBE, (500, 400), (500, 700))
    done = mitre_selected(laid(A, B, along), frozenset(["a", "b", "d"]))
    assert isinstance(done, Commit)
    assert done.said.startswith("1 corner is mitred. ")
    assert "parallel" in done.said
    assert (done.job.find("a"), done.job.find("b")) == mitred(A, B)
    apart = mitre_selected(laid(A, C, PIPE), frozenset(["a", "c", "p"]))
    assert apart.said == "No two ends of the selected members meet in a corner."


def test_one_over_the_other_is_no_corner() -> None:
    over = between("o", "over", TUBE, (500, 100), (500, 400), z_low=50)
    done = mitre_selected(laid(A, over, C), frozenset(["a", "o", "c"]))
    assert done.said == "No two ends of the selected members meet in a corner."


def test_two_that_cannot_be_joined_say_why() -> None:
    done = join_selected(JOB, "mitre", frozenset(["a", "p"]))
    assert isinstance(done, Nothing)
    assert "parallel" in done.said
    done = join_selected(JOB, "trim", frozenset(["sheet", "a"]))
    assert math.isfinite(len(done.said))


def test_what_an_undo_took_away_below_the_pointer_is_drawn_no_more() -> None:
    d = Driver(laid(A))
    d.document.do(laid(A, C), "Draw brace")
    d.tool(lambda document: JoinTool(document, "trim")).click((495, 105)).hover((235, 201))
    d.undo()
    assert d.roles == {"selected"}
    d = joining("trim").click((205, 205)).key("right")
    assert "face" not in d.roles
    d = joining("mitre").click((300, 90)).hover((510, 250))
    assert "face" not in d.roles


def test_it_begins_with_a_member_that_was_chosen_before() -> None:
    d = joining("trim", JOB, "c").hover((300, 110)).expect_hint("First: brace")
    assert d.shown.find("c") == trimmed(C, A)


def test_enter_on_what_an_undo_took_away_takes_nothing() -> None:
    d = Driver(laid(A))
    d.document.do(laid(A, C), "Draw brace")
    d.tool(lambda document: JoinTool(document, "trim")).hover((235, 201)).undo().key("enter")
    d.expect_hint("near the end that moves").expect(lambda d: d.controller.tool.name == "join")
