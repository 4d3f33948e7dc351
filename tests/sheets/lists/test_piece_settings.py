"""How each piece is set, for whoever sets it without the plan."""

import pytest
from msgspec import structs

from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Display, Hole, Job, Placement, Seat
from gridjig.model.labels import address
from gridjig.sheets.lists.piece_settings import PieceSetting, piece_settings, setting_words
from gridjig.sheets.lists.pull_list import pull_list
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import format_angle
from tests.workshop import laid, pin, put, seat, stop

MM = Display(unit="millimetres")


def settings(job: Job) -> dict[str, PieceSetting]:
    return {one.placement: one for one in piece_settings(job, PlacedPieces().of(job))}


def words(thing: object) -> str:
    (one,) = settings(laid(thing)).values()  # type: ignore[arg-type]
    return setting_words(one, MM)


def test_a_face_is_told_from_the_hole_nearest_to_it() -> None:
    """The slider's face stands 130 mm out in its frame: 110 - 50 from the far pin, 20 from the near
    one when it is slid so far that this stands at the end of the slot.
    """
    far = put("a", "slider", seat("s", 5, 5), seat("s", 6, 5), slide=60.0)
    turned_round = put("a", "slider", seat("s", 6, 5), seat("s", 5, 5), slide=110.0)
    for placement in (far, turned_round):
        job = laid(placement)
        one = settings(job)["a"]
        assert one.face == pytest.approx(20.0)
        assert one.face_hole == address(job.table, max(s.hole for s in placement.seats))


def test_a_v_is_set_by_its_pins_and_its_turn() -> None:
    """Nobody can measure to one of its flanks."""
    rack = starter_racks()["inch-5-8"]
    block = next(piece for piece in rack.pieces if piece.kind == "V-block")
    assert len(block.faces) == 2
    seats = tuple(Seat(mount.id, Hole(5, 5 + k)) for k, mount in enumerate(block.mounts[:2]))
    job = Job(name="V", table=ready_tables()["48x48-5/8"], rack=rack)
    placed = Placement(id="v", piece=block.id, seats=seats, turn=90.0)
    (one,) = settings(structs.replace(job, placements=(placed,))).values()
    assert (one.face, one.face_hole) == (None, "")
    assert setting_words(one, MM) == f"turn {format_angle(one.turn)}"


@pytest.mark.source("method", "arithmetic: 13/16 in is 20.6375 mm; 22 mm is .866 in, no fraction")
@pytest.mark.parametrize(("slide", "told"), [(59.3625, '13/16"'), (58.0, '.866"')])
def test_a_face_is_told_in_fractions_only_where_it_is_exact(slide: float, told: str) -> None:
    made = put("a", "slider", seat("s", 5, 5), seat("s", 6, 5), slide=slide)
    (one,) = settings(laid(made)).values()
    assert one.face == pytest.approx(80.0 - slide)
    assert setting_words(one, Display()).startswith(f"face {told} from ")


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        (stop("a", 3, 3), "face 20 mm from D4, turn 0°"),
        (
            structs.replace(stop("a", 3, 3), accepted_gap=0.4),
            "face 20 mm from D4, turn 0°, gap of 0.4 mm accepted",
        ),
        (
            structs.replace(stop("a", 3, 3), clamped_by_hand=True),
            "face 20 mm from D4, turn 0°, clamped by hand",
        ),
        (
            structs.replace(stop("a", 3, 3), packing=("shim", "shim")),
            "face 22 mm from D4 over its packing (shim 1 mm, then shim 1 mm), turn 0°",
        ),
        (
            structs.replace(stop("a", 3, 3), lift=("riser", "shim")),
            "face 20 mm from D4, turn 0°, on riser, then shim 1 mm",
        ),
        (put("a", "clamp", seat("p", 8, 8), turn=30.0, reach=100.0), "turn 30°, reach 100 mm"),
        (
            put("a", "hinge", seat("h1", 2, 9), seat("h2", 4, 9), leaf=60.0),
            "turn 0°, arm opened to 60°",
        ),
        (pin("a", 3, 3), ""),
        (
            structs.replace(pin("a", 3, 3), packing=("shim",)),
            "with shim 1 mm in front of it, turn 0°",
        ),
    ],
)
def test_a_setting_in_words(thing: object, said: str) -> None:
    assert words(thing) == said


def test_packing_and_risers_keep_their_order() -> None:
    one = settings(laid(structs.replace(stop("a", 3, 3), lift=("shim", "riser"))))["a"]
    assert one.lift == ("shim 1 mm", "riser")


def test_what_cannot_stand_has_no_setting() -> None:
    assert settings(laid(stop("a", 22, 3), stop("b", 3, 3))).keys() == {"b"}


def test_the_settings_stand_on_the_line_of_their_own_piece() -> None:
    job = laid(structs.replace(stop("a", 3, 3), packing=("shim",)), pin("p", 9, 9))
    lines = {line.piece: line for line in pull_list(job).lines}
    assert [one.placement for one in lines["stop"].settings] == ["a"]
    assert [one.placement for one in lines["pin"].settings] == ["p"]
    assert lines["shim"].settings == lines["bolt"].settings == ()


def test_a_clamp_with_a_force_of_its_own_says_so() -> None:
    clamp = put("c", "clamp", seat("p", 5, 5), reach=100.0, force=1500.0)
    assert words(clamp) == "turn 0°, reach 100 mm, presses with 1500 N"
    assert "presses" not in words(structs.replace(clamp, force=0.0))
    assert "presses" not in words(structs.replace(pin("a", 3, 3), force=1500.0))
