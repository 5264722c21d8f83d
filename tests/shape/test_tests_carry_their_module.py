"""A test is found by its module's name: each file of tests is named for a module or a room, and each module of law has one."""

from __future__ import annotations

from pathlib import Path

from tests.shape.tree import ROOT, SRC

UNIT = ROOT / "tests" / "unit"
_OF_ALL_THE_LAW = {
    "law/changes_told",
    "law/every_code_has_a_case",
    "law/every_parameter_decides",
    "law/numbers_in_words",
    "law/own_section",
    "law/switches",
    "law/what_is_read",
}
"""Tests that go through all of the law."""
_STILL_WITHOUT = {
    "law/aircraft/penalties",
    "law/flight/rulebook",
    "law/shared_parameters",
}
"""Modules of law that are tested through others; none may be added."""
_STILL_OTHERWISE = 79
"""How many files of tests outside the law may be named for neither; it may only fall."""


def named(folder: Path, tests: Path) -> tuple[set[str], set[str]]:
    """The files of tests that are named for no module or room, and the modules that no file of tests is named for."""
    modules = {
        path.relative_to(folder).with_suffix("").as_posix()
        for path in folder.rglob("*.py")
        if path.name != "__init__.py"
    }
    rooms = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_dir()}
    files = {
        path.relative_to(tests).with_name(path.stem.removeprefix("test_")).as_posix()
        for path in tests.rglob("test_*.py")
    }
    of = {name: {one for one in modules | rooms if f"{name}_".startswith(f"{one}_")} for name in files}
    found = {one for ones in of.values() for one in ones}
    return {name for name, ones in of.items() if not ones}, modules - found


def test_every_module_of_law_has_tests_of_its_name() -> None:
    otherwise, without = named(SRC, UNIT)
    assert {one for one in otherwise if one.startswith("law/")} == _OF_ALL_THE_LAW
    assert {one for one in without if one.startswith("law/")} == _STILL_WITHOUT


def test_few_tests_elsewhere_are_named_for_no_module() -> None:
    otherwise, _ = named(SRC, UNIT)
    assert len({one for one in otherwise if not one.startswith("law/")}) <= _STILL_OTHERWISE


def test_a_test_of_no_module_and_a_module_without_tests_are_found(tmp_path: Path) -> None:
    for name in ("src/law/a.py", "src/law/b.py", "unit/law/test_a_more.py", "unit/law/test_c.py"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    assert named(tmp_path / "src", tmp_path / "unit") == ({"law/c"}, {"law/b"})
