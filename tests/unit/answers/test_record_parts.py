"""What a record sheet is made of: weights, serials, certificates, papers, training, duties, history and what to do."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from airwrit.answers.history.shown import PRIVATE, history_told
from airwrit.answers.record.duties import duties_of, training_json, training_of
from airwrit.answers.record.papers import papers_answered_for, papers_covering
from airwrit.answers.record.record import record_json, record_of
from airwrit.answers.registration.certificate import certificate_json, certificate_of
from airwrit.answers.registration.fees import fee_for, fees_of
from airwrit.answers.registration.serial import SerialCharacter, serials_of
from airwrit.answers.registration.weight import weights_json, weights_of
from airwrit.answers.standing.standing import standing
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Statement
from airwrit.law.aircraft.renewal import Window
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, known_of

H1 = "aircraft/H-01"
PERSON: dict[str, dict[str, Raw]] = {
    "person/P": {"flies_for": "work", "has_certificate": True},
    "training/1": {"event_of": "P", "event_kind": "initial test", "completed_on": "2021-04-06"},
    "training/2": {"event_of": "P", "event_kind": "recurrent training", "completed_on": "2025-06-03"},
    "training/3": {"event_of": "P", "event_kind": "recurrent training", "completed_on": "2027-01-01"},
    "training/4": {"event_of": "P", "event_kind": "Part 61 pilot training", "completed_on": "2026-01-01"},
    "training/5": {"event_of": "P", "event_kind": "recurrent training"},
    "registration/FA00TEST01": {"representative": "P"},
    "aircraft/H-01": {"registration": "FA00TEST01", "holder": "P"},
    "owner/Firm": {"registry_login_holder": "P"},
    "paper/W1": {
        "paper_kind": "waiver",
        "paper_responsible": "P",
        "covers_all": True,
        "ends_on": "2027-05-31",
    },
    "paper/W2": {
        "paper_kind": "waiver",
        "paper_responsible": "P",
        "covers_person": "P",
        "for_counsel": True,
    },
    "paper/W3": {"paper_kind": "waiver", "covers_aircraft": "H-01"},
}


def state(told: dict[str, dict[str, Raw]], day: date = DAY) -> State:
    """How things stand with these facts."""
    return state_of(known_of(told), day, KNOWN_AT)


class TestWeights:
    """Weighings in both units, and what they come to beside the limits."""

    def test_one_weighing_is_what_it_weighs(self) -> None:
        facts: dict[str, Raw] = {
            "takeoff_weight_g": "249.4758",
            "scale_error_g": "0.01",
            "weighed_on": "2026-01-02",
        }
        found = weights_of(state({H1: facts}), H1)
        assert [one.what for one in found.weighings] == ["takeoff weight with everything on it"]
        assert found.flown is not None
        assert found.flown.pounds.best.quantize(Decimal("0.00001")) == Decimal("0.55000")
        assert found.weighings[0].doubt_stated
        assert found.weighings[0].weighed_on == date(2026, 1, 2)

    @pytest.mark.parametrize(
        ("grams", "exempt", "small"),
        [
            ("249", Verdict.MET, Verdict.MET),
            ("249.476", Verdict.UNKNOWN, Verdict.MET),
            ("250", Verdict.NOT_MET, Verdict.MET),
            ("24947.5", Verdict.NOT_MET, Verdict.MET),
            ("24947.6", Verdict.NOT_MET, Verdict.UNKNOWN),
            ("24948", Verdict.NOT_MET, Verdict.NOT_MET),
        ],
    )
    def test_both_limits_from_both_sides(self, grams: str, exempt: Verdict, small: Verdict) -> None:
        facts: dict[str, Raw] = {"takeoff_weight_g": grams, "scale_error_g": "0.05", "used_for": "recreation"}
        found = weights_of(state({H1: facts}), H1)
        assert [limit.finding.verdict for limit in found.limits] == [exempt, small]
        assert [limit.pounds for limit in found.limits] == [Decimal("0.55"), Decimal(55)]

    def test_parts_add_up_with_their_doubts(self) -> None:
        told: dict[str, dict[str, Raw]] = {
            H1: {"base_weight_g": "240", "scale_error_g": "1"},
            "part/strobe": {
                "part_of": "H-01",
                "part_name": "strobe",
                "part_weight_g": "6",
                "part_scale_error_g": "0.5",
            },
        }
        found = weights_of(state(told), H1)
        assert [one.what for one in found.weighings][1:] == ["strobe"]
        assert found.flown is not None
        assert (found.flown.grams.low, found.flown.grams.best, found.flown.grams.high) == (
            Decimal("244.5"),
            Decimal(246),
            Decimal("247.5"),
        )
        assert found.flown.doubt_g == Decimal("1.5")

    def test_a_base_that_contradicts_the_whole_leaves_it_open(self) -> None:
        facts: dict[str, Raw] = {"takeoff_weight_g": "300", "base_weight_g": "240", "scale_error_g": "1"}
        found = weights_of(state({H1: facts}), H1)
        assert found.flown is None
        assert len(found.weighings) == 2
        assert weights_json(found, state({H1: facts}))["as_flown"] is None

    def test_no_weight_no_weighing(self) -> None:
        found = weights_of(state({H1: {"used_for": "work"}}), H1)
        assert found.weighings == ()
        assert found.flown is None


class TestSerials:
    """Serials held against the one that is broadcast."""

    def shown(self, sent: str | None, listed: str | None) -> list[tuple[str, tuple[str, ...]]]:
        """Where each stands, and how it differs."""
        facts: dict[str, Raw] = {"registration": "FA00TEST01"}
        facts |= {"remote_id_serial": sent} if sent else {}
        facts |= {"listed_serial": listed} if listed else {}
        return [(one.where, one.says) for one in serials_of(state({H1: facts}), H1)]

    def test_the_same_serial_differs_in_nothing(self) -> None:
        assert self.shown("ZZ9Z8SURV4A01", "zz9z8surv4a01 ") == [
            ("broadcast by it", ()),
            ("on its registration FA00TEST01", ()),
        ]

    def test_one_character_is_named_with_its_kind(self) -> None:
        assert self.shown("ZZ9Z8SURV4A21", "ZZ9Z8SURV4AZ1")[1][1] == ("character 12: letter Z for figure 2",)

    def test_a_serial_too_short_lacks_its_last_signs(self) -> None:
        told = self.shown("ZZ9Z8SURV4A01", "ZZ9Z8SURV4A0")[1][1]
        assert told[-1] == "character 13: nothing for figure 1"

    def test_many_differences_are_counted(self) -> None:
        assert self.shown("ZZ9Z8SURV4A01", "ZZ9Z8BCDF5B02")[1][1][-1] == (
            "7 characters differ from the serial that is broadcast"
        )

    def test_another_registration_that_lists_it_is_shown(self) -> None:
        told: dict[str, dict[str, Raw]] = {
            H1: {"remote_id_serial": "ZZ9Z5MDL07", "listed_serial": "ZZ9Z5MDL07"},
            "aircraft/H-02": {"listed_serial": "ZZ9Z5MDL07", "registration": "FA00TEST02"},
        }
        rows = serials_of(state(told), H1)
        assert rows[2].where == "on registration FA00TEST02, for H-02"
        assert rows[2].subject == "aircraft/H-02"
        assert not any(cell.odd for cell in rows[2].cells)

    def test_without_a_broadcast_serial_nothing_is_odd(self) -> None:
        facts: dict[str, Raw] = {"listed_serial": "ZZ9Z5MDL07"}
        (row,) = serials_of(state({H1: facts}), H1)
        assert row.cells[0] == SerialCharacter("Z", False)


class TestCertificate:
    """The registration of an aircraft, its window and what a renewal gives."""

    def test_term_window_and_new_expiry(self) -> None:
        told = state(firm_aircraft("H-01", "FA00TEST01", "2024-02-10"))
        found = certificate_of(told, H1)
        assert found is not None
        assert found.ends_on == date(2027, 2, 10)
        assert found.window == Window(date(2026, 8, 1), date(2027, 1, 31))
        new = next(f for f in found.findings if f.rule.name == "new_expiry")
        assert new.outcome.value == date(2030, 2, 10)
        assert certificate_json(found, told)["renewal_closes_on"] == "2027-01-31"

    def test_a_part_47_certificate_is_renewed_in_its_last_six_months(self) -> None:
        facts = firm_aircraft("H-01", "N99", "2024-02-10")
        facts["registration/N99"]["registration_kind"] = "Part 47"
        found = certificate_of(state(facts), H1)
        assert found is not None
        assert found.window == Window(date(2030, 9, 1), date(2031, 2, 28))
        assert found.ends_on == date(2031, 2, 28)

    def test_no_number_no_certificate(self) -> None:
        assert certificate_of(state({H1: {"used_for": "work"}}), H1) is None

    def test_a_certificate_without_days_has_no_end(self) -> None:
        told: dict[str, dict[str, Raw]] = {
            H1: {"registration": "FA00TEST01"},
            "aircraft/H-02": {"registration": "FA00TEST01"},
            "registration/FA00TEST01": {"registration_kind": "Part 48 recreational"},
        }
        found = certificate_of(state(told), H1)
        assert found is not None
        assert found.ends_on is None
        assert found.shared_with == ("aircraft/H-02",)


class TestPersons:
    """Training that counts, and what hangs on a person."""

    def test_which_training_counts_until_when_and_for_night(self) -> None:
        found = training_of(state(PERSON), "person/P")
        told = {one.subject[-1]: one for one in found.events}
        assert {name: one.counts for name, one in told.items()} == {
            "1": True,
            "2": True,
            "3": False,
            "4": False,
            "5": False,
        }
        assert told["2"].until == date(2027, 6, 30)
        assert (told["1"].for_night, told["2"].for_night) == (False, True)
        assert found.rests_on == "training/2"
        assert [one["completed"] for one in training_json(found)][-1] is None

    def test_what_hangs_on_a_person(self) -> None:
        found = duties_of(state(PERSON), "person/P")
        assert [(one.registration, one.aircraft) for one in found.filed] == [
            ("registration/FA00TEST01", ("aircraft/H-01",))
        ]
        assert found.logins == ("owner/Firm",)
        assert found.keeps == ("aircraft/H-01",)

    def test_papers_but_none_kept_for_counsel(self) -> None:
        answer = standing(known_of(PERSON), DAY, KNOWN_AT)
        assert [paper.subject for paper in papers_covering(answer, "person/P")] == ["paper/W1"]
        assert [paper.subject for paper in papers_answered_for(answer, "person/P")] == ["paper/W1"]
        assert [paper.subject for paper in papers_covering(answer, H1)] == ["paper/W3", "paper/W1"]
        assert papers_covering(answer, H1)[1].covers == "the whole program"


class TestRecord:
    """What to do in order, every finding, and private facts named and not told."""

    def test_what_grounds_it_comes_before_what_is_due(self) -> None:
        told = firm_aircraft("H-01", "FA00TEST01", "2024-02-10", mark_place="not marked")
        found = record_of(standing(known_of(told), DAY, KNOWN_AT), H1)
        assert found.todo[0].before_flight
        assert found.todo[0].finding.rule.name == "marked_outside"
        due = next(one for one in found.todo if one.finding.rule.name == "registration_in_term")
        assert due.by == date(2027, 1, 31)
        assert due.fee_usd == Decimal(5)
        assert [one["rule"] for one in record_json(found)["do"]] == [
            one.finding.rule.name for one in found.todo
        ]

    def test_findings_of_registration_and_owner_belong_to_it(self) -> None:
        told = firm_aircraft("H-01", "FA00TEST01", "2024-02-10")
        found = record_of(standing(known_of(told), DAY, KNOWN_AT), H1)
        assert {f.subject.partition("/")[0] for f in found.findings} == {"aircraft", "registration", "owner"}
        verdicts = [f.verdict for f in found.findings]
        order = [Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE]
        assert verdicts == sorted(verdicts, key=order.index)

    def test_someone_not_on_record_that_day_has_no_row(self) -> None:
        told: dict[str, dict[str, Raw]] = {"person/P": {"flies_for": "work", "left_on": "2026-01-01"}}
        found = record_of(standing(known_of(told), DAY, KNOWN_AT), "person/P")
        assert found.row is None
        assert found.left_on == date(2026, 1, 1)
        assert record_json(found)["headline"] is None


class TestHistory:
    """What was said, newest first, as known at a moment."""

    @pytest.fixture
    def book(self, tmp_path: Path) -> Ledger:
        """Three entries: said, corrected, ended."""
        moments = iter(datetime(2026, month, 10, 12, tzinfo=UTC) for month in (1, 2, 3))
        ledger = Ledger.begin(tmp_path / "a.airwrit")
        for statement, answers in (
            (Statement("person/P", "born_on", "1990-01-02"), ()),
            (Statement("person/P", "role", "pilot", date(2026, 2, 1)), ()),
            (Statement("person/P", "role", "lead", date(2026, 3, 10)), ("2.0",)),
        ):
            ledger.append([Draft("by", "record", (statement,), answers)], lambda: next(moments))
        return ledger

    def test_newest_first_with_what_it_replaced(self, book: Ledger) -> None:
        told = history_told(book, ["person/P"], datetime(2026, 12, 1, tzinfo=UTC), UTC)
        assert [(one.entry, one.value, one.days_late, one.replaced, one.replaced_by) for one in told] == [
            (3, "lead", 0, (2,), ()),
            (2, "pilot", 9, (), (3,)),
            (1, PRIVATE, 0, (), ()),
        ]

    def test_what_came_later_was_not_known_then(self, book: Ledger) -> None:
        told = history_told(book, ["person/P"], datetime(2026, 2, 20, tzinfo=UTC), UTC)
        assert [one.entry for one in told] == [2, 1]
        assert told[0].counts


def test_the_fee_of_one_is_that_of_the_fleet() -> None:
    told: dict[str, dict[str, Raw]] = {
        **firm_aircraft("H-01", "FA00TEST01", "2024-02-10"),
        **firm_aircraft("H-02", "FA00TEST02", "2020-02-10"),
        "owner/R": {"owner_kind": "person", "citizenship": "citizen"},
    }
    for name in ("R-1", "R-2"):
        told[f"aircraft/{name}"] = {"owner": "R", "used_for": "recreation", "takeoff_weight_g": "900"}
    told["aircraft/R-3"] = {"owner": "R", "used_for": "recreation", "takeoff_weight_g": "100"}
    answer = standing(known_of(told), DAY, KNOWN_AT)
    fleet_fees = {subject: fee for fee in fees_of(answer).fees for subject in fee.subjects}
    assert set(fleet_fees) == {"aircraft/H-01", "aircraft/H-02", "aircraft/R-1", "aircraft/R-2"}
    for row in answer.rows:
        assert fee_for(answer, row) == fleet_fees.get(row.subject)
