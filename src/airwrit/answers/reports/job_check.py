"""Aircraft and people checked for a job from its first to its last day: a client's pack, contractors and borrowed aircraft."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.document import SCOPE
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.reports.insurer import policies_table
from airwrit.answers.reports.report import ProgramReport, ReportCell, ReportColumn, ReportTable
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import counted, day_words, with_days
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.choices import PaperKind
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.event import BACK_ON, HELD_UNDER
from airwrit.facts.keys.paper import (
    COVERS_AIRCRAFT,
    COVERS_ALL,
    COVERS_PERSON,
    ENDS_ON,
    GRANTED_ON,
    PAPER_KIND,
)
from airwrit.facts.keys.person import CERTIFICATE_NUMBER
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.law.wording import worded

_OK = (Headline.WORK,)


class FieldJob(NamedTuple):
    """A job: its first and last day, and the names of the aircraft and people on it."""

    first: date
    last: date
    aircraft: tuple[str, ...]
    people: tuple[str, ...]


MOST_DAYS = 12
"""On so many days at most a job is checked beside its first."""
_EACH_DAY = (
    "OK: papers on file are in order for work on the first and the last day, and after each day due between."
)
_SOME_DAYS = f"OK: papers on file are in order for work on the first and the last day, and on up to {MOST_DAYS - 1} between."
_TOO_MANY = "We can't tell for the whole job. Too many deadlines fall within it to check each. Make a report for fewer days."


def named_on(state: State, job: FieldJob) -> tuple[FieldJob, tuple[str, ...]]:
    """The job with the names as they are on file, and its subjects. UsageError for a name that nothing is on file of."""
    aircraft = tuple(_called(state, "aircraft", name) for name in job.aircraft)
    people = tuple(_called(state, "person", name) for name in job.people)
    if not (aircraft or people):
        raise UsageError(
            "you didn't name anyone or anything",
            where="--aircraft, --person",
            do="name who and what is on the job",
        )
    asked = job._replace(aircraft=tuple(map(id_of, aircraft)), people=tuple(map(id_of, people)))
    return asked, (*aircraft, *people)


def _called(state: State, kind: str, name: str) -> str:
    subject = the_one_called(name, [one for one in state.subjects(kind) if state.held[one]])
    if subject not in state.held:
        raise UsageError(
            f"there is no {kind} named {name!r}", where=kind, do="`airwrit today` lists the names"
        )
    return subject


def days_to_check(standing: Standing, job: FieldJob) -> tuple[date, ...]:
    """The days after the first on which a job is checked: the day after each due day within it, and its last."""
    last = {job.last} - {job.first}
    return tuple(sorted({*_after_due(standing, job)[: MOST_DAYS - 1], *last}))


def _after_due(standing: Standing, job: FieldJob) -> list[date]:
    return sorted({due.day + timedelta(days=1) for due in standing.due if job.first <= due.day < job.last})


class _Checked(NamedTuple):
    """One aircraft or person as checked: the verdict, since when it is in doubt, and why."""

    subject: str
    verdict: Verdict
    why: str


def client_report(job: FieldJob, days: Sequence[Standing]) -> ProgramReport:
    """What a client asks: who flies what, with which papers, and whether all of it holds through the job."""
    return _report("client", "For the client", job, days)


def contractor_report(job: FieldJob, days: Sequence[Standing]) -> ProgramReport:
    """Contractors and borrowed aircraft against the job: whose they are, papers, insurance, and until when they are here."""
    return _report("contractor", "Contractors and borrowed aircraft", job, days)


def _report(name: str, title: str, job: FieldJob, days: Sequence[Standing]) -> ProgramReport:
    state = days[0].report.state
    aircraft = [_checked(subject_named("aircraft", one), days, job) for one in job.aircraft]
    people = [_checked(subject_named("person", one), days, job) for one in job.people]
    verdicts = [one.verdict for one in (*aircraft, *people)]
    span = (
        day_words(job.first) if job.first == job.last else f"{day_words(job.first)} to {day_words(job.last)}"
    )
    worst = worst_of({*verdicts})
    says: tuple[str, ...] = (_in_short((len(aircraft), len(people)), verdicts, span),)
    note = _EACH_DAY
    if set(_after_due(days[0], job)).difference(day_of(one.report.on) for one in days):
        says, note = (() if worst is Verdict.MET else says) + (_TOO_MANY,), _SOME_DAYS
        worst = worst_of({worst, Verdict.UNKNOWN})
    return ProgramReport(
        name,
        title,
        span,
        job.first,
        SCOPE,
        says,
        (_aircraft(aircraft, state), _people(people, state), policies_table(state, job.last)),
        (note,),
        worst,
        tuple(one.subject for one in (*aircraft, *people)),
    )


_WHO = (("aircraft", "aircraft"), ("person", "people"))


def _in_short(many: tuple[int, int], verdicts: Sequence[Verdict], span: str) -> str:
    who = [counted(number, *word) for number, word in zip(many, _WHO, strict=True) if number]
    bad, open_ones = verdicts.count(Verdict.NOT_MET), verdicts.count(Verdict.UNKNOWN)
    if not bad and not open_ones:
        have = "has" if len(verdicts) == 1 else "have"
        return f"{' and '.join(who)} {have} papers OK for work: {span}."
    told = [f"{bad} not OK" if bad else "", f"{open_ones} we can't tell yet" if open_ones else ""]
    return f"Of {len(verdicts)} aircraft and people, {' and '.join(filter(None, told))}: {span}."


def _checked(subject: str, days: Sequence[Standing], job: FieldJob) -> _Checked:
    """The worst of all days, and why: by the standing of each, the insurance, and the day it has to go back."""
    found = [_of_day(subject, one) for one in days]
    found += [*_insured(subject, days[0].report.state, job), *_lent(subject, days[0].report.state, job)]
    worst = worst_of({one.verdict for one in found})
    why = "" if worst is Verdict.MET else next(one.why for one in found if one.verdict is worst)
    return _Checked(subject, worst, why)


def _of_day(subject: str, standing: Standing) -> _Checked:
    on = day_words(day_of(standing.report.on))
    row = next((one for one in standing.rows if one.subject == subject), None)
    if row is None:
        gone = any(one == subject for one, _ in standing.left)
        if gone:
            return _Checked(subject, Verdict.NOT_MET, f"Left the program by {on}.")
        raise UsageError(
            f"{id_of(subject)!r} isn't on file on {on}",
            where=kind_of(subject),
            do="`airwrit today` lists the names",
        )
    return _Checked(subject, _verdict(row), f"{on}: {_why(row, standing)}")


def _verdict(row: SubjectStanding) -> Verdict:
    if row.headline in _OK:
        return Verdict.MET
    return Verdict.UNKNOWN if row.headline is Headline.CANT_SAY else Verdict.NOT_MET


def _why(row: SubjectStanding, standing: Standing) -> str:
    if row.deciding is None:
        return f"{row.headline.value}."
    return with_days(worded(row.deciding, standing.report.state).says)


def _insured(subject: str, state: State, job: FieldJob) -> Iterator[_Checked]:
    """Whether one policy on file covers it on every day of the job; which policies there are is what is on file."""
    link: Key[str] = COVERS_AIRCRAFT if kind_of(subject) == "aircraft" else COVERS_PERSON
    gap = False
    for paper in state.holding(PAPER_KIND, PaperKind.INSURANCE):
        named = value_held(state, paper, link)
        if value_held(state, paper, COVERS_ALL) is not True and named != id_of(subject):
            continue
        start, end = value_held(state, paper, GRANTED_ON), value_held(state, paper, ENDS_ON)
        gap = gap or start is None or end is None
        if start is not None and end is not None and start <= job.first and job.last <= end:
            yield _Checked(subject, Verdict.MET, "")
            return
    why = (
        "The policy on file lacks its days."
        if gap
        else "No policy on file covers it on every day of the job."
    )
    yield _Checked(subject, Verdict.UNKNOWN if gap else Verdict.NOT_MET, why)


def _lent(subject: str, state: State, job: FieldJob) -> Iterator[_Checked]:
    """Whether a borrowed aircraft is here through the job."""
    if kind_of(subject) != "aircraft" or value_held(state, subject, HELD_UNDER) is None:
        return
    back = value_held(state, subject, BACK_ON)
    if back is None:
        yield _Checked(subject, Verdict.UNKNOWN, "It is borrowed, and the day it goes back isn't on file.")
    elif back < job.last:
        yield _Checked(subject, Verdict.NOT_MET, f"It has to go back {day_words(back)}, before the job ends.")


_WORDS = {Verdict.MET: "OK", Verdict.NOT_MET: "not OK", Verdict.UNKNOWN: "can't tell yet"}


def _aircraft(checked: Sequence[_Checked], state: State) -> ReportTable:
    rows = tuple(
        (
            id_of(one.subject),
            *(value_held(state, one.subject, key) for key in (OWNER, REGISTRATION, REMOTE_ID_SERIAL)),
            _held(one.subject, state),
            _WORDS.get(one.verdict, "doesn't apply"),
            one.why,
        )
        for one in checked
    )
    columns = (
        ReportColumn("aircraft", "Aircraft"),
        ReportColumn("owner", "Owner"),
        ReportColumn("registration", "Registration"),
        ReportColumn("remote_id_serial", "Remote ID serial"),
        ReportColumn("borrowed", "Borrowed"),
        ReportColumn("status", "Status"),
        ReportColumn("why", "Why"),
    )
    return ReportTable("aircraft", "Aircraft", columns, rows, empty="No aircraft named.")


def _held(subject: str, state: State) -> ReportCell:
    under, back = value_held(state, subject, HELD_UNDER), value_held(state, subject, BACK_ON)
    if under is None:
        return "no"
    return f"{under.value}, back {'day not on file' if back is None else day_words(back)}"


def _people(checked: Sequence[_Checked], state: State) -> ReportTable:
    rows = tuple(
        (
            id_of(one.subject),
            value_held(state, one.subject, CERTIFICATE_NUMBER),
            _WORDS.get(one.verdict, "doesn't apply"),
            one.why,
        )
        for one in checked
    )
    columns = (
        ReportColumn("person", "Person"),
        ReportColumn("certificate", "Certificate"),
        ReportColumn("status", "Status"),
        ReportColumn("why", "Why"),
    )
    return ReportTable("people", "People", columns, rows, empty="Nobody named.")
