"""Jobs of every kind, for property tests of reading and writing."""

from typing import get_args

from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import (
    CutOut,
    Display,
    Drilled,
    EndCut,
    Hole,
    HoleMark,
    Job,
    LabelScheme,
    Member,
    Placement,
    Plate,
    PlateHole,
    SawCut,
    Seat,
    Slotted,
    Weld,
    WeldedSides,
    WeldKind,
    Weldment,
)
from gridjig.model.stock import Section
from tests.workshop import RACK, TABLE

mm = st.floats(-1e5, 1e5)
degrees = st.floats(-720, 720)
measured = st.just(0.0) | st.floats(0.001, 90)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
names = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)
holes = st.builds(Hole, st.integers(0, TABLE.columns - 1), st.integers(0, TABLE.rows - 1))
marks = st.builds(
    HoleMark,
    holes,
    st.sampled_from(["blocked", "shallow", "oversize", "damaged", "reserved"]),
    st.floats(0.1, 100),
)
tables = st.builds(
    lambda labels, found, name: structs.replace(TABLE, labels=labels, marks=found, name=name),
    st.builds(LabelScheme),
    st.lists(marks, max_size=4, unique_by=lambda mark: mark.hole).map(tuple),
    names,
)
pieces = {piece.id: piece for piece in RACK.pieces if piece.mounts}


@st.composite
def placements(draw: st.DrawFn, thing_id: str) -> Placement:
    piece = pieces[draw(st.sampled_from(sorted(pieces)))]
    features = [mount.id for mount in piece.mounts]
    return Placement(
        id=thing_id,
        piece=piece.id,
        seats=tuple(Seat(f, draw(holes)) for f in features[: draw(st.integers(1, 2))]),
        flipped=draw(st.booleans()),
        turn=draw(degrees),
        slide=draw(mm),
        leaf=draw(degrees),
        reach=draw(mm),
        lift=draw(st.sampled_from([(), ("riser",), ("riser", "shim", "shim")])),
        packing=draw(st.sampled_from([(), ("shim",)])),
        name=draw(texts),
        note=draw(texts),
        clamped_by_hand=draw(st.booleans()),
        accepted_gap=draw(st.sampled_from([0.0, 0.3, 1.25])),
    )


weldments = st.builds(
    lambda name, drawing, note, quantity: (
        Weldment(id="weldment-1", name=name, quantity=quantity),
        Weldment(id="w2", drawing=drawing, note=note, opposite_of="weldment-1"),
    ),
    texts,
    texts,
    texts,
    st.integers(1, 500),
)
in_weldment = st.sampled_from(["weldment-1", "w2"])


@st.composite
def outlines(draw: st.DrawFn, thing_id: str) -> Plate:
    low = draw(st.floats(-100, 100))
    corners = draw(st.lists(st.tuples(mm, mm), min_size=3, max_size=6, unique=True))
    return Plate(
        id=thing_id,
        name=draw(texts),
        weldment=draw(in_weldment),
        corners=tuple(corners),
        z_low=low,
        z_high=low + draw(st.floats(0.5, 100)),
        x=draw(mm),
        y=draw(mm),
        turn=draw(degrees),
    )


@st.composite
def drilled_plates(draw: st.DrawFn, thing_id: str) -> Plate:
    """A plate with holes of each kind that keep clear of one another."""
    wide = st.floats(1, 20)
    kinds: tuple[st.SearchStrategy[PlateHole], ...] = (
        st.builds(Drilled, st.just((30.0, 30.0)), wide),
        st.builds(Slotted, st.just((60.0, 30.0)), st.just((100.0, 40.0)), wide),
        wide.map(lambda w: CutOut(((120.0, 20.0), (120.0 + w, 20.0), (120.0, 60.0)))),
    )
    return Plate(
        id=thing_id,
        name=draw(texts),
        weldment=draw(in_weldment),
        corners=((0.0, 0.0), (150.0, 0.0), (150.0, 80.0), (0.0, 80.0)),
        holes=tuple(draw(kind) for kind in kinds if draw(st.booleans())),
        x=draw(mm),
        turn=draw(degrees),
    )


@st.composite
def welds(draw: st.DrawFn) -> Weld:
    size, by_throat = draw(st.floats(0.01, 50)), draw(st.booleans())
    return Weld(
        a="o0",
        b="o1",
        nth=draw(st.integers(0, 3)),
        name=draw(texts),
        kind=draw(st.none() | st.sampled_from(get_args(WeldKind))),
        leg=0.0 if by_throat else size,
        throat=size if by_throat else 0.0,
        sides=draw(st.sampled_from(get_args(WeldedSides))),
    )


@st.composite
def members(draw: st.DrawFn, thing_id: str) -> Member:
    saws = st.builds(SawCut, st.floats(-60, 60), st.floats(-5, 5))
    more = st.lists(saws, max_size=3).map(tuple)
    cuts = st.builds(EndCut, st.just("mitre"), st.floats(-60, 60), more=more) | st.just(EndCut())
    return Member(
        id=thing_id,
        name=draw(texts),
        weldment=draw(in_weldment),
        section=Section(name=draw(names), kind="flat", width=40, height=draw(st.floats(1, 90))),
        length=draw(st.floats(500, 1e5)),
        start=draw(cuts),
        end=draw(cuts),
        way_up=draw(st.sampled_from([0, 90, 180, 270])),
        mirrored=draw(st.booleans()),
        measured=draw(st.tuples(measured, measured)),
        z_low=draw(mm),
        x=draw(mm),
        y=draw(mm),
        turn=draw(degrees),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    return Job(
        name=draw(names),
        table=draw(tables),
        rack=RACK,
        display=draw(st.builds(Display)),
        drawing=draw(texts),
        revision=draw(texts),
        notes=draw(texts),
        weldments=draw(weldments),
        parts=tuple(
            draw(outlines(f"o{n}") | drilled_plates(f"o{n}") | members(f"o{n}"))
            for n in range(draw(st.integers(0, 2)))
        ),
        welds=tuple(draw(st.lists(welds(), max_size=3, unique_by=lambda weld: weld.nth))),
        saw=draw(st.floats(0, 85)),
        origin=draw(st.none() | st.tuples(mm, mm)),
        placements=tuple(draw(placements(f"p{n}")) for n in range(draw(st.integers(0, 3)))),
    )
