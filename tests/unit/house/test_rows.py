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
        ('kind = "oneof"', "know 'oneof'. Did you mean 'one_of'?"),
        (GOOD + "\nvalue = 3", "has no such field. Did you mean 'values'?"),
        (GOOD + "\nwithin = 3", "has no such field. Choose"),
        ('kind = "one_of"\nkey = "maker"', "values: This is missing. A rule of kind one_of needs it."),
        (
            'kind = "one_of"\nkey = "makr"\nvalues = ["a"]',
            "There is no aircraft fact named 'makr'. Did you mean 'maker'?",
        ),
        ('kind = "one_of"\nkey = "role"\nvalues = ["a"]', "key: There is no aircraft fact named 'role'."),
        (
            'kind = "one_of"\nkey = "mark_place"\nvalues = ["outsid"]',
            "values: We don't know 'outsid'. Did you mean 'outside'?",
        ),
        ('kind = "one_of"\nkey = "maker"\nvalues = []', "values: [] isn't a list of values."),
        ('kind = "one_of"\nkey = "maker"\nvalues = [3]', "values: We can't use 3 for maker."),
        ('kind = "one_of"\nkey = "maker"\nvalues = [true]', "values: We can't use True"),
        ('kind = "one_of"\nkey = "federal_money"\nvalues = ["yes"]', "use 'yes' for federal_money."),
        ('kind = "one_of"\nkey = "sold_on"\nvalues = [2026-01-01]', "values: The fact sold_on is a date."),
        (DAYS.replace("inspected_on", "maker"), "key: The fact maker isn't a date."),
        (DAYS.replace("30", "0"), "limit: 0 isn't a whole number of 1"),
        (DAYS.replace("30", "30.5"), "limit: 30.5 isn't a whole number of 1"),
        (DAYS.replace("30", "-1"), "limit: -1 isn't a number from 0 to 36600."),
        (DAYS.replace("30", "nan"), "limit: Decimal('NaN') isn't a number"),
        (DAYS.replace("30", "true"), "limit: True isn't a number"),
        (DAYS.replace("30", '"30"'), "limit: '30' isn't a number"),
        (DAYS + '\nunit = "days"', "know 'days'. Did you mean 'day'?"),
        ('kind = "at_most"\nkey = "maker"\nlimit = 3', "maker isn't a number."),
        (
            'kind = "at_most"\nkey = "takeoff_weight_g"\nlimit = 3\nunit = "stone"',
            "unit: We don't know",
        ),
        (
            'kind = "before_days"\nkey = "expires_on"\nlimit = 3\ndone = "maker"',
            "done: The fact maker isn't a date.",
        ),
        (
            'kind = "covered_by"\nvalues = ["insurance"]',
            "values: We don't know 'insurance'. Did you mean 'insurance policy'?",
        ),
        (GOOD + "\nfrom = 2026-01-02\nuntil = 2026-01-02", "until: 2026-01-02 isn't after 2026-01-02."),
        (
            GOOD + '\nfrom = "2026-01-02"',
            "from: '2026-01-02' isn't a date. Write from = 2026-05-31, without quotes.",
        ),
        (GOOD + "\nfrom = 2026-01-02T10:00:00Z", "isn't a date."),
        (GOOD + '\nbears = "answer"', "bears: We don't know"),
        (GOOD + '\nuse = "both"', "use: We don't know"),
        (GOOD + "\nscope = 3", "scope: 3 isn't a table."),
        (GOOD + "\nscope = { maker = [] }", "'maker': The field has no value."),
        (GOOD + "\nscope = { colour = 1 }", "key: There is no aircraft fact named 'colour'."),
        (GOOD + '\nscope = { used_for = "wrk" }', "used_for: We don't know 'wrk'. Did you mean 'work'?"),
        (GOOD + '\nsays = "{subject}"', "says: We don't know one of the {} fields in it. Use"),
        (GOOD + '\nsays = "{value.real}"', "says: We don't know one of the {} fields in it. Use"),
        (GOOD + '\ndo = "}"', "do: We don't know one of the {} fields in it. Use"),
        (GOOD + '\nsays = ""', "says: '' isn't text."),
        (GOOD + '\nsays = "a\\u001bb"', "says: The text is too long, or has hidden characters."),
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
        ("", "rules.toml: The file has no rules. Start each rule with [[rule]]."),
        ("rule = 3", "rules.toml: The file has no rules."),
        ("rule = [3]", "rules.toml: The file has no rules."),
        ("[[rules]]", "rules.toml, 'rules': A rule of this kind has no such field. Did you mean 'rule'?"),
        ("[[rule]\n", "rules.toml: We can't read the file as TOML"),
        ("[[rule]]", "rules.toml rule 1, kind: We don't know"),
        (f"a = {'9' * 5000}", "rules.toml: We can't read the file as TOML"),
        (row(GOOD) + row(GOOD).partition("\n")[2], "rules.toml rule 2: Two rules are named 'asked'. Give"),
        (row(GOOD, about="owner"), "know 'owner'. Choose one of: aircraft, person, paper,"),
        (row(GOOD).partition("\n")[2], "document: This is missing."),
        (row(GOOD, name="recency"), "rule is already named 'recency'. Give this rule another name."),
        (row(GOOD).replace('clause = "1.2"\n', ""), "clause: This is missing."),
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
            COUNT.replace('"landings"', '"minutes"'),
            "person",
            "know 'minutes'. Choose one of: training, flights, landings, hours.",
        ),
        (COUNT + '\nvalues = ["initial test"]', "person", "values: Only training has kinds to choose"),
        (COUNT, "aircraft", "kind: Only people"),
        (
            COUNT.replace("landings", "training") + '\nmodel = "Lodrel"',
            "person",
            "model: Training isn't counted",
        ),
        ('kind = "used_since"\nkey = "born_on"\nof = "hours"\nlimit = 3', "person", "kind: Only aircraft"),
        ('kind = "used_since"\nkey = "maker"\nof = "hours"\nlimit = 3', "aircraft", "isn't a date"),
        (
            'kind = "used_since"\nkey = "inspected_on"\nof = "training"\nlimit = 3',
            "aircraft",
            "know 'training'",
        ),
        (
            'kind = "covered_by"\nvalues = ["waiver"]',
            "paper",
            "kind: A document covers only aircraft and people.",
        ),
        ('kind = "required"\nkey = "carried"\nuse = "work"', "paper", "can't have a use."),
        ('kind = "required"\nkey = "carried"\nbears = "flight"', "paper", "bears: We don't know"),
        ('kind = "required"\nkey = "maker"', "person", "key: There is no person fact named 'maker'."),
    ],
)
def test_a_kind_fits_what_it_is_about(body: str, about: str, line: str) -> None:
    with pytest.raises(BadHouseFile) as refused:
        house_rules(row(body, about=about), "rules.toml")
    assert line in str(refused.value)


def test_the_example_is_taken() -> None:
    rules = house_rules(example(), "rules.toml")
    assert len({made.name for made in rules}) == len(rules) == 25


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
    with pytest.raises(BadHouseFile, match=r"named 'asked'. Give this rule another name."):
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


@pytest.mark.parametrize(
    ("body", "about", "says"),
    [
        ('kind = "by_day"', "aircraft", "Only flights"),
        ('kind = "inside_area"', "flight", "either an area or a saved site"),
        ('kind = "inside_area"\narea = "x"\nsite = "y"', "flight", "either an area or a saved site"),
        ('kind = "inside_area"\narea = 5', "flight", "isn't an area"),
        ('kind = "inside_area"\nsite = ""', "flight", "isn't text"),
        ('kind = "inside_area"\narea = "41, -105 within 5 mi"', "aircraft", "Only flights"),
        ('kind = "inside_box"\nsouth = 45\nnorth = 41\nwest = -111\neast = -104', "flight", "is empty"),
        ('kind = "inside_box"\nsouth = 41\nnorth = 95\nwest = -111\neast = -104', "flight", "from -90 to 90"),
        (
            'kind = "inside_box"\nsouth = 41\nnorth = 45\nwest = "x"\neast = -104',
            "flight",
            "from -180 to 180",
        ),
        ('kind = "inside_box"\nsouth = 41\nnorth = 45\nwest = -111', "flight", "missing"),
        ('kind = "by_day"\nbears = "papers"', "flight", "bears"),
    ],
)
def test_a_condition_before_a_flight_is_refused(body: str, about: str, says: str) -> None:
    with pytest.raises(BadHouseFile, match=says):
        house_rules(row(body, about=about), "rules.toml")
