"""Short runs of what is in reliability/; the long ones write docs/reliability.md."""

from __future__ import annotations

import importlib
import random
import shutil
from pathlib import Path
from types import ModuleType

import pytest

FOLDER = Path(__file__).parents[3] / "reliability"


@pytest.fixture
def script(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The script of that name."""
    monkeypatch.syspath_prepend(FOLDER)
    return importlib.import_module(request.param)


def named(name: str) -> pytest.MarkDecorator:
    """Ask for one script."""
    return pytest.mark.parametrize("script", [name], indirect=True)


@named("kill_while_writing")
def test_nothing_acknowledged_is_lost_to_a_kill(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(6, 1, tmp_path, 20.0)
    assert found.kills >= 2
    assert found.acknowledged >= found.kills
    assert found.imported


@named("disk_full")
def test_a_full_disk_and_a_closed_file_lose_nothing(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(3, 1, tmp_path)
    assert found.acknowledged
    assert found.forbidden == 2


@named("forgery")
def test_every_forgery_is_found_at_its_place(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(1, 1, tmp_path)
    assert found.found["a derived row"] == 1


@named("damage")
def test_damage_is_told_in_words(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(6, 1, tmp_path, 1)
    assert found.places == 6
    assert found.columns >= 4
    assert found.found >= 4


@named("taking_out")
def test_what_is_taken_out_is_in_no_byte(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(2, 20270204, tmp_path)
    assert found.places > 8
    assert found.files_gone
    assert found.files_kept


@named("evidence")
def test_all_missing_evidence_is_told(script: ModuleType, tmp_path: Path) -> None:
    found = script.run(1, 20270118, tmp_path)
    assert len(found.told) == len(script.FORGERS)


@named("power_loss")
def test_nothing_acknowledged_is_lost_with_the_power(script: ModuleType, tmp_path: Path) -> None:
    if shutil.which("strace") is None:  # what a loss may leave is tested below without it
        return
    events = script.recorded(tmp_path)
    assert sum(event.what == "kept" for event in events) > 60
    script.lose(events, 40, random.Random(1), tmp_path)


@named("power_loss")
def test_a_setting_that_loses_entries_is_found_out(script: ModuleType, tmp_path: Path) -> None:
    """A journal whose removal was never synced: a run in which it is still there undoes what was acknowledged."""
    event, disk = script.Event, script.Disk()
    for one in (
        event("made", "l"),
        event("folder synced", ""),
        event("written", "l", 0, b"old"),
        event("synced", "l"),
        event("made", "l-journal"),
        event("written", "l-journal", 0, b"old"),
        event("synced", "l-journal"),
        event("folder synced", ""),
        event("written", "l", 0, b"new"),
        event("synced", "l"),
        event("removed", "l-journal"),
    ):
        disk.take(one)
    left = [disk.after_loss(random.Random(seed)) for seed in range(20)]
    assert all(files["l"] == b"new" for files in left)
    assert {"l-journal" in files for files in left} == {True, False}
    disk.take(event("folder synced", ""))
    assert all("l-journal" not in disk.after_loss(random.Random(seed)) for seed in range(20))


@named("power_loss")
def test_what_was_not_synced_may_be_there_in_part_or_not_at_all(script: ModuleType) -> None:
    event, disk = script.Event, script.Disk()
    for one in (event("made", "l"), event("folder synced", ""), event("written", "l", 0, b"a" * 1024)):
        disk.take(one)
    disk.take(event("synced", "l"))
    disk.take(event("written", "l", 0, b"b" * 1024))
    disk.take(event("cut", "l", 512))
    found = {disk.after_loss(random.Random(seed))["l"] for seed in range(300)}
    assert {b"a" * 1024, b"a" * 512, b"b" * 1024, b"b" * 512, b"b" * 512 + b"a" * 512} <= found


LINES = [
    ('7 openat(AT_FDCWD<"/t">, "/t/l", O_RDWR|O_CREAT, 0600) = 3</t/l>', ("made", "l", 0, b"")),
    ('7 pwrite64(3</t/l>, "\\x61\\x62", 2, 4096) = 2', ("written", "l", 4096, b"ab")),
    ("7 fdatasync(3</t/l>) = 0", ("synced", "l", 0, b"")),
    ("7 fdatasync(4</t>) = 0", ("folder synced", "", 0, b"")),
    ("7 ftruncate(3</t/l>, 0) = 0", ("cut", "l", 0, b"")),
    ('7 unlink("/t/l") = 0', ("removed", "l", 0, b"")),
]


@named("power_loss")
@pytest.mark.parametrize(("line", "wanted"), LINES, ids=[line.split("(")[0] for line, _ in LINES])
def test_a_recorded_call_is_read(script: ModuleType, line: str, wanted: tuple[str, str, int, bytes]) -> None:
    assert tuple(script.event_of(line, "/t")) == wanted
    assert (
        script.event_of(
            line.replace("= 0", "= -1 EIO").replace("= 2", "= -1 EIO").replace("= 3", "= -1"), "/t"
        )
        is None
    )


@named("report")
def test_the_page_is_written_from_the_runs(script: ModuleType, tmp_path: Path) -> None:
    again = [f"{run.script}-{run.again[1]}" for run in script.RUNS if run.again[0]]
    names = [*(run.script for run in script.RUNS), *again]
    for name in names:
        (tmp_path / f"{name}.log").write_text(f"seed 5: {name} went well\n", encoding="utf-8")
        (tmp_path / f"{name}.commit").write_text("c" * 40, encoding="ascii")
    text = script.page({run.title: script.told(run, tmp_path, 5) for run in script.RUNS})
    assert text.count("commit cccc") == len(names)
    assert f"\n\nSeed 5: {again[0]} went well." in text
    assert "Seed 5: power_loss went well." in text
    (tmp_path / "power_loss.log").write_text("Traceback\n", encoding="utf-8")
    with pytest.raises(RuntimeError, match="went well"):
        script.told(script.RUNS[1], tmp_path, 5)
