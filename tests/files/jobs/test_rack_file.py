from pathlib import Path

import pytest

from gridjig.files.format import file_format
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.rack_file import FORMAT, encode_rack, read_rack, write_rack
from gridjig.files.library.assets import starter_racks
from gridjig.rack import Rack
from tests.workshop import RACK, SHIM, STOP


@pytest.mark.parametrize("rack", [RACK, Rack(name="empty"), *starter_racks().values()])
def test_a_rack_comes_back_the_same(rack: Rack, tmp_path: Path) -> None:
    path = tmp_path / "shop.gridrack"
    write_rack(path, rack)
    assert read_rack(path) == rack
    assert encode_rack(read_rack(path)) == path.read_bytes()


def test_each_piece_has_a_line_of_its_own() -> None:
    lines = encode_rack(RACK).decode().splitlines()
    assert len(RACK.pieces) == 9
    for piece in RACK.pieces:
        assert sum(f'"id": "{piece.id}", "name"' in line for line in lines) == 1


def fault_of(text: str) -> str:
    with pytest.raises(ReadFault) as caught:
        file_format.read(FORMAT, text.encode(), "shop.gridrack")
    return str(caught.value)


def test_a_bad_file_says_where_and_what_is_expected() -> None:
    good = encode_rack(Rack(name="Shop", pieces=(STOP,))).decode()
    bad = good.replace('"owned": 6', '"owned": -6')
    assert bad != good
    said = fault_of(bad)
    assert said.startswith("shop.gridrack cannot be read at line ")
    assert "pieces[0].owned" in said


@pytest.mark.parametrize(
    ("old", "new", "part"),
    [
        ('"gridrack": 1', '"gridrack": 9', "version 9"),
        ('"gridrack": 1', '"grid": 1', "not a GridJig rack file"),
        ('"kind": "fixed stop"', '"kind": "gadget"', "pieces[0].kind"),
        ('"owned": 6', '"ownd": 6', "ownd"),
        ('"type": "hole"', '"type": "nail"', "pieces[0].mounts[0]"),
        ("]", "", "line"),
    ],
)
def test_what_does_not_belong_is_refused(old: str, new: str, part: str) -> None:
    good = encode_rack(Rack(name="Shop", pieces=(STOP,))).decode()
    assert old in good
    assert part in fault_of(good.replace(old, new, 1))


def test_doubled_ids_are_refused() -> None:
    line = encode_rack(Rack(name="Shop", pieces=(SHIM,))).decode()
    start = line.index("    {")
    entry = line[start : line.index("}", start) + 1]
    assert "two pieces have the id shim" in fault_of(line.replace(entry, f"{entry},\n{entry}"))


def test_a_missing_file_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(ReadFault, match="no such file"):
        read_rack(tmp_path / "gone.gridrack")
