"""What is written as a file of facts reads back as the same facts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.statement import Known, Statement
from airwrit.intake.typed.facts_file import read_facts
from airwrit.intake.typed.facts_written import facts_text
from tests.stories.story import Story, stories


@pytest.mark.parametrize("story", stories(), ids=lambda story: story.id)
def test_every_story_reads_back(story: Story) -> None:
    text = facts_text(story.known, None)
    again = read_facts(text, "facts.toml").known
    assert {item.statement for item in again} == {item.statement for item in story.known}


def test_the_day_asked_about_comes_first() -> None:
    told = read_facts("on = 2026-11-25\n[flight]\npaid = true\n", "facts.toml")
    text = facts_text(told.known, told.on)
    assert text.startswith("on = 2026-11-25\n\n[[flight]]\n")
    assert read_facts(text, "facts.toml").on == told.on


@given(
    st.text(min_size=1, max_size=20).filter(lambda text: bool(text.strip())), st.text(min_size=1, max_size=20)
)
def test_any_name_and_text_reads_back(name: str, text: str) -> None:
    if not text.strip():
        text = "x"
    statement = Statement(f"aircraft/{name}", "maker", text)
    again = read_facts(facts_text([Known(statement)], None), "facts.toml").known
    assert [item.statement for item in again] == [statement]


def test_what_a_file_cannot_tell_is_left_out() -> None:
    assert facts_text([Known(Statement("aircraft/A", "maker", None))], None) == ""
