"""`airwrit open-page` as a process: the address it tells, who gets in, how it ends; and the demo's page."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from click.testing import CliRunner

from airwrit.cli.main import cli

MAIN = "from airwrit.cli.main import main; main()"


@contextmanager
def serving(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The command as a process, with the address that it told."""
    command = [sys.executable, "-c", MAIN, "open-page", "--no-open", "--json", *options]
    with subprocess.Popen(
        command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        line = process.stdout.readline()
        try:
            yield process, json.loads(line)["address"]
        finally:
            process.kill()


def test_the_address_opens_the_page_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, address):
        browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        with browser.open(address, timeout=20) as answer:
            assert urlsplit(answer.url).path == "/today"
            assert "An empty ledger" in answer.read().decode()
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(address, timeout=20)
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 0
        assert process.stderr is not None
        assert process.stderr.read() == ""
    assert not (tmp_path / "program.airwrit").exists()


def test_it_listens_on_this_machine_alone(tmp_path: Path) -> None:
    with serving(tmp_path) as (_, address):
        place = urlsplit(address)
        assert place.hostname == "127.0.0.1"
        with (
            pytest.raises(OSError, match="refused"),
            socket.create_connection(("127.0.0.2", place.port or 0), 5),
        ):
            pass


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        result = CliRunner().invoke(cli, ["open-page", "--no-open", "--port", port])
    assert result.exit_code != 0
    assert f"Port {port} can't be used" in str(result.exception)


def test_bad_house_rules_are_told_at_once(tmp_path: Path) -> None:
    rules = tmp_path / "rules.toml"
    rules.write_text("nonsense = 1\n", encoding="utf-8")
    result = CliRunner().invoke(cli, ["open-page", "--no-open", "--house", str(rules)])
    assert "rules.toml" in str(result.exception)


def test_the_demo_opens_no_page_without_a_terminal(tmp_path: Path) -> None:
    command = [sys.executable, "-c", MAIN, "demo", "--on", "2026-11-25"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0
    assert "enter/" not in done.stdout


def test_the_demo_opens_its_page_on_a_terminal(tmp_path: Path) -> None:
    leader, follower = os.openpty()
    command = [sys.executable, "-c", MAIN, "demo", "--on", "2020-03-02"]
    environment = {**os.environ, "BROWSER": "true"}
    process = subprocess.Popen(command, cwd=tmp_path, stdout=follower, stderr=follower, env=environment)
    os.close(follower)
    try:
        said = ""
        while "Ctrl-C" not in said:
            said += os.read(leader, 65536).decode("utf-8", "replace")
        address = next(word for word in said.split() if "/open/" in word)
        browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        with browser.open(address, timeout=20) as answer:
            assert urlsplit(answer.url).query == "on=2020-03-02"
            assert "Tarn &amp; Fell" in answer.read().decode()
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 0
    finally:
        process.kill()
        process.wait()
        os.close(leader)
