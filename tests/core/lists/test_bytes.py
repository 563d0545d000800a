import pytest

from app.core.lists.bytes import decode
from app.core.lists.text import read_table
from app.core.problem import Problem

LIST = "kind,name,torque\nfastener,Küchenbolzen,25 N·m\n"


def code(data: bytes | str) -> tuple[str, str]:
    """Return the code of what is wrong, and where."""
    text = decode(data) if isinstance(data, bytes) else data
    found = (text,) if isinstance(text, Problem) else read_table(text)
    assert isinstance(found, tuple), found
    return found[0].code, found[0].where


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"]
)
def test_a_list_is_read_in_the_codings_that_spreadsheets_write(encoding: str) -> None:
    assert decode(LIST.encode(encoding)) == LIST


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b" \r\n\n", "empty"),
        (b"PK\x03\x04\x14\x00\x06\x00", "no-text"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "no-text"),
        (b"%PDF-1.7", "no-text"),
        (b"\x89PNG\r\n", "no-text"),
        (b"kind,name\npart,a\x00b\n", "no-text"),
        (b"kind,name\npart,a\x07b\n", "no-text"),
        (b"kind,name\npart,\xc3\xbcber\npart,\xc3", "half-character"),
        (b"kind,name\npart,\xed\xa0\x80\n", "half-character"),
        (b"\xff\xfek\x00i\x00n\x00d\x00\x00\xd8\n\x00", "half-character"),
        ("kind,name\npart,a�b\n".encode(), "half-character"),
        (b"kind,name\npart,a\x81b\n", "half-character"),
        (bytes(range(128, 256)) * 4, "coding-unknown"),
        (b"kind,name\n", "empty"),
    ],
)
def test_what_is_no_list_is_said_in_a_sentence(data: bytes, says: str) -> None:
    assert code(data)[0] == says


def test_a_fault_in_the_text_is_named_with_its_line() -> None:
    assert code(b"kind,name\npart,x\npart,a\x00b\n") == ("no-text", "line 3")
    assert code(b"kind,name\npart,\xc3\xbc\npart,x\npart,\xc3\n") == ("half-character", "line 4")
