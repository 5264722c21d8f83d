"""What to have ready, per aircraft, to register it or put it right: the data to file, the steps in order, the fee."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.registration.fees import Fee, Fees, Uncounted, certificate_needed, fees_json, fees_of
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.json import report_json
from airwrit.answers.standing.report import Report, counts
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import ApplicationPart, OwnerKind, RegistrationKind
from airwrit.facts.keys.aircraft import MAKER, MARK_PLACE, MODEL, OWNER, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.registration import OWNER_KIND, REPRESENTATIVE
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.law import wording
from airwrit.law.aircraft.duty import FILING_DATA
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding

_RENEWAL_OPEN = ("in_term_renew", "in_term_last_month")
_ORDER = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET)


class FilingStep(NamedTuple):
    """One thing to do: why, by which sections, and by when where a day is named."""

    verdict: Verdict
    do: str
    says: str
    cites: str
    by: date | None


class ApplicationItem(NamedTuple):
    """One thing an application asks for, and what the record holds of it (None: nothing)."""

    item: str
    held: str | None


class Worksheet(NamedTuple):
    """One aircraft: how it stands, whose it is, the certificate it needs and its fee, its number and serial, and the steps."""

    subject: str
    about: str
    headline: Headline
    because: str
    owner: str | None
    owner_kind: str | None
    certificate: str
    number: str | None
    mark_place: str | None
    serial: str | None
    fee: Fee | None
    asks: tuple[ApplicationItem, ...]
    asks_cites: str
    steps: tuple[FilingStep, ...]


class Worksheets(NamedTuple):
    """The worksheets of a fleet, the aircraft with nothing to do, and the fees."""

    sheets: tuple[Worksheet, ...]
    quiet: tuple[str, ...]
    fees: Fees
    report: Report

    @property
    def verdict(self) -> Verdict:
        """Not met when a step says so, else unknown when one does, else met."""
        verdicts = {step.verdict for sheet in self.sheets for step in sheet.steps}
        return next((one for one in _ORDER if one in verdicts), Verdict.MET)


def worksheets_of(standing: Standing, only: Iterable[str] = (), *, every: bool = False) -> Worksheets:
    """The worksheets: of the aircraft named in `only`, of all with something to do, or of `every` aircraft."""
    wanted = set(only)
    fees = fees_of(standing)
    made = [_worksheet(row, standing, fees) for row in standing.rows if kind_of(row.subject) == "aircraft"]
    asked = [sheet for sheet in made if not wanted or sheet.subject in wanted]
    kept = [sheet for sheet in asked if sheet.steps or every or wanted]
    quiet = tuple(sheet.subject for sheet in asked if not sheet.steps)
    return Worksheets(tuple(kept), quiet, fees, standing.report)


def _worksheet(row: SubjectStanding, standing: Standing, fees: Fees) -> Worksheet:
    state, subject = standing.report.state, row.subject
    owner = value_held(state, subject, OWNER)
    kind = None if owner is None else value_held(state, subject_named("owner", owner), OWNER_KIND)
    place = value_held(state, subject, MARK_PLACE)
    needed = certificate_needed(row, state)
    about = " ".join(
        name for name in (value_held(state, subject, key) for key in (MAKER, MODEL)) if name is not None
    )
    span = Law(day_of(state.on)).span(FILING_DATA)
    return Worksheet(
        subject,
        about,
        row.headline,
        "" if row.deciding is None else wording.worded(row.deciding, state).says,
        owner,
        None if kind is None else kind.value,
        needed.why if isinstance(needed, Uncounted) else needed[0].value,
        value_held(state, subject, REGISTRATION),
        None if place is None else place.value,
        value_held(state, subject, REMOTE_ID_SERIAL),
        next((fee for fee in fees.fees if subject in fee.subjects), None),
        _asks(needed, subject, about, standing),
        span.cites,
        _steps(row, standing.report),
    )


def _asks(
    needed: tuple[RegistrationKind, str] | Uncounted, subject: str, about: str, standing: Standing
) -> tuple[ApplicationItem, ...]:
    """What a Part 48 application asks for; nothing where none is needed or Part 47 is the way."""
    if isinstance(needed, Uncounted):
        if not needed.unknown:
            return ()
    elif needed[0] is RegistrationKind.PART_47:
        return ()
    items: tuple[str, ...] = Law(day_of(standing.report.on))[FILING_DATA]
    return tuple(ApplicationItem(item, _held_of(item, subject, about, standing)) for item in items)


def _held_of(item: str, subject: str, about: str, standing: Standing) -> str | None:
    """What the record holds of a thing an application asks for; addresses and numbers of people are not kept here."""
    state = standing.report.state
    part = ApplicationPart(item)
    if part is ApplicationPart.OWNER:
        return value_held(state, subject, OWNER)
    if part is ApplicationPart.MAKER_AND_MODEL:
        return about or None
    if part is ApplicationPart.REMOTE_ID_SERIAL:
        return value_held(state, subject, REMOTE_ID_SERIAL)
    owner, number = value_held(state, subject, OWNER), value_held(state, subject, REGISTRATION)
    kind = None if owner is None else value_held(state, subject_named("owner", owner), OWNER_KIND)
    if part is ApplicationPart.REPRESENTATIVE and kind is OwnerKind.PERSON:
        return "not needed, because the owner is a person"
    if part is ApplicationPart.REPRESENTATIVE and number is not None:
        name = value_held(state, subject_named("registration", number), REPRESENTATIVE)
        gone = {person for person, _ in standing.left}
        return None if name is not None and subject_named("person", name) in gone else name
    return None


def _steps(row: SubjectStanding, report: Report) -> tuple[FilingStep, ...]:
    """The steps: what is not met first, then what is unknown, then a renewal that is open; each thing to do once."""
    number = value_held(report.state, row.subject, REGISTRATION)
    certificate = None if number is None else subject_named("registration", number)
    found = list(row.findings) + [f for f in report.findings if f.subject == certificate]
    steps: dict[tuple[str, str], FilingStep] = {}
    for verdict in _ORDER:
        for finding in found:
            if finding.verdict is verdict and counts(finding, report.state) and _is_step(finding):
                step = _step(finding, report.state)
                steps.setdefault((step.do, step.says), step)
    return tuple(steps.values())


def _is_step(finding: Finding) -> bool:
    return finding.verdict is not Verdict.MET or finding.outcome.code in _RENEWAL_OPEN


def _step(finding: Finding, state: State) -> FilingStep:
    words = wording.worded(finding, state)
    cites = "; ".join(wording.cites(finding))
    return FilingStep(finding.verdict, words.do, words.says, cites, finding.outcome.due_on)


def worksheets_json(worksheets: Worksheets) -> Json:
    """The worksheets as a document."""
    report = worksheets.report
    told = report_json(Report("worksheet", report.state, (), (), report.problems, report.sources))
    return {
        "question": "worksheet",
        "on": told["on"],
        "known_at": told["known_at"],
        **reading_json(report.on),
        "verdict": worksheets.verdict.value,
        "worksheets": [_sheet_json(sheet) for sheet in worksheets.sheets],
        "nothing_to_do": list(worksheets.quiet),
        "fees": fees_json(worksheets.fees),
        "problems": told["problems"],
        "sources": told["sources"],
        **ON_PAPERS,
    }


def _sheet_json(sheet: Worksheet) -> Json:
    fee = sheet.fee
    steps = [
        {
            **step._asdict(),
            "verdict": step.verdict.value,
            "by": None if step.by is None else step.by.isoformat(),
        }
        for step in sheet.steps
    ]
    return {
        **sheet._asdict(),
        "headline": sheet.headline.value,
        "fee": None if fee is None else {"usd": _usd(fee.usd), "act": fee.act.value, "kind": fee.kind.value},
        "asks": [asked._asdict() for asked in sheet.asks],
        "steps": steps,
    }


def _usd(amount: Decimal) -> str:
    return format(amount, "f")
