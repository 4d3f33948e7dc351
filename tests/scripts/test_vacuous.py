"""The gate for vacuous tests: what can pass without an assertion is named, and nothing else."""

import textwrap
from pathlib import Path

import pytest

import vacuous

HEAD = """
import itertools
from enum import Enum
from typing import Literal, get_args
import pytest
from hypothesis import given, strategies as st
from gridjig.solver import KINDS, Way, solve
from tests.helpers import GIVEN, Driver, require, require_each

Side = Literal["left", "right"]
SIZES = [1, 2, 3]
"""
FILES = {
    "gridjig/solver.py": """
        from enum import StrEnum
        KINDS = ("pin", "stop")
        class Way(StrEnum):
            UP = "up"
            DOWN = "down"
        def solve(): return []
        """,
    "tests/helpers.py": """
        GIVEN = {"a": 1}
        def require(value):
            assert value.fits
        def require_each(values):
            for value in values:
                require(value)
        class Driver:
            def expect(self, text, *more):
                for one in (text, *more):
                    assert one in self.hint
                return self
            def glance(self, *texts):
                for one in texts:
                    assert one in self.hint
        """,
}

VACUOUS = {
    "a loop over an answer": "for one in solve(): assert one.fits",
    "a loop over an answer by its name": """
        found = solve()
        for one in found:
            assert one.fits
        """,
    "what is attached to an answer": "for one in solve().ranked[:2]: assert one.fits",
    "every one of an answer": "assert all(one.fits for one in solve())",
    "none of an answer": "assert not any(one.clashes for one in solve())",
    "nothing sifted out of an answer": "assert [one for one in solve() if one.clashes] == []",
    "faults gathered from an answer": """
        faults = []
        for one in solve():
            if not one.fits:
                faults.append(one)
        assert faults == []
        """,
    "a set that is within another": "assert {one.id for one in solve()} <= {1, 2}",
    "two answers side by side": "for a, b in zip(solve(), solve(), strict=True): assert a == b",
    "neighbours of one item": "for a, b in itertools.pairwise([1, *solve()]): assert a < b",
    "a list with a condition": "for one in [n for n in SIZES if n > 2]: assert solve()[one]",
    "only behind a condition": "if solve(): assert solve()[0].fits",
    "after an early return": """
        found = solve()
        if not found:
            return
        assert found[0].fits
        """,
    "turns of a loop that are left out": """
        for size in SIZES:
            if size not in solve():
                continue
            assert solve()[size].fits
        """,
    "only in a handler": """
        try:
            solve()
        except ValueError as fault:
            assert str(fault)
        """,
    "a helper that loops": "require_each(solve())",
    "a helper inside a loop": "for one in solve(): require(one)",
    "a method that loops over what it is given": "Driver().glance(*solve())",
    "a function inside that is called in a loop": """
        def look(one):
            assert one.fits
        for one in solve():
            look(one)
        """,
    "a while": "while solve(): assert solve()[0].fits",
}

SOUND = {
    "a count before the loop": """
        found = solve()
        assert len(found) == 3
        for one in found:
            assert one.fits
        """,
    "a loop over what is written out": "for size in (1, 2): assert size in solve()",
    "a loop over a constant": "for size in SIZES: assert size in solve()",
    "a constant of the helpers": "for name, size in GIVEN.items(): assert size in solve()",
    "data of the program": "for kind in KINDS: assert solve()[kind]",
    "the members of an enumeration": "for way in Way: assert solve()[way]",
    "the words of a type": "for side in get_args(Side): assert solve()[side]",
    "a literal beside an answer, of one length": """
        for one, two in zip([1, 2], solve(), strict=True):
            assert one == two
        """,
    "a range": "for k in range(len(SIZES)): assert solve()[k]",
    "pairs": "for a, b in itertools.combinations(SIZES, 2): assert solve()[a] != b",
    "loops in loops": "for a in SIZES:\n    for b in ('x' * 3): assert solve()[a] == b",
    "a list made of a literal": "for one in [2 * n for n in SIZES]: assert one in solve()",
    "both branches": """
        if solve():
            assert solve()[0].fits
        else:
            assert solve() == ()
        """,
    "a refusal": "with pytest.raises(ValueError): solve()",
    "a return after a refusal": """
        if solve():
            with pytest.raises(ValueError):
                solve()
            return
        assert solve() == ()
        """,
    "a handler and its else": """
        try:
            found = solve()
        except ValueError as fault:
            assert str(fault)
        else:
            assert found
        """,
    "rejected examples": """
        try:
            found = solve()
        except ValueError:
            reject()
        assert found
        """,
    "a helper": "require(solve())",
    "a method": "Driver().expect('a hint').other()",
    "a function inside": """
        def look(one):
            assert one.fits
        look(solve())
        """,
    "a sum that is not empty": "assert sorted(one.id for one in solve()) == [1, 2]",
    "what a signal gathered": """
        seen = []
        for signal in SIZES:
            connect(seen.append)
        assert seen == []
        """,
    "nothing is asserted at all": "solve()",
}


def judged(tmp_path: Path, body: str, header: str = "def test_it(one=None, sizes=None):") -> bool:
    """Whether a test with that body is found vacuous."""
    for name, text in FILES.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(textwrap.dedent(text), encoding="utf-8")
    body = textwrap.indent(textwrap.dedent(body).strip(), "    ")
    text = f"{HEAD}\n{header}\n{body}\n"
    (tmp_path / "tests" / "test_it.py").write_text(text, encoding="utf-8")
    tests, faults = vacuous.vacuous_tests(tmp_path)
    assert tests == 1
    return bool(faults)


@pytest.mark.parametrize("case", VACUOUS)
def test_what_passes_when_the_answer_is_empty_is_found(tmp_path: Path, case: str) -> None:
    assert judged(tmp_path, VACUOUS[case])


@pytest.mark.parametrize("case", SOUND)
def test_what_cannot_pass_without_an_assertion_is_left_alone(tmp_path: Path, case: str) -> None:
    assert not judged(tmp_path, SOUND[case])


@pytest.mark.parametrize(
    ("mark", "found"),
    [
        ("@given(st.lists(st.integers()))", False),
        ("@given(sizes=st.lists(st.integers()))", False),
        ("@pytest.mark.parametrize('sizes', [[1], [2]])", False),
        ("@pytest.mark.parametrize(('other', 'sizes'), [(0, [1])])", False),
        ("@pytest.mark.parametrize('other', [1])", True),
        ("@pytest.mark.slow", True),
    ],
)
def test_what_is_drawn_for_a_test_is_written_out(tmp_path: Path, mark: str, found: bool) -> None:
    body = "for size in sizes: assert size in solve()"
    assert judged(tmp_path, body, f"{mark}\ndef test_it(other, sizes):") is found


def test_what_is_found_is_named_with_its_place(tmp_path: Path) -> None:
    (tmp_path / "tests").mkdir()
    text = "\n\ndef test_answers(solve):\n    for one in solve():\n        assert one\n"
    (tmp_path / "tests" / "test_a.py").write_text(text, encoding="utf-8")
    assert vacuous.vacuous_tests(tmp_path) == (
        1,
        [
            "tests/test_a.py:3: test_answers can pass without an assertion: "
            "say first how many answers there must be"
        ],
    )
