"""The sentences about files."""

import errno
import os
import pickle
from pathlib import Path

import pytest

from gridjig.files.format.faults import ReadFault, SaveFault, clip, words_for


@pytest.mark.expectation(85)
def test_a_sentence_says_which_file_where_why_and_what_to_do() -> None:
    fault = ReadFault(Path("/shop/gate.gridjig"), "table.width", "it is 0", "correct it", 4, 12)
    assert str(fault) == (
        "gate.gridjig cannot be read at line 4, column 12 (table.width): it is 0; correct it."
    )
    assert str(ReadFault(None, "", "it is empty", "open another")) == (
        "The file cannot be read: it is empty; open another."
    )
    assert str(ReadFault("x.json", "a.b", "it is 0", "correct it")) == (
        "x.json cannot be read at a.b: it is 0; correct it."
    )
    assert str(SaveFault(Path("/shop/a"), "its disk is full", "save it elsewhere")) == (
        "a was not saved: its disk is full; save it elsewhere."
    )
    assert str(SaveFault(Path("/"), "it is a folder", "choose a file")).startswith("/ was not")


def test_faults_survive_the_way_to_another_process() -> None:
    for fault in (ReadFault(Path("a"), "b", "c", "d", 1, 2), SaveFault(Path("a"), "b", "c")):
        assert str(pickle.loads(pickle.dumps(fault))) == str(fault)


@pytest.mark.expectation(86)
@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("ENOENT", "there is no such file"),
        ("ENOTDIR", "a part of its path is not a folder"),
        ("EISDIR", "it is a folder"),
        ("EACCES", "you have no permission for it"),
        ("EPERM", "you have no permission for it"),
        ("EROFS", "its disk is read-only"),
        ("ENOSPC", "its disk is full"),
        ("EDQUOT", "your share of its disk is full"),
        ("EFBIG", "its disk cannot hold a file that large"),
        ("ENAMETOOLONG", "its name is too long"),
        ("ELOOP", "its links form a loop"),
        ("EIO", "its disk or share is not responding correctly"),
        ("ESTALE", "its network share is gone"),
        ("EHOSTDOWN", "its network share is gone"),
        ("ENOTCONN", "its network share is gone"),
        ("ETIMEDOUT", "its network share is not responding"),
        ("EBUSY", "another program is using it"),
        ("ETXTBSY", "another program is using it"),
        ("EMFILE", "too many files are open"),
    ],
)
def test_what_the_system_says_in_plain_words(name: str, words: str) -> None:
    number = getattr(errno, name)
    assert words_for(OSError(number, os.strerror(number))) == words


def test_a_fault_that_the_system_makes_is_put_into_plain_words(tmp_path: Path) -> None:
    with pytest.raises(OSError) as missing:  # noqa: PT011
        (tmp_path / "none").read_bytes()
    assert words_for(missing.value) == "there is no such file"


@pytest.mark.expectation(86)
def test_what_has_no_words_of_its_own_is_said_by_the_system() -> None:
    assert words_for(OSError(9999, "Odd thing")) == "the system says 'Odd thing'"
    assert words_for(TimeoutError()) == "another program is using it"
    assert words_for(ValueError("embedded null byte")).startswith("its name has a character")


def test_long_and_unprintable_names_are_made_fit_for_a_sentence() -> None:
    assert clip("abc", 3) == "abc"
    assert clip("abcd", 3) == "ab…"
    assert clip("a\nb\0", 9) == "a�b�"
