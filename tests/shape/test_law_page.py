"""docs/law.md is what the tool makes of the law, and no reading on file is forgotten.

To write the page anew: AIRWRIT_WRITE_LAW=1 python3 start.py test tests/shape/test_law_page.py
"""

from __future__ import annotations

import os
import tomllib

from airwrit.law.parameters import tables
from airwrit.law.rulebook import BY_NAME
from tests.shape.tree import ROOT
from tools.law_page import PAGE, UNUSED, page


def used() -> set[str]:
    """The ids of the readings behind the parameters."""
    return {name for table in tables().values() for span in table["values"] for name in span["facts"]}


def unused() -> dict[str, str]:
    """The ids of the readings that are left out, with the reason."""
    return tomllib.loads(UNUSED.read_text(encoding="utf-8"))


def on_file() -> set[str]:
    """The ids of all readings."""
    subjects = tomllib.loads((ROOT / "tests" / "shape" / "fact_ids.toml").read_text(encoding="utf-8"))
    return {name for names in subjects.values() for name in names}


def test_the_page_is_made_of_the_law() -> None:
    made = page()
    if os.environ.get("AIRWRIT_WRITE_LAW"):
        PAGE.write_text(made, encoding="utf-8")
        return
    assert PAGE.read_text(encoding="utf-8") == made


def test_every_rule_and_parameter_is_on_the_page() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert [name for name in BY_NAME if f"| `{name}` |" not in text] == []
    assert [name for name in tables() if f"**`{name}`**" not in text] == []


def test_every_reading_is_used_or_left_out_for_a_reason() -> None:
    assert used() | set(unused()) == on_file()
    assert used() & set(unused()) == set()
    assert all(unused().values())
