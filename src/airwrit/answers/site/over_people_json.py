"""Flight over people as sentences that every face shows alike, and as a JSON document."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.document import ON_ANSWERS, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.site.over_people import CategoryWay, ImpactEnergy, OverPeopleAnswer, sentences
from airwrit.answers.standing.json import finding_json
from airwrit.base.measured import GRAMS_PER_POUND, METERS_AN_HOUR, Measured, foot_pounds
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.flight_choices import PeopleBelow
from airwrit.facts.keys.flights.limits import SPEED_ERROR
from airwrit.facts.keys.flights.over_people import CATEGORY, CATEGORY_DECLARED, CATEGORY_LABEL, PEOPLE_BELOW
from airwrit.facts.state import State
from airwrit.facts.vocabulary import KEYS
from airwrit.law import wording
from airwrit.law.flight.over_people import OVER_PEOPLE_RULE
from airwrit.law.rule import Finding

_TENTH, _HUNDREDTH, _MORE = Decimal("0.1"), Decimal("0.01"), Decimal("0.0001")
_MPS_PER_KT = METERS_AN_HOUR["kt"] / METERS_AN_HOUR["m/s"]


def over_people_json(answer: OverPeopleAnswer) -> Json:
    """The document: the verdict, who is below, each category with its findings, waivers, the energy."""
    view = over_people_view(answer)
    return {
        "question": "over_people",
        **ON_ANSWERS,
        "on": answer.on.isoformat(),
        **reading_json(answer.on),
        "verdict": answer.verdict.value,
        "says": view.says,
        "below": finding_json(answer.below, answer.state),
        "below_says": view.below.says,
        "categories": [_way(way) for way in answer.ways],
        "waivers": [section.value for section in answer.waivable],
        "energy": None if answer.energy is None else _energy(answer.energy),
        "energy_says": view.energy,
        "notes": view.notes,
    }


class SiteRow(NamedTuple):
    """A line of the answer: what it is about, the verdict, the sentence, the section of law."""

    about: str
    verdict: Verdict
    says: str
    cites: str


class OverPeopleView(NamedTuple):
    """All that the answer says, for every face: the whole, who is below, what is found alike for every category, each category
    alone, the energy, what to keep in mind.
    """

    says: str
    below: SiteRow
    site: tuple[SiteRow, ...]
    ways: tuple[SiteRow, ...]
    energy: tuple[str, ...]
    notes: tuple[str, ...]


def over_people_view(answer: OverPeopleAnswer) -> OverPeopleView:
    """What an answer shows."""
    return OverPeopleView(
        sentences()["flight"]["safe" if answer.is_safe else answer.verdict.value],
        _below_row(answer),
        tuple(_site_rows(answer)),
        tuple(_way_rows(answer)),
        tuple(_energy_sentences(answer)),
        tuple(_notes(answer)),
    )


def _below_row(answer: OverPeopleAnswer) -> SiteRow:
    """Who is below: protected, not protected, or not told."""
    below = answer.below
    if below.verdict is not Verdict.MET and answer.told.get(PEOPLE_BELOW) == PeopleBelow.OTHERS:
        return SiteRow("", Verdict.UNKNOWN, sentences()["below"]["others"], "14 CFR 107.39")
    return _row("", below, answer.state)


def _site_rows(answer: OverPeopleAnswer) -> list[SiteRow]:
    """What is found alike for every category: assemblies and moving vehicles."""
    first = answer.ways[0]
    return [_row("", one, first.state) for one in first.findings if _is_alike(one, answer)]


def _way_rows(answer: OverPeopleAnswer) -> list[SiteRow]:
    """What is found of each category alone; only what is against it where something is."""
    rows = []
    for way in answer.ways:
        own = [one for one in way.findings if not _is_alike(one, answer)]
        against = [one for one in own if one.verdict is Verdict.NOT_MET]
        shown = against or [one for one in own if one.verdict is not Verdict.NOT_APPLICABLE]
        told = _each_once(_row("", one, way.state) for one in shown)
        rows += [
            row._replace(about=way.category.value if number == 0 else "") for number, row in enumerate(told)
        ]
    return rows


def _each_once(rows: Iterable[SiteRow]) -> list[SiteRow]:
    """The rows, those that say the same as one, with the sections of them all."""
    found: dict[tuple[Verdict, str], SiteRow] = {}
    for row in rows:
        same = found.setdefault((row.verdict, row.says), row)
        if row.cites not in same.cites.split("; "):
            found[row.verdict, row.says] = same._replace(cites=f"{same.cites}; {row.cites}")
    return list(found.values())


def _is_alike(finding: Finding, answer: OverPeopleAnswer) -> bool:
    if finding.rule is OVER_PEOPLE_RULE:
        return False
    found = [one.outcome for way in answer.ways for one in way.findings if one.rule is finding.rule]
    return all(outcome == found[0] for outcome in found)


def _row(about: str, finding: Finding, state: State) -> SiteRow:
    """A finding with what to do about it; a fact that is missing is asked for, and that is all."""
    told, outcome = wording.worded(finding, state), finding.outcome
    parts = [told.says, told.do] if outcome.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) else [told.says]
    if outcome.why is Why.MISSING and outcome.code in KEYS:
        parts = [told.do]
    return SiteRow(about, outcome.verdict, " ".join(filter(None, parts)), wording.section(finding))


def _energy_sentences(answer: OverPeopleAnswer) -> list[str]:
    """The energy with what it may be off, and that it decides nothing."""
    said, energy = sentences()["energy"], answer.energy
    if energy is None:
        return [said["no_speed"]]
    pounds = foot_pounds(energy.energy_j)
    found = [
        said["known"].format(
            mass=f"{wording.shown(energy.mass_g.best)} g ({_hundredths(energy.mass_g.best / GRAMS_PER_POUND)} lb)",
            speed=f"{_tenths(energy.speed_kt.best)} kt ({_tenths(energy.speed_kt.best * _MPS_PER_KT)} m/s)",
            joules=_tenths(energy.energy_j.best),
            foot_pounds=_tenths(pounds.best),
        ),
        said["range"].format(low=_tenths(pounds.low), high=_tenths(pounds.high)),
    ]
    if SPEED_ERROR not in answer.told:
        found.append(said["speed_as_said"])
    if energy.category_2_ft_lb is None or energy.category_3_ft_lb is None:
        return [*found, said["no_rule"]]
    limits = said["limits"].format(two=energy.category_2_ft_lb, three=energy.category_3_ft_lb)
    return [*found, said["test"], limits, said["shows"]]


def _notes(answer: OverPeopleAnswer) -> list[str]:
    """What to keep in mind: what is told without its category, who takes part, what a waiver needs."""
    said, waiver = sentences()["note"], sentences()["waiver"]
    found = []
    if CATEGORY not in answer.told and (CATEGORY_DECLARED in answer.told or CATEGORY_LABEL in answer.told):
        found.append(said["declared_for"])
    found.append(said["participants"])
    if answer.waivable:
        named = " and ".join(section.section for section in answer.waivable)
        found += [waiver["listed"].format(section=f"14 CFR {named}"), waiver["held"]]
    return found


def _way(way: CategoryWay) -> Json:
    return {
        "category": way.category.value,
        "verdict": way.verdict.value,
        "findings": [finding_json(one, way.state) for one in way.findings],
    }


def _energy(energy: ImpactEnergy) -> Json:
    return {
        "mass_g": _numbers(energy.mass_g),
        "speed_kt": _numbers(energy.speed_kt),
        "joules": _numbers(energy.energy_j),
        "foot_pounds": _numbers(foot_pounds(energy.energy_j)),
        "category_2_injury_ft_lb": energy.category_2_ft_lb,
        "category_3_injury_ft_lb": energy.category_3_ft_lb,
        "decides": False,
    }


def _numbers(value: Measured) -> Json:
    return {name: float(one.quantize(_MORE)) for name, one in value._asdict().items()}


def _hundredths(value: Decimal) -> str:
    return f"{value.quantize(_HUNDREDTH):,f}"


def _tenths(value: Decimal) -> str:
    return f"{value.quantize(_TENTH):,f}".removesuffix(".0")
