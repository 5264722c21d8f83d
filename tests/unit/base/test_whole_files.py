"""A file is whole or not there, whatever happens between; what is private is its owner's alone from the first byte on."""

from __future__ import annotations

import os
import signal
import stat
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from airwrit.base import whole_files
from airwrit.base.whole_files import whole_file, write_whole


@pytest.fixture(autouse=True)
def open_mask() -> Iterator[None]:
    """No mask of the system's own, so that only what the program asks for keeps others out."""
    before = os.umask(0)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize(("private", "wanted"), [(True, 0o600), (False, 0o666)])
def test_who_may_read_it_from_the_first_byte_on(tmp_path: Path, private: bool, wanted: int) -> None:
    path = tmp_path / "made"
    with whole_file(path, private=private) as beside:
        assert mode(beside) == wanted
        beside.write_bytes(b"new")
        assert not path.exists()
    assert (path.read_bytes(), mode(path)) == (b"new", wanted)
    assert list(tmp_path.iterdir()) == [path]


def test_what_others_could_read_before_is_its_owners_alone_after(tmp_path: Path) -> None:
    path = tmp_path / "made"
    path.write_bytes(b"old")
    path.chmod(0o644)
    write_whole(path, b"new", private=True)
    assert (path.read_bytes(), mode(path)) == (b"new", 0o600)


@pytest.mark.parametrize("fault", [OSError(28, "full"), KeyboardInterrupt(), MemoryError(), RuntimeError()])
def test_what_breaks_off_leaves_what_was_there(tmp_path: Path, fault: BaseException) -> None:
    path = tmp_path / "made"
    path.write_bytes(b"old")

    def breaks_off() -> None:
        with whole_file(path, private=True) as beside:
            beside.write_bytes(b"ha")
            (tmp_path / f"{beside.name}-journal").touch()
            raise fault

    with pytest.raises(type(fault)):
        breaks_off()
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_what_cannot_be_made_safe_on_the_disk_takes_no_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path) -> None:
        raise OSError(28, "no space left", str(path))

    monkeypatch.setattr(whole_files, "_to_disk", full)
    path = tmp_path / "made"
    with pytest.raises(OSError, match="no space"):
        write_whole(path, b"new", private=True)
    assert list(tmp_path.iterdir()) == []


def test_a_new_file_never_takes_the_place_of_one_that_is_there(tmp_path: Path) -> None:
    path = tmp_path / "made"
    path.write_bytes(b"old")
    with pytest.raises(FileExistsError):
        write_whole(path, b"new", private=True, new=True)
    assert path.read_bytes() == b"old"
    other = tmp_path / "other"

    def overtaken() -> None:
        with whole_file(other, private=True, new=True) as beside:
            beside.write_bytes(b"new")
            other.write_bytes(b"somebody else's, made meanwhile")

    with pytest.raises(FileExistsError):
        overtaken()
    assert other.read_bytes() == b"somebody else's, made meanwhile"
    assert sorted(tmp_path.iterdir()) == [path, other]


def test_where_a_disk_knows_no_second_names_a_new_file_is_made_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(one: Path, other: Path) -> None:
        raise FileExistsError(str(other)) if other.exists() else PermissionError(str(one))

    monkeypatch.setattr(os, "link", refused)
    path = tmp_path / "made"
    write_whole(path, b"new", private=True, new=True)
    assert (path.read_bytes(), mode(path)) == (b"new", 0o600)
    with pytest.raises(FileExistsError):
        write_whole(path, b"newer", private=True, new=True)


def test_a_killed_writer_leaves_what_was_there(tmp_path: Path) -> None:
    path = tmp_path / "made"
    path.write_bytes(b"old")
    child = os.fork()
    if child == 0:
        with whole_file(path, private=True) as beside:
            beside.write_bytes(b"ha")
            os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    assert path.read_bytes() == b"old"


def test_a_link_stays_and_what_it_leads_to_is_written(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    link.symlink_to(real)
    write_whole(link, b"new", private=True)
    assert link.is_symlink()
    assert real.read_bytes() == b"new"


def test_what_is_no_file_gets_the_bytes(tmp_path: Path) -> None:
    pipe, got = tmp_path / "pipe", list[bytes]()
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
    reader.start()
    write_whole(pipe, b"new", private=True)
    reader.join()
    assert got == [b"new"]
    assert stat.S_ISFIFO(pipe.stat().st_mode)


@pytest.mark.parametrize("name", ["n" * 255, "ß" * 100, ".hidden", "two words.pdf"])
def test_any_name_that_a_file_may_have(tmp_path: Path, name: str) -> None:
    write_whole(tmp_path / name, b"new", private=True)
    assert (tmp_path / name).read_bytes() == b"new"


def test_a_folder_is_no_place_for_a_file(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="irectory"):
        write_whole(tmp_path, b"new", private=True)
    with pytest.raises(OSError, match="No such file"):
        write_whole(tmp_path / "no" / "made", b"new", private=True)
