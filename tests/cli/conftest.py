"""How the tests of the command line call it: as a person does, and reading what it prints."""

import math
from collections.abc import Callable
from typing import NamedTuple

import pytest

from gridjig.cli import main
from gridjig.model import Hole, Table
from gridjig.model.labels import address
from gridjig.rack import ArcSlot, Piece
from gridjig.solve.cutting import process
from gridjig.solve.cutting.exact import cheapest


class Said(NamedTuple):
    """What a command printed, and its exit code."""

    code: int
    out: str
    err: str


Command = Callable[..., Said]


@pytest.fixture(autouse=True)
def bars_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut bars in this process: one of its own takes half a second each time."""
    monkeypatch.setattr(process, "cheapest_of_all", lambda tasks, _: tuple(map(cheapest, tasks)))


@pytest.fixture
def gridjig(capsys: pytest.CaptureFixture[str]) -> Command:
    def call(*words: str) -> Said:
        code = main(list(words))
        return Said(code, *capsys.readouterr())

    return call


@pytest.fixture
def refused(gridjig: Command) -> Callable[..., str]:
    """The one sentence with which a command is refused."""

    def call(*words: str) -> str:
        said = gridjig(*words)
        assert said.code == 2
        assert said.out == ""
        assert said.err.startswith("gridjig: ")
        assert said.err.count("\n") == 1
        assert said.err.endswith(".\n")
        return said.err.removeprefix("gridjig: ").strip()

    return call


def on_the_arc(table: Table, piece: Piece, pivot: Hole) -> set[str]:
    """Every hole that lies on a piece's arc slot about the pivot, looked for one by one."""
    [arc] = [m for m in piece.mounts if isinstance(m, ArcSlot)]
    return {
        address(table, Hole(col, row))
        for col in range(table.columns)
        for row in range(table.rows)
        if abs(math.dist(table.at(pivot), table.at(Hole(col, row))) - arc.radius) < 1
    }
