"""A standing as every face lays it out: the answer, the posts, what to fix by cause, and what expires next."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.acts.step import NextStep, step_for, step_json
from airwrit.answers.document import NOT_CHECKED, Json
from airwrit.answers.incident.clocks import OwedNotice, owed_notices
from airwrit.answers.incident.decision import Must
from airwrit.answers.standing.headline import SPANS, Due, Headline, SubjectStanding
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.answers.standing.who import DutyKind, who_does
from airwrit.base.days import day_of
from airwrit.base.sentences import Share, counted, day_words, parts_of_whole
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.rule import Finding
from airwrit.law.wording import Teller, cites, section

NEAR = SPANS[-1]
"""What expires within so many days is told as coming next."""

_SOON = 14
"""What is due within so many days is to be fixed first, even where it grounds nothing yet."""

_AT_ONCE = 200
_JOBS = {
    "renew": ("renew", "Renew", "Renew {}"),
    "file_change": ("filed-with-faa", "File the change", "File {} changes"),
}
"""The jobs that take many at once, by cause: the page, and its words for one and for many."""

_ONE_BY_ONE = 3
_DATED = 3
_NAMED = 60
"""Up to so many posts stand with their names; more are grouped by what grounds them."""

_NOT_ASKED = (None, Why.WITHIN_DOUBT, Why.OPEN_READING, Why.LAW_NOT_READ, Why.OUTSIDE_THIS_TOOL)
"""Why something is open where no answer settles it."""

_RULES = ("14 CFR", "49 USC", "49 CFR")
_NOUNS = {
    "aircraft": ("aircraft", "aircraft"),
    "person": ("person", "people"),
    "registration": ("registration", "registrations"),
    "owner": ("owner", "owners"),
    "paper": ("paper", "papers"),
    "battery": ("battery", "batteries"),
}


class Fix(NamedTuple):
    """One thing to fix, for all of whom it is the same: what to do, why, who does it, and by when.

    `by` is the last day; None where it has to be done before the next flight. `flight` says before which.
    """

    cause: str
    do: str
    why: str
    cites: str
    subjects: tuple[str, ...]
    grounded: int
    who: tuple[str, ...]
    by: date | None
    overdue: bool
    flight: str
    step: NextStep | None
    duty: DutyKind = DutyKind.LEAD

    @property
    def when(self) -> str:
        """By when it has to be fixed, in words."""
        if self.by is None:
            return self.flight or "When you can"
        return f"{'Overdue since' if self.overdue else 'By'} {day_words(self.by)}"

    @property
    def who_else(self) -> tuple[str, ...]:
        """Who does it, where that is not who it is about."""
        return _but_themselves(self.who, self.subjects)


class Post(NamedTuple):
    """One aircraft or person in a strip: how it stands, and whether something of it expires soon."""

    subject: str
    soon: bool


class Lot(NamedTuple):
    """The posts of one headline; where there are many, those of one cause, with the number of its line to fix."""

    headline: Headline
    posts: tuple[Post, ...]
    fix: int = 0
    short: str = ""


class PostStrip(NamedTuple):
    """All aircraft, or all people, as posts: the lots in the order of urgency, and how many there are in all."""

    kind: str
    lots: tuple[Lot, ...]
    many: int

    def of(self, headline: Headline) -> int:
        """How many have a headline."""
        return sum(len(lot.posts) for lot in self.lots if lot.headline is headline)


class Expiry(NamedTuple):
    """What expires on a day, told once for all of which it is the same."""

    day: date
    what: str
    subjects: tuple[str, ...]
    who: tuple[str, ...]
    cites: str
    step: NextStep | None
    duty: DutyKind

    @property
    def who_else(self) -> tuple[str, ...]:
        """Who does it, where that is not who it is about."""
        return _but_themselves(self.who, self.subjects)


@dataclass(frozen=True, slots=True)
class Today:
    """The view of one day."""

    standing: Standing
    say: tuple[str, ...]
    strips: tuple[PostStrip, ...]
    fixes: tuple[Fix, ...]
    expires: tuple[Expiry, ...]


class ToFix(NamedTuple):
    """A finding to fix, of whom it is told, and the headline that it explains."""

    subject: str
    finding: Finding
    headline: Headline | None
    due: Due | None


def today_of(standing: Standing) -> Today:
    """The view of a standing."""
    teller = Teller(standing.report.state)
    found = to_fix(standing)
    owed = [one for one in owed_notices(standing.report.state) if one.must is not Must.CHOICE]
    fixes = (*map(_after_incident, owed), *fixes_of(found, standing.report.state, teller))
    told = {id(one.due) for one in found if one.due is not None}
    return Today(
        standing,
        tuple(answer_in_short(standing.rows)),
        tuple(_strips(standing, fixes)),
        fixes,
        expiries(_near(standing, told), standing.report.state, teller),
    )


def _after_incident(one: OwedNotice) -> Fix:
    """A notice that is owed after an incident as a line to fix: its clock by the place stands in place of a day."""
    act = f"{'Call' if one.must is Must.CALL else 'Notify'} {one.short}" if one.name else one.what
    by = f"{one.by_when[:1].upper()}{one.by_when[1:]}"
    return Fix(
        "incident",
        f"{act}: incident of {one.title}",
        " ".join(filter(None, (one.says, one.do))),
        one.cites,
        (one.incident,),
        0,
        (one.who,) if one.who else (),
        None,
        one.is_late,
        f"Late: {by}" if one.is_late else by if one.day is None else f"By {by}",
        step_of_notice(one),
    )


def step_of_notice(one: OwedNotice) -> NextStep:
    """The step of a notice: mark it as sent, or answer the questions that are open."""
    told = {name: value for name, value in (("notice", one.name), ("paper", id_of(one.paper))) if value}
    return NextStep("Mark as sent" if told else "Answer", one.incident, page="incident", fills=told)


def _near(standing: Standing, told: set[int]) -> Iterable[Due]:
    """What is due within the span told of, and is neither overdue nor to be fixed already."""
    last = day_of(standing.report.on) + timedelta(days=NEAR)
    return (due for due in standing.due if id(due) not in told and not due.overdue and due.day <= last)


def to_fix(standing: Standing) -> list[ToFix]:
    """All that is to be fixed: what stands in somebody's way, then what is overdue or due soon, then wrong records."""
    found = [
        ToFix(row.subject, finding, row.headline, None)
        for row in standing.rows
        if row.headline in (Headline.GROUNDED, Headline.RECREATION, Headline.CANT_SAY)
        for finding in row.in_the_way
        if _is_to_fix(finding)
    ]
    told = {(one.finding.rule, one.finding.subject) for one in found}
    last = day_of(standing.report.on) + timedelta(days=_SOON)
    for due in standing.due:
        if (due.overdue or due.day <= last) and (due.finding.rule, due.finding.subject) not in told:
            found += [ToFix(subject, due.finding, None, due) for subject in due.subjects]
    beside = [one for tally in standing.tallies.values() for one in tally.beside]
    beside.sort(key=lambda one: one.rule.about != "battery")
    return found + [ToFix(one.subject, one, None, None) for one in beside]


def _is_to_fix(finding: Finding) -> bool:
    """Whether something can be done about a finding: what is only missing is asked for as a question."""
    if finding.verdict is Verdict.NOT_MET:
        return True
    return finding.verdict is Verdict.UNKNOWN and finding.outcome.why in _NOT_ASKED


@cache
def _causes() -> tuple[Mapping[str, Mapping[str, str]], Mapping[str, str]]:
    """The causes, and the cause of each rule or rule and code."""
    table = tomllib.loads(Path(__file__).with_name("causes.toml").read_text(encoding="utf-8"))
    return table, {covered: name for name, row in table.items() for covered in row["covers"]}


def cause_of(finding: Finding) -> str:
    """The name of a finding's cause; where none covers it, the rule with its code."""
    _, covered = _causes()
    rule, own = finding.rule.name, f"{finding.rule.name}.{finding.outcome.code}"
    return covered.get(own) or covered.get(rule) or own


def duty_of(finding: Finding) -> DutyKind:
    """The kind of duty that a finding belongs to."""
    kind, row = kind_of(finding.subject), _causes()[0].get(cause_of(finding), {})
    if kind == "paper":
        return DutyKind.PAPERS
    of_house = bool(finding.rule.document) and kind == "aircraft"
    return DutyKind(
        row.get("duty") or (DutyKind.MAINTENANCE if of_house or kind == "battery" else DutyKind.REGISTRATION)
    )


def fixes_of(found: Iterable[ToFix], state: State, teller: Teller) -> tuple[Fix, ...]:
    """What is to be fixed, each cause once, most urgent first."""
    alike: dict[tuple[str, str, bool], list[ToFix]] = defaultdict(list)
    for one in found:
        held_back = one.headline in (Headline.GROUNDED, Headline.CANT_SAY)
        alike[cause_of(one.finding), kind_of(one.subject), held_back or one.headline is None].append(one)
    fixes = (_fix(cause, same, state, teller) for (cause, _, _), same in alike.items())
    return tuple(sorted(fixes, key=_urgency))


def _fix(cause: str, same: Sequence[ToFix], state: State, teller: Teller) -> Fix:
    first = same[0]
    subjects = tuple(dict.fromkeys(one.subject for one in same))
    do, why = _told(cause, same, subjects, teller)
    days = [one.due.day for one in same if one.due is not None]
    stands = [one.finding.outcome.due_on for one in same if one.headline is not None]
    return Fix(
        cause,
        do,
        why,
        _section(first.finding),
        subjects,
        len({one.subject for one in same if one.headline is Headline.GROUNDED}),
        who_does(subjects, duty_of(first.finding), state),
        min(days, default=None),
        any(one.due.overdue for one in same if one.due is not None),
        _flight(same, subjects) if not days and stands else "",
        _step_of(cause, subjects, first.finding, state),
        duty_of(first.finding),
    )


def _told(cause: str, same: Sequence[ToFix], subjects: tuple[str, ...], teller: Teller) -> tuple[str, str]:
    """What to do in one line, and why in a few sentences."""
    words = {one.subject: teller.worded(one.finding) for one in same[: _ONE_BY_ONE + 1]}
    first = words[same[0].subject]
    row = _causes()[0].get(cause)
    if row is None or (len(subjects) == 1 and "one" not in row):
        todo, _, rest = first.do.partition(". ")
        do = todo.removesuffix(".") or first.says.removesuffix(".")
        do = f"{do}: {id_of(subjects[0]) if len(subjects) == 1 else many_of(subjects)}"
    else:
        rest = ""
        do = (
            row["one"].format(name=id_of(subjects[0]))
            if len(subjects) == 1
            else row["many"].format(many=many_of(subjects))
        )
    says = list(dict.fromkeys(one.says for one in words.values()))
    if len(says) == 1 or len(subjects) == 1:
        why = says[0]
    elif len(subjects) <= _ONE_BY_ONE:
        why = " ".join(f"{id_of(subject)}: {one.says}" for subject, one in words.items())
    else:
        why = (row or {}).get("why", "") or f"{id_of(same[0].subject)}: {first.says}"
    return do, f"{why} {rest}".strip() if len(subjects) == 1 else why


def many_of(subjects: Sequence[str]) -> str:
    """How many of what kind: `3 aircraft`."""
    return counted(len(subjects), *_NOUNS.get(kind_of(subjects[0]), ("record", "records")))


def _flight(same: Sequence[ToFix], subjects: tuple[str, ...]) -> str:
    """Before which flight it has to be done."""
    it = "they fly" if len(subjects) > 1 or kind_of(subjects[0]) == "person" else "it flies"
    return f"Before {it} for work" if same[0].headline is Headline.RECREATION else f"Before {it}"


def _step_of(cause: str, subjects: Sequence[str], finding: Finding, state: State) -> NextStep | None:
    """The step of a line: a job that takes all of them at once where there is one, else the step of the first."""
    if cause not in _JOBS:
        return step_for(finding, state)
    page, one, many = _JOBS[cause]
    numbers = [_number(subject, state) for subject in subjects]
    says = one if len(subjects) == 1 else many.format(len(subjects))
    return NextStep(says, subjects[0], page=page, fills={"which": " ".join(filter(None, numbers[:_AT_ONCE]))})


def _number(subject: str, state: State) -> str:
    return (
        id_of(subject)
        if kind_of(subject) == "registration"
        else value_held(state, subject, REGISTRATION) or ""
    )


def _section(finding: Finding) -> str:
    """The one section that is told of a finding: the rule's own, else the last that it read of the rules themselves."""
    if finding.rule.document or finding.rule.own:
        return section(finding)
    read = [part for cite in cites(finding) for part in cite.split("; ")]
    return next((one for one in reversed(read) if one.startswith(_RULES)), read[-1] if read else "")


def _but_themselves(who: tuple[str, ...], subjects: Sequence[str]) -> tuple[str, ...]:
    return () if who == tuple(id_of(subject) for subject in subjects) else who


def _urgency(fix: Fix) -> tuple[int, int, date, str]:
    """What grounds most first, aircraft before people; then what has a day, the soonest first; then wrong records."""
    kind = kind_of(fix.subjects[0])
    if fix.flight and fix.grounded:
        rank = 0 if kind == "aircraft" else 1
    elif fix.flight:
        rank = 2
    else:
        rank = _DATED if fix.by is not None else _DATED + 1
    return rank, -len(fix.subjects) if rank < _DATED else 0, fix.by or date.max, fix.do


def answer_in_short(rows: Sequence[SubjectStanding]) -> Iterable[str]:
    """The answer: how many of all are grounded, have their papers in order, or can't be told yet."""
    for kind, nouns in (("aircraft", _NOUNS["aircraft"]), ("person", _NOUNS["person"])):
        mine = [row for row in rows if kind_of(row.subject) == kind and row.headline.is_here]
        if mine:
            yield _sentence([row.headline for row in mine], nouns, id_of(mine[0].subject))


def _sentence(here: Sequence[Headline], nouns: tuple[str, str], name: str) -> str:
    parts = (
        Share(here.count(Headline.GROUNDED), "is grounded", "are grounded"),
        Share(here.count(Headline.WORK), "has papers OK for work", "have papers OK for work"),
        Share(
            here.count(Headline.RECREATION),
            "has papers OK for recreation only",
            "have papers OK for recreation only",
        ),
    )
    return parts_of_whole(len(here), nouns, parts, here.count(Headline.CANT_SAY), "isn't grounded", name)


def _strips(standing: Standing, fixes: Sequence[Fix]) -> Iterable[PostStrip]:
    near = day_of(standing.report.on) + timedelta(days=NEAR)
    causes = {(fix.cause, kind_of(fix.subjects[0])): number for number, fix in enumerate(fixes, 1)}
    for kind in ("aircraft", "person"):
        rows = [row for row in standing.rows if kind_of(row.subject) == kind and row.headline.is_here]
        if rows:
            yield PostStrip(kind, tuple(_lots(rows, kind, causes, near)), len(rows))


def _lots(
    rows: Sequence[SubjectStanding], kind: str, causes: Mapping[tuple[str, str], int], near: date
) -> Iterable[Lot]:
    """The lots of one kind: by headline, and what is grounded by the line that it is told in."""
    for headline in BY_URGENCY:
        mine: dict[tuple[int, str], list[Post]] = defaultdict(list)
        for row in rows:
            if row.headline is headline:
                told = row.deciding if len(rows) > _NAMED and headline is Headline.GROUNDED else None
                number = 0 if told is None else causes.get((cause_of(told), kind), 0)
                short = "" if told is None else _short(told)
                mine[number, short].append(Post(row.subject, _is_soon(row, near)))
        for (number, short), posts in sorted(mine.items(), key=lambda pair: pair[0][0] or len(causes) + 1):
            yield Lot(headline, tuple(posts), number, short)


def _short(finding: Finding) -> str:
    """A cause in two or three words."""
    row = _causes()[0].get(cause_of(finding), {})
    return row.get("short") or finding.rule.name.replace("_", " ").capitalize()


def _is_soon(row: SubjectStanding, near: date) -> bool:
    due = row.next_due
    days = (row.holds_until, None if due is None else due.outcome.due_on)
    return any(day is not None and day <= near for day in days)


def expiries(items: Iterable[Due], state: State, teller: Teller) -> tuple[Expiry, ...]:
    """What is due, told once for all of which it is the same cause and day."""
    alike: dict[tuple[date, str, str], list[Due]] = defaultdict(list)
    for due in items:
        alike[due.day, cause_of(due.finding), kind_of(due.subjects[0])].append(due)
    found = []
    for (day, cause, _), same in alike.items():
        subjects = tuple(dict.fromkeys(subject for due in same for subject in due.subjects))
        first = same[0].finding
        what, _ = _told(cause, [ToFix(one, first, None, None) for one in subjects], subjects, teller)
        found.append(
            Expiry(
                day,
                what,
                subjects,
                who_does(subjects, duty_of(first), state),
                _section(first),
                _step_of(cause, subjects, first, state),
                duty_of(first),
            )
        )
    return tuple(found)


def expiry_json(one: Expiry) -> Json:
    """What expires on a day, as part of a document."""
    return {
        "day": one.day.isoformat(),
        "what": one.what,
        "subjects": list(one.subjects),
        "who": list(one.who),
        "cites": one.cites,
        "step": step_json(one.step),
        "duty": one.duty.value,
    }


def today_members(view: Today) -> Json:
    """The view as part of a document."""
    return {
        "say": list(view.say),
        "not_checked": list(NOT_CHECKED),
        "fix_first": [fix_json(fix) for fix in view.fixes],
        "expires_next": [expiry_json(one) for one in view.expires],
    }


def fix_json(fix: Fix) -> Json:
    """One thing to fix, as part of a document."""
    return {
        "cause": fix.cause,
        "do": fix.do,
        "why": fix.why,
        "cites": fix.cites,
        "subjects": list(fix.subjects),
        "grounded": fix.grounded,
        "who": list(fix.who),
        "duty": fix.duty.value,
        "by": None if fix.by is None else fix.by.isoformat(),
        "overdue": fix.overdue,
        "before": fix.flight or None,
        "step": step_json(fix.step),
    }
