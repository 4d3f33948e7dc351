import math
from pathlib import Path

import pytest
import shapely
from msgspec import structs
from shapely.geometry.base import BaseGeometry

from gridjig.checks.findings import findings
from gridjig.checks.neighbours import placed_part
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library import assets
from gridjig.files.library.assets import assets_dir, rack_for, ready_tables, samples, starter_racks
from gridjig.geometry.piece_faults import unsound
from gridjig.model import Job, Table
from gridjig.rack import ArcSlot, Piece, Rack, RoundHole, Shank, StraightSlot
from gridjig.solve.placed.cache import PlacedPieces

RACKS = starter_racks()
PIECES = [(name, piece) for name, rack in RACKS.items() for piece in rack.pieces]
EACH_PIECE = pytest.mark.parametrize(
    ("rack", "piece"),
    [(RACKS[name], piece) for name, piece in PIECES],
    ids=[f"{name}:{piece.id}" for name, piece in PIECES],
)

FACED = [(name, piece) for name, piece in PIECES if piece.faces]
EACH_FACED = pytest.mark.parametrize(
    ("rack", "piece"),
    [(RACKS[name], piece) for name, piece in FACED],
    ids=[f"{name}:{piece.id}" for name, piece in FACED],
)


@pytest.mark.parametrize("table", ready_tables().values(), ids=list(ready_tables()))
def test_ready_tables_are_full_of_holes_to_the_edge(table: Table) -> None:
    """First and last hole lie half a pitch from the edges: tables can stand side by side."""
    assert table.first_x == table.pitch_x / 2
    assert table.first_y == table.pitch_y / 2
    assert table.columns * table.pitch_x == pytest.approx(table.width)
    assert table.rows * table.pitch_y == pytest.approx(table.depth)


def test_the_eight_ready_tables() -> None:
    assert list(ready_tables()) == [
        "48x48-5/8", "48x48-3/4", "48x96-5/8", "48x96-3/4",
        "1200x1200-50", "1200x1200-100", "2400x1200-50", "2400x1200-100",
    ]  # fmt: skip
    assert len({t.name for t in ready_tables().values()}) == 8
    assert ready_tables()["48x48-3/4"].columns * ready_tables()["48x48-3/4"].rows == 576
    assert ready_tables()["2400x1200-50"].columns * ready_tables()["2400x1200-50"].rows == 1152


@pytest.mark.parametrize(
    ("table", "rack"),
    [
        ("48x48-5/8", "inch-5-8"),
        ("48x96-3/4", "inch-3-4"),
        ("1200x1200-50", "metric-16"),
        ("2400x1200-100", "metric-28"),
    ],
)
def test_each_table_gets_the_rack_whose_pins_fit(table: str, rack: str) -> None:
    assert rack_for(ready_tables()[table]) == RACKS[rack]


def test_a_table_that_no_pin_fits_gets_the_nearest_rack() -> None:
    table = structs.replace(ready_tables()["1200x1200-50"], hole_diameter=40.0)
    assert rack_for(table) == RACKS["metric-28"]


@pytest.mark.parametrize("rack", RACKS.values(), ids=list(RACKS))
def test_a_rack_is_what_a_shop_has(rack: Rack) -> None:
    """10 to 60 loose pieces besides pins and shims, of every kind, each in a bin on the walk."""
    loose = sum(p.owned for p in rack.pieces if p.kind not in ("locking pin", "shim"))
    assert 10 <= loose <= 60
    kinds = {p.kind for p in rack.pieces}
    assert kinds == {
        "pin", "fixed stop", "adjustable stop", "square", "bevel", "arm", "V-block", "clamp",
        "riser", "shim", "locking pin",
    }  # fmt: skip
    assert {p.bin for p in rack.pieces} == set(rack.walk)


@EACH_PIECE
def test_a_piece_hangs_together(rack: Rack, piece: Piece) -> None:
    assert unsound(piece) is None
    for pin in piece.takes:
        lock = rack.piece(pin)
        assert lock.kind == "locking pin"
        for mount in piece.mounts:
            if isinstance(mount, RoundHole):
                assert 0 < mount.diameter - lock.pin_diameter < 0.5
            elif not isinstance(mount, Shank):
                assert 0 < mount.width - lock.pin_diameter < 0.5
    needs_pin = any(not isinstance(m, Shank) for m in piece.mounts)
    assert bool(piece.takes) == needs_pin
    assert piece.owned > 0
    assert piece.size


@EACH_PIECE
@pytest.mark.source("library", "shapely 2.2", "areas by its own buffers; steel at 7850 kg/m3")
def test_a_piece_weighs_what_its_outlines_weigh(rack: Rack, piece: Piece) -> None:
    volume = 0.0
    for solid in piece.solids:
        plan: BaseGeometry = shapely.Polygon(solid.outline)
        for mount in piece.mounts:
            if mount.body != solid.body:
                continue
            if isinstance(mount, RoundHole):
                plan = plan - shapely.Point(mount.at).buffer(mount.diameter / 2)
            elif isinstance(mount, StraightSlot):
                plan = plan - shapely.LineString([mount.a, mount.b]).buffer(mount.width / 2)
            elif isinstance(mount, ArcSlot):
                turns = [
                    math.radians(mount.start + k * (mount.end - mount.start) / 400)
                    for k in range(401)
                ]
                x, y = mount.centre
                path = [
                    (x + mount.radius * math.cos(t), y + mount.radius * math.sin(t)) for t in turns
                ]
                plan = plan - shapely.LineString(path).buffer(mount.width / 2)
        volume += plan.area * (solid.z_high - solid.z_low)
    for mount in piece.mounts:
        if isinstance(mount, Shank):
            volume += math.pi / 4 * mount.diameter**2 * 1.5 * mount.diameter
    if piece.tip is not None:
        bar = piece.tip.reach_max * piece.tip.bar_width
        volume += bar * (piece.tip.bar_z_high - piece.tip.bar_z_low)
    assert piece.mass == pytest.approx(volume * 7850e-9, rel=0.01, abs=0.0001)


def test_what_locates_by_a_flat_face_has_one() -> None:
    faced = {"fixed stop", "adjustable stop", "square", "bevel", "arm", "V-block"}
    assert [p.id for _, p in FACED] == [p.id for _, p in PIECES if p.kind in faced]
    assert len(FACED) >= 15 * len(RACKS)


@EACH_FACED
def test_a_face_is_met_before_anything_else_of_its_piece(rack: Rack, piece: Piece) -> None:
    """Work laid against a face touches it: nothing of the same body stands out before it."""
    assert len(piece.faces) in (1, 2, 4)
    for face in piece.faces:
        dx, dy = face.b[0] - face.a[0], face.b[1] - face.a[1]
        wide = math.hypot(dx, dy)
        out = (dy / wide * 0.5, -dx / wide * 0.5)
        strip = shapely.LineString(
            [(face.a[0] + out[0], face.a[1] + out[1]), (face.b[0] + out[0], face.b[1] + out[1])]
        )
        own = [solid for solid in piece.solids if solid.body == face.body]
        assert own
        for solid in own:
            assert not shapely.Polygon(solid.outline).intersects(strip)


@pytest.mark.parametrize("rack", RACKS.values(), ids=list(RACKS))
def test_an_adjustable_stop_takes_two_pins_and_goes_a_whole_pitch(rack: Rack) -> None:
    """So any length can be met between two holes, whatever its remainder."""
    stop, fixed = rack.piece("stop-adjustable"), rack.piece("stop-fixed")
    front, back = (m.at for m in fixed.mounts if isinstance(m, RoundHole))
    pitch = math.dist(front, back)
    slot = stop.mount("slot")
    assert isinstance(slot, StraightSlot)
    assert math.dist(slot.a, slot.b) == pytest.approx(2 * pitch)
    assert stop.faces[0].a[1] == pytest.approx(fixed.faces[0].a[1])


def sample_jobs() -> list[tuple[str, Job]]:
    return [(name, load_job(path)) for name, path in samples().items()]


@pytest.mark.parametrize(("name", "job"), sample_jobs(), ids=list(samples()))
def test_a_sample_has_no_clash_and_says_what_to_look_at(name: str, job: Job) -> None:
    found = findings(job, PlacedPieces().of(job))
    assert not [f for f in found if f.level == "stop"]
    assert "Look at" in job.notes
    assert write_job(job) == samples()[name].read_bytes()
    for a, one in enumerate(job.parts):
        for two in job.parts[a + 1 :]:
            plans = [shapely.Polygon(placed_part(o).points) for o in (one, two)]
            assert plans[0].intersection(plans[1]).area < 1.0


def test_there_are_samples_in_inches_and_in_millimetres() -> None:
    units = [job.display.unit for _, job in sample_jobs()]
    assert len(units) == 3
    assert "millimetres" in units
    assert "inch fractions" in units


def test_assets_lie_in_the_package_when_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "gridjig"
    (package / "assets").mkdir(parents=True)
    monkeypatch.setattr(assets, "__file__", str(package / "files" / "library" / "assets.py"))
    with pytest.raises(FileNotFoundError, match="install GridJig again"):
        assets_dir()
    (package / "assets" / "tables.json").write_text("[]")
    assert assets_dir() == package / "assets"
