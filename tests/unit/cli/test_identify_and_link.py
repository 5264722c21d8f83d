"""The two commands as a user meets them: words, exit codes, JSON, one line for what cannot be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.main import cli
from tests.unit.intake.photos import as_bytes, code_picture


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, arguments, standalone_mode=False)


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["check-number", "ZZ9Z5A1B2C"], 0, "|--| This can be a Remote ID serial number"),
        (["check-number", "ZZ9Z5A1B2"], 1, "|//| This can't be a Remote ID serial number"),
        (["check-number", "D001D"], 3, "|..| We can't tell if this is a 24-bit aircraft address"),
        (["check-number", "1.58E+18"], 3, "|..| We can't tell."),
        (["check-number", "ZZ9Z5A1B2C", "hello"], 1, "hello"),
        (["check-number", "ZZ9Z5A1B2C", "--all"], 0, "|//| This can't be an N-number"),
        (["check-number", "SN=ZZ9Z5A1B2C"], 1, "Part of it, ZZ9Z5A1B2C, by itself:"),
        (["check-web-address", "https://www.faa.gov/uas"], 0, "|--| This can be official: faa.gov"),
        (["check-web-address", "https://faa.gov.example.com"], 1, "|//| This isn't official: example.com"),
        (["check-web-address", "https://bit.ly/x"], 3, "|..| We can't tell: bit.ly"),
        (["check-web-address", "https://faa.gov", "--on", "2026-11-25"], 0, "$5 for 3 years."),
    ],
)
def test_words_and_exit_codes(arguments: list[str], code: int, says: str) -> None:
    result = run(*arguments)
    assert result.return_value == code
    assert says in result.output


@pytest.mark.parametrize("text", ["ZZ9Z5A1B2C", "D001D", "hello", "FIN87astrdge12k8-qjv"])
def test_the_form_is_never_called_proof(text: str) -> None:
    output = run("check-number", text).output
    assert "A correct format doesn't show that a number was issued" in output
    assert "valid" not in output
    assert "qjv" not in output


def test_json_is_one_document() -> None:
    told = json.loads(run("check-number", "--json", "ZZ9Z5A1B2C").output)
    assert (told["question"], told["verdict"]) == ("identify", "met")
    told = json.loads(run("check-web-address", "--json", "https://faa.gov", "--on", "2026-11-25").output)
    assert (told["question"], told["verdict"]) == ("link", "met")


def test_a_photo_is_read_to_be_confirmed(tmp_path: Path) -> None:
    path = tmp_path / "label.png"
    path.write_bytes(as_bytes(code_picture("Data Matrix", "ZZ9Z5A1B2C", 6), "PNG"))
    result = run("check-number", str(path))
    assert result.return_value == 0
    assert "Data Matrix: ZZ9Z5A1B2C" in result.output
    assert "ompare each character" in result.output
    told = json.loads(run("check-number", "--json", str(path)).output)
    assert told["asked"][0]["status"] == "read, to be confirmed"


def test_a_photo_without_a_code_cannot_be_told(tmp_path: Path) -> None:
    path = tmp_path / "blank.png"
    path.write_bytes(as_bytes(code_picture("QR Code", "x", 1).resize((30, 30)).point(lambda _: 255), "PNG"))
    result = run("check-number", str(path))
    assert result.return_value == 3
    assert "no code. Go" in result.output


def test_control_signs_never_reach_the_terminal() -> None:
    for command in ("check-number", "check-web-address"):
        assert "\x1b" not in run(command, "https://faa.gov/\x1b[31m\x07").output


@pytest.mark.parametrize(
    ("arguments", "error"),
    [
        (["check-number", " "], UsageError),
        (["check-number", "none.jpg"], UnreadableFile),
        (["check-number", "a.heic"], UnreadableFile),
    ],
)
def test_wrong_use_is_one_line(arguments: list[str], error: type[Exception]) -> None:
    assert isinstance(run(*arguments).exception, error)


@pytest.mark.parametrize("command", ["check-number", "check-web-address"])
def test_help_has_an_example(command: str) -> None:
    assert f"Example:\n    airwrit {command} " in run(command, "--help").output
