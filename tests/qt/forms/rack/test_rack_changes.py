"""What an import would change on a rack, in words."""

from msgspec import structs

from gridjig.edits.rack_import import compare
from gridjig.model import Display
from gridjig.qt.forms.rack.rack_changes import line_words
from gridjig.sheets.text.piece_change_text import differences
from tests.workshop import RACK, STOP

MM = Display(unit="millimetres")


def test_differences_are_told_in_words() -> None:
    changed = structs.replace(
        STOP, name="stop", bin="A1", takes=(), flips=False, mass=2.0, hand="left"
    )
    told = differences(STOP, changed, MM)
    for words in (
        "name fixed stop to stop",
        "bin none to A1",
        "hand none to left",
        "the pins it takes",
        "cannot be turned over",
        "mass 0.0 kg to 2.0 kg",
    ):
        assert words in told
    assert differences(changed, STOP, MM).count("can be turned over") == 1
    shifted = structs.replace(STOP, faces=())
    assert differences(STOP, shifted, MM) == "its shape"


def test_every_line_of_an_import_has_its_words() -> None:
    few = structs.replace(RACK, name="Few", walk=("B", "A"), pieces=RACK.pieces[1:])
    lines = compare(RACK, few, replace=True).lines
    told = {line.does: line_words(line, RACK, few, MM) for line in lines}
    assert told == {
        "gone": "8 on hand, no bin",
        "name": f"{RACK.name} to Few",
        "walk": "A1, A2 to B, A",
    }
    other = structs.replace(RACK, pieces=(structs.replace(STOP, kind="square", size="2 in"),))
    [line] = compare(RACK, other).lines
    assert line_words(line, RACK, other, MM) == (
        "2 in, 6 on hand, no bin; beside the metric fixed stop, which stays as it is"
    )
