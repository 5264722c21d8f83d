"""The page of reliability names the commit that was run, and tells of every run."""

import re
import subprocess

from tests.shape.tree import ROOT

PAGE = ROOT / "docs" / "reliability.md"


def test_the_commit_of_every_run_is_one_of_ours() -> None:
    text = PAGE.read_text(encoding="utf-8")
    found = re.findall(r"Run\son\scommit\s([0-9a-f]{40})", text)
    assert len(found) == len(re.findall(r"^Seed \d+: ", text, re.MULTILINE))
    for commit in set(found):
        asked = ["git", "merge-base", "--is-ancestor", commit, "HEAD"]
        assert subprocess.run(asked, cwd=ROOT, check=False).returncode == 0


def test_every_run_is_told_with_its_seed() -> None:
    text = PAGE.read_text(encoding="utf-8")
    scripts = {path.stem for path in (ROOT / "reliability").glob("*.py")} - {"report", "mutants"}
    titles = re.findall(r"^## (.+)\n(Seed \d+: .+)", text, re.MULTILINE)
    assert len(titles) == len(scripts)
