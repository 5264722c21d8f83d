"""The page of reliability names the commit that was run, and tells of every run."""

import re
import subprocess

from tests.shape.tree import ROOT

PAGE = ROOT / "docs" / "reliability.md"


def test_the_commit_that_was_run_is_one_of_ours() -> None:
    found = re.search(r"Run on commit ([0-9a-f]{40})", PAGE.read_text(encoding="utf-8"))
    assert found is not None
    asked = ["git", "merge-base", "--is-ancestor", found[1], "HEAD"]
    assert subprocess.run(asked, cwd=ROOT, check=False).returncode == 0


def test_every_run_is_told_with_its_seed() -> None:
    text = PAGE.read_text(encoding="utf-8")
    scripts = {path.stem for path in (ROOT / "reliability").glob("*.py")} - {"report"}
    titles = re.findall(r"^## (.+)\n(Seed \d+: .+)", text, re.MULTILINE)
    assert len(titles) == len(scripts)
