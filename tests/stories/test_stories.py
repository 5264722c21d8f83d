"""Every story gets the answers the law gives it, and no answer of the list is forgotten."""

from __future__ import annotations

import pytest

from airwrit.law.rulebook import BY_NAME
from tests.stories.story import Answer, Story, answers, found, listed, same_value, stories

MOST_WAITING = 0


@pytest.mark.parametrize("story", stories(), ids=lambda story: story.id)
def test_its_answers_are_those_of_the_law(story: Story) -> None:
    assert [wrong for answer in story.answers if (wrong := _other_than_told(story, answer))] == []


def _other_than_told(story: Story, answer: Answer) -> str:
    """What an answer is where it is not what the story says; nothing where it is."""
    outcome = found(answer, story.known).outcome
    same = (outcome.verdict, outcome.why) == (answer.verdict, answer.why)
    same = same and (answer.code is None or outcome.code == answer.code)
    same = same and (answer.value is None or same_value(answer, outcome.value))
    return "" if same else f"{answer.name}: {outcome}"


def test_every_answer_is_given_or_waits() -> None:
    given = [answer.name for _, answer in answers() if answer.asked]
    waiting = listed("waiting.toml")
    assert sorted(given + waiting) == sorted(listed("all_answers.toml"))


def test_the_waiting_list_only_shrinks() -> None:
    assert len(listed("waiting.toml")) <= MOST_WAITING


def test_nothing_waits_that_a_rule_answers() -> None:
    assert [name for name in listed("waiting.toml") if name.split(":")[1] in BY_NAME] == []


def test_names_of_answers_are_unique() -> None:
    names = [answer.name for _, answer in answers()]
    assert len(names) == len(set(names))


def test_ids_of_stories_are_unique() -> None:
    ids = [story.id for story in stories()]
    assert len(ids) == len(set(ids))


def test_every_story_cites_a_section_and_has_answers() -> None:
    assert [story.id for story in stories() if not story.cites or not story.title or not story.answers] == []
