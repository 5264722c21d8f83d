"""One line of a table of law: facts of a few subjects, a day, a rule, and the outcome it must have."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import nullcontext
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.base.days import When, day_of, parse_when
from airwrit.base.verdict import Outcome
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.law.rule import Finding, judge
from airwrit.law.rulebook import BY_NAME
from tests.unit.law.moving import moving

KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)
TODAY = "2026-11-24"


class Given(NamedTuple):
    """A subject and its facts."""

    subject: str
    facts: dict[str, Raw]


class Case(NamedTuple):
    """What a rule must give; the subject asked about is the first of the rule's kind. `why` "" stands for none.

    `moved` is a parameter of the law and the value that it is given in place of its own.
    """

    rule: str
    verdict: str
    code: str
    on: When
    given: tuple[Given, ...]
    use: UsedFor
    why: str
    value: date | Decimal | str | None
    moved: tuple[str, Any] | None

    @property
    def name(self) -> str:
        """The name it goes by in a test run."""
        return f"{self.rule}-{self.code}-{self.on.isoformat()}"


def case(
    rule: str,
    verdict: str,
    code: str,
    on: str,
    *given: Given,
    use: str = "work",
    why: str = "",
    value: date | Decimal | str | None = None,
    moved: tuple[str, Any] | None = None,
) -> Case:
    """A line of a table; `on` is a day or an instant as text; `moved` names a parameter and what it says instead."""
    return Case(rule, verdict, code, parse_when(on), given, UsedFor(use), why, value, moved)


def check(line: Case) -> None:
    """Fails unless the rule gives what the line says."""
    outcome = outcome_of(line)
    assert (outcome.verdict, outcome.code, outcome.why or "") == (line.verdict, line.code, line.why)
    if line.value is not None:
        assert outcome.value == line.value


def outcome_of(line: Case) -> Outcome:
    """The rule's outcome."""
    return judged(line)[0].outcome


def judged(line: Case) -> tuple[Finding, State]:
    """The rule's finding, and the state it was made of."""
    rule = BY_NAME[line.rule]
    known = [Known(Statement(g.subject, name, value)) for g in line.given for name, value in g.facts.items()]
    subject = next(g.subject for g in line.given if g.subject.startswith(rule.about + "/"))
    state = state_of(known, line.on, KNOWN_AT)
    with nullcontext() if line.moved is None else moving(*line.moved):
        return judge(rule, state, subject, line.use, day_of(line.on)), state


def given(subject: str, usual: Mapping[str, Raw], told: Mapping[str, Raw]) -> Given:
    """A subject with its usual facts but for what is told otherwise; None takes a fact away."""
    return Given(subject, {key: value for key, value in {**usual, **told}.items() if value is not None})


def aircraft(name: str = "A", /, **facts: Raw) -> Given:
    """An aircraft."""
    return Given(f"aircraft/{name}", facts)


def registered(name: str = "A", number: str = "N", /, **facts: Raw) -> Given:
    """An aircraft that stands under a registration."""
    return Given(f"aircraft/{name}", {"is_registered": True, "registration": number, **facts})


def certificate(name: str = "N", /, kind: Raw = "Part 48 per aircraft", **facts: Raw) -> Given:
    """A registration of a kind."""
    return Given(f"registration/{name}", {"registration_kind": kind, **facts})


def owner(name: str = "O", /, **facts: Raw) -> Given:
    """An owner."""
    return Given(f"owner/{name}", facts)


def human(citizenship: str = "citizen", name: str = "O", /, **facts: Raw) -> Given:
    """An owner who is a person."""
    return owner(name, owner_kind="person", citizenship=citizenship, **facts)


def company(**facts: Raw) -> Given:
    """A corporation that is a US citizen, but for what is said otherwise."""
    usual: dict[str, Raw] = {
        "owner_kind": "corporation",
        "citizen_votes_share": "0.75",
        "citizen_officers_share": "0.67",
        "president_citizen": True,
        "citizens_control": True,
        "organized_in_us": True,
    }
    return given("owner/O", usual, facts)


def based_company(**facts: Raw) -> Given:
    """A corporation that is no US citizen, organized here with its aircraft based here, but for what is said otherwise."""
    usual: dict[str, Raw] = {
        "owner_kind": "corporation",
        "organized_in_us": True,
        "based_and_used_in_us": True,
        "president_citizen": False,
    }
    return given("owner/O", usual, facts)


def person(name: str = "P", /, **facts: Raw) -> Given:
    """A person."""
    return Given(f"person/{name}", facts)


def event(kind: str, completed_on: str, name: str = "1", of: str = "P") -> Given:
    """A test or training of a person."""
    return Given(f"training/{name}", {"event_of": of, "event_kind": kind, "completed_on": completed_on})


def flight(**facts: Raw) -> Given:
    """A flight."""
    return Given("flight/F", facts)


def part(grams: str, error: str = "0", of: str = "A") -> Given:
    """A part fitted to an aircraft."""
    return Given("part/1", {"part_of": of, "part_weight_g": grams, "part_scale_error_g": error})


def paper(name: str = "W", /, **facts: Raw) -> Given:
    """A waiver or an authorization."""
    return Given(f"paper/{name}", facts)


def cell(number_ft: str, name: str = "1") -> Given:
    """A cell of the facility map that the flight touches."""
    return Given(f"cell/{name}", {"cell_of": "F", "cell_number_ft": number_ft})


def incident(**facts: Raw) -> Given:
    """An incident."""
    return Given("incident/I", facts)


def waiver(section: str, /, **facts: Raw) -> Given:
    """A waiver of a section in force through 2026 that covers everything, but for what is said otherwise."""
    usual: dict[str, Raw] = {
        "granted_on": "2016-09-01",
        "ends_on": "2026-12-31",
        "covers_all": True,
        "waives": section,
    }
    return given("paper/W", usual, facts)
