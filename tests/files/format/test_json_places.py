"""Where things stand in a JSON text, against an independent reader."""

import json
import os
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gridjig.files.format.json_places import (
    find,
    find_boundless,
    find_doubled,
    line_and_column,
    parse_path,
    walk,
    write_path,
)

trees = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=15,
)


def values(tree: Any, path: tuple[str | int, ...] = ()) -> dict[tuple[str | int, ...], Any]:
    """Every value of a tree by its path."""
    found = {path: tree}
    entries: Any = ()
    if isinstance(tree, dict):
        entries = tree.items()
    elif isinstance(tree, list):
        entries = enumerate(tree)
    for step, inner in entries:
        found |= values(inner, (*path, step))
    return found


@pytest.mark.source("library", "Python 3.11 json", "what stands at each place")
@given(trees, st.sampled_from([None, 1]), st.booleans())
def test_every_value_is_found_where_it_stands(tree: Any, indent: int | None, plain: bool) -> None:
    text = json.dumps(tree, indent=indent, ensure_ascii=plain)
    expected = values(tree)
    seen = {}
    for spot in walk(text):
        if not spot.is_key:
            seen[spot.path] = json.JSONDecoder().raw_decode(text, spot.at)[0]
    assert seen == expected
    assert find_doubled(text) is None
    for path in expected:
        at = find(text, path)
        assert at is not None
        assert json.JSONDecoder().raw_decode(text, at)[0] == expected[path]


def test_what_is_not_there() -> None:
    assert find('{"a": [1]}', ("a", 1)) is None
    assert find("", ()) is None
    assert find_doubled('{"a": {"a": 1}, "b": {"a": 1}}') is None
    assert find_boundless('{"1e999": ["1e999", 1, -2.5, true, null]}') is None


def test_doubled_keys_and_boundless_numbers() -> None:
    doubled = find_doubled('{"a": {"b": 1, "c": 2, "b": 3}}')
    assert doubled
    assert (doubled.path, doubled.at) == (("a", "b"), 23)
    boundless = find_boundless('[1, {"a": -1e400}]')
    assert boundless
    assert boundless.path == (1, "a")
    assert find_boundless("[0x1, 2]") is None


@pytest.mark.source("published", "RFC 8259, December 2017", "section 7, the escapes of strings")
@pytest.mark.parametrize(
    ("escaped", "key"),
    [(r"\u0061", "a"), (r"\n\t\r\b\f", "\n\t\r\b\f"), (r"\"\\\/", '"\\/'), (r"é\u00e9", "éé")],
)
def test_escaped_keys(escaped: str, key: str) -> None:
    assert find(f'{{"{escaped}": 1}}', (key,)) is not None


def test_lines_and_columns_count_from_one() -> None:
    assert line_and_column("ab\ncd", 0) == (1, 1)
    assert line_and_column("ab\ncd", 2) == (1, 3)
    assert line_and_column("ab\ncd", 3) == (2, 1)


def test_paths_as_they_are_written() -> None:
    assert parse_path("$") == parse_path("") == ()
    assert parse_path("$.placements[3].turn") == ("placements", 3, "turn")
    assert parse_path("placements[3].turn") == ("placements", 3, "turn")
    assert parse_path("$[0]") == (0,)
    assert write_path(("placements", 3, "turn")) == "placements[3].turn"
    assert write_path((0, "a")) == "[0].a"


@pytest.mark.source("method", "brute force: each key by its whole path")
@given(trees, st.integers(0, 30))
def test_a_doubled_key_is_found_with_its_path(tree: Any, which: int) -> None:
    text = json.dumps(tree, ensure_ascii=False)
    keys = [spot for spot in walk(text) if spot.is_key]
    assume(keys)
    chosen = keys[which % len(keys)]
    again = text[: chosen.at] + f"{chosen.token}: 0, " + text[chosen.at :]
    doubled = find_doubled(again)
    assert doubled is not None
    seen: set[tuple[str | int, ...]] = set()
    for spot in walk(again):
        if spot.is_key and spot.path in seen:
            assert doubled == spot
            break
        if spot.is_key:
            seen.add(spot.path)


PROGRAM = """
import resource, sys, time
resource.setrlimit(resource.RLIMIT_AS, (2**30, 2**30))
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import read_job
groups, entries = b'{"a":' * 900, b"1," * 4_500_000
for data in (
    b'{"gridjig":1,"x":' + groups + b"[" + entries + b"1]" + b"}" * 900 + b',"x":2}',
    b'{"gridjig":1,"x":' + groups + b"[" + entries + b"1]" + b"}" * 900 + b"}",
    b'{"gridjig":1,"x":' + groups + b"[" + entries + b"1e999]" + b"}" * 900 + b"}",
    b'{"gridjig":1,"name":"' + rb"\\u0041" * 1_500_000 + b'"}',
):
    try:
        read_job(data)
    except ReadFault as fault:
        print(len(str(fault)) < 400, "line 1" in str(fault))
print(time.process_time() < 60)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_nine_megabytes_of_nested_groups_are_refused_in_little_memory() -> None:
    """They once took 6.7 GB and 34 s."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == ["True True"] * 4 + ["True"]


@pytest.mark.parametrize("after", [", 2", "] 2", "} 2", ": 2", ', {"\\q": 2}'])
def test_where_a_text_stops_being_json_the_walk_ends(after: str) -> None:
    assert [spot.token for spot in walk("1" + after)] == ["1"]
    assert find("1" + after, (0,)) is None


@pytest.mark.parametrize("text", ["]", '{"a": 1}}', r'{"\q": 1, "\q": 2}'])
def test_no_key_is_doubled_where_the_text_stops_being_json(text: str) -> None:
    assert find_doubled(text) is None


def test_a_key_that_is_no_text_ends_the_walk() -> None:
    assert [spot.token for spot in walk(r'[1, {"\q": 2}, 3]')] == ["[", "1", "{"]
    assert find(r'[1, {"\q": 2}, 3]', (0,)) == 1
    assert find(r'[1, {"\q": 2}, 3]', (2,)) is None
