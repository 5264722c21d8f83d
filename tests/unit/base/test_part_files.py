"""What a killed process left half written is found, and goes with the next file; what a living one holds stays."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from airwrit.base import part_files
from airwrit.base.part_files import clear_left_over, left_over, part_of
from airwrit.base.whole_files import write_whole
from tests.unit.cli.command import ROOT, run

_CHILD = """
import sys
from pathlib import Path
from airwrit.base.whole_files import whole_file
with whole_file(Path(sys.argv[1]), private=True) as beside:
    beside.write_bytes(b"Jo Test, 1990-01-02")
    Path(f"{beside}-journal").write_bytes(b"1990-01-02")
    print("begun", flush=True)
    sys.stdin.read()
"""


@contextmanager
def writing(path: Path) -> Iterator[subprocess.Popen[str]]:
    """A process that is in the midst of writing a file."""
    pipe = subprocess.PIPE
    env = {"PYTHONPATH": str(ROOT / "src"), "PATH": "/usr/bin:/bin"}
    with subprocess.Popen(
        [sys.executable, "-c", _CHILD, str(path)], text=True, env=env, stdin=pipe, stdout=pipe
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline() == "begun\n"
        try:
            yield child
        finally:
            child.kill()


def names(folder: Path) -> set[str]:
    return {one.name for one in folder.iterdir()}


def test_what_a_killed_process_left_goes_with_the_next_file_and_a_living_ones_stays(tmp_path: Path) -> None:
    with writing(tmp_path / "killed.pdf") as killed, writing(tmp_path / "alive.pdf") as alive:
        killed.send_signal(signal.SIGKILL)
        killed.wait()
        left = left_over(tmp_path)
        assert [one.path.name.rpartition(".")[2] for one in left] == ["part", "part-journal"]
        assert all(one.path.name.startswith(".killed-airwrit-") for one in left)
        write_whole(tmp_path / "next.csv", b"next", private=False)
        assert left_over(tmp_path) == []
        held = names(tmp_path) - {"next.csv"}
        assert len(held) == 2
        assert all(name.startswith(".alive-airwrit-") for name in held)
        alive.communicate("")
    assert (
        names(tmp_path)
        == {"next.csv", "alive.pdf", *(one for one in held if one.endswith("-journal"))} - held
    )


def test_only_files_of_this_programs_naming_go(tmp_path: Path) -> None:
    write_whole(tmp_path / "a", b"", private=True)
    mine = part_of(tmp_path / "b").name
    ended = mine.replace(f"-{os.getpid()}-", "-999999999-")
    other = ended.replace(part_files._machine(), "0" * 8 if part_files._machine() != "0" * 8 else "1" * 8)
    strange = [
        ".b-0123456789ab.part",
        "x.part",
        ended[1:],
        f"{ended}.txt",
        ended.replace("airwrit", "other"),
        f".{ended}x",
    ]
    for name in (*strange, mine, ended, other):
        (tmp_path / name).write_bytes(b"x")
    folder, link = tmp_path / ended.replace(".b", ".c"), tmp_path / ended.replace(".b", ".d")
    folder.mkdir()
    link.symlink_to(tmp_path / "a")
    assert {(one.path.name, one.is_elsewhere) for one in left_over(tmp_path)} == {
        (ended, False),
        (other, True),
    }
    before = names(tmp_path)
    clear_left_over(tmp_path)
    assert before - names(tmp_path) == {ended}


def test_a_folder_that_cannot_be_read_and_a_file_that_cannot_go_disturb_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert left_over(tmp_path / "none") == []
    ended = tmp_path / part_of(tmp_path / "b").name.replace(f"-{os.getpid()}-", "-999999999-")
    ended.write_bytes(b"x")

    def refused(_: Path, *, missing_ok: bool = False) -> None:
        if not missing_ok:
            raise PermissionError(13, "no")

    monkeypatch.setattr(Path, "unlink", refused)
    write_whole(tmp_path / "next", b"next", private=True)
    assert (tmp_path / "next").read_bytes() == b"next"
    assert ended.exists()


@pytest.mark.parametrize("fault", [PermissionError, OverflowError])
def test_a_process_that_one_may_not_ask_counts_as_living(
    monkeypatch: pytest.MonkeyPatch, fault: type[Exception]
) -> None:
    def refused(_: int, __: int) -> None:
        raise fault

    monkeypatch.setattr(os, "kill", refused)
    assert part_files._is_alive(2)


def test_check_names_what_was_left_beside_the_ledger(tmp_path: Path) -> None:
    (tmp_path / "fleet.csv").write_text("Aircraft,Model\nT-1,One\n", encoding="utf-8")
    assert run(tmp_path, "import", "fleet.csv", "--yes").returncode in (0, 3)
    with writing(tmp_path / "killed.pdf") as killed:
        assert "is incomplete" not in run(tmp_path, "check-records").stdout
        killed.send_signal(signal.SIGKILL)
        killed.wait()
        (part, journal) = sorted(one.path.name for one in left_over(tmp_path))
        done = run(tmp_path, "check-records")
    assert done.returncode == 0
    for name in (part, journal):
        assert f"note: {name} is incomplete. The next file saved to this folder replaces it." in done.stdout
    (tmp_path / part.replace(part_files._machine(), "0" * 8)).touch()
    assert "was started on another computer" in run(tmp_path, "check-records").stdout
    assert run(tmp_path, "backup", "b.airwrit").returncode == 0
    assert "is incomplete" not in run(tmp_path, "check-records").stdout
