"""Ask by facts: a file of facts pasted, sent or filled in here; flights, incidents and aircraft judged as the command does.

Nothing is kept: the facts stand in the form, and an answer given in a field is written into them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.asking.ask import AskAnswer, ask
from airwrit.answers.asking.events import KINDS, EventAnswer, UseFindings, event_words, groups_of, in_a_line
from airwrit.answers.asking.json import ask_json
from airwrit.answers.asking.questions import Prompt
from airwrit.answers.asking.when import when_asked
from airwrit.answers.document import Json
from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.standing.standing import contradictions
from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key
from airwrit.facts.state import State, with_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import TOLD_KEYS, id_of, kind_of
from airwrit.intake.typed.facts_file import FactsFile, read_facts
from airwrit.intake.typed.facts_written import facts_text
from airwrit.intake.typed.reply import is_dont_know, read_reply
from airwrit.law.rule import Finding
from airwrit.web.pages.prepare.which_registration import AnswerField, field_of
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

MOST_BYTES = 400_000
_MOST_TEXT, _MOST_SUBJECTS, _MOST_REPLIES, _LONGEST = 100_000, 20, 120, 300
_NAME = "the facts"
_FIELDS = ("facts", "when", "use", "start")


class Reply(NamedTuple):
    """A question with its field in the form, and the rules that wait for its answer."""

    name: str
    place: str
    question: Prompt
    field: AnswerField
    rules: tuple[str, ...]


class EventShown(NamedTuple):
    """One flight or incident under one use, as the page tells it; `groups` without those that are empty."""

    title: str
    on: When
    line: str
    not_checked: str
    column: UseFindings
    groups: tuple[tuple[str, tuple[Finding, ...]], ...]


@dataclass(frozen=True, slots=True)
class FactsPage:
    """The page: the form with the facts so far, and what is found by them."""

    form: Typed
    start: str
    answer: AskAnswer | None
    told: tuple[EventShown, ...]
    replies: tuple[Reply, ...]
    later: tuple[Key[object], ...]


class _Asked(NamedTuple):
    """What a form asks: the facts as a text and as read, the day, and what is wrong with it."""

    text: str
    facts: FactsFile
    wrong: Mapping[str, str]


def show(visit: Visit) -> Answer:
    """The form; with facts in the address their answer."""
    return _sheet(visit, visit.query)


def act(visit: Visit) -> Answer:
    """The answer for the facts of a form, or of a file sent in their place."""
    sent = next((one for one in visit.files.get("file", ()) if one.name), None)
    if sent is None:
        return _sheet(visit, visit.said)
    try:
        text = sent.data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return _sheet(visit, {**visit.said, "facts": ""}, {"file": "this isn't text. Save it as UTF-8"})
    return _sheet(visit, {**visit.said, "facts": text.replace("\r\n", "\n"), "when": ""})


def _sheet(visit: Visit, said: Mapping[str, str], wrong: Mapping[str, str] | None = None) -> PageSheet:
    asked = _asked(said, dict(wrong or {}))
    start = said.get("start", "") if said.get("start") in KINDS else ""
    bad = dict(asked.wrong)
    answer = None
    if "facts" not in bad and "file" not in bad and (asked.facts.known or start):
        answer = _answer(visit, asked.facts, start, said.get("use", ""))
        if len(answer.events) + len(answer.aircraft) > _MOST_SUBJECTS:
            bad["facts"] = f"more than {_MOST_SUBJECTS} flights, incidents and aircraft. Use fewer at once"
            answer = None
    replies = () if answer is None else _replies(answer)
    values = {**{name: said.get(name, "") for name in _FIELDS}, "facts": asked.text}
    values["when"] = asked.facts.on or ""
    again, bad = _carried(replies, said, bad)
    view = FactsPage(
        Typed({**values, **again}, bad),
        start,
        answer,
        () if answer is None else tuple(_told(event, answer) for event in _columns(answer)),
        replies,
        () if answer is None else _later(answer),
    )
    return view.form.sheet("check_scenario.html", "Check a scenario", view, lambda: _json(answer, bad))


def _json(answer: AskAnswer | None, wrong: Mapping[str, str]) -> Json:
    return {"question": "ask", "wrong": dict(wrong)} if answer is None else ask_json(answer)


# ---- what was asked ------------------------------------------------------------------------------------------------


def _asked(said: Mapping[str, str], wrong: dict[str, str]) -> _Asked:
    """The facts of the form, with what was answered in its fields written into them."""
    text = said.get("facts", "")
    try:
        if len(text) > _MOST_TEXT:
            raise BadFact("the text is too long", do=f"use at most {_MOST_TEXT} characters")
        told = read_facts(text, _NAME)
    except BadFact as fault:
        return _Asked(text, FactsFile(None, ()), {**wrong, "facts": str(fault)})
    on, given = told.on, _given(said, told, wrong)
    if said.get("when", "").strip():
        try:
            on = parse_when(said["when"].strip()).isoformat()
        except ValueError as fault:
            wrong["when"] = f"{fault}. Write a date like 2026-05-31, or a time like 2026-05-31T16:30-06:00"
    if given or on != told.on:
        text = facts_text((*told.known, *given), on)
        told = read_facts(text, _NAME)
    return _Asked(text, told, wrong)


def _given(said: Mapping[str, str], told: FactsFile, wrong: dict[str, str]) -> tuple[Known, ...]:
    """The answers in the fields, as statements; what is wrong with one is noted at its field."""
    stated = {(item.statement.subject, item.statement.key) for item in told.known}
    found = []
    for number in range(_MOST_REPLIES):
        name, subject = said.get(f"k{number}", "").partition(":")[::2]
        reply = said.get(f"r{number}", "").strip()[:_LONGEST]
        if name not in TOLD_KEYS or not id_of(subject) or not reply or is_dont_know(reply):
            continue
        if (subject, name) in stated:
            continue
        try:
            found.append(Known(Statement(subject, name, read_reply(TOLD_KEYS[name], reply), EARLIEST, None)))
        except BadFact as fault:
            wrong[f"k:{name}:{subject}"] = fault.says
    return tuple(found)


def _carried(
    replies: Sequence[Reply], said: Mapping[str, str], wrong: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    """What was typed into a field that was refused, under the name the field has now."""
    typed = {
        said.get(f"k{number}", ""): said.get(f"r{number}", "")[:_LONGEST] for number in range(_MOST_REPLIES)
    }
    again = {one.name: typed[one.place] for one in replies if f"k:{one.place}" in wrong}
    names = {f"k:{one.place}": one.name for one in replies}
    return again, {
        names.get(name, "facts" if name.startswith("k:") else name): text for name, text in wrong.items()
    }


def _answer(visit: Visit, facts: FactsFile, start: str, use: str) -> AskAnswer:
    """The answer for facts; where nothing is told of what one wants to begin with, for one of which nothing is known."""
    told = UsedFor(use) if use in (UsedFor.WORK, UsedFor.RECREATION) else None
    when = when_asked(facts, visit.asked.on)
    known = told_for_all(facts.known, told, None)
    state, problems = contradictions(state_of(known, when, visit.desk.clock()), visit.asked.today)
    return ask(_begun(state, start), problems, use=told)


def _begun(state: State, start: str) -> State:
    if not start or any(state.subjects(kind) for kind in KINDS):
        return state
    return with_held(state, {f"{start}/{start}": {}})


# ---- what is shown -------------------------------------------------------------------------------------------------


def _columns(answer: AskAnswer) -> Iterable[tuple[EventAnswer, UseFindings]]:
    return ((event, column) for event in answer.events for column in event.columns)


def _told(pair: tuple[EventAnswer, UseFindings], answer: AskAnswer) -> EventShown:
    event, column = pair
    words, kind = event_words(), kind_of(event.subject)
    name = "" if id_of(event.subject) == kind else f" {id_of(event.subject)}"
    use = f", for {words['uses'][column.use.value]}" if kind == "flight" or len(event.columns) > 1 else ""
    groups = tuple((words["groups"][group], found) for group, found in groups_of(column) if found)
    return EventShown(
        f"{kind.capitalize()}{name}{use}",
        answer.report.on,
        in_a_line(event, column),
        words[kind]["not_checked"],
        column,
        groups,
    )


def _replies(answer: AskAnswer) -> tuple[Reply, ...]:
    """The questions that are open, each once: those of flights and incidents first, then those about registering."""
    asked: dict[str, tuple[Prompt, tuple[str, ...]]] = {}
    for _, column in _columns(answer):
        for need in column.missing:
            asked.setdefault(_place(need.question), (need.question, need.rules))
    for one in answer.aircraft:
        for question in one.missing:
            asked.setdefault(_place(question), (question, (question.rule,)))
    return tuple(
        Reply(f"r{number}", place, question, field_of(question), rules)
        for number, (place, (question, rules)) in enumerate(list(asked.items())[:_MOST_REPLIES])
    )


def _place(question: Prompt) -> str:
    subject, key = question.settles[0]
    return f"{key.name}:{subject}"


def _later(answer: AskAnswer) -> tuple[Key[object], ...]:
    return tuple(dict.fromkeys(used.key for _, column in _columns(answer) for used in column.later))
