"""Locks hold names, versions and hashes; no file of the project knows the machine it was written on."""

import re
import subprocess
from pathlib import Path

import pytest

from tests.shape.tree import ROOT, write_tree

LOCK_LINE = re.compile(
    r"[a-z0-9]+(-[a-z0-9]+)*==[0-9A-Za-z.+!]+( ; [a-z_0-9<>=!.' ()-]+)? \\"
    r"|    --hash=sha256:[0-9a-f]{64}( \\)?",
    re.IGNORECASE,
)
UNTRACKED = {
    ".git",
    ".venv",
    ".hypothesis",
    ".mypy_cache",
    ".ruff_cache",
    ".pytest_cache",
    "__pycache__",
    "dist",
}


def odd_lock_lines(lock: Path) -> list[str]:
    """Each line of `lock` that is neither a name with its version nor a hash."""
    lines = lock.read_text(encoding="utf-8").splitlines()
    found = [f"{lock.name}:{at}: {line}" for at, line in enumerate(lines, 1) if not LOCK_LINE.fullmatch(line)]
    return found if lines else [f"{lock.name}: empty"]


def locked(lock: Path) -> set[str]:
    """The `name==version` of each package in `lock`."""
    return {line.split()[0] for line in lock.read_text(encoding="utf-8").splitlines() if "==" in line}


def project_files(root: Path) -> list[Path]:
    """The files that git keeps or would keep; without git, all but those that tools make."""
    if (root / ".git").exists():
        command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        names = subprocess.run(command, cwd=root, check=True, capture_output=True, text=True).stdout.split(
            "\0"
        )
        return [root / name for name in names if (root / name).is_file()]
    return [path for path in root.rglob("*") if path.is_file() and not UNTRACKED & set(path.parts)]


def machine_places(root: Path, home: Path) -> list[str]:
    """The folders whose names give away the machine: the one that holds the checkout, and the home."""
    holder = root.parent if root.parent != root.parent.parent else root
    return [place.as_posix() + "/" for place in (holder, home) if place != place.parent]


def machine_paths(files: list[Path], places: list[str]) -> list[str]:
    """A line for every line of `files` that holds a path below one of `places`."""
    path = re.compile(r"(?<![\w.~*-])(" + "|".join(map(re.escape, places)) + ")")
    found = []
    for file in files:
        text = file.read_bytes().decode("utf-8", "replace")
        found += [
            f"{file}:{at}: {line.strip()}"
            for at, line in enumerate(text.splitlines(), 1)
            if path.search(line)
        ]
    return found


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-dev.lock"])
def test_a_lock_holds_names_versions_and_hashes(name: str) -> None:
    assert odd_lock_lines(ROOT / name) == []


def test_the_test_lock_holds_the_run_lock() -> None:
    assert locked(ROOT / "requirements.lock") <= locked(ROOT / "requirements-dev.lock")


def test_no_other_kind_of_lock_is_kept() -> None:
    kept = {path.name for path in project_files(ROOT)}
    assert not kept & {"uv.lock", "pylock.toml", "poetry.lock", "Pipfile.lock"}


def test_no_file_names_this_machine() -> None:
    assert machine_paths(project_files(ROOT), machine_places(ROOT, Path.home())) == []


@pytest.mark.parametrize(
    "line",
    [
        "--index-url https:" + "//index.example/simple",
        "# made in a folder",
        "click @ file:" + "//click.whl",
        "click==8.5.1",
        "click>=8 \\",
        "    --hash=md5:00",
    ],
)
def test_an_odd_lock_line_is_reported(tmp_path: Path, line: str) -> None:
    good = "click==8.5.1 ; sys_platform == 'win32' \\\n    --hash=sha256:" + "0" * 64 + "\n"
    lock = write_tree(tmp_path, {"a.lock": good + line + "\n", "good.lock": good}) / "a.lock"
    assert odd_lock_lines(lock) == [f"a.lock:3: {line}"]
    assert odd_lock_lines(tmp_path / "good.lock") == []


def test_an_empty_lock_is_reported(tmp_path: Path) -> None:
    assert odd_lock_lines(write_tree(tmp_path, {"a.lock": ""}) / "a.lock") == ["a.lock: empty"]


def test_a_machine_path_is_reported(tmp_path: Path) -> None:
    root = write_tree(tmp_path, {"a.md": "in some/here/x and\nat /here/main/x\n", "b.md": "/home/me/y\n"})
    places = machine_places(Path("/here/main"), Path("/home/me"))
    assert machine_paths(sorted(project_files(root)), places) == [
        f"{root}/a.md:2: at /here/main/x",
        f"{root}/b.md:1: /home/me/y",
    ]


def test_a_checkout_at_the_top_is_named_itself() -> None:
    assert machine_places(Path("/main"), Path("/")) == ["/main/"]
