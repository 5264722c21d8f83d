"""Nothing is only cited: every parameter, moved, changes the verdict of some case, or is told and not judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial

import pytest

from airwrit.base.verdict import Outcome
from airwrit.law.parameters import tables
from airwrit.law.rule import Finding
from tests.stories.story import answers, found
from tests.unit.law.case import Case, judged
from tests.unit.law.moving import every, moves, moving
from tests.unit.law.test_every_code_has_a_case import cases
from tools.law_page import told

MOST_TOLD = 17

Judge = Callable[[], Finding]


def _judges() -> Iterator[Judge]:
    """Every case of the tables of law and every answer of the stories, to be judged."""
    for line in cases():
        if line.moved is None:
            yield partial(_judged, line)
    for story, answer in answers():
        yield partial(found, answer, story.known)


def _judged(line: Case) -> Finding:
    return judged(line)[0]


@cache
def judges_by_parameter() -> Mapping[str, tuple[tuple[Judge, Outcome], ...]]:
    """What may hang on a parameter: the cases whose rule looked at it, with their outcome by the law as it is."""
    by_name: dict[str, dict[int, tuple[Judge, Outcome]]] = defaultdict(dict)
    for number, judge in enumerate(_judges()):
        finding = judge()
        for reading in finding.law:
            by_name[reading.param.name][number] = judge, finding.outcome
    return {name: tuple(ones.values()) for name, ones in by_name.items()}


def is_moved(name: str) -> bool:
    """Whether some other value of the parameter changes the verdict of a case that looks at it."""
    hanging = judges_by_parameter().get(name, ())
    values = [span.value for span in every()[name][0].spans]
    for value in dict.fromkeys(other for own in values for other in moves(own)):
        with moving(name, value):
            for judge, as_it_is in hanging:
                if judge().outcome.verdict is not as_it_is.verdict:
                    return True
    return False


@pytest.mark.parametrize("name", sorted(every().keys() - told().keys()))
def test_it_decides_a_case(name: str) -> None:
    assert is_moved(name)


def test_what_is_told_and_not_judged_is_little_and_has_a_reason() -> None:
    assert len(told()) <= MOST_TOLD
    assert told().keys() <= tables().keys()
    assert all(told().values())


@pytest.mark.parametrize("name", sorted(told()))
def test_what_is_told_decides_nothing(name: str) -> None:
    """One that decides a case after all no longer stands among those told."""
    assert not is_moved(name)


def test_judged_and_told_together_are_all_there_is() -> None:
    judged_here = every().keys() - told().keys()
    assert len(judged_here) + len(told()) == len(tables())
