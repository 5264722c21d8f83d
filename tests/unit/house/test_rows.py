"""The file of house rules: what it may hold, and the line that names what it may not."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.base.errors import BadHouseFile, UnreadableFile
from airwrit.house.rules import example, house_rules, read_house
from airwrit.law.wording import cites
from tests.unit.house.house import found, row, rule

GOOD = 'kind = "one_of"\nkey = "maker"\nvalues = ["Korrin"]'
DAYS = 'kind = "within_days"\nkey = "inspected_on"\nlimit = 30'
COUNT = 'kind = "count_in_days"\nof = "landings"\nlimit = 3\nwithin = 90'


@pytest.mark.parametrize(
    ("body", "line"),
    [
        ('kind = "oneof"', "kind: 'oneof' is not known; did you mean 'one_of'?"),
        (GOOD + "\nvalue = 3", "'value': no such field here; did you mean 'values'?"),
        (GOOD + "\nwithin = 3", "'within': no such field here"),
        ('kind = "one_of"\nkey = "maker"', "values: it is missing; a row of kind one_of needs it"),
        (
            'kind = "one_of"\nkey = "makr"\nvalues = ["a"]',
            "no fact of aircraft is called 'makr'; did you mean 'maker'?",
        ),
        ('kind = "one_of"\nkey = "role"\nvalues = ["a"]', "key: no fact of aircraft is called 'role'"),
        (
            'kind = "one_of"\nkey = "mark_place"\nvalues = ["outsid"]',
            "values: 'outsid' is not known; did you mean 'outside'?",
        ),
        ('kind = "one_of"\nkey = "maker"\nvalues = []', "values: [] is no list of values"),
        ('kind = "one_of"\nkey = "maker"\nvalues = [3]', "values: 3 cannot be maker"),
        ('kind = "one_of"\nkey = "maker"\nvalues = [true]', "values: True cannot be maker"),
        ('kind = "one_of"\nkey = "federal_money"\nvalues = ["yes"]', "values: 'yes' cannot be federal_money"),
        ('kind = "one_of"\nkey = "sold_on"\nvalues = [2026-01-01]', "values: sold_on is a day"),
        (DAYS.replace("inspected_on", "maker"), "key: maker is no day"),
        (DAYS.replace("30", "0"), "limit: 0 is no whole number from 1 up"),
        (DAYS.replace("30", "30.5"), "limit: 30.5 is no whole number from 1 up"),
        (DAYS.replace("30", "-1"), "limit: -1 is no number from 0 to 36600"),
        (DAYS.replace("30", "nan"), "limit: Decimal('NaN') is no number"),
        (DAYS.replace("30", "true"), "limit: True is no number"),
        (DAYS.replace("30", '"30"'), "limit: '30' is no number"),
        (DAYS + '\nunit = "days"', "unit: 'days' is not known; did you mean 'day'?"),
        ('kind = "at_most"\nkey = "maker"\nlimit = 3', "key: maker is no number"),
        (
            'kind = "at_most"\nkey = "takeoff_weight_g"\nlimit = 3\nunit = "stone"',
            "unit: 'stone' is not known",
        ),
        ('kind = "before_days"\nkey = "expires_on"\nlimit = 3\ndone = "maker"', "done: maker is no day"),
        (
            'kind = "covered_by"\nvalues = ["insurance"]',
            "values: 'insurance' is not known; did you mean 'insurance policy'?",
        ),
        (GOOD + "\nfrom = 2026-01-02\nuntil = 2026-01-02", "until: 2026-01-02 does not lie after 2026-01-02"),
        (
            GOOD + '\nfrom = "2026-01-02"',
            "from: '2026-01-02' is no day; write from = 2026-05-31, without quotes",
        ),
        (GOOD + "\nfrom = 2026-01-02T10:00:00Z", "is no day"),
        (GOOD + '\nbears = "answer"', "bears: 'answer' is not known"),
        (GOOD + '\nuse = "both"', "use: 'both' is not known"),
        (GOOD + "\nscope = 3", "scope: 3 is no table"),
        (GOOD + "\nscope = { maker = [] }", "'maker': no value"),
        (GOOD + "\nscope = { colour = 1 }", "key: no fact of aircraft is called 'colour'"),
        (GOOD + '\nscope = { used_for = "wrk" }', "used_for: 'wrk' is not known; did you mean 'work'?"),
        (GOOD + '\nsays = "{subject}"', "says: a brace that is no place"),
        (GOOD + '\nsays = "{value.real}"', "says: a brace that is no place"),
        (GOOD + '\ndo = "}"', "do: a brace that is no place"),
        (GOOD + '\nsays = ""', "says: '' is no text"),
        (GOOD + '\nsays = "a\\u001bb"', "says: it is too long, or has hidden characters"),
    ],
)
def test_what_cannot_be_taken_is_refused_by_name(body: str, line: str) -> None:
    with pytest.raises(BadHouseFile) as refused:
        house_rules(row(body), "rules.toml")
    assert str(refused.value).startswith("rules.toml rule 1 'asked'")
    assert line in str(refused.value)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", "rules.toml: it holds no rules; write each under [[rule]]"),
        ("rule = 3", "rules.toml: it holds no rules"),
        ("rule = [3]", "rules.toml: it holds no rules"),
        ("[[rules]]", "rules.toml: 'rules': no such field here; did you mean 'rule'?"),
        ("[[rule]\n", "rules.toml: it is not TOML"),
        ("[[rule]]", "rules.toml rule 1: kind: '' is not known"),
        (f"a = {'9' * 5000}", "rules.toml: it is not TOML"),
        (row(GOOD) + row(GOOD).partition("\n")[2], "rules.toml rule 2: name: 'asked' stands twice"),
        (row(GOOD, about="owner"), "about: 'owner' is not known; say one of: aircraft, person, paper"),
        (row(GOOD).partition("\n")[2], "document: it is missing"),
        (row(GOOD, name="recency"), "rules.toml: name: 'recency' is the name of another rule"),
        (row(GOOD).replace('clause = "1.2"\n', ""), "clause: it is missing"),
    ],
)
def test_a_file_that_breaks_its_form_is_refused(text: str, line: str) -> None:
    with pytest.raises(BadHouseFile) as refused:
        house_rules(text, "rules.toml")
    assert line in str(refused.value)


@pytest.mark.parametrize(
    ("body", "about", "line"),
    [
        (
            COUNT.replace('"landings"', '"hours"'),
            "person",
            "of: 'hours' is not known; say one of: training, flights, landings",
        ),
        (COUNT + '\nvalues = ["initial test"]', "person", "values: only training has kinds to choose among"),
        (COUNT, "aircraft", "kind: count_in_days counts what people did"),
        ('kind = "covered_by"\nvalues = ["waiver"]', "paper", "kind: papers cover aircraft and people"),
        ('kind = "required"\nkey = "carried"\nuse = "work"', "paper", "use: a paper has no use"),
        ('kind = "required"\nkey = "carried"\nbears = "flight"', "paper", "bears: 'flight' is not known"),
        ('kind = "required"\nkey = "maker"', "person", "key: no fact of person is called 'maker'"),
    ],
)
def test_a_kind_fits_what_it_is_about(body: str, about: str, line: str) -> None:
    with pytest.raises(BadHouseFile) as refused:
        house_rules(row(body, about=about), "rules.toml")
    assert line in str(refused.value)


def test_the_example_is_taken() -> None:
    rules = house_rules(example(), "rules.toml")
    assert len({made.name for made in rules}) == len(rules) == 7


def test_the_files_and_their_digests_are_kept(tmp_path: Path) -> None:
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.write_text(row(GOOD), encoding="utf-8")
    two.write_text(row(GOOD, name="other"), encoding="utf-8")
    house = read_house([one, two])
    assert [made.name for made in house.rules] == ["asked", "other"]
    assert [source.name for source in house.sources] == ["one.toml", "two.toml"]
    assert all(len(source.sha256) == 64 for source in house.sources)


def test_two_files_may_not_share_a_name(tmp_path: Path) -> None:
    for name in ("one.toml", "two.toml"):
        (tmp_path / name).write_text(row(GOOD), encoding="utf-8")
    with pytest.raises(BadHouseFile, match=r"two\.toml: name: 'asked' is the name of another rule"):
        read_house([tmp_path / "one.toml", tmp_path / "two.toml"])


@pytest.mark.parametrize("content", [b"\xff\xfe", None, b"a = 1\n" * 200_000])
def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "rules.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(UnreadableFile, match=r"^rules\.toml: "):
        read_house([path])


def test_a_house_finding_cites_its_document() -> None:
    finding = found(rule(GOOD), {"aircraft/A": {"maker": "Talvane"}})
    assert cites(finding) == ("Manual 1.2",)
    covered = found(
        rule('kind = "covered_by"\nvalues = ["FRIA recognition"]'),
        {
            "aircraft/A": {},
            "paper/1": {"paper_kind": "FRIA recognition", "granted_on": "2025-01-01", "covers_aircraft": "A"},
        },
    )
    assert cites(covered) == ("Manual 1.2", "14 CFR 89.225")
