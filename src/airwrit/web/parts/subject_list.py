"""A list of aircraft or people: found by text and by headline, told page by page."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.wording import shown
from airwrit.web.server.visit import Visit

PAGE = 50
"""Rows of a list on one page: some three screens of a desk, and the search at its head finds the others."""
_LONGEST = 200
_WORDS = {
    "grounded": Headline.GROUNDED,
    "cant-say": Headline.CANT_SAY,
    "recreation": Headline.RECREATION,
    "work": Headline.WORK,
    "not-here": Headline.NOT_IN_FLEET,
    "not-judged": Headline.NOT_JUDGED,
}
_PARTS = re.compile(r"(\d+)")


class ListFilter(NamedTuple):
    """What a list is narrowed to: a text, a headline's word, and which page of it."""

    find: str
    standing: str
    page: int


class HeadlineFilter(NamedTuple):
    """A headline to narrow to: the word in the address, the word shown, how many there are."""

    word: str
    shown: str
    many: int


class ListPlace(NamedTuple):
    """Where in a list one is: rows from and to, of how many; addresses of the pages before and after, empty for none."""

    first: int
    last: int
    many: int
    before: str
    after: str


class SubjectList(NamedTuple):
    """The rows found on one page of the list, and all that was found."""

    wanted: ListFilter
    rows: tuple[SubjectStanding, ...]
    choices: tuple[HeadlineFilter, ...]
    pages: ListPlace
    all_of_them: int


def wanted_of(visit: Visit) -> ListFilter:
    """What the address asks for. UsageError on a headline or a page that is none."""
    find, standing = visit.query.get("find", "").strip()[:_LONGEST], visit.query.get("standing", "")
    page = visit.query.get("page", "1")
    if standing and standing not in _WORDS:
        raise UsageError(
            f"we don't know the status {standing[:40]!r}",
            where="standing",
            do=f"use one of these: {', '.join(_WORDS)}",
        )
    if not (page.isascii() and page.isdigit() and 1 <= int(page[:9]) < 1_000_000):
        raise UsageError(f"there is no page {page[:40]!r}", where="page", do="pages start at 1")
    return ListFilter(find, standing, int(page[:9]))


def roll_of(visit: Visit, answer: Standing, kind: str, keys: Sequence[Key[Any]]) -> SubjectList:
    """The list of one kind; `keys` are the facts that a text is looked for in, beside the name."""
    wanted, state = wanted_of(visit), answer.report.state
    mine = sorted((row for row in answer.rows if kind_of(row.subject) == kind), key=_order)
    by_text = [row for row in mine if _has(row, state, keys, wanted.find.casefold())]
    found = [row for row in by_text if not wanted.standing or row.headline is _WORDS[wanted.standing]]
    first = min((wanted.page - 1) * PAGE, max(0, (len(found) - 1) // PAGE * PAGE))
    rows = tuple(found[first : first + PAGE])
    return SubjectList(
        wanted, rows, _choices(by_text), _pages(visit, wanted, first, len(rows), len(found)), len(mine)
    )


def _order(row: SubjectStanding) -> tuple[int, list[tuple[int, int, str]]]:
    """What is most urgent first, then by name."""
    return BY_URGENCY.index(row.headline), _name_order(row)


def _name_order(row: SubjectStanding) -> list[tuple[int, int, str]]:
    """H-2 before H-10."""
    parts = _PARTS.split(id_of(row.subject).casefold())
    return [
        (0, int(part), "") if part.isascii() and part.isdigit() else (1, 0, part) for part in parts if part
    ]


def _has(row: SubjectStanding, state: State, keys: Sequence[Key[Any]], text: str) -> bool:
    if not text or text in id_of(row.subject).casefold():
        return True
    facts = state.held.get(row.subject, {})
    held = (facts.get(key) for key in keys)
    return any(one is not None and one.why is None and text in shown(one.value).casefold() for one in held)


def _choices(rows: Iterable[SubjectStanding]) -> tuple[HeadlineFilter, ...]:
    counted = dict.fromkeys(BY_URGENCY, 0)
    for row in rows:
        counted[row.headline] += 1
    words = {headline: word for word, headline in _WORDS.items()}
    apart = (Headline.NOT_IN_FLEET, Headline.NOT_JUDGED)
    told = [(one, many) for one, many in counted.items() if many or one not in apart]
    return tuple(HeadlineFilter(words[one], one.value, many) for one, many in told)


def _pages(visit: Visit, wanted: ListFilter, first: int, shown_here: int, many: int) -> ListPlace:
    number = first // PAGE + 1
    before = _address(visit, wanted, number - 1) if number > 1 else ""
    after = _address(visit, wanted, number + 1) if first + shown_here < many else ""
    return ListPlace(first + 1 if many else 0, first + shown_here, many, before, after)


def _address(visit: Visit, wanted: ListFilter, page: int) -> str:
    told = {"find": wanted.find, "standing": wanted.standing, "page": "" if page == 1 else str(page)}
    return visit.link(visit.path, None, **{name: value for name, value in told.items() if value})


def mark_of(row: SubjectStanding) -> Verdict:
    """The mark beside a headline: recreation only is what was wished for unless something stands in the way of work."""
    if row.headline is Headline.RECREATION and row.in_the_way:
        return Verdict.NOT_MET
    return row.headline.mark


def text_held(state: State, subject: str, key: Key[Any]) -> str:
    """A fact in words; empty for none, and what is wrong with it where it cannot be told."""
    held = state.held.get(subject, {}).get(key)
    if held is None:
        return ""
    return shown(held.value) if held.why is None else held.why.value.replace("_", " ")


def roll_json(roll: SubjectList, answer: Standing, lines: Sequence[Json], kind: str) -> Json:
    """The list as a document: what was asked for, where in it one is, and the lines."""
    report = answer.report
    return {
        "question": kind,
        "on": report.on.isoformat(),
        "known_at": report.known_at.isoformat().replace("+00:00", "Z"),
        "find": roll.wanted.find,
        "standing": roll.wanted.standing or None,
        "first": roll.pages.first,
        "last": roll.pages.last,
        "found": roll.pages.many,
        "of": roll.all_of_them,
        "next": roll.pages.after or None,
        "lines": list(lines),
        **ON_PAPERS,
    }
