"""`gridjig reach`: all that an arm can be set to, and where its face lies as wanted."""

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Hole, HoleMark, Job
from gridjig.model.labels import address
from gridjig.rack import ArcSlot
from tests.cli.conftest import Command, on_the_arc

INCH = ("--table", "48x48-5/8")
TABLE, RACK = ready_tables()["48x48-5/8"], starter_racks()["inch-5-8"]


def found(gridjig: Command, *words: str) -> dict[str, Any]:
    said = gridjig("reach", *words, "--json")
    assert (said.code, said.err) == (0, "")
    answer: dict[str, Any] = json.loads(said.out)
    return answer


@pytest.mark.source("method", "brute force over all holes of the table")
def test_an_arm_is_held_by_every_hole_on_its_arc(gridjig: Command) -> None:
    piece, pivot = RACK.piece("arm-arc-8"), Hole(12, 11)
    [arc] = [m for m in piece.mounts if isinstance(m, ArcSlot)]
    answer = found(gridjig, "arm-arc-8", address(TABLE, pivot), *INCH)
    assert {one["holes"][1]["hole"] for one in answer["angles"]} == on_the_arc(TABLE, piece, pivot)
    for one in answer["angles"]:
        low, high = one["face_deg"]
        assert high - low == pytest.approx(arc.end - arc.start)
    (x, y), box = TABLE.at(pivot), answer["area_box_mm"]
    assert box[0] < x < box[2]
    assert box[1] < y < box[3]
    assert answer["left_out"] == []


@pytest.mark.source("method", "plane geometry: the distance of a point from a line")
def test_the_face_lies_at_its_angle_and_passes_the_place(gridjig: Command) -> None:
    words = ("arm-arc-8", "--face", "37.5", "--through", "24", "24", "--off", "1/32", *INCH)
    answer = found(gridjig, *words)
    piece, at = RACK.piece("arm-arc-8"), {"ABCDEFGHIJKLMNOPQRSTUVWX"[c]: c for c in range(24)}
    assert answer["places"]
    for place in answer["places"]:
        name = place["holes"][0]["hole"]
        x, y = TABLE.at(Hole(at[name[0]], int(name[1:]) - 1))
        turn, side = math.radians(place["turn_deg"]), -1.0 if place["flipped"] else 1.0
        (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
        pivot = piece.mounts[0].at  # type: ignore[union-attr]
        ends = [
            (
                x + math.cos(turn) * (px - pivot[0]) - math.sin(turn) * side * (py - pivot[1]),
                y + math.sin(turn) * (px - pivot[0]) + math.cos(turn) * side * (py - pivot[1]),
            )
            for px, py in ((ax, ay), (bx, by))
        ]
        (x1, y1), (x2, y2) = ends
        lies = math.degrees(math.atan2(y2 - y1, x2 - x1))
        assert math.remainder(lies - 37.5, 180.0) == pytest.approx(0.0, abs=1e-4)
        off = ((x2 - x1) * (609.6 - y1) - (y2 - y1) * (609.6 - x1)) / math.dist(*ends)
        assert abs(off) == pytest.approx(abs(place["off_mm"]), abs=1e-3)
        assert abs(off) <= 25.4 / 32 + 1e-6


def test_what_would_serve_and_cannot_is_told(gridjig: Command, tmp_path: Path) -> None:
    table = TABLE.__class__(
        **{f: getattr(TABLE, f) for f in TABLE.__struct_fields__ if f != "marks"},
        marks=(HoleMark(Hole(3, 1), "blocked"),),
    )
    path = tmp_path / "table.gridjig"
    path.write_bytes(write_job(Job(name="T", table=table, rack=RACK)))
    said = gridjig("reach", "arm-arc-8", "B2", "--table", str(path))
    assert said.code == 0
    assert "Left out: D2 (blocked)." in said.out
    assert "Left out: 2 more that would be off the table." in said.out
    answer = found(gridjig, "arm-arc-8", "B2", "--table", str(path))
    assert {(one["hole"], tuple(one["steps"])) for one in answer["left_out"]} == {
        ("D2", (2, 0)),
        (None, (-2, 0)),
        (None, (0, -2)),
    }


def test_settings_and_places_are_listed_to_read(gridjig: Command) -> None:
    about = gridjig("reach", "arm-leaf-8", "H6", *INCH).out
    assert "every angle" in about
    assert "set by its scale" in about
    assert "Its faces stay between" in about
    where = gridjig("reach", "arm-leaf-8", "--face", "37.5", "--top", "2", *INCH).out
    assert "the nearest 2 of them" in where
    assert "leaf 37.5°" in where
    assert len(where.splitlines()) == 5
    near = gridjig("reach", "arm-arc-8", "--face", "37.5", "--through", "24", "24", *INCH).out
    assert 'through 24", 24"' in near
    assert "off line" in near
    assert "along its slot" in near
    none = gridjig("reach", "stop-fixed", "--face", "37.5", "--near", "1", *INCH)
    assert none.code == 0
    assert "no holes give it" in none.out
    assert "settings of the piece and tried" in none.out


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (("arm-arc-8",), "Give either a hole or --face"),
        (("arm-arc-8", "H6", "--face", "30"), "Give either a hole or --face"),
        (("pin-1", "H6"), "has no face to set"),
        (("shim-1-8", "H6"), "has no pin of its own"),
        (("arm-arc-8", "Z99"), "Z99"),
        (("arm-arc-8", "--face", "x"), "is not understood"),
        (("arm-arc-8", "--face", "30", "--through", "10", "q"), "“q” is not understood"),
        (("arm-arc-8", "--face", "30", "--near", "q"), "“q” is not understood"),
        (("arm", "H6"), "the nearest are"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(
    refused: Callable[..., str], words: tuple[str, ...], part: str
) -> None:
    assert part in refused("reach", *words, *INCH)
