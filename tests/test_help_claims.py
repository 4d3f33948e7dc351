"""What help and README say is so: menus, actions, keys, buttons and figures are those there are."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from gridjig.contact.values import TOUCH
from gridjig.files.jobs import autosave
from gridjig.files.library.assets import assets_dir
from gridjig.geometry.piece_mass import STEEL
from gridjig.model import Job
from gridjig.model.endcut import MOST_MORE
from gridjig.qt.actions.action import MENUS
from gridjig.qt.actions.registry import ACTIONS, SHEET_KEYS
from gridjig.qt.dialogs.help import TOPICS
from gridjig.qt.style.metrics import Metrics
from gridjig.sheets.text.cautions import TWO_PEOPLE_KG
from gridjig.solve.weldment.meeting import GAP
from gridjig.units import INCH
from gridjig.units.masses import POUND
from tests.conftest import untraced

ROOT = Path(__file__).resolve().parent.parent
HELP = assets_dir() / "help"


@cache
def topic(name: str) -> str:
    return (HELP / f"{name}.md").read_text(encoding="utf-8")


@cache
def spoken() -> str:
    """All texts of the program, without what is filled in and without what explains code."""
    found: list[str] = []
    with untraced():
        for path in sorted((ROOT / "gridjig").rglob("*.py")):
            docs = set()
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Expr):  # comes before what stands in it
                    docs.add(id(node.value))
                elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                    found += [node.value] * (id(node) not in docs)
    return "\n".join(found)


def is_said(words: str) -> bool:
    """True if the program has these words, written so; only a sentence may begin otherwise."""
    return words in spoken() or words[:1].lower() + words[1:] in spoken()


# -- names -----------------------------------------------------------------------------------------


LINK = re.compile(r"\[([^\]]+)\]\([^)]+\)")


def ways() -> list[tuple[str, str, str]]:
    """Every way through the menus that is named: where, the menu, the action."""
    found = []
    for name in TOPICS:
        for menu, action in re.findall(r"\*([A-Z]\w+) › ([^*]+)\*", topic(name)):
            found.append((name, menu, LINK.sub(r"\1", action)))
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for menu, action in re.findall(rf"`({'|'.join(MENUS)})`, `([^`]+)`", readme):
        found.append(("README", menu, action))
    return found


def test_every_menu_and_action_that_is_named_is_there() -> None:
    assert len(ways()) > 30
    there = {(one.menu, one.text) for one in ACTIONS} | {
        (one.menu, one.submenu) for one in ACTIONS if one.submenu
    }
    # "Mirrored copy" stands for both directions.
    starts = {(one.menu, one.text.split(",")[0]) for one in ACTIONS}
    wrong = [way for way in ways() if way[1:] not in there | starts]
    assert wrong == []


def test_a_way_through_the_menus_is_written_in_one_way() -> None:
    """Else the test above would not see it."""
    others = [
        (name, found)
        for name in TOPICS
        for found in re.findall(r"\*[A-Z]\w+ > [^*]+\*|[*`][A-Z]\w+[*`], \*[^*]+\*", topic(name))
    ]
    assert len(TOPICS) > 20
    assert others == []


def test_a_key_beside_an_action_is_that_of_the_action() -> None:
    keys = {one.text: one.keys for one in ACTIONS}
    beside = [
        (name, LINK.sub(r"\1", action), key)
        for name in TOPICS
        for action, key in re.findall(
            r"\*(?:[A-Z]\w+ › )?([^*\n]+)\*,? \(?`((?:Ctrl\+|Shift\+)*[A-Z0-9]\d*)`", topic(name)
        )
    ]
    assert len(beside) > 9
    assert [one for one in beside if one[2] not in keys.get(one[1], ())] == []


KEY = re.compile(
    r"`((?:(?:Ctrl|Shift|Alt)\+)*(?:F\d+|[A-Z0-9]|Enter|Up|Down|Left|Right|Space|Page \w+))`"
)


def test_every_key_that_is_named_does_something() -> None:
    known = {key for one in ACTIONS for key in one.keys}
    known |= {part for one in SHEET_KEYS for part in re.split(r"[ +]+", one.keys)}
    # Keys of lists and fields, which Qt or the list itself handles.
    known |= {"Up", "Down", "Left", "Right", "Enter", "Ctrl+Enter", "Space"}
    known |= {"Page Up", "Page Down"}
    named = {(name, key) for name in TOPICS for key in KEY.findall(topic(name))}
    assert len(named) > 30
    assert sorted(one for one in named if one[1] not in known) == []


def test_every_word_in_italics_stands_in_the_window() -> None:
    """Names of buttons, fields and choices; and what the program says."""
    named = set()
    for name in TOPICS:
        text = re.sub(r"\*\*[^*]+\*\*", "", topic(name))
        for words in re.findall(r"(?<![*\w])\*([^*\n]+)\*(?!\*)", text):
            if not re.search(r"[›>]|°", words):
                named.add((name, words.rstrip("….").strip()))
    assert len(named) > 60
    missing = sorted(one for one in named if not is_said(one[1]))
    assert [one for one in missing if one not in SAID_OTHERWISE] == []


SAID_OTHERWISE = {
    ("cuts", "Mitres opposed"),  # composed, see sheets/text/cut_text.py
    ("cuts", "Mitres parallel"),
    ("form", "pinned by 2 pins"),  # composed, see sheets/text/placed_text.py
    ("safety", "just for a second"),  # what people say
}


def test_every_word_in_bold_stands_in_the_window_or_heads_a_paragraph() -> None:
    named = {
        (name, words.rstrip("….: "))
        for name in TOPICS
        for words in re.findall(r"\*\*([^*\n]+)\*\*", topic(name))
    }
    assert len(named) > 60
    assert {one for one in named if not is_said(one[1])} == HEADS


HEADS = {
    ("about", "GEOS"),
    ("angle", "First check what the drawing measures"),
    ("check", "Ends that do not meet"),
    ("check", "Overlapping parts"),
    ("drawing", "Plates or members"),
    ("files", "Someone else has it open"),
    ("place", "By clicks"),
    ("place", "By dragging"),
    ("place", "By keys"),
    ("safety", "Clothing"),
    ("safety", "Falling members"),
    ("safety", "Hot metal"),
    ("safety", "Pinch and crush"),
    ("safety", "Springing"),
    ("select", "In lists"),
    ("select", "Names on the plan"),
    ("settings", "Colours and text size"),
    ("sheet", "Paper and scale"),
    ("sheet", "What you see is what is printed"),
    ("start", "Draw the weldment"),
    ("start", "Look at the lamp"),
    ("starters", "Places in a row"),
}
"""What is no name in the window: heads of paragraphs."""


# -- figures ---------------------------------------------------------------------------------------


@pytest.mark.source("method", "the figures of the program against those in its help")
@pytest.mark.parametrize(
    ("name", "says", "holds"),
    [
        ("files", "later ones within 15 seconds", autosave.DELAY == 15),
        ("files", "The first changes after opening or saving are copied at once", True),
        ("check", 'no more than .002" (0.05 mm) apart', TOUCH == 0.05),
        ("cuts", "60° until you set it", 60.0 in Job.__struct_defaults__),
        ("joints", 'a root gap of 1/8"', abs(GAP - INCH / 8) < 0.05),
        ("joints", "at 7850 kg/m³", STEEL == 7850),
        ("member", "An end takes up to four cuts", MOST_MORE + 1 == 4),
        ("settings", "buttons 20 mm large", Metrics(4.0, glove=True).target >= 80),
        ("safety", "Over 23 kg or 51 lb", TWO_PEOPLE_KG == 23 and round(23 / POUND) == 51),
    ],
)
def test_every_figure_in_help_is_that_of_the_program(name: str, says: str, holds: object) -> None:
    assert says in topic(name)
    assert holds
