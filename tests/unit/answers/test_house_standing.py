"""House rules and papers in a standing: headlines, due list, records, and what is kept for counsel."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.answers.standing.json import standing_json
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.house.rules import house_rules
from airwrit.law.rule import Rule

ON = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
Facts = dict[str, dict[str, Raw]]
PILOT: Facts = {
    "person/P": {"flies_for": "work", "has_certificate": True, "flies_at_night": False},
    "training/1": {"event_of": "P", "event_kind": "initial test", "completed_on": "2026-01-15"},
}
LETTER: Facts = {
    "paper/L": {"paper_kind": "other", "paper_responsible": "P", "ends_on": "2026-12-01", "for_counsel": True}
}
WAIVER: Facts = {"paper/W": {"paper_kind": "waiver", "paper_responsible": "P", "ends_on": "2026-12-01"}}


def answer(facts: Facts, house: tuple[Rule, ...] = (), *, counsel: bool = False) -> Standing:
    """The standing of these facts."""
    known = [
        Known(Statement(subject, key, value))
        for subject, mine in facts.items()
        for key, value in mine.items()
    ]
    return standing(known, ON, NOW, house=house, counsel=counsel)


def rules(body: str, *, about: str = "person") -> tuple[Rule, ...]:
    """A file of one row."""
    text = f'document = "Manual"\n[[rule]]\nname = "own"\nabout = "{about}"\nclause = "7"\n{body}\n'
    return house_rules(text, "rules.toml")


OFFICER = 'kind = "one_of"\nkey = "role"\nvalues = ["chief"]'
REVIEWED = 'kind = "within_days"\nkey = "safety_test_on"\nlimit = 30'


@pytest.mark.parametrize(
    ("role", "headline"),
    [("chief", "papers OK for work"), ("guest", "grounded"), (None, "can't tell yet")],
)
def test_a_house_rule_can_ground_and_leave_open(role: str | None, headline: str) -> None:
    facts: Facts = PILOT if role is None else {**PILOT, "person/P": {**PILOT["person/P"], "role": role}}
    (row,) = answer(facts, rules(OFFICER)).rows
    assert row.headline.value == headline


def test_a_rule_about_papers_grounds_nothing() -> None:
    facts: Facts = {**PILOT, "person/P": {**PILOT["person/P"], "role": "guest"}}
    stands = answer(facts, rules(OFFICER + '\nbears = "papers"'))
    assert stands.rows[0].headline.value == "papers OK for work"
    assert stands.report.verdict is Verdict.NOT_MET


def test_what_a_house_rule_meets_allows_nothing() -> None:
    facts: Facts = {"person/P": {"role": "chief"}}
    assert answer(facts, rules(OFFICER)).report.verdict is Verdict.UNKNOWN


def test_a_lapse_and_a_last_day_stand_in_the_due_list() -> None:
    recent: Facts = {**PILOT, "person/P": {**PILOT["person/P"], "safety_test_on": "2026-11-20"}}
    lapsed: Facts = {**PILOT, "person/P": {**PILOT["person/P"], "safety_test_on": "2026-10-20"}}
    due = {
        (item.finding.rule.name, item.day, item.overdue)
        for facts in (recent, lapsed)
        for item in answer(facts, rules(REVIEWED)).due
    }
    assert {("own", date(2026, 12, 20), False), ("own", date(2026, 11, 19), True)} <= due


def test_json_tells_the_house_from_the_law() -> None:
    told = standing_json(answer(PILOT, rules(OFFICER)))
    cited = {finding["rule"]: (finding["cites"], finding["document"]) for finding in told["findings"]}
    assert cited["own"] == ("Manual 7", "Manual 7")
    assert cited["certificate_held"][1] is None


def test_a_paper_stands_in_the_due_list_and_in_records() -> None:
    gone: Facts = {**PILOT, **WAIVER, "person/P": {"left_on": "2026-11-01"}}
    stands = answer(gone)
    (due,) = stands.due
    assert (due.day, due.subjects, due.overdue) == (date(2026, 12, 1), ("paper/W",), False)
    verdicts = {f.rule.name: f.verdict for f in stands.report.findings if f.subject == "paper/W"}
    assert verdicts == {"paper_in_term": Verdict.MET, "paper_responsible_present": Verdict.NOT_MET}


def test_a_paper_for_counsel_counts_and_is_not_told() -> None:
    gone: Facts = {**PILOT, **LETTER, "person/P": {**PILOT["person/P"]}}
    gone["paper/L"] = {**LETTER["paper/L"], "ends_on": "2026-11-01"}
    kept, shown = answer(gone), answer(gone, counsel=True)
    assert kept.report.verdict is shown.report.verdict is Verdict.NOT_MET
    assert not [f for f in kept.report.findings if f.subject == "paper/L"]
    assert len(kept.report.withheld) == 2
    assert not kept.due or all("paper/L" not in item.subjects for item in kept.due)
    assert any("paper/L" in item.subjects for item in shown.due)
    text = str(standing_json(kept))
    assert "paper/L" not in text
    assert standing_json(kept)["withheld"] == 2


def test_facts_that_cannot_both_be_so_are_told_as_a_problem_and_decide_nothing() -> None:
    backward: Facts = {"paper/W": {**WAIVER["paper/W"], "granted_on": "2026-12-02"}}
    stands = answer({**PILOT, **backward})
    (problem,) = stands.report.problems
    assert problem.where == "paper/W ends_on and paper/W granted_on"
    assert problem.what == "The end date, 2026-12-01, is before the start date, 2026-12-02."
    verdicts = {f.rule.name: f.outcome.why for f in stands.report.findings if f.subject == "paper/W"}
    assert verdicts["paper_in_term"] is Why.CONFLICT


def test_what_cannot_both_be_so_of_a_paper_for_counsel_is_not_told() -> None:
    backward: Facts = {"paper/L": {**LETTER["paper/L"], "granted_on": "2026-12-02"}}
    assert answer({**PILOT, **backward}).report.problems == ()
    assert len(answer({**PILOT, **backward}, counsel=True).report.problems) == 1


def test_a_mark_that_cannot_be_read_is_taken_as_for_counsel() -> None:
    known = [
        Known(Statement(subject, key, value))
        for subject, mine in LETTER.items()
        for key, value in mine.items()
    ]
    known.append(Known(Statement("paper/L", "for_counsel", False)))
    assert len(standing(known, ON, NOW).report.withheld) == 2


def test_a_lead_time_may_be_asked_for_papers() -> None:
    body = 'kind = "before_days"\nkey = "ends_on"\nlimit = 90\ndone = "renewal_asked_on"\nscope = { paper_kind = "waiver" }'
    stands = answer({**PILOT, **WAIVER, **LETTER}, rules(body, about="paper"), counsel=True)
    found = {f.subject: (f.verdict, f.outcome.code) for f in stands.report.findings if f.rule.name == "own"}
    assert found == {
        "paper/W": (Verdict.NOT_MET, "too_late"),
        "paper/L": (Verdict.NOT_APPLICABLE, "out_of_scope"),
    }
    assert stands.rows[0].headline.value == "papers OK for work"


def test_a_house_row_grounds_where_a_paper_ended() -> None:
    house = rules('kind = "covered_by"\nvalues = ["waiver"]')
    covered = {**PILOT, "paper/W": {**WAIVER["paper/W"], "covers_all": True}}
    ended = {**PILOT, "paper/W": {**WAIVER["paper/W"], "covers_all": True, "ends_on": "2026-11-24"}}
    assert answer(covered, house).rows[0].headline.value == "papers OK for work"
    assert answer(ended, house).rows[0].headline.value == "grounded"
    assert answer(ended).rows[0].headline.value == "papers OK for work"
