"""Text files: encodings, delimiters, quotes, and what is no text at all."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.child.delimited import decode, delimiter_of, read
from airwrit.intake.reader.limits import LIMITS, Fault, Limits

TEXT = "Name,Rôle\nSøren “Test”,pilot – day\n"
PLAIN = "Name,Rôle\nRené,pilot\n"


def rows_of(data: bytes) -> list[list[str]]:
    """The rows of cells in these bytes, without the letters of their kinds."""
    return [[cell[1:] for cell in row] for row in read(data, LIMITS)["sheets"][0]["rows"]]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_encodings(encoding: str) -> None:
    assert rows_of(TEXT.encode(encoding)) == [["Name", "Rôle"], ["Søren “Test”", "pilot – day"]]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be", "latin-1", "cp1252"])
def test_an_encoding_without_mark_is_told(encoding: str) -> None:
    decoded = decode(PLAIN.encode(encoding))
    assert (decoded.text, decoded.guessed) == (PLAIN, True)


def test_another_legacy_encoding_is_found_and_told() -> None:
    text = "名前,役割,日付\n試験太郎,操縦士,昨日の夕方\n見本花子,監視員,今朝の早い時間\n" * 5
    decoded = decode(text.encode("shift_jis"))
    assert decoded.guessed
    assert decoded.text == text


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("a,b,c\n1,2,3\n", ","),
        ("a;b;c\nx;0,249;1,2\ny;1,5;2,5\n", ";"),
        ("a\tb\n1,5\t2,5\n", "\t"),
        ("a|b\n1|2\n", "|"),
        ("Fleet list, 2026\n\na;b;c\n1;2;3\n4;5;6\n", ";"),
        ('a,b\n"x; y; z",2\n"p; q",3\n', ","),
        ("sep=;\na;b\n", ";"),
        ("a\nb\n", ","),
    ],
)
def test_the_delimiter_is_what_fits_most_rows(text: str, delimiter: str) -> None:
    assert delimiter_of(text) == delimiter


def test_quotes_line_ends_and_blank_lines_keep_true_rows() -> None:
    data = b'Name,Note\r\n\r\n"Test, Jo","two\r\nlines"\r\n"say ""hi""",x\r\n'
    assert rows_of(data) == [["Name", "Note"], [], ["Test, Jo", "two\r\nlines"], ['say "hi"', "x"]]


def test_leading_zeros_stay() -> None:
    assert rows_of(b"Certificate\n0071\n") == [["Certificate"], ["0071"]]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (bytes(range(256)) * 4, "isn't a spreadsheet or a text file"),
        (b"\x05\x06", "isn't a spreadsheet or a text file"),
        (b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n\x01\x02\x03\x04\x05\x06\x07", "can't tell the text's encoding"),
        (b"\xff\xfe\x00", "isn't a spreadsheet or a text file"),
        (b"<html><table><tr><td>Aircraft</td></tr></table></html>", "a web page"),
        (b"<?xml version='1.0'?><x/>", "a web page"),
    ],
)
def test_what_is_no_text_is_a_fault(data: bytes, says: str) -> None:
    with pytest.raises(Fault, match=says):
        read(data, LIMITS)


def test_too_many_cells_are_a_fault() -> None:
    with pytest.raises(Fault, match="more than 3 cells"):
        read(b"a,b\nc,d\n", Limits(cells=3))


@pytest.mark.parametrize(
    "make", [lambda data: data, lambda data: b"a,b\n" + data, lambda data: b"\xff\xfe" + data]
)
@given(data=st.binary(max_size=300))
def test_random_bytes_give_rows_or_a_fault(make: Callable[[bytes], bytes], data: bytes) -> None:
    try:
        told: dict[str, Any] = read(make(data), LIMITS)
    except Fault:
        return
    assert told["kind"] == "csv"
