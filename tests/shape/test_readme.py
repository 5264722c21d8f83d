"""The README's example is the program's real output, and its commands are there.

To write the example anew: AIRWRIT_WRITE_README=1 python3 start.py test tests/shape/test_readme.py
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from click.testing import CliRunner

from airwrit.cli.main import cli

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"(<!-- made by [^\n]* demo --on (\S+) -->\n```\n)(.*?)(```\n<!-- end -->)", re.DOTALL)
UPTO = "\nLeft the program"


def shown_by_demo(on: str, folder: Path) -> str:
    """The part of the demo's output that the README shows: from the top through the people."""
    result = CliRunner().invoke(cli, ["demo", "--on", on, "--out", str(folder)])
    assert result.exit_code == 0, result.output
    text = result.output.partition(UPTO)[0]
    return "".join(line.rstrip() + "\n" for line in text.rstrip().splitlines())


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
