"""Writes the starter racks in assets/racks: invented pieces, computed from one list of sizes.

Run it after changing a size; a test compares the files with what this would write.
"""

from pathlib import Path

from msgspec import structs
from starter_arms import arc_arms, clamps, leaf_arm, slot_arm
from starter_pieces import bevels, locking_pins, pins, risers, shims, squares, stops, v_block
from starter_shapes import IN, Sizes

from gridjig.files.jobs.rack_file import write_rack
from gridjig.geometry.piece_mass import mass_of
from gridjig.rack import Rack

ASSETS = Path(__file__).resolve().parent.parent / "assets" / "racks"


def rack_of(s: Sizes) -> Rack:
    """Return the whole starter rack of one set of sizes, with masses."""
    pieces = [
        *locking_pins(s),
        *pins(s),
        *stops(s),
        *squares(s),
        *bevels(s),
        *arc_arms(s),
        slot_arm(s),
        leaf_arm(s),
        v_block(s),
        *clamps(s),
        *risers(s),
        *shims(s),
    ]
    weighed = (structs.replace(p, mass=round(mass_of(p), 4)) for p in pieces)
    walk = ("A1", "A2", "A3", "A4", "A5", "B1", "B2", "B3", "B4", "B5", "C1", "C2", "C3")
    return Rack(name=s.name, walk=walk, pieces=tuple(weighed))


def _inch(file: str, name: str, bore: float) -> Sizes:
    return Sizes(
        file=file,
        name=name,
        inch=True,
        pitch=2 * IN,
        hole=bore,
        clear=0.005 * IN,
        face=0.5 * IN,
        edge=0.75 * IN,
        half=0.75 * IN,
        flat=1 * IN,
        arm=0.75 * IN,
        inside=1 * IN,
        relief=0.25 * IN,
        bodies=(1 * IN, 0.75 * IN, 1.25 * IN),
        body_high=2 * IN,
        riser=1.75 * IN,
        risers=(2 * IN, 1 * IN, 0.5 * IN, 0.25 * IN, 0.125 * IN),
        shims=(IN / 64, IN / 32, IN / 16, IN / 8),
        packing=(IN / 4, IN / 2, IN),
        grip=1 * IN,
        offset=0.375 * IN,
        post=1.5 * IN,
        reach=(2 * IN, 8 * IN),
        low=(0.5 * IN, 3.5 * IN),
        tall=(2 * IN, 7.5 * IN),
        bar=0.75 * IN,
        push=(1 * IN, 3 * IN),
        push_z=(0.75 * IN, 1.25 * IN),
        push_high=1.5 * IN,
    )


SETS = (
    _inch("inch-3-4", "Starter rack, 3/4 in pins on 2 in centres", 0.75 * IN),
    _inch("inch-5-8", "Starter rack, 5/8 in pins on 2 in centres", 0.625 * IN),
    Sizes(
        file="metric-16",
        name="Starter rack, 16 mm pins on 50 mm centres",
        inch=False,
        pitch=50.0,
        hole=16.0,
        clear=0.1,
        face=25.0,
        edge=18.0,
        half=18.0,
        flat=25.0,
        arm=20.0,
        inside=25.0,
        relief=6.0,
        bodies=(25.0, 20.0, 30.0),
        body_high=50.0,
        riser=42.0,
        risers=(50.0, 25.0, 10.0, 5.0, 3.0),
        shims=(0.5, 1.0, 2.0, 3.0),
        packing=(5.0, 10.0, 25.0),
        grip=25.0,
        offset=10.0,
        post=38.0,
        reach=(50.0, 200.0),
        low=(10.0, 90.0),
        tall=(50.0, 190.0),
        bar=20.0,
        push=(30.0, 80.0),
        push_z=(20.0, 30.0),
        push_high=38.0,
    ),
    Sizes(
        file="metric-28",
        name="Starter rack, 28 mm pins on 100 mm centres",
        inch=False,
        pitch=100.0,
        hole=28.0,
        clear=0.1,
        face=25.0,
        edge=30.0,
        half=30.0,
        flat=40.0,
        arm=25.0,
        inside=50.0,
        relief=8.0,
        bodies=(50.0, 40.0, 60.0),
        body_high=80.0,
        riser=70.0,
        risers=(50.0, 25.0, 10.0, 5.0, 3.0),
        shims=(0.5, 1.0, 2.0, 3.0),
        packing=(5.0, 10.0, 25.0),
        grip=40.0,
        offset=15.0,
        post=50.0,
        reach=(50.0, 200.0),
        low=(10.0, 120.0),
        tall=(50.0, 240.0),
        bar=25.0,
        push=(45.0, 145.0),
        push_z=(20.0, 35.0),
        push_high=45.0,
    ),
)


def main() -> None:
    """Write every rack file."""
    ASSETS.mkdir(parents=True, exist_ok=True)
    for sizes in SETS:
        write_rack(ASSETS / f"{sizes.file}.json", rack_of(sizes))


if __name__ == "__main__":
    main()
