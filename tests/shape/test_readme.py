"""The README's example is the program's real output, and its commands are there.

To write the example anew: AIRWRIT_WRITE_README=1 python3 start.py test tests/shape/test_readme.py
"""

from __future__ import annotations

import contextlib
import os
import re
from pathlib import Path

from click.testing import CliRunner

from airwrit.base.sentences import with_days
from airwrit.cli.main import COMMANDS, cli

ROOT = Path(__file__).parents[2]
READINGS = re.compile(r"Of the\s+\d+ numbers, .*? all from saved copies\.", re.DOTALL)
BLOCK = re.compile(r"(<!-- made by [^\n]* demo --on (\S+) -->\n```\n)(.*?)(```\n<!-- end -->)", re.DOTALL)


def shown_by_demo(on: str, folder: Path) -> str:
    """What the demo prints."""
    with contextlib.chdir(folder):
        result = CliRunner(env={"AIRWRIT_TYPED": "python3 start.py airwrit"}).invoke(
            cli, ["demo", "--on", on]
        )
    assert result.exit_code == 0, result.output
    return "".join(line.rstrip() + "\n" for line in result.output.rstrip().splitlines())


def test_the_example_is_real(tmp_path: Path) -> None:
    """The block between the marks is what the command prints."""
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    found = BLOCK.search(text)
    assert found is not None
    real = shown_by_demo(found[2], tmp_path)
    if os.environ.get("AIRWRIT_WRITE_README"):
        readme.write_text(text[: found.start(3)] + real + text[found.end(3) :], encoding="utf-8")
        return
    assert found[3] == real


def test_the_test_command_is_what_ci_runs() -> None:
    """`.ci/run` calls the README's own test command."""
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "python3 start.py test" in ci
    assert "python3 start.py test" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_what_it_tells_of_readings_is_counted() -> None:
    """How many values there are, how each text was had, and between which days they were read."""
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    told = READINGS.search(text)
    assert told is not None
    real = _readings_told()
    if os.environ.get("AIRWRIT_WRITE_README"):
        readme.write_text(text[: told.start()] + real + text[told.end() :], encoding="utf-8")
        return
    assert told[0] == real


def _readings_told() -> str:
    """The sentences on readings, counted in the parameter files themselves."""
    files = sorted((ROOT / "src" / "airwrit" / "law" / "params").rglob("*.toml"))
    texts = [path.read_text(encoding="utf-8") for path in files]
    had = [found for text in texts for found in re.findall(r'^had = "(.+)"$', text, re.MULTILINE)]
    days = sorted(found for text in texts for found in re.findall(r"^read_on = (\S+)$", text, re.MULTILINE))
    ways = ("primary text", "copy of the Code", "agency page", "secondary", "memory")
    primary, copies, pages, second, memory = map(had.count, ways)
    return (
        f"Of the {len(had)} numbers, {primary} are from the official text, {copies} from a copy of the Code, {pages} from a "
        f"saved agency page,\n  {second} from a secondhand source, and {memory} were written from memory. We read the texts "
        f"between {with_days(days[0])} and {with_days(days[-1])}, all from saved copies."
    )


def test_every_command_named_is_there() -> None:
    """Each `airwrit NAME` of the README is a command."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"(?:`|start\.py )airwrit ([a-z-]+)\b", text))
    assert named - set(COMMANDS) == set()
    assert {"today", "import", "open-page", "backup"} <= named


def test_its_picture_is_there_and_small() -> None:
    """The picture of the page, made by tests/browser/test_pictures.py, is a PNG of less than 150 kB."""
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert shown == ["docs/today.png"]
    data = (ROOT / shown[0]).read_bytes()
    assert data.startswith(b"\x89PNG")
    assert len(data) < 150_000


def test_it_opens_with_a_sentence_a_picture_two_lines_of_caution_and_two_commands() -> None:
    """A newcomer gets as far as the page without scrolling."""
    head = (ROOT / "README.md").read_text(encoding="utf-8").partition("<!--")[0]
    assert len(head.splitlines()) <= 30
    assert (
        head.index("![") < head.index("not legal advice") < head.index("git clone") < head.index("start.py")
    )
