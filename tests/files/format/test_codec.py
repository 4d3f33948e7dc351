"""Strict reading: every kind of bad file is refused in one sentence that says where."""

import json
import os
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec import Struct

from gridjig.files.format import codec
from gridjig.files.format.codec import decode, decode_tree, encode, read_bytes
from gridjig.files.format.faults import ReadFault


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    name: str
    size: float = 1.0
    flags: tuple[bool, ...] = ()


class Box(Struct, frozen=True, forbid_unknown_fields=True):
    name: str
    parts: tuple[Part, ...] = ()
    first: Part | None = None


def fault_of(data: bytes, wanted: Any = Box) -> ReadFault:
    with pytest.raises(ReadFault) as caught:
        decode(data, wanted, Path("shop/box.json"))
    return caught.value


@pytest.mark.source("memory", "RFC 8259 (JSON) and RFC 3629 (UTF-8)")
@pytest.mark.expectation(47, 85)
@pytest.mark.parametrize(
    ("data", "line", "column", "why"),
    [
        (b"", 0, 0, "it is empty"),
        (b" \n\t ", 0, 0, "it is empty"),
        (b'\xef\xbb\xbf{"name": "a"}', 1, 1, "begins with a byte order mark"),
        (b"\xff\xfe{\x00", 1, 1, "it is not UTF-8 text"),
        (b'{"name":\n "a\xffb"}', 2, 4, "it is not UTF-8 text"),
        ('{"näme":\n "ä'.encode() + b'\xed\xa0\x80"}', 2, 4, "it is not UTF-8 text"),
        (b'{"name": "a"', 1, 13, "the text ends in the middle"),
        (b'{"name": "a', 1, 12, "the text ends in the middle"),
        (b'{"name": "a"}\nx', 2, 1, "the text is not JSON from here on"),
        ('{"name": "ä",}'.encode(), 1, 14, "the text is not JSON from here on"),
        (b'{"name": NaN}', 1, 10, "the text is not JSON from here on"),
        (b'{"name": Infinity}', 1, 10, "the text is not JSON from here on"),
        (b'{"name": "\\ud800"}', 1, 11, "there is half a character there"),
        (b"{'name': 1}", 1, 2, "the text is not JSON from here on"),
        (b'{"name": "a",\n "parts": 1e999}', 2, 11, "the number is too large"),
        (b'{"name": -1e999}', 1, 10, "the number is too large"),
        (b"9" * 5000, 1, 1, "the number is too large"),
        (b'{"name": 1' + b"0" * 309 + b"}", 1, 10, "the number is too large"),
        (b'{"name": 1' + b"0" * 308 + b"}", 1, 10, "text is expected"),
        (b"[" * 200_000, 0, 0, "its lists are nested too deeply"),
        (b'{"a":' * 100_000, 0, 0, "its lists are nested too deeply"),
        (b'{"name": "a",\n "name": "b"}', 2, 2, "the field appears twice"),
        (b'{"name": "a", "n\\u0061me": "b"}', 1, 15, "the field appears twice"),
        (b'{"name": "a", "parts": [{"x": 1, "x": 1}]}', 1, 34, "the field appears twice"),
    ],
)
def test_what_is_no_strict_json(data: bytes, line: int, column: int, why: str) -> None:
    fault = fault_of(data)
    assert (fault.line, fault.column) == (line, column)
    assert why in str(fault)
    assert str(fault).startswith("box.json cannot be read")


@pytest.mark.expectation(47, 85)
@pytest.mark.parametrize(
    ("data", "where", "line", "column", "why"),
    [
        (b"[]", "", 0, 0, "a group of named fields is expected, but a list was found"),
        (b'{"name": 3}', "name", 1, 10, "text is expected, but a whole number was found"),
        (b'{"name": 3.5}', "name", 1, 10, "but a number with decimals was found"),
        (b'{"parts": []}', "", 0, 0, "the field 'name' is missing"),
        (
            b'{"name": "a",\n"prts": []}',
            "prts",
            2,
            9,
            "no field 'prts' here; the fields are name, parts",
        ),
        (
            b'{"name": "a", "parts": [\n{"name": "b"},\n{"name": "c", "size": "3"}]}',
            "parts[1].size",
            3,
            23,
            "a number is expected, but text was found",
        ),
        (b'{"name": "a", "parts": [{}]}', "parts[0]", 1, 25, "the field 'name' is missing"),
        (b'{"name": "a", "parts": {}}', "parts", 1, 24, "a list is expected"),
        (
            b'{"name": "a", "parts": [{"name": "b", "flags": [true, 0]}]}',
            "parts[0].flags[1]",
            1,
            55,
            "true or false is expected",
        ),
        (b'{"name": null}', "name", 1, 10, "nothing (null) was found"),
        (b'{"name": "a", "first": 3}', "first", 1, 24, "or nothing (null) is expected"),
    ],
)
def test_what_is_of_the_wrong_type(
    data: bytes, where: str, line: int, column: int, why: str
) -> None:
    fault = fault_of(data)
    assert (fault.where, fault.line, fault.column) == (where, line, column)
    assert why in str(fault)
    assert str(fault).endswith("or open an older copy.")


def test_a_fault_without_a_file_and_with_a_mere_name() -> None:
    with pytest.raises(ReadFault, match=r"^The file cannot be read: it is empty; open an older"):
        decode(b"", Box)
    with pytest.raises(ReadFault, match=r"^tables\.json cannot be read"):
        decode(b"", Box, "tables.json")


@pytest.mark.source("library", "Python 3.11 json", "reading back")
@given(
    st.recursive(
        st.none()
        | st.booleans()
        | st.integers()
        | st.floats(allow_nan=False, allow_infinity=False)
        | st.text(st.characters(exclude_categories=["Cs"])),
        lambda inner: st.lists(inner) | st.dictionaries(st.text('ab\\"é', max_size=3), inner),
        max_leaves=20,
    )
)
def test_good_json_is_read_as_another_reader_reads_it(tree: Any) -> None:
    data = json.dumps(tree, ensure_ascii=False).encode()
    assert decode_tree(data) == json.loads(data)


@example(r"1E310\}")
@example('{"a": 1E310, x: 1}')
@example("[1E310], 2")
@given(st.binary(max_size=60) | st.text('{}[]",:0123456789.eE+-tfn\\ua \n', max_size=60))
def test_any_bytes_are_read_or_refused(data: bytes | str) -> None:
    try:
        made = decode(data if isinstance(data, bytes) else data.encode(), Box)
    except ReadFault as fault:
        assert str(fault).startswith("The file cannot be read")  # noqa: PT017
    else:
        assert isinstance(made, Box)


# -- files ---------------------------------------------------------------------------------------


def refused(path: Path, limit: int = codec.LIMIT) -> str:
    with pytest.raises(ReadFault) as caught:
        read_bytes(path, limit)
    return str(caught.value)


@pytest.mark.expectation(85, 86)
def test_what_is_no_ordinary_file(tmp_path: Path) -> None:
    assert "it is a folder; choose a file in it" in refused(tmp_path)
    assert "there is no such file" in refused(tmp_path / "gone")
    assert "file names cannot have" in refused(tmp_path / "a\0b")
    assert "its name is too long" in refused(tmp_path / ("x" * 300))
    (tmp_path / "file").write_bytes(b"{}")
    assert "a part of its path is not a folder" in refused(tmp_path / "file" / "deeper")
    assert read_bytes(tmp_path / "file") == b"{}"


@pytest.mark.skipif(os.name == "nt", reason="no such devices there")
def test_devices_pipes_and_circles_do_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "circle").symlink_to(tmp_path / "circle")
    assert "it is a device or a pipe" in refused(tmp_path / "pipe")
    assert "it is a device or a pipe" in refused(Path("/dev/zero"))
    assert "its links form a loop" in refused(tmp_path / "circle")


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    huge = tmp_path / "huge.gridjig"
    with huge.open("wb") as file:
        file.truncate(10 * 1024**3)  # it takes no room: nothing is written
    said = refused(huge)
    assert "it is 10240 MB, and such a file can be at most 64 MB" in said


def test_a_file_that_grows_while_it_is_read(tmp_path: Path, monkeypatch: Any) -> None:
    path = tmp_path / "grows"
    path.write_bytes(b"x" * 100)
    monkeypatch.setattr(codec, "_require_ordinary", lambda *_: None)
    assert "such a file can be at most" in refused(path, limit=10)


def test_no_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "locked"
    path.write_bytes(b"{}")

    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:  # put back before pytest clears its folders away
        patch.setattr(os, "open", refuse)
        assert "you have no permission for it" in refused(path)


# -- writing -------------------------------------------------------------------------------------


def test_the_layout_reads_well_in_a_diff() -> None:
    box = Box("a", (Part("p"), Part("q", 2.5, (True,))), Part("r", 3.0))
    written = encode(box, {"box": 1}, frozenset({"parts"}), frozenset({"first"}))
    assert written.decode() == (
        "{\n"
        '  "box": 1,\n'
        '  "name": "a",\n'
        '  "parts": [\n'
        '    {"name": "p"},\n'
        '    {"name": "q", "size": 2.5, "flags": [true]}\n'
        "  ],\n"
        '  "first": {\n'
        '    "name": "r",\n'
        '    "size": 3,\n'
        '    "flags": []\n'
        "  }\n"
        "}\n"
    )


@pytest.mark.source("library", "Python 3.11 json", "reading back, IEEE 754 round trip")
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_read_back_as_the_same_float(number: float) -> None:
    data = encode(Part("a", number))
    assert json.loads(data)["size"] == number
    assert decode(data, Part).size == number
    assert encode(decode(data, Part)) == data


@pytest.mark.source("memory", "Unicode: surrogates are no characters")
def test_half_a_character_from_a_broken_paste_does_not_stop_a_save() -> None:
    assert decode(encode(Part("a\ud800b")), Part).name == "a\ufffdb"


@given(st.text())
def test_any_text_can_be_written(text: str) -> None:
    back = decode(encode(Part(text)), Part)
    whole = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    assert back.name == whole


@pytest.mark.source("library", "msgspec 0.22", "its own encoder")
@given(st.builds(Box))
def test_the_layout_changes_nothing(box: Box) -> None:
    one_a_line = frozenset({"parts"})
    spread = frozenset({"first"})
    data = encode(box, None, one_a_line, spread)
    assert decode(data, Box) == box == msgspec.json.decode(msgspec.json.encode(box), type=Box)
    assert encode(decode(data, Box), None, one_a_line, spread) == data
