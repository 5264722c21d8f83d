"""One decision over all clocks after an incident: each with who acts, by when and how long from now, or why not."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.incident.moment import IncidentMoment, is_abroad, moment_of
from airwrit.answers.incident.paper_terms import PaperNotice, paper_notices
from airwrit.answers.incident.sending import KINDS, SentNotice, sent_notices, sent_words
from airwrit.base.days import Order, When, day_of, order_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Outcome, Verdict, Why, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import NoticeKind
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import PART_OF, USED_FOR
from airwrit.facts.keys.equipment import CONFIGURATION_OF
from airwrit.facts.keys.incident import ABROAD, CAUSE, HAPPENED_ON, INCIDENT_AIRCRAFT, NEAR_MISS, REST_OF_LIST
from airwrit.facts.keys.notice import NOTICE_ABOUT
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.vocabulary import KEYS, id_of, subject_named
from airwrit.law import wording
from airwrit.law.flight import incident as rules
from airwrit.law.flight import notices
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Finding, Rule, judge

RULES: tuple[Rule, ...] = (
    rules.NOTIFY_NTSB_RULE,
    rules.REPORT_107_9_RULE,
    notices.REPORT_OSHA_RULE,
    rules.NTSB_WRITTEN_REPORT_RULE,
    rules.PRESERVE_WRECKAGE_AND_RECORDS_RULE,
    notices.DEVIATION_REPORT_RULE,
    notices.NASA_REPORT_RULE,
)
"""The rules of a notice, in the order in which notices are told that are not due by a day."""


class Must(StrEnum):
    """Whether a notice has to be given: the worst first."""

    LATE = "late"
    YES = "yes"
    CALL = "call"
    CANT_TELL = "cant_tell"
    READ = "read"
    CHOICE = "choice"
    DONE = "done"
    NO = "no"


class NoticeDue(NamedTuple):
    """By when: at once, by an instant, or by the end of a day at the place; None where no clock runs."""

    at_once: bool = False
    at: datetime | None = None
    day: date | None = None


class Notice(NamedTuple):
    """One notice: to whom, who gives it, whether it must be given, by when, why or why not, and the fact that would tell.

    `paper` is the paper that asks for it, "" for none.
    """

    name: str
    who: str
    short: str
    what: str
    actor: str
    must: Must
    due: NoticeDue
    says: str
    do: str
    cites: str
    asks: Key[Any] | None = None
    finding: Finding | None = None
    paper: str = ""


class ListItem(NamedTuple):
    """One item of the NTSB's list: what it is, its paragraph, and whether it happened (None: nobody was asked)."""

    says: str
    cites: str
    happened: bool | None


@dataclass(frozen=True, slots=True)
class IncidentAnswer:
    """The incident, when and where it was, every notice, the NTSB's list item by item; `now` is when it was asked."""

    incident: str
    state: State
    moment: IncidentMoment
    now: datetime
    notices: tuple[Notice, ...]
    items: tuple[ListItem, ...]

    @property
    def verdict(self) -> Verdict:
        """Not met when one is late; unknown when one is owed or open; met when none is due or all were given."""
        of = {
            Must.LATE: Verdict.NOT_MET,
            Must.DONE: Verdict.MET,
            Must.NO: Verdict.MET,
            Must.CHOICE: Verdict.MET,
        }
        return worst_of({of.get(one.must, Verdict.UNKNOWN) for one in self.notices})

    def due_at(self, due: NoticeDue) -> datetime | None:
        """The last instant of a clock: the end of the day at the place where it is a day; None where the zone is not known."""
        if due.at is not None:
            return self.moment.local(due.at)
        if due.day is None or self.moment.zone is None:
            return None
        return datetime.combine(due.day, time(23, 59), self.moment.zone)


@cache
def words() -> Mapping[str, Any]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("incident.toml").read_text(encoding="utf-8"))


def decided(state: State, incident: str, now: datetime) -> IncidentAnswer:
    """The decision on one incident of a state, as of an instant: by the law of its day, whenever it is asked.

    UsageError for a day before the first one whose law was read.
    """
    state = _around(state, incident)
    moment = moment_of(state, incident)
    if moment.day is not None and moment.day < FIRST_DAY:
        raise UsageError(f"{moment.day} is before {FIRST_DAY}", where="happened_on", do="choose a later date")
    if moment.at is not None:
        state = with_held(state, {incident: {HAPPENED_ON: Held(moment.at)}})
    if is_abroad(state, incident) and ABROAD not in state.held.get(incident, {}):
        state = with_held(state, {incident: {ABROAD: Held(True)}})
    state = State(moment.fixed(now), state.known_at, state.held)
    found = [judge(rule, state, incident, _use(state, incident), day_of(state.on)) for rule in RULES]
    told = [_of_rule(finding, state) for finding in found]
    told += [_of_paper(one, moment) for one in paper_notices(state, incident, moment, now, words()["papers"])]
    sent = {(one.kind, one.paper): one for one in sent_notices(state, incident)}
    told = [
        _as_sent(one, sent.get((KINDS[one.name], id_of(one.paper))), moment) if one.name in KINDS else one
        for one in told
    ]
    order = list(Must)
    answer = IncidentAnswer(incident, state, moment, now, (), _items(state, incident))
    last = datetime.max.replace(tzinfo=now.tzinfo)
    sorted_told = sorted(told, key=lambda one: (order.index(one.must), _when(answer, one, now, last)))
    return IncidentAnswer(incident, state, moment, now, tuple(sorted_told), answer.items)


_POINT_HERE: tuple[Key[str], ...] = (NOTICE_ABOUT, CONFIGURATION_OF, PART_OF)
"""The links by which a record bears on an incident or on the aircraft that it points at."""


def _around(state: State, incident: str) -> State:
    """What of a state can bear on one incident: what it names and what those name, its notices, and every paper."""
    found, left = dict.fromkeys(state.subjects("paper")), [incident]
    left += [subject for key in _POINT_HERE for subject, _ in state.doubtful(key)]
    while left:
        subject = left.pop()
        if subject in found:
            continue
        found[subject] = None
        for key, held in state.held.get(subject, {}).items():
            if key.links_to and held.why is None:
                left += [subject_named(key.links_to, name) for name in key.values_in(held.value)]
        left += [one for key in _POINT_HERE for one in state.holding(key, id_of(subject))]
    held_here = {subject: state.held[subject] for subject in found if subject in state.held}
    return State(state.on, state.known_at, held_here)


def _as_sent(notice: Notice, sent: SentNotice | None, moment: IncidentMoment) -> Notice:
    """A notice that was marked as sent, as one that is done; it says when and by whom, and whether that was too late."""
    if sent is None:
        return notice
    late = ""
    if notice.finding and notice.finding.outcome.code in ("sent_late", "told_later"):
        late = notice.says
    elif _is_past(notice.due, sent.on):
        late = words()["clock"]["sent_late"]
    if sent.kind is NoticeKind.NASA:
        late = f"{late} {words()['clock']['others_too']}".strip()
    says = f"{sent_words(sent, moment)} {late}".strip()
    return notice._replace(must=Must.DONE, due=NoticeDue(), says=says, do="", asks=None)


def _is_past(due: NoticeDue, when: When) -> bool:
    """Whether a moment lies after the end of a clock; a day alone is taken as a whole."""
    if due.at is not None:
        return order_of(when, due.at) is Order.AFTER
    return due.day is not None and day_of(when) > due.day


def _when(answer: IncidentAnswer, notice: Notice, now: datetime, last: datetime) -> datetime:
    """Where a notice comes among those alike: the first that is due first."""
    if notice.due.at_once:
        return datetime.min.replace(tzinfo=now.tzinfo)
    if notice.due.day is not None and answer.moment.zone is None:
        return datetime.combine(notice.due.day, time(23, 59), now.tzinfo)
    return answer.due_at(notice.due) or last


def _use(state: State, incident: str) -> UsedFor:
    """What the aircraft is for where the incident does not say: recreation only where it is for nothing else."""
    name = state.held.get(incident, {}).get(INCIDENT_AIRCRAFT)
    used = None if name is None else state.held.get(f"aircraft/{name.value}", {}).get(USED_FOR)
    only_fun = used is not None and used.value is UsedFor.RECREATION
    return UsedFor.RECREATION if only_fun else UsedFor.WORK


# ---- notices by rule -----------------------------------------------------------------------------------------------


def _of_rule(finding: Finding, state: State) -> Notice:
    said, outcome = wording.worded(finding, state), finding.outcome
    text = words()["notices"][finding.rule.name]
    gap = wording.missing_fact(finding, state)
    asks = gap is not None and outcome.why is Why.MISSING
    return Notice(
        finding.rule.name,
        text["who"],
        text["short"],
        text["what"],
        text["actor"],
        _must(outcome),
        _due(finding),
        said.do if asks else said.says,
        "" if asks else said.do,
        text["cites"],
        None if gap is None else gap.key,
        finding,
    )


def _must(outcome: Outcome) -> Must:
    if outcome.verdict is Verdict.NOT_MET:
        return Must.DONE if outcome.code == "sent_late" else Must.LATE
    if outcome.verdict is Verdict.MET:
        return Must.DONE
    if outcome.verdict is Verdict.NOT_APPLICABLE:
        return Must.CHOICE if outcome.code == "choice" else Must.NO
    if outcome.why is Why.OUTSIDE_THIS_TOOL:
        return Must.READ
    if outcome.why is Why.OPEN_READING:
        return Must.CALL
    return Must.YES if outcome.why is Why.MISSING and outcome.code not in KEYS else Must.CANT_TELL


def _due(finding: Finding) -> NoticeDue:
    outcome = finding.outcome
    if outcome.verdict in (Verdict.MET, Verdict.UNKNOWN) and finding.rule is rules.NOTIFY_NTSB_RULE:
        return NoticeDue(at_once=outcome.verdict is Verdict.UNKNOWN and outcome.code not in KEYS)
    if outcome.verdict is Verdict.NOT_MET and finding.rule is rules.NOTIFY_NTSB_RULE:
        return NoticeDue(at_once=True)
    if outcome.due_on is None:
        return NoticeDue()
    return (
        NoticeDue(at=outcome.value) if isinstance(outcome.value, datetime) else NoticeDue(day=outcome.due_on)
    )


def _items(state: State, incident: str) -> tuple[ListItem, ...]:
    """Every item of 49 CFR 830.5, with what was said of it."""
    held = state.held.get(incident, {})
    said = held.get(CAUSE)
    found = []
    for key, cause, paragraph in rules.ITEMS:
        own = held.get(key)
        by_cause = None if said is None else said.value is cause
        happened = by_cause if own is None else own.value
        text = (
            words()["items"]["rest"] if key is REST_OF_LIST else f"{key.meaning[:1].upper()}{key.meaning[1:]}"
        )
        found.append(ListItem(text, f"49 CFR {paragraph}", happened))
    limit, over = rules.dear_damage(state, incident)
    text = words()["items"]["damage"].format(ntsb_other_damage_usd=f"{limit:,}")
    return (*found, ListItem(text, "49 CFR 830.5(a)(6)", over))


# ---- notices by a paper's own term ---------------------------------------------------------------------------------


def _of_paper(one: PaperNotice, moment: IncidentMoment) -> Notice:
    text = words()["notices"][one.name]
    return Notice(
        one.name,
        text["who"],
        text["short"],
        one.notice_to or text["what"],
        text["actor"],
        Must(one.must),
        _paper_due(one, moment),
        one.says,
        words()["clock"]["no_time"] if one.hours and moment.at is None and one.must == "yes" else "",
        one.paper,
        one.asks,
        paper=one.subject,
    )


def _paper_due(one: PaperNotice, moment: IncidentMoment) -> NoticeDue:
    """By when: hours from the event; from the start of its day where its time is not known."""
    if one.must not in ("yes", "late"):
        return NoticeDue()
    if one.hours is None:
        return NoticeDue(day=one.day)
    if one.hours == 0:
        return NoticeDue(at_once=True)
    if moment.at is not None:
        return NoticeDue(at=moment.at + timedelta(hours=float(one.hours)))
    if moment.day is None:
        return NoticeDue()
    start = datetime.combine(moment.day, time())
    return NoticeDue(day=(start + timedelta(hours=float(one.hours)) - timedelta(minutes=1)).date())


def is_near_miss(answer: IncidentAnswer) -> bool:
    """Whether it was said to be a near miss."""
    held = answer.state.held.get(answer.incident, {}).get(NEAR_MISS)
    return held is not None and held.value is True
