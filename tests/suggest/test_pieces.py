"""Each kind of piece that can be set about the work: where it stands, and that it touches there."""

import math

import pytest
from msgspec import structs

from gridjig.edits.members import between
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import FaceOf, Job, Member, Plate
from gridjig.rack import Piece, Point
from gridjig.solve.weldment.faces import WorkFace
from gridjig.suggest.arms import arm_atoms
from gridjig.suggest.before import atoms_before
from gridjig.suggest.clamping import clamps_reach, push_atoms
from gridjig.suggest.demands import Demands, demands, piece_cost
from gridjig.suggest.lies import Lie
from gridjig.suggest.rigid import on_holes, rigid, rigid_atoms
from gridjig.suggest.scene import scene_of
from gridjig.suggest.site import Atom, Site, exclusions, long_and_ends
from gridjig.suggest.stops import raised_to, spans_of
from gridjig.suggest.values import Wishes
from gridjig.units.progress import SILENT
from tests.suggest.verifier import faults, rows_of

TABLE = ready_tables()["48x48-3/4"]
RACK = rack_for(TABLE)
P = TABLE.pitch_x
A1 = TABLE.first_x


def job_with(*parts: Plate | Member, **owned: int) -> Job:
    """A job with parts; of the pieces named with `_` for `-`, the rack has so many."""
    few = {name.replace("_", "-"): many for name, many in owned.items()}
    pieces = tuple(structs.replace(p, owned=few.get(p.id, p.owned)) for p in RACK.pieces)
    rack = structs.replace(RACK, pieces=pieces)
    job = Job(name="test", table=TABLE, rack=rack)
    for part in parts:
        job = structs.replace(job, parts=(*job.parts, part))
    return job


def bar(a: Point, b: Point, z: float = 0.0) -> Member:
    section = find_section("2x2x1/8", "square tube")
    assert section is not None
    return structs.replace(between("bar", "Bar", section, a, b), z_low=z)


def block(wide: float, deep: float, x: float, y: float, high: float = 25.4) -> Plate:
    ring = ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep))
    return Plate(id="block", name="Block", corners=ring, x=x, y=y, z_low=0.0, z_high=high)


def long_face(site: Site, number: int = 0) -> WorkFace:
    part = site.job.parts[0]
    return long_and_ends(part, site.faces[part.id])[0][number]


def touches(site: Site, atom: Atom) -> bool:
    """True by the reckoning of the verifier, with nothing in its way."""
    placed = structs.replace(atom.placement, id="one")
    job = structs.replace(site.job, placements=(placed,))
    wrong = [one for one in faults(job) if "located" not in one]
    return wrong == [] and bool(rows_of(job, placed))


def piece(name: str) -> Piece:
    return RACK.piece(name)


# -- squares, angle blocks, V-blocks ---------------------------------------------------------------


def test_rigid_pieces_are_told_by_their_features() -> None:
    assert {p.kind for p in RACK.pieces if rigid(p)} == {"square", "bevel", "V-block"}


@pytest.mark.source("method", "a face at 45 degrees through the holes, overlaps reckoned anew")
@pytest.mark.parametrize("angle", [45.0, 135.0, 225.0, -45.0])
def test_an_angle_block_stands_before_a_face_at_its_angle(angle: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    middle = (A1 + 11 * P + 7.0, A1 + 11 * P)
    a, b = ((middle[0] + k * c, middle[1] + k * s) for k in (-250.0, 250.0))
    site = Site(job_with(bar(a, b)), Wishes())
    face = long_face(site)
    found = list(rigid_atoms(site, face, "long face", spans_of(site, face, "long face")))
    assert "bevel-45" in {atom.placement.piece for atom in found}
    assert all(touches(site, atom) for atom in found)
    assert max(a.bears for a in found if a.placement.piece == "bevel-45") > 50.0


def test_a_square_stands_before_a_face_on_the_grid_and_not_off_it() -> None:
    on = Site(job_with(block(300.0, 200.0, A1 + 5 * P, A1 + 5 * P + 12.7)), Wishes())
    face = long_face(on)
    found = list(rigid_atoms(on, face, "long face", spans_of(on, face, "long face")))
    assert {atom.placement.piece for atom in found} >= {"square-two-hole", "square-three-hole"}
    assert all(touches(on, atom) and not atom.placement.packing for atom in found)
    assert len({frozenset(atom.here.holes) for atom in found}) > 2
    off = Site(job_with(block(300.0, 200.0, A1 + 5 * P, A1 + 5 * P + 15.0)), Wishes())
    face = long_face(off)
    assert list(rigid_atoms(off, face, "long face", spans_of(off, face, "long face"))) == []


@pytest.mark.source("method", "the corner of a square plate, set into the V of 90 degrees by hand")
def test_a_v_block_holds_a_corner_that_lies_right_for_it() -> None:
    x, y = A1 + 5.5 * P, A1 + 5 * P + 9.525  # midway between its holes, at the bottom of the V
    diamond = structs.replace(block(200.0, 200.0, x, y), turn=45.0)
    site = Site(job_with(diamond), Wishes())
    face = long_face(site)
    found = list(rigid_atoms(site, face, "long face", [(0.0, face.length)]))
    (v,) = [atom for atom in found if atom.placement.piece == "v-block"]
    assert {(hole.col, hole.row) for hole in v.here.holes} == {(5, 5), (6, 5)}


def test_a_piece_between_holes_does_not_stand() -> None:
    assert on_holes(TABLE, piece("square-two-hole"), 90.0) == [(0, 0), (0, 1)]
    assert on_holes(TABLE, piece("square-three-hole"), 180.0) == [(0, 0), (-2, 0), (0, -2)]
    assert on_holes(TABLE, piece("square-two-hole"), 30.0) is None
    assert on_holes(TABLE, piece("stop-adjustable"), 0.0) is None


# -- arms ------------------------------------------------------------------------------------------


def test_an_arm_lies_flat_against_a_face_that_slopes() -> None:
    site = Site(job_with(bar((400.0, 400.0), (780.0, 620.0))), Wishes())
    face = long_face(site)
    found = list(arm_atoms(site, face, "long face", spans_of(site, face, "long face")))
    assert {site.job.rack.piece(atom.placement.piece).kind for atom in found} <= {"arm", "bevel"}
    assert len(found) > 3
    assert all(touches(site, atom) for atom in found)


def test_an_arm_alone_does_what_two_stops_do() -> None:
    """The rack has no pin and no stop left that turns; the arm still locates the bar."""
    none = {"pin_1": 0, "pin_3_4": 0, "pin_1_1_4": 0, "stop_one_pin": 0, "stop_adjustable": 0}
    site = Site(job_with(bar((400.0, 400.0), (780.0, 620.0)), **none), Wishes())
    asked = demands(site, SILENT)
    long = next(group for group in asked.groups if group.kind == "long face")
    alone = [option for option in long.options if len(option.atoms) == 1 and not option.lacks]
    assert alone
    assert min(option.cost for option in alone) < site.wishes.weights.loose


def test_along_the_grid_a_short_piece_is_no_pair() -> None:
    site = Site(job_with(block(500.0, 100.0, A1 + 5 * P, A1 + 5 * P + 12.7)), Wishes())
    long = next(group for group in demands(site, SILENT).groups if group.kind == "long face")
    singles = [option for option in long.options if len(option.atoms) == 1]
    assert len(singles) > 3
    assert all(option.lacks == 1 for option in singles)


# -- stops on risers -------------------------------------------------------------------------------


def raised(by: float) -> tuple[Site, WorkFace]:
    site = Site(job_with(bar((400.0, 412.0), (800.0, 412.0), by)), Wishes())
    return site, long_face(site)


@pytest.mark.source("method", "heights added up by hand: a stop is 25.4 mm high, the tube 50.8")
@pytest.mark.parametrize(
    ("by", "lift"),
    [
        (0.0, ()),
        (6.35, ()),
        (50.8, ("riser-2",)),
        (101.6, ("riser-2", "riser-2")),
        (152.4, None),
    ],
)
def test_a_stop_is_lifted_to_where_it_meets_the_work(
    by: float, lift: tuple[str, ...] | None
) -> None:
    site, face = raised(by)
    assert raised_to(site, face, 0.0, 25.4) == lift


def test_stops_on_risers_are_tried_and_touch() -> None:
    site, face = raised(50.8)
    found = [a for a in atoms_before(site, face, "long face") if a.placement.lift]
    assert {a.placement.piece for a in found} >= {"stop-adjustable"}
    assert all(touches(site, atom) for atom in found)
    assert all(atom.takes["riser-2"] == 1 for atom in found)


# -- clamps that push ------------------------------------------------------------------------------


def test_a_bar_by_itself_can_be_pushed_against_its_stops() -> None:
    job = job_with(block(300.0, 200.0, A1 + 5 * P, A1 + 5 * P + 12.7))
    site = Site(job, Wishes())
    part = job.parts[0]
    long, _ = long_and_ends(part, site.faces[part.id])
    found = push_atoms(site, part, long)
    assert {atom.side for atom in found} == {face.of.side for face in long}
    for atom in found:
        tip, z = atom.here.tip, atom.placement.reach
        assert tip is not None
        assert tip.push == "along"
        assert 25.4 - 1e-6 <= z <= 76.2 + 1e-6
        face = next(face for face in long if face.of.side == atom.side)
        assert abs(tip.at[1] - face.a[1]) < 1e-6
    assert push_atoms(site, part, long[:1]) == []


def test_a_stop_and_a_push_at_one_side_exclude_each_other() -> None:
    job = job_with(block(300.0, 200.0, A1 + 5 * P, A1 + 5 * P + 12.7))
    site = Site(job, Wishes())
    asked = demands(site, SILENT)
    apart = exclusions(asked.atoms)
    pushing = [k for k, a in enumerate(asked.atoms) if a.kind == "clamp" and a.side >= 0]
    assert pushing
    for k in pushing:
        stops = {
            n
            for n, a in enumerate(asked.atoms)
            if a.kind == "long face" and a.side == asked.atoms[k].side
        }
        assert stops <= apart[k]


def test_whether_a_clamp_reaches_down_to_a_thin_plate() -> None:
    thin, thick = (job_with(block(300.0, 200.0, 400.0, 400.0, z)) for z in (6.0, 25.4))
    assert not clamps_reach(thin, thin.parts[0])
    assert clamps_reach(thick, thick.parts[0])
    none = structs.replace(thick, rack=structs.replace(thick.rack, pieces=()))
    assert not clamps_reach(none, none.parts[0])


# -- what a piece costs ----------------------------------------------------------------------------


def test_packing_costs_more_at_a_critical_face_and_only_there() -> None:
    job = job_with(block(300.0, 200.0, A1 + 5 * P, A1 + 5 * P + 20.0))
    site = Site(job, Wishes())
    face = long_face(site)
    packed = next(
        a for a in atoms_before(site, face, "long face") if a.placement.packing or a.placement.slide
    )
    plain = piece_cost(site, packed)
    here = Site(structs.replace(job, critical=(face.of,)), Wishes())
    other = Site(
        structs.replace(job, critical=(FaceOf("block", (face.of.side + 1) % 4),)), Wishes()
    )
    assert piece_cost(here, packed) == pytest.approx(plain + Wishes().weights.critical)
    assert piece_cost(other, packed) == pytest.approx(plain)


def test_work_askew_costs_more() -> None:
    straight = job_with(block(300.0, 200.0, 400.0, 400.0))
    askew = structs.replace(straight, parts=(structs.replace(straight.parts[0], turn=17.0),))
    costs = []
    for job in (straight, askew):
        site = Site(job, Wishes())
        costs.append(scene_of(Lie(job), site, Demands((), ())).askew)
    assert costs == [0.0, Wishes().weights.askew]
