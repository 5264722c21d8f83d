"""What a proof says: the standing of some subjects from an excerpt's lines alone, with the facts and documents it rests on.

It is made from the excerpt and never from the ledger, so that whoever has the excerpt can make it again and compare.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.documents.attaching import Attached, attached_in
from airwrit.answers.law_reading import reading_json
from airwrit.answers.proof.subjects import Search, findings_on, is_planned_for, judged_subjects, searches_of
from airwrit.answers.standing.headline import SubjectStanding, taken_from_certificate
from airwrit.answers.standing.json import finding_json
from airwrit.answers.standing.report import Report
from airwrit.answers.standing.standing import standing
from airwrit.base.days import EARLIEST, When
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, raw_of
from airwrit.facts.keys.flights.authority import FLIGHT_ENDS, FLIGHT_STARTS
from airwrit.facts.keys.flights.flight import ANSWER_GIVEN, ANSWERED_ON, FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.planning import ACCEPTED_BY, ACCEPTED_ON, FLOWN_AGAINST
from airwrit.facts.keys.paper import FOR_COUNSEL
from airwrit.facts.state import State
from airwrit.facts.statement import EntryPlace, Known, Problem
from airwrit.facts.vocabulary import KEYS, TABLES, id_of, kind_of
from airwrit.law.rule import Finding
from airwrit.law.wording import worded
from airwrit.ledger.entry import files_in, parts_of, when_text
from airwrit.ledger.excerpt.excerpt import Excerpt, entries_in, known_in, silent_in
from airwrit.ledger.rows_read import UNREAD, unread_among

Pair = tuple[str, str]


_OF_A_PLAN: tuple[Key[Any], ...] = (
    ANSWER_GIVEN,
    ANSWERED_ON,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    FLIGHT_STARTS,
    FLIGHT_ENDS,
    ACCEPTED_BY,
    ACCEPTED_ON,
    FLOWN_AGAINST,
)
"""What a proof tells of a flight that was planned for the day."""


class ProofQuestion(NamedTuple):
    """What is to be proved: the day or instant, the moment whose knowledge counts, the subjects.

    `private` tells whether private facts are in it, in its lines and on its pages; `paper` what the pages are set for.
    """

    on: When
    known_at: datetime
    subjects: tuple[str, ...]
    private: bool = False
    paper: str = "letter"


def answers_to(question: ProofQuestion, excerpt: Excerpt, held_back: Collection[Pair] = ()) -> Json:
    """Rows, findings, facts, documents, and what does not follow. UsageError for a paper that is kept for counsel.

    `held_back` are the facts that lines given as hash only hold, as whoever left them out says.
    """
    known = known_in(excerpt)
    state = state_of(known, question.on, question.known_at, spoiled_in(excerpt, held_back))
    judged = dict.fromkeys(judged_subjects(state, question.subjects))
    _look_for_counsel(state, judged)
    answer = standing(state, question.on, question.known_at)
    findings = findings_on(answer.report.findings, judged)
    problems = _unread(excerpt, question.known_at)
    asked = tuple(pair for pair in answer.report.asked if pair[1] in judged)
    report = Report("proof", state, asked, findings, tuple(problems), ())
    told = _FactsTold(state, known, findings)
    rows = {row.subject: row for row in answer.rows}
    planned = [one for one in state.subjects("flight") if is_planned_for(state, one, question.on)]
    return {
        **reading_json(question.on),
        "verdict": report.verdict.value,
        "rows": [_row(subject, rows.get(subject), told) for subject in question.subjects],
        "findings": [told.finding(finding) for finding in findings],
        **({"planned_flights": [told.planned(one, excerpt) for one in planned]} if planned else {}),
        "facts": told.facts,
        "documents": [_document(one) for one in told.documents],
        "does_not_follow": [
            *dict.fromkeys(_open(search) for search in searches_of(findings, state)),
            *(
                f"something could be on record about the {kind_of(one)} {id_of(one)}"
                for one in _absent(excerpt, findings)
            ),
            *(
                f"the entries left out about {id_of(subject)} could cover more than this: {', '.join(meanings)}"
                for subject, meanings in left_out_in(excerpt, held_back).items()
            ),
            *(
                f"whether the owner of {id_of(subject)} may register it isn't confirmed. We assume so from its certificate"
                for subject in question.subjects
                if subject in rows and taken_from_certificate(rows[subject].findings, state)
            ),
        ],
        "problems": [{"where": one.where, "what": one.what} for one in problems],
    }


def spoiled_in(excerpt: Excerpt, held_back: Collection[Pair] = ()) -> set[Pair]:
    """The facts that lines given as hash alone may speak of: none of them can be told.

    Of such a line only its subjects are known. Where its maker says that it holds private facts and nothing else of a subject,
    these alone are unreadable, and that it is so is among what does not follow. Only people, owners and flights have private
    facts: no line about an aircraft or a registration can be hidden so. Of every other such line, and of one that was blanked
    without a reason here, each fact of its subjects counts as unreadable.
    """
    private = private_of(held_back)
    keys: dict[str, list[str]] = defaultdict(list)
    for key in KEYS.values():
        keys[TABLES[key.table]].append(key.name)
    found: set[Pair] = set()
    for piece in silent_in(excerpt):
        for subject in piece.of:
            some = () if piece.is_blanked else private.get(subject, ())
            found |= {(subject, name) for name in some or keys[kind_of(subject)]}
    return found


def private_of(held_back: Iterable[Pair]) -> dict[str, tuple[str, ...]]:
    """The private facts that were held back, by subject; nothing of a subject of which any other was."""
    of: dict[str, list[str]] = defaultdict(list)
    for subject, name in held_back:
        of[subject].append(name)
    return {
        subject: tuple(names) for subject, names in of.items() if all(map(_is_private_of(subject), names))
    }


def _is_private_of(subject: str) -> Callable[[str], bool]:
    """Whether a name is that of a private fact that such a subject can have."""
    return lambda name: name in KEYS and KEYS[name].private and TABLES[KEYS[name].table] == kind_of(subject)


def left_out_in(excerpt: Excerpt, held_back: Iterable[Pair]) -> dict[str, list[str]]:
    """What the private facts that were left out mean, by the subject of a line here that is given as hash only."""
    silent = {subject for piece in silent_in(excerpt) if not piece.is_blanked for subject in piece.of}
    return {
        subject: [KEYS[name].meaning for name in names]
        for subject, names in private_of(held_back).items()
        if subject in silent
    }


def _look_for_counsel(state: State, judged: Iterable[str]) -> None:
    for subject in judged:
        held = state.held.get(subject, {}).get(FOR_COUNSEL)
        if held is not None and held.value is not False:
            raise UsageError(
                f"this document is marked for counsel: {subject}", where="proof", do="leave it out"
            )


def _unread(excerpt: Excerpt, known_at: datetime) -> list[Problem]:
    """A problem for each file whose last import among these lines left rows out."""
    known = (entry for entry in entries_in(excerpt).values() if entry.recorded_at <= known_at)
    counts = unread_among(known).items()
    return [Problem(name, f"{UNREAD}{count}", "", (), True) for name, count in counts if count]


def _absent(excerpt: Excerpt, findings: Iterable[Finding]) -> list[str]:
    """The subjects looked at of which the excerpt holds nothing."""
    here = {subject.name for subject in excerpt.subjects}
    looked = dict.fromkeys(look[0] for finding in findings for look in finding.looks)
    return [subject for subject in looked if subject not in here]


def _open(search: Search) -> str:
    """What a look over all subjects took for granted, in words."""
    kind = TABLES[search.key.table]
    if search.is_link:
        return f"another {kind} record about {id_of(search.about)} could change this result"
    return f"something else on record could have this {search.key.meaning}: {search.value}"


class _FactsTold:
    """Facts, findings and documents, each fact told once and named by its place."""

    def __init__(self, state: State, known: Sequence[Known], findings: Sequence[Finding]) -> None:
        self.state, self.findings = state, findings
        self.places = {(f.rule.name, f.subject, f.use): at for at, f in enumerate(findings)}
        self.places_of: dict[str, list[int]] = defaultdict(list)
        for at, finding in enumerate(findings):
            self.places_of[finding.subject].append(at)
        self.facts: list[Json] = []
        self._places: dict[Pair, int] = {}
        self._said: dict[Pair, list[Known]] = defaultdict(list)
        for item in known:
            self._said[item.statement.subject, item.statement.key].append(item)
        self.documents = attached_in(state, judged_of(findings))

    def finding(self, finding: Finding) -> Json:
        """A finding with the places of the facts it used and of the documents that show something of it."""
        told = finding_json(finding, self.state)
        margin = finding.outcome.margin
        told["margin"] = None if margin is None else {"value": format(margin.value, "f"), "unit": margin.unit}
        del told["used"], told["nothing_on_file"], told["document"], told["confirmed"]
        pairs = [
            (used.subject, used.key)
            for used in dict.fromkeys(finding.used)
            if not (used.closed and TABLES[used.key.table] != kind_of(used.subject))
        ]
        told["facts"] = list(dict.fromkeys(self._fact(*pair) for pair in pairs))
        looked = {finding.subject, *(subject for subject, _ in pairs)}
        told["documents"] = [
            at
            for at, one in enumerate(self.documents)
            if one.shows in finding.rule.shown_by and one.subject in looked
        ]
        return told

    def planned(self, flight: str, excerpt: Excerpt) -> Json:
        """A flight planned for the day: the answer saved with it, who released it, and the kept file with all of it."""
        places = [self._fact(flight, key) for key in _OF_A_PLAN]
        said = {key.name: self.facts[at]["value"] for key, at in zip(_OF_A_PLAN, places, strict=True)}
        entries = entries_in(excerpt)
        sources = [
            entries[seq].source
            for number in self.facts[places[0]]["numbers"]
            if (seq := parts_of(number)[0]) in entries
        ]
        files = [file for source in sources for file in files_in(source)]
        return {
            "flight": flight,
            "facts": places,
            **said,
            "snapshot": files[0].name if files else None,
            "sha256": files[0].digest if files else None,
        }

    def _fact(self, subject: str, key: Key[Any]) -> int:
        pair = subject, key.name
        if pair not in self._places:
            self._places[pair] = len(self.facts)
            held = self.state.held.get(subject, {}).get(key)
            used = [] if held is None else self._used(pair, held.origins, raw_of(held.value))
            since = min((item.statement.valid_from for item in used), key=when_text, default=EARLIEST)
            self.facts.append(
                {
                    "subject": subject,
                    "key": key.name,
                    "value": None if held is None else raw_of(held.value),
                    "why": None if held is None or held.why is None else held.why.value,
                    "since": None if since == EARLIEST else when_text(since),
                    "numbers": [item.number for item in used],
                    "later": [i.number for i in self._said[pair] if i.recorded_at > self.state.known_at],
                }
            )
        return self._places[pair]

    def _used(self, pair: Pair, origins: tuple[str, ...], value: object) -> list[Known]:
        """The statements that a held value comes from."""
        heard = [item for item in self._said[pair] if item.recorded_at <= self.state.known_at]
        answered = {number for item in heard for number in item.answers}
        alive = [item for item in heard if item.number not in answered and item.origin in origins]
        same = [item for item in alive if item.statement.value == value]
        return same or alive


def judged_of(findings: Iterable[Finding]) -> list[str]:
    """The subjects that findings are about."""
    return list(dict.fromkeys(finding.subject for finding in findings))


def _row(subject: str, row: SubjectStanding | None, told: _FactsTold) -> Json:
    """How one of the chosen subjects stands, with the places of the findings in its way."""
    if row is None:
        return _row_without_headline(subject, told)
    return {
        "subject": subject,
        "headline": row.headline.value,
        "because": None if row.deciding is None else worded(row.deciding, told.state).says,
        "work": row.work.value,
        "recreation": row.recreation.value,
        "night": None if row.night is None else row.night.value,
        "in_the_way": [told.places[f.rule.name, f.subject, f.use] for f in row.in_the_way],
    }


def _row_without_headline(subject: str, told: _FactsTold) -> Json:
    """How a registration, owner or paper stands: the verdict of its findings; what is not met first."""
    places = told.places_of[subject]
    mine = tuple(told.findings[at] for at in places)
    report = Report("proof", told.state, tuple((f.rule.name, subject) for f in mine), mine, (), ())
    way = [
        at
        for verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)
        for at in places
        if told.findings[at].verdict is verdict and told.findings[at] in report.counted
    ]
    return {
        "subject": subject,
        "headline": None,
        "verdict": report.verdict.value,
        "because": worded(told.findings[way[0]], told.state).says if way else None,
        "in_the_way": way,
    }


def _document(one: Attached) -> Json:
    """A document with the entries that say what it is."""
    entries = {origin.entry for origin in one.origins if isinstance(origin, EntryPlace)}
    return {
        "document": one.document,
        "subject": one.subject,
        "shows": one.shows and one.shows.value,
        "made_on": one.made_on and one.made_on.isoformat(),
        "type": one.type and one.type.value,
        "sha256": one.sha256,
        "name": one.name,
        "entries": sorted(entries),
    }
