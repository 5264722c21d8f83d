"""Two futures side by side: acts are tried in order, on their own days, and nothing is written."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.acts.json import whatif_json
from airwrit.answers.acts.plan import plan_of
from airwrit.answers.acts.whatif import WhatIf, sides, whatif
from airwrit.answers.sheets.difference import EVER, before
from airwrit.answers.standing.headline import Headline
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.program import EVENT, FIRM, KNOWN, days, done, held, said
from tests.unit.answers.told import DAY, KNOWN_AT
from tests.unit.ledger.books import Clock

LATER = date(2027, 2, 1)


def tried(*thoughts: ActRequest, on: tuple[date, ...] = (DAY,)) -> WhatIf:
    """The two futures of the program."""
    return whatif(held(), thoughts, on, KNOWN_AT)


def test_each_act_is_tried_on_top_of_those_before_it() -> None:
    found = tried(
        ActRequest("buy", "H-03", {"owner": FIRM, "used_for": "work"}, EVENT),
        ActRequest("register", "H-03", {"number": "FA00TEST03", "kind": "Part 48 per aircraft"}, EVENT),
        ActRequest("sell", "H-03", {}, DAY),
    )
    assert [deed.act.name for deed in found.deeds] == ["buy", "register", "sell"]
    assert found.contradictions == ()
    with pytest.raises(UsageError, match=r"No aircraft named 'H-03' is on file."):
        tried(ActRequest("sell", "H-03", {}, DAY))


def test_each_day_has_its_two_futures() -> None:
    found = tried(ActRequest("leave", "Bob", {}, days(DAY, 10)), on=(DAY, LATER))
    near, far = found.futures
    assert near.is_empty
    assert (near.on, far.on) == (DAY, LATER)
    assert {one.finding.rule.name for one in far.appear} == {"update_registration"}
    assert all(one.overdue for one in far.appear)


def test_those_that_differ_stand_first() -> None:
    (future,) = tried(ActRequest("sell", "H-02", {}, DAY)).futures
    first, *rest = sides(future)
    assert (first.subject, first.without, first.with_it) == (
        "aircraft/H-02",
        Headline.WORK,
        Headline.NOT_IN_FLEET,
    )
    assert all(side.without is side.with_it for side in rest)
    assert {side.subject for side in rest} == {"aircraft/H-01", "person/Ann", "person/Bob"}


def test_what_contradicts_is_told_and_never_met() -> None:
    sold = ActRequest("sell", "H-02", {}, EVENT)
    found = tried(sold, ActRequest("sell", "H-02", {}, DAY))
    assert [one.key for one in found.contradictions] == ["sold_on"]
    assert found.verdict is not Verdict.MET


def test_without_an_act_nothing_is_asked() -> None:
    with pytest.raises(UsageError, match=r"You didn't say what might happen."):
        tried()


def test_it_says_what_recording_would(tmp_path: Path) -> None:
    thought = ActRequest("move_module", "H-01", {"to": "H-02"}, EVENT)
    (deed,) = tried(thought).deeds
    assert said(deed) == said(done("move_module", "H-01", to="H-02"))
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        book.append([Draft("ada", "import", tuple(item.statement for item in KNOWN))], Clock())
        head = book.head()
        (future,) = whatif(before(book), [thought], [DAY], KNOWN_AT).futures
        assert book.head() == head
        plan = plan_of(thought, before(book), "ada")
        book.append(plan.taking.drafts, Clock(), after=plan.taking.after)
        kept = book.state(DAY, EVER)
    assert {s: f for s, f in kept.held.items() if f}.keys() == future.after.report.state.held.keys()
    for subject, facts in future.after.report.state.held.items():
        mine = {key.name: (one.value, one.why) for key, one in facts.items()}
        assert mine == {key.name: (one.value, one.why) for key, one in kept.held[subject].items()}


def test_the_document_holds_both_futures() -> None:
    document = whatif_json(tried(ActRequest("sell", "H-01", {"to": "Ola"}, EVENT), on=(DAY, LATER)))
    again = json.loads(json.dumps(document))
    assert again["question"] == "whatif"
    (act,) = again["acts"]
    assert (act["act"], act["subject"], act["on"], act["told"]) == (
        "sell",
        "aircraft/H-01",
        "2026-11-20",
        {"to": "Ola"},
    )
    near, far = again["futures"]
    (duty,) = near["duties"]
    assert (duty["day"], duty["overdue"], duty["cites"]) == ("2026-12-04", False, "14 CFR 48.115")
    assert [one["overdue"] for one in far["duties"]] == [True]
    assert near["headlines"][0]["after"] == "not_in_fleet"
    assert near["fees"] == {
        "before_usd": "10",
        "after_usd": "5",
        "added": [],
        "gone": near["fees"]["gone"],
    }
    assert near["rows"][0] == {
        "subject": "aircraft/H-01",
        "before": "may_fly_work",
        "after": "not_in_fleet",
    }
