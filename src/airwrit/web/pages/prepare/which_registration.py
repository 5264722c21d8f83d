"""Which registration: the questions one by one, the answer growing beside them; it ends in the way, the steps and a worksheet.

The answers lie in the address, so that going back takes one back, and nothing is kept before it is put on record.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from functools import lru_cache
from itertools import zip_longest
from typing import NamedTuple
from urllib.parse import quote, urlencode

from airwrit.answers.asking.aircraft import AircraftAnswer
from airwrit.answers.asking.ask import AskAnswer, ask
from airwrit.answers.asking.dialogue import AIRCRAFT, OWNED_BY, Dialogue, next_question, so_far
from airwrit.answers.asking.json import ask_json
from airwrit.answers.asking.questions import ANY_OF, ONLY_THIS, Answered, Prompt, answered
from airwrit.answers.asking.steps import words
from airwrit.answers.registration.filing import worksheets_of
from airwrit.answers.registration.penalties import exposure, exposure_json
from airwrit.answers.sheets.difference import NOTHING_HELD, Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.answers.standing.standing import contradictions, standing
from airwrit.base.errors import BadFact
from airwrit.base.sentences import sentence
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import words_of
from airwrit.facts.key import raw_of
from airwrit.facts.keys.aircraft import OWNER, PART_OF, USED_FOR
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.law import wording
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.filing_pdf import worksheet_pdf
from airwrit.web.draw.words import LISTS
from airwrit.web.parts.acts import Caused, caused_by
from airwrit.web.parts.questions import QuestionForm, questions_for
from airwrit.web.server.forms import Ticket, Typed, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, Download, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in, held_now

_LONGEST, _MOST = 300, 60
_YES_NO = ("yes", "no")
_DONT_KNOW = "?"
_RECORDED = ("aircraft", "part", "owner", "registration")


class Given(NamedTuple):
    """An answer given: the question, what was said, and the address that takes the dialogue back to it."""

    text: str
    said: str
    back: str


class WayRow(NamedTuple):
    """A way as it stands by the answers so far."""

    short: str
    verdict: Verdict
    says: str


class AnswerField(NamedTuple):
    """How a question is answered: `choice`, `several`, `date` or `text`, with values and words to choose from."""

    kind: str
    choices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class QuestionPage:
    """The page of a question."""

    number: int
    question: Prompt
    field: AnswerField
    form: Typed
    carried: tuple[str, ...]
    given: tuple[Given, ...]
    so_far: str
    ways: tuple[WayRow, ...]
    stop: str


@dataclass(frozen=True, slots=True)
class AnswerPage:
    """The page of an answer: of a dialogue, or of an aircraft on record."""

    asked: AircraftAnswer
    answer: AskAnswer
    name: str
    given: tuple[Given, ...]
    worksheet: str
    again: str
    carried: tuple[str, ...] = ()
    form: Typed = field(default_factory=Typed)
    ticket: Ticket | None = None
    caused: Caused | None = None
    asks: tuple[QuestionForm, ...] = ()
    """what is asked about an aircraft on record, each with its field"""


class Talk(NamedTuple):
    """A dialogue replayed: with what was asked, and the next question (None: none is left)."""

    dialogue: Dialogue
    asked: tuple[tuple[Prompt, Answered], ...]
    next: Prompt | None


def show(visit: Visit) -> Answer:
    """The next question, or the answer; an answer just given leads on to the address that holds it."""
    given = _given(visit.chosen)
    talk = talk_of(visit.asked.on, visit.asked.today, given)
    given = given[: len(talk.asked)]
    if talk.next is None or visit.query.get("stop"):
        return _found(visit, talk, given, Typed())
    if visit.query.get("q") != talk.next.name:
        return _question(visit, talk, given, Typed())
    said = _said(talk.next, visit.chosen.get("say", ()))
    try:
        _taken(talk, said, visit.asked.today)
    except BadFact as fault:
        wrong = {"say": fault.says}
        return _question(visit, talk, given, Typed({"say": said}, wrong))
    return Redirect(_address(visit, (*given, f"{talk.next.name}:{said}")))


def act(visit: Visit) -> Answer:
    """Show what putting the answers on record would write, or write it."""
    given = _given(visit.chosen)
    talk = talk_of(visit.asked.on, visit.asked.today, given)
    values = {name: visit.said.get(name, "").strip()[:120] for name in ("name", "owner")}
    wrong = {} if values["name"] else {"name": "enter the name of the aircraft"}
    form = Typed(values, wrong)
    if wrong or visit.said.get("way") != "write":
        return _found(visit, talk, given, form)
    statements = statements_of(talk, values["name"], values["owner"])
    note = f"from the questions: {_answer(talk, visit.asked.today).aircraft[0].title}"

    def taking(held: OnRecord) -> Difference:
        return saying_by_hand(held, HandEntry(statements, note=note), visit.by)

    def write(book: Ledger) -> int:
        now = taking(held_in(visit.desk, book))
        return book.append(now.drafts, visit.desk.clock, after=now.after)[-1].seq if now.drafts else 0

    subject = subject_named("aircraft", values["name"])

    def onward(seq: int) -> str:
        return visit.link("/new-aircraft", None, of=subject, **({"written": str(seq)} if seq else {}))

    return write_once(visit, write, onward)


def save(visit: Visit) -> Answer:
    """The worksheet of the answers, to tick and to write on."""
    talk = talk_of(visit.asked.on, visit.asked.today, _given(visit.chosen))
    answer = standing(talk.dialogue.state(), visit.asked.on, talk.dialogue.known_at)
    made = worksheet_pdf(worksheets_of(answer, [AIRCRAFT]), visit.asked.on)
    return Download("worksheet.pdf", "application/pdf", made)


def show_of(visit: Visit) -> Answer:
    """The answer for an aircraft on record, on the day, as known at the moment."""
    subject = visit.named["subject"]
    answer = answer_on_record(visit, subject)
    view = AnswerPage(
        answer.aircraft[0],
        answer,
        id_of(subject),
        (),
        f"/registration-sheets/{subject}",
        f"/{subject}",
        asks=_asks(visit, subject),
    )
    return PageSheet(
        "which_registration_answer.html",
        f"Which registration: {id_of(subject)}",
        view,
        lambda: ask_json(answer),
    )


def _asks(visit: Visit, subject: str) -> tuple[QuestionForm, ...]:
    answer = visit.desk.standing(visit.asked)
    gaps = [gap for gap in answer.gaps if subject in gap.holds_up]
    return questions_for(visit, gaps, answer.report.state, f"/which-registration/{quote(subject)}", subject)


def answer_on_record(visit: Visit, subject: str) -> AskAnswer:
    """The answer for an aircraft on record. Refused where nothing is on record of it."""
    report = None if visit.desk.is_empty else visit.desk.standing(visit.asked).report
    if report is None or kind_of(subject) != "aircraft" or not report.state.held.get(subject):
        known = [] if report is None else [id_of(one) for one in report.state.subjects("aircraft")]
        near = difflib.get_close_matches(id_of(subject), known, n=1)
        raise Refused(
            Trouble(
                404,
                "No such aircraft",
                f"nothing is on record about {id_of(subject)[:80]!r} on {visit.asked.on}",
                visit.path,
                NOTHING_WRITTEN,
                f"did you mean {near[0]}?" if near else "choose one from the list of aircraft",
                f"/which-registration/{subject_named('aircraft', near[0])}" if near else LISTS["aircraft"],
            )
        )
    state, problems = contradictions(report.state, visit.asked.today)
    return ask(state, problems, report.sources, aircraft=subject)


def save_of(visit: Visit) -> Answer:
    """The worksheet of an aircraft on record."""
    subject = visit.named["subject"]
    made = worksheet_pdf(worksheets_of(visit.desk.standing(visit.asked), [subject]), visit.asked.on)
    return Download("worksheet.pdf", "application/pdf", made, "worksheet")


def show_exposure(visit: Visit) -> Answer:
    """The maximum penalties for breaking rules."""
    found = exposure(visit.asked.on)
    return PageSheet("penalties.html", "Penalties", found, lambda: exposure_json(found))


# ---- the dialogue --------------------------------------------------------------------------------------------------


def _given(chosen: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    return tuple(one[:_LONGEST] for one in chosen.get("a", ())[:_MOST])


@lru_cache(maxsize=1024)
def talk_of(on: date, today: date, given: tuple[str, ...]) -> Talk:
    """The dialogue of a day after answers of the form `question:what was said`; what fits no longer is left out."""
    if not given:
        dialogue = Dialogue(on, datetime.combine(today, time(), UTC))
        return Talk(dialogue, (), next_question(dialogue))
    earlier = talk_of(on, today, given[:-1])
    name, _, said = given[-1].partition(":")
    if earlier.next is None or earlier.next.name != name or len(earlier.asked) < len(given) - 1:
        return earlier
    try:
        return _taken(earlier, said, today)
    except BadFact:
        return earlier


def _taken(talk: Talk, said: str, today: date) -> Talk:
    """The dialogue with one more answer. BadFact on one that cannot be read, or that contradicts those before."""
    if talk.next is None:
        return talk
    answer = answered(talk.next, said, today)
    dialogue = talk.dialogue.with_answer(answer)
    clashes = contradictions(dialogue.stated(), today)[1]
    if clashes:
        raise BadFact(
            f"these answers can't all be true. {sentence(clashes[0].what)}",
            do="answer again, or change an earlier answer",
        )
    return Talk(dialogue, (*talk.asked, (talk.next, answer)), next_question(dialogue))


def _said(question: Prompt, values: Sequence[str]) -> str:
    """What a form says, as one answer."""
    told = [value.strip() for value in values if value.strip()]
    if question.name == ANY_OF and len(told) > 1:
        chosen = [value for value in told if value.isdigit()]
        return " ".join(chosen) if len(chosen) == len(told) else _DONT_KNOW
    return (told[0] if told else "")[:_LONGEST]


def field_of(question: Prompt) -> AnswerField:
    """How a question is answered in a form; that nobody knows can always be said."""
    key = question.settles[0][1]
    unknown = (_DONT_KNOW, "I don't know")
    if question.name == ANY_OF:
        listed = [(str(number), words_of(choice)) for number, choice in enumerate(question.choices, 1)]
        return AnswerField("several", (*listed, ("none", "none of these"), unknown))
    if question.choices:
        words = zip_longest(question.choices, question.beside, fillvalue="")
        told = tuple((choice, f"{choice} ({beside})" if beside else choice) for choice, beside in words)
        return AnswerField("choice", (*told, unknown))
    if key.kind is bool or question.name == ONLY_THIS or key is REGISTERED_TO:
        return AnswerField("choice", (*((word, word) for word in _YES_NO), unknown))
    return AnswerField("date" if key.kind is date else "text", (unknown,))


def _address(visit: Visit, given: Sequence[str], **more: str) -> str:
    carried = visit.asked.carried()
    pairs = [*carried.items(), *(("a", one) for one in given), *more.items()]
    return "/which-registration" + (f"?{urlencode(pairs)}" if pairs else "")


def _told(visit: Visit, talk: Talk, given: Sequence[str]) -> tuple[Given, ...]:
    return tuple(
        Given(question.text, answer.said, _address(visit, given[:number]))
        for number, (question, answer) in enumerate(talk.asked)
    )


def _question(visit: Visit, talk: Talk, given: Sequence[str], form: Typed) -> PageSheet:
    question = talk.next
    if question is None:
        raise ValueError("no question is left")
    state, ways = talk.dialogue.state(), talk.dialogue.ways()
    short = words()["short"]
    rows = tuple(
        WayRow(short[way.value], finding.verdict, wording.worded(finding, state).says)
        for way, finding in ways.findings.items()
    )
    view = QuestionPage(
        len(talk.asked) + 1,
        question,
        field_of(question),
        form,
        tuple(given),
        _told(visit, talk, given),
        so_far(talk.dialogue),
        rows,
        _address(visit, given, stop="yes"),
    )
    return form.sheet("which_registration.html", "Which registration", view, lambda: _question_json(view))


def _question_json(view: QuestionPage) -> dict[str, object]:
    return {
        "question": view.question.name,
        "asks": view.question.text,
        "why": view.question.why,
        "cites": view.question.cites,
        "choices": [value for value, _ in view.field.choices],
        "so_far": view.so_far,
        "ways": [{"way": row.short, "verdict": row.verdict.value, "says": row.says} for row in view.ways],
    }


# ---- the answer ----------------------------------------------------------------------------------------------------


def _answer(talk: Talk, today: date) -> AskAnswer:
    state, problems = contradictions(talk.dialogue.state(), today)
    return ask(state, problems)


def _found(visit: Visit, talk: Talk, given: Sequence[str], form: Typed) -> PageSheet:
    answer = _answer(talk, visit.asked.today)
    pairs = urlencode([*visit.asked.carried().items(), *(("a", one) for one in given)])
    caused, name = None, form.values.get("name", "")
    if visit.asked.is_today and name:
        caused = _caused(visit, statements_of(talk, name, form.values.get("owner", "")), name)
    view = AnswerPage(
        answer.aircraft[0],
        answer,
        "",
        _told(visit, talk, given),
        "/which-registration.pdf" + (f"?{pairs}" if pairs else ""),
        _address(visit, given[:-1]),
        tuple(given),
        form,
        ticket(visit.desk) if visit.asked.is_today else None,
        caused,
    )
    return form.sheet("which_registration_answer.html", "Which registration", view, lambda: ask_json(answer))


def _caused(visit: Visit, statements: Sequence[Statement], name: str) -> Caused:
    held = held_now(visit.desk) if visit.desk.ledger.exists() else NOTHING_HELD
    taking = saying_by_hand(held, HandEntry(tuple(statements)), visit.by)
    return caused_by(visit, taking, held, (subject_named("aircraft", name),))


def statements_of(talk: Talk, name: str, owner: str) -> tuple[Statement, ...]:
    """Your answers, as facts of an aircraft of that name and its owner; what the flights are for becomes its use."""
    called = {AIRCRAFT: subject_named("aircraft", name)}
    if owner:
        called[OWNED_BY] = subject_named("owner", owner)
    said = [statement for _, answer in talk.asked for statement in answer.statements]
    found = [_called(statement, called, name, owner) for statement in said]
    kept = [one for one in found if kind_of(one.subject) in _RECORDED and one.subject != OWNED_BY]
    use = talk.dialogue.state().held.get(AIRCRAFT, {}).get(USED_FOR)
    if use is not None and use.why is None:
        told = Statement(called[AIRCRAFT], USED_FOR.name, raw_of(use.value))
        kept += [] if any(one[:2] == told[:2] for one in kept) else [told]
    if owner:
        kept.append(Statement(called[AIRCRAFT], OWNER.name, owner))
    return tuple(one for one in kept if one.value != id_of(OWNED_BY))


def _called(statement: Statement, called: Mapping[str, str], name: str, owner: str) -> Statement:
    """A statement of the dialogue about the aircraft and the owner by their own names."""
    subject, value = statement.subject, statement.value
    if kind_of(subject) == "part":
        subject = subject_named("part", f"{name}, {id_of(subject)}")
        value = name if statement.key == PART_OF.name else value
    elif owner and value == id_of(OWNED_BY):
        value = owner
    return statement._replace(subject=called.get(subject, subject), value=value)
