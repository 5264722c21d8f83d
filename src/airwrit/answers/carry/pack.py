"""The carry pack: what a pilot takes along on a day, of the pilot, the aircraft, the papers and what the law asks to show.

A fact that is not on file is told as such, never left out. Of people only what an officer may ask for is in it: no birthday,
no address. The certificate's number is, since the certificate is what has to be shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from difflib import get_close_matches
from hashlib import sha256
from typing import Any, NamedTuple

from airwrit.answers.carry.findings import (
    AGAINST,
    Carried,
    Fact,
    RecordToMend,
    Ruling,
    at_night,
    records_to_put_right,
    ruling_of,
    rulings_on,
    status_text,
    statuses_of,
    verdict_of,
)
from airwrit.answers.carry.law import Asked, Sentence, asked_of_a_pilot, if_something_happens, pack_words
from airwrit.answers.document import ON_PAPERS, Json, instant_text
from airwrit.answers.law_reading import reading_json
from airwrit.answers.proof.subjects import judged_subjects
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.json import report_json
from airwrit.answers.standing.report import Report, declared_uses
from airwrit.answers.standing.standing import Standing, for_counsel
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import PaperKind, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    LISTED_SERIAL,
    MAKER,
    MARK_PLACE,
    MODEL,
    OWNER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
)
from airwrit.facts.keys.paper import (
    CARRIED,
    COVERS_AIRCRAFT,
    COVERS_ALL,
    COVERS_PERSON,
    ENDS_ON,
    GRANTED_ON,
    PAPER_KIND,
    PAPER_NUMBER,
    PAPER_RESPONSIBLE,
)
from airwrit.facts.keys.person import CERTIFICATE_NUMBER, FLIES_FOR, ROLE, SAFETY_TEST_ON, TEMPORARY_ISSUED_ON
from airwrit.facts.keys.registration import (
    EXPIRES_ON,
    ISSUED_ON,
    REGISTERED_TO,
    REGISTRATION_KIND,
    WHOM_TO_CALL,
)
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded, id_of, kind_of, subject_named
from airwrit.law import wording
from airwrit.law.holder.paper import PAPER_IN_TERM_RULE
from airwrit.law.rule import Bears

MOST_AIRCRAFT = 24
"""Aircraft in one pack: more, and it is no longer a thing to find something in."""

NOT_ON_FILE = "not on file"
CERTIFICATE_LABEL, REGISTRATION_LABEL = "remote pilot certificate number", "registration number"
SERIAL_LABEL, OWNER_LABEL = "Remote ID serial number", "owner"
_WHY = {
    Why.CONFLICT: "two different values on file, look it up",
    Why.DAMAGED: "we can't read it, look it up",
    Why.WITHIN_DOUBT: "changed that day, look it up",
}
_NOTHING_JUDGED = Ruling(
    None,
    Verdict.UNKNOWN,
    "we couldn't check anything in this document",
    "check the document itself",
    "",
    PAPER_IN_TERM_RULE.name,
    of_house=False,
    short="",
    bears=Bears.PAPERS,
)


class CarriedPaper(NamedTuple):
    """A paper of the program: its kind, what is known of it, what has to be carried, and whether it is in force."""

    subject: str
    kind: PaperKind | None
    facts: tuple[Fact, ...]
    carried: str | None
    ruling: Ruling
    also: tuple[Ruling, ...]

    @property
    def status(self) -> str:
        """Whether it is in force, in a few words."""
        if self.ruling.verdict is Verdict.MET:
            return str(pack_words()["status"]["in_force"])
        return status_text(self.ruling.verdict, [self.ruling])


class Pack(NamedTuple):
    """All that is carried. `whom` is whom to call; `withheld` counts papers kept for counsel."""

    id: str
    pilot: Carried
    aircraft: tuple[Carried, ...]
    papers: tuple[CarriedPaper, ...]
    asked: tuple[Asked, ...]
    happens: tuple[Sentence, ...]
    uses: tuple[UsedFor, ...]
    whom: str | None
    withheld: int
    about: tuple[str, ...]
    report: Report

    @property
    def on(self) -> date:
        """The day it is for."""
        return day_of(self.report.on)

    @property
    def known_at(self) -> datetime:
        """What was known then is in it."""
        return self.report.known_at

    @property
    def house(self) -> tuple[tuple[str, Ruling], ...]:
        """The conditions of house rules on the pilot and the aircraft, each with whom it is about."""
        return tuple(
            (id_of(c.subject), r) for c in (self.pilot, *self.aircraft) for r in c.rulings if r.of_house
        )

    @property
    def records(self) -> tuple[RecordToMend, ...]:
        """The filings owed and records to put right of the pilot, the aircraft, their registrations and owners."""
        return records_to_put_right(self.report, self.about)

    @property
    def unread(self) -> int:
        """Parts of the input that could not be read."""
        return sum(problem.unread for problem in self.report.problems)

    @property
    def verdict(self) -> Verdict:
        """Over the pilot, the aircraft, their registrations and owners and the papers, for the uses the pilot flies for.

        Unknown where no use is stated, no aircraft is on file, or a part of the input could not be read.
        """
        if not self.uses or not self.aircraft:
            return Verdict.UNKNOWN
        carried = (self.pilot, *self.aircraft)
        stands = [status.verdict for one in carried for status in one.statuses]
        return verdict_of(self.report, self.about, stands)


def carry_pack(standing: Standing, pilot: str, only: Sequence[str] = (), whom: str | None = None) -> Pack:
    """The pack of a pilot for the day of a standing, with the aircraft named, or all that are on file.

    UsageError when the pilot or an aircraft is not among those judged, or more than a pack can hold.
    """
    rows = {row.subject: row for row in standing.rows}
    person = _row_of(rows, subject_named("person", pilot), "PILOT")
    wanted = [_row_of(rows, subject_named("aircraft", name), "--aircraft") for name in dict.fromkeys(only)]
    aircraft = wanted or [row for row in rows.values() if kind_of(row.subject) == "aircraft"]
    if len(aircraft) > MOST_AIRCRAFT:
        raise UsageError(
            f"a pack holds up to {MOST_AIRCRAFT} aircraft, and you named {len(aircraft)}",
            where="--aircraft",
            do="name only the ones you bring",
        )
    state = standing.report.state
    kept_back = for_counsel(state)
    papers = [s for s in state.subjects("paper") if _concerns(state, s, person.subject, aircraft)]
    uses = declared_uses(state, person.subject)
    call = whom or _whom(state, aircraft)
    return Pack(
        _pack_id(standing, person, aircraft),
        _person(person, standing.report, uses),
        tuple(_aircraft(row, standing.report, uses) for row in aircraft),
        tuple(_paper(s, standing.report) for s in papers if s not in kept_back),
        asked_of_a_pilot(day_of(state.on)),
        if_something_happens(day_of(state.on), call),
        uses,
        call,
        sum(s in kept_back for s in papers),
        (*judged_subjects(state, [person.subject, *(row.subject for row in aircraft)]), *papers),
        standing.report,
    )


def _whom(state: State, aircraft: Iterable[SubjectStanding]) -> str | None:
    """Whom the owners of the aircraft say may be called; None when none says it."""
    owners = (told(state, row.subject, OWNER) for row in aircraft)
    called = (told(state, subject_named("owner", fact.value), WHOM_TO_CALL) for fact in owners if fact.known)
    return "; ".join(dict.fromkeys(fact.value for fact in called if fact.known)) or None


def _row_of(rows: dict[str, SubjectStanding], subject: str, where: str) -> SubjectStanding:
    """The row of a subject, in whatever case and spaces its name was written. UsageError names those there are."""
    row = rows.get(subject)
    if row is None:
        kind = kind_of(subject)
        names = {id_of(other): other for other in rows if kind_of(other) == kind}
        alike = [other for name, other in names.items() if folded(name) == folded(id_of(subject))]
        if len(alike) == 1:
            return rows[alike[0]]
        what = "pilot" if kind == "person" else "aircraft"
        near = get_close_matches(id_of(subject), names, n=1)
        do = (
            f"did you mean {near[0]!r}?"
            if near
            else f"one of: {(', '.join(names) or 'none is on file')[:400]}"
        )
        raise UsageError(f"no {what} is named {id_of(subject)!r}", where=where, do=do)
    return row


def _pack_id(standing: Standing, person: SubjectStanding, aircraft: Iterable[SubjectStanding]) -> str:
    """A short name of the pack, the same for the same question over the same sources."""
    report = standing.report
    parts = [report.on.isoformat(), person.subject, *(row.subject for row in aircraft)]
    parts += [source.sha256 for source in report.sources]
    return sha256("\n".join(parts).encode()).hexdigest()[:12]


def told(state: State, subject: str, key: Key[Any], label: str = "") -> Fact:
    """What is held of a subject, in words; that it is not on file, or why it cannot be told."""
    held = state.held.get(subject, {}).get(key)
    label = label or key.meaning
    if held is None:
        return Fact(label, NOT_ON_FILE, known=False)
    if held.why is not None:
        return Fact(label, _WHY.get(held.why, "not known"), known=False)
    return Fact(label, wording.shown(held.value), known=True)


def _carried(row: SubjectStanding, facts: Iterable[Fact], report: Report, uses: Sequence[UsedFor]) -> Carried:
    rulings = rulings_on(row, report.state, uses)
    return Carried(
        row.subject,
        row.headline,
        row.work,
        row.recreation,
        row.night,
        tuple(facts),
        rulings,
        statuses_of(row, rulings, uses),
        at_night(row, rulings),
    )


def _person(row: SubjectStanding, report: Report, uses: Sequence[UsedFor]) -> Carried:
    labels: tuple[tuple[Key[Any], str], ...] = (
        (CERTIFICATE_NUMBER, CERTIFICATE_LABEL),
        (TEMPORARY_ISSUED_ON, "temporary certificate issued on"),
        (SAFETY_TEST_ON, "recreational safety test passed on"),
        (FLIES_FOR, "flies for"),
        (ROLE, "role"),
    )
    facts = (told(report.state, row.subject, key, label) for key, label in labels)
    return _carried(row, facts, report, uses)


def _aircraft(row: SubjectStanding, report: Report, uses: Sequence[UsedFor]) -> Carried:
    state = report.state
    number = value_held(state, row.subject, REGISTRATION)
    certificate = subject_named("registration", number) if number else ""
    asked: tuple[tuple[str, Key[Any], str], ...] = (
        (row.subject, REGISTRATION, REGISTRATION_LABEL),
        (certificate, REGISTRATION_KIND, "kind"),
        (certificate, REGISTERED_TO, "registered to"),
        (certificate, ISSUED_ON, "issued on"),
        (certificate, EXPIRES_ON, "expires on"),
        (row.subject, MARK_PLACE, "registration number is marked"),
        (row.subject, REMOTE_ID_WAY, "Remote ID"),
        (row.subject, REMOTE_ID_SERIAL, SERIAL_LABEL),
        (row.subject, LISTED_SERIAL, "serial on the registration"),
        (row.subject, OWNER, OWNER_LABEL),
        (row.subject, MAKER, "maker"),
        (row.subject, MODEL, "model"),
    )
    return _carried(row, (told(state, *one) for one in asked), report, uses)


def _concerns(state: State, paper: str, person: str, aircraft: Iterable[SubjectStanding]) -> bool:
    """Whether a paper covers the pilot, an aircraft of the pack or all of the program, or what it covers is not known."""
    facts = state.held.get(paper, {})
    names = {COVERS_PERSON: {id_of(person)}, COVERS_AIRCRAFT: {id_of(row.subject) for row in aircraft}}
    held = {key: facts.get(key) for key in (COVERS_PERSON, COVERS_AIRCRAFT)}
    if any(one is not None and (one.why is not None or one.value in names[key]) for key, one in held.items()):
        return True
    every = facts.get(COVERS_ALL)
    if every is not None and (every.why is not None or every.value):
        return True
    return all(one is None for one in held.values())


def _paper(subject: str, report: Report) -> CarriedPaper:
    state = report.state
    kind = state.held[subject].get(PAPER_KIND)
    found = [ruling_of(f, state) for f in report.findings if f.subject == subject]
    ruling = next((one for one in found if one.rule == PAPER_IN_TERM_RULE.name), _NOTHING_JUDGED)
    labels: tuple[tuple[Key[Any], str], ...] = (
        (PAPER_NUMBER, "number"),
        (GRANTED_ON, "in force from"),
        (ENDS_ON, "last day"),
        (PAPER_RESPONSIBLE, "responsible"),
    )
    carried = told(state, subject, CARRIED)
    return CarriedPaper(
        subject,
        None if kind is None or kind.why is not None else kind.value,
        (*(told(state, subject, key, label) for key, label in labels), _covers(state, subject)),
        carried.value if carried.known else None,
        ruling,
        tuple(one for one in found if one is not ruling and one.verdict in AGAINST),
    )


def _covers(state: State, paper: str) -> Fact:
    every = told(state, paper, COVERS_ALL)
    if every.known and every.value == "yes":
        return Fact("covers", "every aircraft and person in the program", known=True)
    named = [told(state, paper, key) for key in (COVERS_AIRCRAFT, COVERS_PERSON)]
    known = [fact.value for fact in named if fact.known]
    return Fact("covers", ", ".join(known), known=True) if known else named[0]._replace(label="covers")


def carry_json(pack: Pack) -> Json:
    """The pack as a document."""
    read = report_json(Report("carry", pack.report.state, (), (), pack.report.problems, pack.report.sources))
    return {
        "question": "carry",
        "pack": pack.id,
        "on": instant_text(pack.report.on),
        **reading_json(pack.report.on),
        "known_at": read["known_at"],
        "verdict": pack.verdict.value,
        "pilot": _carried_json(pack.pilot),
        "aircraft": [_carried_json(one) for one in pack.aircraft],
        "papers": [
            {
                "subject": paper.subject,
                "kind": None if paper.kind is None else paper.kind.value,
                "carry": paper.carried,
                "facts": [fact._asdict() for fact in paper.facts],
                **_ruling_json(paper.ruling),
                "also": [_ruling_json(one) for one in paper.also],
            }
            for paper in pack.papers
        ],
        "records": [{"subject": one.subject, **_ruling_json(one.ruling)} for one in pack.records],
        "asked": [asked._asdict() for asked in pack.asked],
        "if_something_happens": [sentence._asdict() for sentence in pack.happens],
        "unread": pack.unread,
        "whom_to_call": pack.whom,
        "withheld": pack.withheld,
        "problems": read["problems"],
        "sources": read["sources"],
        **ON_PAPERS,
    }


def _carried_json(one: Carried) -> Json:
    return {
        "subject": one.subject,
        "headline": one.headline.value,
        "work": one.work.value,
        "recreation": one.recreation.value,
        "night": None if one.night is None else one.night.value,
        "stands": [status._asdict() | {"verdict": status.verdict.value} for status in one.stands],
        "facts": [fact._asdict() for fact in one.facts],
        "findings": [_ruling_json(ruling) for ruling in one.rulings],
    }


def _ruling_json(ruling: Ruling) -> Json:
    return {
        **ruling._asdict(),
        "use": None if ruling.use is None else ruling.use.value,
        "verdict": ruling.verdict.value,
        "bears": ruling.bears.value,
    }
