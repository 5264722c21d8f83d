"""Asking the rules from end to end: a file of facts, a scripted dialogue, keys, penalties, whose name; codes and errors."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from airwrit.base.errors import AirwritError, BadFact, UnreadableFile, UsageError
from airwrit.cli.main import cli

DAY = "2026-11-25"
FACTS = f"""on = {DAY}
[aircraft]
used_for = "work"
takeoff_weight = "900 g"
is_registered = false
[owner]
name = "Tarn & Fell Land Services"
owner_kind = "corporation"
organized_in_us = true
based_and_used_in_us = true
"""
LIGHT = "no\nno\nno\nyes\n249 g ± 0.2 g\nnone\n"


def run(*arguments: str, replies: str = "") -> Result:
    """The command's result; our own errors are raised."""
    result = CliRunner().invoke(cli, list(arguments), input=replies, standalone_mode=False)
    if isinstance(result.exception, AirwritError):
        raise result.exception
    assert result.exception is None, result.exception
    return result


def facts_file(folder: Path, text: str = FACTS) -> str:
    """The path of a facts file."""
    path = folder / "facts.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def said(result: Result) -> str:
    """What was printed, on single spaces."""
    return " ".join(result.output.split())


def test_a_file_asks_nothing_and_lists_what_is_missing(tmp_path: Path) -> None:
    result = run("check-scenario", facts_file(tmp_path))
    assert result.return_value == 1
    assert (
        "HOW TO REGISTER IT: Part 48 registration for this aircraft only, filed by the organization's representative"
        in result.output
    )
    assert "Today |//| Not registered. This use" in said(result)
    assert "How does it meet Remote ID?" in said(result)
    assert 'Assumed "no" (nothing on file)' in result.output
    assert "so far" not in result.output


def test_the_document(tmp_path: Path) -> None:
    told = json.loads(run("check-scenario", facts_file(tmp_path), "--json").stdout)
    assert (told["verdict"], told["on"], told["aircraft"][0]["way"]) == ("not_met", DAY, "organization")
    assert [row["key"] for row in told["aircraft"][0]["missing"]] == ["remote_id_way"]
    assert told["sources"][0]["name"] == "facts.toml"


def test_the_day_of_the_command_beats_that_of_the_file(tmp_path: Path) -> None:
    told = json.loads(run("check-scenario", facts_file(tmp_path), "--on", "2016-03-30", "--json").stdout)
    assert (told["on"], told["aircraft"][0]["ways"]["organization"]["code"]) == ("2016-03-30", "not_yet_open")


def test_use_may_be_told_with_the_command(tmp_path: Path) -> None:
    person = """[aircraft]
takeoff_weight = "200 g"
[owner]
owner_kind = "person"
citizenship = "citizen"
filer_old_enough = true
"""
    ways = []
    for use in ((), ("--use", "work"), ("--use", "recreation")):
        told = json.loads(run("check-scenario", facts_file(tmp_path, person), *use, "--json").stdout)
        ways.append(told["aircraft"][0]["way"])
    assert ways == [None, "person", "none"]


def test_a_dialogue_from_lines_of_text() -> None:
    result = run("which-registration", "--on", DAY, replies=LIGHT)
    assert result.return_value == 0
    assert "HOW TO REGISTER IT: no registration needed" in result.output
    assert result.output.count("so far:") == 6
    assert "0.2 to 0.7 g heavier (over 0.55 lb)" in said(result)


def test_not_known_is_never_a_yes() -> None:
    result = run("which-registration", "--on", DAY, replies="no\nno\nno\n?\n249 g ± 0.2 g\nnone\n")
    assert result.return_value == 3
    assert "HOW TO REGISTER IT: Can't tell yet" in result.output
    assert "We don't know what it is flown for" in said(result)


def test_back_and_a_second_thought() -> None:
    first = run("which-registration", "--on", DAY, "--json", replies="yes\nback\n" + LIGHT)
    assert json.loads(first.stdout) | {"known_at": ""} == json.loads(
        run("which-registration", "--on", DAY, "--json", replies=LIGHT).stdout
    ) | {"known_at": ""}
    assert "no answer to take back yet." in run("which-registration", replies="back\nstop\n").output


def test_stop_and_the_end_of_input_end_with_what_is_known() -> None:
    for replies in ("yes\nstop\n", "yes\nSTOP\n", "yes\n"):
        result = run("which-registration", "--on", DAY, replies=replies)
        assert result.return_value == 3
        assert "HOW TO REGISTER IT: Can't tell yet" in result.output
    assert run("which-registration", replies="").return_value == 3


def test_bad_answers_get_one_line_and_are_asked_again() -> None:
    result = run(
        "which-registration", "--on", DAY, replies="perhaps\n\nno\nno\nno\nyes\n249\n249 g ± 0.2 g\n9\nnone\n"
    )
    assert result.return_value == 0
    for line in (
        "'perhaps' isn't yes or no. Write yes or no.",
        "didn't answer. Answer, or enter ? if you don't know.",
        "'249' has no unit. Write it with g, kg, oz or lb,",
        "'9' isn't one of the choices. Enter numbers from 1 to 8, like 1 3, or none.",
    ):
        assert line in said(result)


def test_answers_that_cannot_all_be_true_are_asked_again() -> None:
    result = run("which-registration", "--on", DAY, replies="yes\n2 3\n4\nperson\nback\nnone\nstop\n")
    assert (
        "That can't be right. The record says it is flown only indoors, and also that it is flown outside the United States."
        in said(result)
    )
    assert result.return_value == 3


def test_with_json_the_questions_go_elsewhere() -> None:
    result = run("which-registration", "--on", DAY, "--json", replies=LIGHT)
    assert json.loads(result.stdout)["aircraft"][0]["way"] == "none"
    assert "Does anyone pay or get paid" in result.stderr


def test_control_signs_in_answers_are_not_printed_back() -> None:
    result = run("which-registration", "--on", DAY, replies="\x1b[31mred\x07\nstop\n")
    assert "\x1b" not in result.output
    assert "\x07" not in result.output


def test_a_contradiction_is_told_in_one_line(tmp_path: Path) -> None:
    result = run("check-scenario", facts_file(tmp_path, FACTS + "owner_born_on = 2015-01-01\n"))
    assert "Facts we couldn't use" in result.output
    assert "Find out whether a person or an organization owns it" in said(result)
    assert result.return_value == 1


@pytest.mark.parametrize(
    ("text", "error", "says"),
    [
        ("[aircraft]\nused_foor = 'work'\n", BadFact, "Did you mean used_for?"),
        ("[aircraft]\ntakeoff_weight = 249\n", BadFact, "with its unit,"),
        ("on = 2026-11-25\n", UsageError, "The file has no facts."),
        ("on = 2015-01-01\n[aircraft]\nused_for = 'work'\n", UsageError, "from 2016-01-01"),
        ("[[", BadFact, "as TOML"),
    ],
)
def test_a_file_that_cannot_be_taken(tmp_path: Path, text: str, error: type[AirwritError], says: str) -> None:
    with pytest.raises(error, match=says.replace("?", r"\?")):
        run("check-scenario", facts_file(tmp_path, text))


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile):
        run("check-scenario", str(tmp_path / "none.toml"))
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(UnreadableFile, match=r"This isn't text."):
        run("check-scenario", str(tmp_path / "bytes.toml"))
    (tmp_path / "large.toml").write_bytes(b"#" * ((1 << 20) + 1))
    with pytest.raises(UnreadableFile, match="large"):
        run("check-scenario", str(tmp_path / "large.toml"))


def test_keys() -> None:
    assert "takeoff_weight_g: number in g" in run("check-scenario", "--keys").output
    rows = json.loads(run("check-scenario", "--keys", "--json").stdout)
    assert {"key", "table", "unit", "meaning", "question", "rules"} <= set(rows[0])


def test_exposure_and_whose_name() -> None:
    assert "not a forecast" in said(run("penalties", "--on", DAY))
    assert json.loads(run("penalties", "--json").stdout)["question"] == "exposure"
    side = run("whose-name", "--aircraft", "10", "--turnover", "0.5", "--years", "6", "--on", DAY)
    assert "(common practice, no" in side.output
    assert "10 aircraft over 6 years" in side.output
    assert json.loads(run("whose-name", "--json").stdout)["question"] == "whose_name"
    for wrong in (("--aircraft", "0"), ("--turnover", "often"), ("--turnover", "NaN"), ("--years", "0")):
        with pytest.raises(UsageError):
            run("whose-name", *wrong)


def test_no_question_is_put_about_a_day_before_the_law_was_read() -> None:
    with pytest.raises(UsageError, match="2016-01-01"):
        run("which-registration", "--on", "2015-12-31", replies="yes\n")


def test_a_weighing_in_doubt_is_not_told_as_a_day_in_doubt(tmp_path: Path) -> None:
    person = "owner_kind = 'person'\ncitizenship = 'citizen'\nfiler_old_enough = true\n"
    about = "used_for = 'recreation'\ntakeoff_weight = '249 g'\nis_registered = false\n"
    result = run("check-scenario", facts_file(tmp_path, f"[aircraft]\n{about}[owner]\n{person}"))
    assert "time isn't on file" not in said(result)
    assert said(result).count("oo close to a limit") == 1
    assert "This works either way: Part 48 recreational registration" in said(result)


FLIGHT = f"""on = {DAY}
[flight]
paid = true
height_agl_ft = 401
minutes = 20
[site]
airspace_class = "G"
[weather]
no_clouds = true
[crew]
crew_fit = true
"""


def test_a_flight_is_judged_by_every_rule(tmp_path: Path) -> None:
    result = run("check-scenario", facts_file(tmp_path, FLIGHT))
    assert result.return_value == 1
    told = said(result)
    assert "FLIGHT for work (Part 107): Not allowed as described." in told
    assert "Not checked: state and local law" in told
    assert "Fix before you fly |//| height limit" in told
    assert "What we need from you (most useful first) |..| Which aircraft?" in told
    for group in (
        "OK |--| cloud distance",
        "-- authority controlled",
        "The rule isn't clear |..| land rules",
    ):
        assert group in told
    assert "flight [flight] minutes: None of the rules we checked uses this fact." in told
    assert "SUMMARY for flight: Not allowed as described." in told
    assert "HOW TO REGISTER IT" not in told


def test_an_incident_is_told_its_last_day(tmp_path: Path) -> None:
    """14 CFR 107.9: within 10 calendar days."""
    incident = """[incident]
happened_on = 2026-03-05
serious_injury = true
death_or_injury = false
substantial_damage = false
cause = "none of these"
damaged_property = "nothing"
"""
    told = said(run("check-scenario", facts_file(tmp_path, incident), "--on", "2026-03-15", "--use", "work"))
    assert "INCIDENT: A report or notice is due by 2026-03-15." in told
    late = run("check-scenario", facts_file(tmp_path, incident), "--on", "2026-03-16", "--use", "work")
    assert late.return_value == 1
    assert "INCIDENT: A report or notice is late or was missed." in said(late)


def test_a_flight_counts_for_its_own_day_where_no_other_is_named(tmp_path: Path) -> None:
    flown = FLIGHT.replace(f"on = {DAY}\n", "").replace("minutes = 20", "flown_on = 2019-06-01")
    assert (
        json.loads(run("check-scenario", facts_file(tmp_path, flown), "--json").stdout)["on"] == "2019-06-01"
    )
    assert (
        json.loads(run("check-scenario", facts_file(tmp_path, flown), "--json", "--on", DAY).stdout)["on"]
        == DAY
    )


def test_with_a_flight_the_aircraft_is_told_of_in_short_but_for_all(tmp_path: Path) -> None:
    both = FACTS + FLIGHT.partition("\n")[2]
    short, every = (
        run("check-scenario", facts_file(tmp_path, both)).output,
        run("check-scenario", facts_file(tmp_path, both), "--all").output,
    )
    assert "HOW TO REGISTER IT: Part 48 registration for this aircraft only" in short
    assert "STEPS, in order" not in short
    assert "STEPS, in order" in every
    assert "AIRCRAFT A" in every


def test_a_pilot_alone_can_be_asked_about(tmp_path: Path) -> None:
    text = "[pilot]\nhas_certificate = false\nsupervised = true\n"
    result = run("check-scenario", facts_file(tmp_path, text), "--on", DAY, "--use", "work")
    assert result.return_value == 1
    assert "PERSON pilot" in said(result)
    assert "may manipulate" in said(result)


@pytest.mark.parametrize(
    ("arguments", "where"),
    [
        (("facts.toml", "--trust"), "--trust"),
        (("facts.toml", "--weight", "3 kg", "--abroad"), "--weight, --abroad"),
        (("--use", "work"), "--use"),
        (("--ledger", "x.airwrit"), "--ledger"),
    ],
)
def test_what_changes_nothing_is_said(arguments: tuple[str, ...], where: str) -> None:
    with pytest.raises(UsageError, match=f"{where}: That option changes nothing"):
        run("whose-name", *arguments)


def test_a_flight_on_record_is_asked_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "p.airwrit"
    record = [
        "record-change",
        "flight/roof",
        "height_agl_ft=401",
        "paid=true",
        "--yes",
        "--by",
        "x",
        "--ledger",
        str(path),
    ]
    assert CliRunner().invoke(cli, record).exit_code == 0
    result = run("check-scenario", "flight/roof", "--ledger", str(path))
    assert result.return_value == 1
    assert "FLIGHT roof for work (Part 107): Not allowed as described." in said(result)
    flown = [
        "record-change",
        "flight/roof",
        "flown_on=2019-06-01",
        "--yes",
        "--by",
        "x",
        "--ledger",
        str(path),
    ]
    assert CliRunner().invoke(cli, flown).exit_code == 0
    assert (
        json.loads(run("check-scenario", "flight/roof", "--ledger", str(path), "--json").stdout)["on"]
        == "2019-06-01"
    )
    assert (
        json.loads(run("check-scenario", "flight/roof", "--ledger", str(path), "--json", "--on", DAY).stdout)[
            "on"
        ]
        == DAY
    )
    with pytest.raises(UsageError, match=r"Did you mean flight/roof\?"):
        run("check-scenario", "flight/rooof", "--ledger", str(path))


def test_whose_name_obeys_the_aircraft_told_of(tmp_path: Path) -> None:
    """14 CFR 48.1(b): flown abroad, an aircraft is registered under Part 47."""
    abroad = FACTS.replace("is_registered = false", "flown_abroad = true")
    told = json.loads(run("whose-name", facts_file(tmp_path, abroad), "--json").stdout)
    assert {row["name"]: bool(row["shut"]) for row in told["ways"]} == {
        "representative": True,
        "part_47": False,
        "true_owner": True,
        "program_lead": True,
    }
    assert "Not available. " in said(run("whose-name", facts_file(tmp_path, abroad)))
    assert "Not available. " not in said(run("whose-name", facts_file(tmp_path)))
    persons = FACTS.replace('"corporation"', '"person"').replace("organized_in_us = true\n", "")
    with pytest.raises(UsageError, match="one aircraft that an organization owns"):
        run("whose-name", facts_file(tmp_path, persons.replace("based_and_used_in_us = true\n", "")))


@pytest.mark.parametrize(
    ("told", "shut"),
    [
        ((), ""),
        (("--weight", "54.9 lb"), ""),
        (("--weight", "55 lb"), ""),
        (("--weight", "26 kg"), "representative true_owner program_lead"),
        (("--abroad",), "representative true_owner program_lead"),
        (("--trust",), "representative"),
    ],
)
def test_whose_name_without_facts_obeys_what_is_told_in_short(told: tuple[str, ...], shut: str) -> None:
    """14 CFR 48.1(b), 107.3: a scale may be one part in a hundred off, so 55 lb alone rules nothing out."""
    ways = json.loads(run("whose-name", *told, "--on", DAY, "--json").stdout)["ways"]
    assert " ".join(row["name"] for row in ways if row["shut"]) == shut
    assert ("Not available. " in said(run("whose-name", *told, "--on", DAY))) == bool(shut)


def test_whose_name_takes_facts_that_do_not_name_the_owner(tmp_path: Path) -> None:
    told = run("whose-name", facts_file(tmp_path, "[aircraft]\nflown_abroad = true\n"), "--json")
    assert [bool(row["shut"]) for row in json.loads(told.stdout)["ways"]] == [True, False, True, True]


def test_a_destroyed_aircraft_is_canceled(tmp_path: Path) -> None:
    """14 CFR 48.115(b)(2)."""
    gone = FACTS.replace("is_registered = false", "is_registered = true\ndestroyed_on = 2026-11-20")
    result = run("check-scenario", facts_file(tmp_path, gone))
    assert "WHAT TO DO: Cancel its registration" in result.output
    assert "YOUR OPTIONS" not in result.output
    assert (
        json.loads(run("check-scenario", facts_file(tmp_path, gone), "--json").stdout)["aircraft"][0]["gone"][
            "what"
        ]
        == "destroyed"
    )
