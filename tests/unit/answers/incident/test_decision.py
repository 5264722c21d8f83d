"""One decision over all clocks: by when in local time there, from both sides; what was not asked stays open."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import pytest

from airwrit.answers.incident.decision import IncidentAnswer, Must, Notice, decided
from airwrit.answers.incident.told import headline, incident_json, rows_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.intake.typed.facts_file import read_facts

NOW = "2026-12-01T16:10-07:00"
BASE = """[incident]
happened_on = 2026-12-01
happened_time = "14:40"
incident_zone = "America/Denver"
incident_under = "Part 107"
anyone_hurt = "nobody"
damaged_property = "property apart from the aircraft"
repair_cost_usd = 1150
total_loss = false
airworthiness_certificate = false
deviated_in_emergency = false
wreckage_kept = true
"""
NONE_LISTED = 'cause = "none of these"\n'
POLICY = """[[paper]]
id = "Liability"
paper_kind = "insurance policy"
notice_within_hours = 24
notice_of = "injury, or damage other than to the aircraft"
notice_to = "claims line, 307-555-0142"
[[paper]]
id = "Own"
paper_kind = "the organization's own rules"
notice_within_hours = 0
"""


def answer(text: str, now: str = NOW) -> IncidentAnswer:
    """The decision by a file of facts."""
    at = datetime.fromisoformat(now)
    known = read_facts(text, "facts.toml").known
    return decided(state_of(known, at, at), "incident/incident", at)


def notice(text: str, name: str, now: str = NOW) -> Notice:
    """One notice of it."""
    return next(one for one in answer(text, now).notices if one.name == name)


def row(text: str, name: str, now: str = NOW) -> tuple[str, str]:
    """By when and how long, as it is shown."""
    return next((one.by_when, one.left) for one in rows_of(answer(text, now)) if one.name == name)


def test_the_faa_is_told_by_the_end_of_the_tenth_day_there() -> None:
    """14 CFR 107.9: ten calendar days; 1,150 dollars is over 500."""
    text = BASE + NONE_LISTED
    assert row(text, "report_107_9") == ("Dec 11, 2026, 11:59 PM MST", "10 days left")
    assert row(text, "report_107_9", "2026-12-11T22:59-07:00") == (
        "Dec 11, 2026, 11:59 PM MST",
        "1 h 0 min left",
    )
    assert notice(text, "report_107_9", "2026-12-11T23:59-07:00").must is Must.YES
    assert notice(text, "report_107_9", "2026-12-12T00:00-07:00").must is Must.LATE


def test_now_is_read_by_the_clock_of_the_place() -> None:
    """In UTC it is the 12th already; in Denver it is still the 11th."""
    assert notice(BASE + NONE_LISTED, "report_107_9", "2026-12-12T06:00Z").must is Must.YES


def test_on_no_item_of_the_list_the_ntsb_is_not_told_but_called_to_be_sure() -> None:
    one = notice(BASE + NONE_LISTED, "notify_ntsb")
    assert one.must is Must.NO
    assert one.do == "Call to be sure."
    assert "Call to be sure" in " ".join(headline(answer(BASE + NONE_LISTED)))


def test_an_item_that_was_not_asked_leaves_it_open() -> None:
    text = BASE + "fire_in_flight = false\n"
    one = notice(text, "notify_ntsb")
    assert one.must is Must.CANT_TELL
    assert one.asks is not None
    assert one.asks.name == "flew_away"
    happened = {item.says: item.happened for item in answer(text).items}
    assert happened["Fire in flight"] is False
    assert list(happened.values()).count(None) == 8


@pytest.mark.parametrize(
    ("item", "words"),
    [
        ("fire_in_flight", "A fire in flight is on the list"),
        ("flew_away", "A true fly-away"),
        ("aircraft_missing", "A missing aircraft"),
        ("blade_released", "This is a listed incident"),
    ],
)
def test_an_open_reading_says_call_at_once(item: str, words: str) -> None:
    one = notice(BASE + f"{item} = true\n", "notify_ntsb")
    assert one.must is Must.CALL
    assert one.says.startswith(words)
    assert row(BASE + f"{item} = true\n", "notify_ntsb") == ("immediately", "")


def test_a_policys_hours_run_from_the_event() -> None:
    text = BASE + NONE_LISTED + POLICY
    assert row(text, "insurance") == ("Dec 2, 2026, 2:40 PM MST", "22 h 30 min left")
    assert notice(text, "insurance", "2026-12-02T14:40-07:00").must is Must.YES
    assert notice(text, "insurance", "2026-12-02T14:41-07:00").must is Must.LATE
    assert row(text, "own") == ("immediately", "")
    assert headline(answer(text))[0] == (
        "Notify your own program immediately, the insurer by Dec 2, 2026, 2:40 PM MST "
        "and the FAA by Dec 11, 2026, 11:59 PM MST."
    )


@pytest.mark.parametrize(
    ("happened", "days", "last"),
    [
        # By hand: Saturday Aug 29, 2026; Monday to Friday follow. Labor Day, Sep 7, counts too, to be safe.
        ("2026-08-29", 5, "Sep 4, 2026, 11:59 PM MDT"),
        ("2026-08-29", 6, "Sep 7, 2026, 11:59 PM MDT"),
        ("2026-08-28", 1, "Aug 31, 2026, 11:59 PM MDT"),
        ("2026-08-31", 1, "Sep 1, 2026, 11:59 PM MDT"),
    ],
)
def test_a_policys_business_days_leave_out_weekends_alone(happened: str, days: int, last: str) -> None:
    paper = f'[[paper]]\nid = "L"\npaper_kind = "insurance policy"\nnotice_within_business_days = {days}\n'
    text = BASE.replace("2026-12-01", happened) + paper
    assert row(text, "insurance", f"{happened}T20:00-06:00")[0] == last
    assert notice(text, "insurance", "2026-12-01T12:00-07:00").must is Must.LATE


def test_without_a_time_hours_count_from_the_start_of_the_day() -> None:
    text = (BASE + NONE_LISTED + POLICY).replace('happened_time = "14:40"\n', "")
    assert row(text, "insurance")[0] == "Dec 1, 2026, 11:59 PM MST"
    assert "Enter the time" in notice(text, "insurance").do


def test_a_policy_that_ended_before_asks_nothing_and_none_on_file_says_read_it() -> None:
    ended = POLICY.replace('notice_of = "injury', 'ends_on = 2026-11-30\nnotice_of = "injury')
    assert notice(BASE + ended, "insurance").must is Must.READ
    last_day = ended.replace("2026-11-30", "2026-12-01")
    assert notice(BASE + last_day, "insurance").must is Must.YES
    assert notice(BASE, "own").must is Must.READ


def test_a_coa_has_its_own_term_and_none_on_file_says_read_your_coa() -> None:
    """Under a COA; a COA asks nothing of a flight under Part 107."""
    flown = BASE.replace('"Part 107"', '"COA of a public agency"')
    coa = '[paper]\nid = "C"\npaper_kind = "COA"\nnotice_within_hours = 24\n'
    assert notice(flown + coa, "coa").must is Must.YES
    assert notice(BASE + coa, "coa").must is Must.NO
    assert notice(flown, "coa").says.endswith("Read your COA.")
    assert notice(flown, "report_107_9").must is Must.READ
    unsaid = BASE.replace('incident_under = "Part 107"\n', "")
    assert notice(unsaid + coa, "coa").must is Must.CANT_TELL


def test_harm_not_asked_leaves_the_policy_open() -> None:
    text = BASE.replace('anyone_hurt = "nobody"\n', "").replace('damaged_property = "property', '#"')
    assert notice(text + POLICY, "insurance").must is Must.CANT_TELL


def test_a_repeated_hour_is_said_and_never_guessed() -> None:
    """Nov 1, 2026, 1:30 AM comes twice in Denver; 2:30 AM of Mar 8 never comes."""
    base = BASE.replace("2026-12-01", "2026-11-01").replace('"14:40"', '"01:30"')
    found = answer(base + POLICY)
    assert found.moment.at is None
    assert "comes twice" in found.moment.problems[0].what
    assert found.moment.problems[0].do == (
        "enter 01:30 -06:00 for the earlier one, or 01:30 -07:00 for the later one"
    )
    told = answer(base.replace('"01:30"', '"01:30 -07:00"') + POLICY)
    assert told.moment.at == datetime.fromisoformat("2026-11-01T08:30Z")
    skipped = answer(BASE.replace("2026-12-01", "2026-03-08").replace('"14:40"', '"02:30"'))
    assert "is skipped" in skipped.moment.problems[0].what
    assert "earlier one" not in skipped.moment.problems[0].do


def test_a_time_without_a_zone_is_kept_and_said() -> None:
    found = answer(BASE.replace('incident_zone = "America/Denver"\n', "") + NONE_LISTED)
    assert found.moment.at is None
    assert found.moment.problems[0].what == "14:40 has no time zone"
    assert incident_json(found)["facts"]["happened_time"] == "14:40"
    assert (
        row(BASE.replace('incident_zone = "America/Denver"\n', ""), "report_107_9")[0]
        == "Dec 11, 2026, 11:59 PM there"
    )


def test_the_place_tells_the_zone() -> None:
    text = BASE.replace('incident_zone = "America/Denver"', 'incident_place = "36.0542, -79.9792"')
    assert row(text + NONE_LISTED, "report_107_9")[0] == "Dec 11, 2026, 11:59 PM EST"


def test_a_deadline_over_the_change_of_clocks_has_the_zone_of_its_own_day() -> None:
    text = BASE.replace("2026-12-01", "2026-10-25")
    assert row(text + NONE_LISTED, "report_107_9", "2026-10-26T12:00-06:00")[0] == "Nov 4, 2026, 11:59 PM MST"


def test_hours_are_hours_that_pass_over_the_change_of_clocks() -> None:
    """24 hours from 2:40 PM of Oct 31 end at 1:40 PM of Nov 1: that day has 25 hours. Mar 8 has 23."""
    text = BASE.replace("2026-12-01", "2026-10-31") + NONE_LISTED + POLICY
    assert row(text, "insurance", "2026-10-31T15:00-06:00") == (
        "Nov 1, 2026, 1:40 PM MST",
        "23 h 40 min left",
    )
    text = BASE.replace("2026-12-01", "2026-03-07") + NONE_LISTED + POLICY
    assert row(text, "insurance", "2026-03-07T15:00-07:00") == (
        "Mar 8, 2026, 3:40 PM MDT",
        "23 h 40 min left",
    )


def test_osha_runs_from_when_the_employer_learned() -> None:
    """29 CFR 1904.39: 8 hours for a death."""
    text = BASE.replace('"nobody"', '"somebody died"') + (
        'employee_harm = "died"\npublic_employer = false\nharmed_on = 2026-12-01T14:40:00-07:00\n'
        "employer_learned_on = 2026-12-01T15:00:00-07:00\n"
    )
    assert row(text, "report_osha") == ("Dec 1, 2026, 11:00 PM MST", "6 h 50 min left")
    assert answer(text).notices[0].name == "notify_ntsb"


def test_the_law_of_the_events_day_decides_whenever_it_is_asked() -> None:
    """49 CFR 830.2: 300 lb until 2022-08-15, then an airworthiness certificate."""
    text = (
        BASE
        + NONE_LISTED
        + 'incident_aircraft = "A"\nsubstantial_damage = true\n[aircraft]\ntakeoff_weight = "310 lb"\n'
    )
    text += 'scale_error_g = 0\nused_for = "work"\n'
    assert notice(text.replace("2026-12-01", "2022-08-14"), "notify_ntsb").must is Must.LATE
    assert notice(text.replace("2026-12-01", "2022-08-15"), "notify_ntsb").must is Must.NO


def test_a_day_before_the_first_law_read_is_refused() -> None:
    with pytest.raises(UsageError, match="before 2016-01-01"):
        answer(BASE.replace("2026-12-01", "2015-12-31"))


def test_the_document_has_every_notice_and_no_private_fact() -> None:
    document = incident_json(answer(BASE + POLICY))
    assert {one["notice"] for one in document["notices"]} >= {
        "report_107_9",
        "notify_ntsb",
        "report_osha",
        "insurance",
        "coa",
    }
    assert all(one["cites"] or one["notice"] in ("insurance", "coa", "own") for one in document["notices"])
    assert document["verdict"] == "unknown"


def test_nothing_due_is_a_yes_only_where_every_paper_was_read() -> None:
    calm = BASE.replace('"property apart from the aircraft"', '"nothing"') + NONE_LISTED
    assert answer(calm).verdict is Verdict.UNKNOWN
    assert (
        answer(
            calm
            + POLICY.replace(
                "notice_within_hours = 0",
                'notice_within_hours = 24\nnotice_of = "injury, or damage other than to the aircraft"',
            )
        ).verdict
        is Verdict.MET
    )


def test_500_dollars_is_not_over_and_a_cent_more_is() -> None:
    for cost, must in ((Decimal("500.00"), Must.NO), (Decimal("500.01"), Must.YES)):
        text = BASE.replace("repair_cost_usd = 1150", f"repair_cost_usd = {cost}") + NONE_LISTED
        assert notice(text, "report_107_9").must is must
