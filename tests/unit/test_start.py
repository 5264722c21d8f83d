"""The parts of start.py that reckon; setting up itself is what CI does in a clean clone."""

import ast
import itertools
import sys
from pathlib import Path

import pytest

import start
from tests.shape.tree import ROOT, write_tree

FILES = {"requirements.lock": "click", "pyproject.toml": "[project]", "start.py": "print()", "src/a.py": "1"}


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A checkout with the files that a stamp looks at, and one more."""
    return write_tree(tmp_path / "checkout", FILES)


def stamp(root: Path, version: str = "3.11.7") -> str:
    """The stamp of `root` for its one lock."""
    return start.wanted_stamp(root, "requirements.lock", version)


def test_an_old_python_is_told_what_is_needed_and_what_it_is() -> None:
    said = start.refusal((3, 9, 18), "/opt/python")
    assert "needs Python 3.11 or newer" in said
    assert "/opt/python is Python 3.9.18" in said
    assert "\n" not in said


def test_old_pythons_can_read_the_file() -> None:
    assert ast.parse((ROOT / "start.py").read_text(encoding="utf-8"), feature_version=(3, 6)).body


def test_the_version_is_looked_at_before_anything_newer_is_used() -> None:
    kinds = [type(node) for node in ast.parse((ROOT / "start.py").read_text(encoding="utf-8")).body]
    before = kinds[: kinds.index(ast.If)]
    assert set(before) == {ast.Expr, ast.Import, ast.ImportFrom, ast.Assign, ast.FunctionDef}
    assert before.count(ast.FunctionDef) == 1


@pytest.mark.parametrize("name", ["requirements.lock", "pyproject.toml", "start.py"])
def test_a_stamp_changes_with_each_file_it_depends_on(tree: Path, name: str) -> None:
    before = stamp(tree)
    write_tree(tree, {name: "other"})
    assert stamp(tree) != before


def test_a_stamp_changes_with_the_python_and_the_place(tree: Path) -> None:
    moved = write_tree(tree.parent / "elsewhere", FILES)
    assert len({stamp(tree), stamp(tree, "3.12.1"), stamp(moved)}) == 3


def test_a_stamp_stays_when_only_the_sources_change(tree: Path) -> None:
    before = stamp(tree)
    write_tree(tree, {"src/a.py": "2"})
    assert stamp(tree) == before


def test_a_stamp_sees_where_one_part_ends() -> None:
    splits = [[b"ab", b"c"], [b"a", b"bc"], [b"abc"], [b"abc", b""]]
    assert len({start.stamp_of(parts) for parts in splits}) == len(splits)


def test_places_on_posix() -> None:
    layout = start.layout_of(Path("v"), windows=False, version=(3, 12))
    assert layout.python == Path("v/bin/python")
    assert layout.site_packages == Path("v/lib/python3.12/site-packages")
    assert layout.launcher == layout.command == Path("v/bin/airwrit")


def test_places_on_windows() -> None:
    layout = start.layout_of(Path("v"), windows=True, version=(3, 12))
    assert layout.python == Path("v/Scripts/python.exe")
    assert layout.site_packages == Path("v/Lib/site-packages")
    assert layout.launcher == Path("v/Scripts/airwrit-script.py")
    assert layout.command == Path("v/Scripts/airwrit.cmd")


@pytest.mark.parametrize("windows", [False, True])
def test_the_link_leads_to_the_sources(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, windows: bool
) -> None:
    monkeypatch.setattr(start, "ROOT", tmp_path)
    layout = start.layout_of(tmp_path / ".venv", windows, (3, 11))
    layout.site_packages.mkdir(parents=True)
    layout.launcher.parent.mkdir(exist_ok=True)
    start.link(layout, windows)
    line = (layout.site_packages / "airwrit.pth").read_text(encoding="utf-8").strip()
    assert (layout.site_packages / line).resolve() == tmp_path / "src"
    ast.parse(layout.launcher.read_text(encoding="utf-8"))
    assert layout.command.is_file()


def test_the_installer_is_uv_where_there_is_one() -> None:
    python = Path("v/bin/python")
    assert start.installer(python, "/opt/uv") == ["/opt/uv", "pip", "install", "--python", str(python)]
    assert start.installer(python, None)[:4] == [str(python), "-m", "pip", "install"]


@pytest.mark.parametrize(
    ("said", "word"),
    [
        (
            "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE",
            "not the one that was locked",
        ),
        ("error: Hash mismatch for `click==8.5.1`", "not the one that was locked"),
        ("NewConnectionError: [Errno -3] Temporary failure in name resolution", "cannot be reached"),
        ("error: Request failed\n  Caused by: dns error", "cannot be reached"),
        ("ERROR: No space left on device", "mend what the lines above name"),
    ],
)
def test_advice_fits_what_the_installer_said(said: str, word: str) -> None:
    assert word in start.advice(said)


@pytest.mark.parametrize(("with_pip", "lacks"), [(True, "venv and ensurepip"), (False, "venv")])
def test_a_python_without_venv_is_named(monkeypatch: pytest.MonkeyPatch, with_pip: bool, lacks: str) -> None:
    monkeypatch.setattr(start, "VENV", Path("elsewhere"))
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)
    with pytest.raises(start.SetupError, match=f"lacks {lacks}, so no packages .*python3-venv"):
        start.make_venv(with_pip)


def test_the_environment_in_use_is_not_made_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "VENV", Path(sys.prefix).resolve())
    with pytest.raises(start.SetupError, match=r"is in use: run start\.py with a Python outside it"):
        start.make_venv(with_pip=True)


@pytest.mark.parametrize(
    ("found", "asked", "steps"),
    [
        ("nothing", "run", ["venv", "install", "link", "start"]),
        ("nothing", "dev", ["venv", "install", "link", "start"]),
        ("stale", "run", ["venv", "install", "link", "start"]),
        ("run", "run", []),
        ("run", "dev", ["install"]),
        ("dev", "run", []),
        ("dev", "dev", []),
    ],
)
def test_only_what_is_missing_is_set_up(
    tree: Path, monkeypatch: pytest.MonkeyPatch, found: str, asked: str, steps: list[str]
) -> None:
    write_tree(tree, {"requirements-dev.lock": "click pytest"})
    locks = {"run": start.RUN_LOCK, "dev": start.DEV_LOCK}
    layout = start.layout_of(tree / ".venv", sys.platform == "win32", sys.version_info[:2])
    done: list[str] = []
    stepping(tree, monkeypatch, done)
    stamp = tree / ".venv" / start.STAMP
    if found != "nothing":
        old_set_up(tree, start.wanted_stamp(tree, locks[found]) if found in locks else found)
    assert start.set_up(locks[asked]) == layout
    assert done == steps
    holds = "dev" if "dev" in (found, asked) else "run"
    assert stamp.read_text() == start.wanted_stamp(tree, locks[holds])
    assert sorted(path.name for path in tree.glob(".v*")) == [".venv"]


def stepping(tree: Path, monkeypatch: pytest.MonkeyPatch, done: list[str], breaks: str = "") -> None:
    """Have set-ups in `tree`, whose steps note themselves and make what they would; one of them breaks as its words say."""
    for name, place in (("ROOT", tree), ("VENV", ".venv"), ("NEW", ".vnew"), ("OLD", ".vold")):
        monkeypatch.setattr(start, name, tree / place)
    monkeypatch.setattr("shutil.which", lambda _: "uv")
    new = start.layout_of(tree / ".vnew", sys.platform == "win32", sys.version_info[:2])

    def make_venv(with_pip: bool) -> None:
        done.append("venv")
        new.python.parent.mkdir(parents=True)
        new.python.touch()
        (tree / ".vnew" / "pyvenv.cfg").write_text("home = here\n", encoding="utf-8")

    def run_quietly(command: list[str], doing: str) -> None:
        step = doing.split(maxsplit=1)[0]
        done.append(step)
        if breaks.startswith(step):
            raise start.SetupError(breaks, offline="offline" in breaks)

    def link(layout: start.Layout, windows: bool) -> None:
        done.append("link")
        (layout.python.parent / "tool").write_text(f"#!{layout.python}\n", encoding="utf-8")

    for step in (make_venv, run_quietly, link):
        monkeypatch.setattr(start, step.__name__, step)


def old_set_up(tree: Path, stamp: str) -> Path:
    """A set-up that stands, with a file of its own; where that is."""
    layout = start.layout_of(tree / ".venv", sys.platform == "win32", sys.version_info[:2])
    layout.python.parent.mkdir(parents=True)
    layout.python.touch()
    (tree / ".venv" / start.STAMP).write_text(stamp)
    (tree / ".venv" / "old").touch()
    return tree / ".venv" / "old"


@pytest.mark.parametrize("breaks", ["install offline", "install broken", "start broken"])
@pytest.mark.parametrize("lock", [start.RUN_LOCK, start.DEV_LOCK])
def test_the_old_set_up_stays_until_the_new_one_stands(
    tree: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], breaks: str, lock: str
) -> None:
    write_tree(tree, {"requirements-dev.lock": "click pytest"})
    stepping(tree, monkeypatch, [], breaks)
    old = old_set_up(tree, "stale")
    monkeypatch.setattr(start, "has_packages", lambda layout, lock: True)
    if "offline" in breaks and lock == start.RUN_LOCK:
        assert start.set_up(lock).python.is_file()
        assert f"{breaks}; going on with the set-up of before" in capsys.readouterr().err
    else:
        with pytest.raises(start.SetupError, match=breaks):
            start.set_up(lock)
    assert old.is_file()
    assert (tree / ".venv" / start.STAMP).read_text() == "stale"
    assert sorted(path.name for path in tree.glob(".v*")) == [".venv"]


def test_without_network_a_set_up_that_lacks_a_package_is_not_gone_on_with(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_tree(tree, {"requirements-dev.lock": "click pytest"})
    stepping(tree, monkeypatch, [], "install offline")
    old = old_set_up(tree, "stale")
    monkeypatch.setattr(start, "has_packages", lambda layout, lock: False)
    with pytest.raises(start.SetupError, match="offline"):
        start.set_up(start.RUN_LOCK)
    assert old.is_file()


def test_the_packages_of_a_lock_are_looked_for(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "ROOT", tree)
    here = start.layout_of(tree, False, (3, 11))._replace(python=Path(sys.executable))
    lines = "pytest==1.0 \\\n    --hash=sha256:00\n# a remark\nelsewhere==1 ; sys_platform == 'other' \\\n"
    write_tree(tree, {start.RUN_LOCK: lines})
    assert start.has_packages(here, start.RUN_LOCK)
    write_tree(tree, {start.RUN_LOCK: lines + "no-such-package-here==1.0 \\\n"})
    assert not start.has_packages(here, start.RUN_LOCK)


def test_a_new_set_up_names_the_place_where_it_is(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_tree(tree, {"requirements-dev.lock": "click pytest"})
    stepping(tree, monkeypatch, [])
    old = old_set_up(tree, "stale")
    layout = start.set_up(start.RUN_LOCK)
    assert not old.exists()
    assert (layout.python.parent / "tool").read_text(encoding="utf-8") == f"#!{layout.python}\n"
    assert len(start.NEW.name) == len(start.VENV.name)


def test_what_the_power_took_away_comes_back(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stepping(tree, monkeypatch, [])
    old_set_up(tree, "stale")
    (tree / ".venv").rename(tree / ".vold")
    start.put_back()
    assert (tree / ".venv" / "old").is_file()
    start.put_back()
    assert not (tree / ".vold").exists()


def test_a_place_that_is_in_use_keeps_the_old_set_up(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stepping(tree, monkeypatch, [])
    old = old_set_up(tree, "stale")
    with pytest.raises(start.SetupError, match="is in use"):
        start.take_the_place()
    assert old.is_file()


@pytest.mark.parametrize(("word", "shown"), [("dns error", ""), ("no space left", "no space left\n")])
def test_a_failed_step_shows_its_words_and_says_what_it_was(
    capsys: pytest.CaptureFixture[str], word: str, shown: str
) -> None:
    command = [sys.executable, "-c", f"import sys; print({word!r}); sys.exit(3)"]
    with pytest.raises(start.SetupError, match=r"could not try this \(code 3\): ") as failed:
        start.run_quietly(command, "try this")
    assert failed.value.offline is (not shown)
    assert capsys.readouterr().err == shown


@pytest.mark.parametrize(("codes", "code"), [([0, 0], 0), ([0, 1, 0], 1), ([1, 2], 2), ([0, -9], 137)])
def test_the_worst_code_counts(codes: list[int], code: int) -> None:
    for order in itertools.permutations(codes):
        assert start.worst(order) == code


def test_a_package_is_missing_when_none_of_its_programs_is_here() -> None:
    assert start.missing_packages(lambda name: None) == ["chromium", "tidy", "poppler-utils"]
    assert start.missing_packages(lambda name: f"/usr/bin/{name}" if name == "google-chrome" else None) == [
        "tidy",
        "poppler-utils",
    ]
    assert start.missing_packages(lambda name: f"/usr/bin/{name}") == []


@pytest.mark.parametrize(
    ("environment", "is_root", "has_apt", "may"),
    [
        ({}, True, True, True),
        ({"CI": "true"}, True, True, True),
        ({"AIRWRIT_INSTALL": "0"}, True, True, False),
        ({}, False, True, False),
        ({"CI": "true"}, True, False, False),
    ],
)
def test_system_packages_are_installed_only_where_allowed(
    environment: dict[str, str], is_root: bool, has_apt: bool, may: bool
) -> None:
    assert start.may_install(environment, is_root, has_apt) is may


def test_what_was_not_tested_is_said_with_how_to_get_it() -> None:
    told = start.not_tested(["chromium", "tidy"])
    assert "not here: chromium, tidy; the tests that use them were skipped" in told
    assert told.endswith("apt-get install chromium tidy, then run it again")
