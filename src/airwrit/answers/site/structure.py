"""How high a flight may go beside a structure: 14 CFR 107.51(b) by distance and top, and what wins over it.

The law's own rule judges the height at the least and the greatest distance that may be true. It gives no authority: in
controlled airspace the authorization's height wins, and without one the answer is no.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_STRUCTURE, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.site.area import farthest_m
from airwrit.base.errors import UsageError
from airwrit.base.measured import METERS, Measured, with_error
from airwrit.base.places import Place
from airwrit.base.verdict import Undecided, Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.limits import HEIGHT_ERROR, STRUCTURE_DISTANCE, STRUCTURE_TOP
from airwrit.facts.statement import Known, Statement
from airwrit.geo.footprint import Footprint
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, STRUCTURE_ABOVE, STRUCTURE_RADIUS
from airwrit.law.parameters import Law
from airwrit.law.rule import judge
from airwrit.law.shared_parameters import HEIGHT_LIMIT

_KNOWN_AT = datetime(9999, 12, 31, tzinfo=UTC)
_PLACES = Decimal("0.01")


class StructureAsked(NamedTuple):
    """A structure, the flight's area and greatest height; what its position, top and the height may be off; all in feet.

    `controlled` tells whether the airspace is; None where nobody said. `authorized_ft` is the height of the authorization.
    """

    place: Place
    top_ft: Measured
    area: Footprint
    height_ft: Measured
    on: date
    position_error_ft: Decimal = Decimal(0)
    controlled: bool | None = None
    authorized_ft: Decimal | None = None


class StructureLimits(NamedTuple):
    """The numbers of the day, and the height they allow beside the structure, by its lowest top."""

    radius_ft: int
    above_ft: int
    flat_ft: int
    most_ft: Decimal


class StructureAnswer(NamedTuple):
    """The greatest distance, the limits (None for a day whose law was not read), the verdict and the code of its sentence."""

    asked: StructureAsked
    distance_ft: Measured
    limits: StructureLimits | None
    verdict: Verdict
    code: str


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("structure.toml").read_text(encoding="utf-8"))


def feet_of(meters: float) -> Decimal:
    """Feet of meters, to the ten-thousandth."""
    return (Decimal(str(meters)) / METERS["ft"]).quantize(Decimal("0.0001"))


def top_ft(top_m: float | None, above_sea_m: float | None, ground_m: float | None) -> Decimal:
    """The top in feet above ground, as told or by the ground. UsageError where neither tells it, or both do."""
    if top_m is not None and above_sea_m is None:
        return feet_of(top_m)
    if top_m is None and above_sea_m is not None and ground_m is not None:
        return feet_of(above_sea_m - ground_m)
    raise UsageError(
        "we don't know how high the structure is",
        where="--top, --top-above-sea, --ground",
        field="top",
        do="enter its top above ground, or its top above sea level and the ground there",
    )


def structure_of(asked: StructureAsked) -> StructureAnswer:
    """The answer, by the law of the day."""
    far = (Decimal(str(farthest_m(asked.place, asked.area))) / METERS["ft"]).quantize(_PLACES)
    distance = with_error(far, asked.position_error_ft)
    law = Law(asked.on)
    try:
        radius, above, flat = law[STRUCTURE_RADIUS], law[STRUCTURE_ABOVE], law[HEIGHT_LIMIT]
    except Undecided:
        return StructureAnswer(asked, distance, None, Verdict.UNKNOWN, "law_not_read")
    limits = StructureLimits(radius, above, flat, asked.top_ft.low + above)
    by_rule = {
        _by_rule(asked, at, top)
        for at in (distance.low, distance.high)
        for top in (asked.top_ft.low, asked.top_ft.high)
    }
    if len(by_rule) > 1 or by_rule == {(Verdict.UNKNOWN, "within_doubt")}:
        return StructureAnswer(asked, distance, limits, Verdict.UNKNOWN, "within_doubt")
    verdict, code = by_rule.pop()
    if verdict is Verdict.MET:
        verdict, code = _by_authority(asked, code)
    return StructureAnswer(asked, distance, limits, verdict, code)


def _by_rule(asked: StructureAsked, distance: Decimal, top: Decimal) -> tuple[Verdict, str]:
    """What the law's rule finds at one distance and one top."""
    flight, error = "flight/flight", asked.height_ft.high - asked.height_ft.best
    told = {
        HEIGHT_AGL: asked.height_ft.best,
        HEIGHT_ERROR: error,
        STRUCTURE_DISTANCE: max(Decimal(0), distance),
        STRUCTURE_TOP: top,
    }
    known = [Known(Statement(flight, key.name, format(value, "f"))) for key, value in told.items()]
    finding = judge(HEIGHT_LIMIT_RULE, state_of(known, asked.on, _KNOWN_AT), flight, UsedFor.WORK, asked.on)
    codes = {"by_structure": "inside", "inside": "flat"}
    return finding.verdict, codes.get(finding.outcome.code, finding.outcome.code)


def _by_authority(asked: StructureAsked, code: str) -> tuple[Verdict, str]:
    """A height that the rule allows, beside the airspace: controlled airspace without an authorization is a no."""
    if asked.controlled is None:
        return Verdict.UNKNOWN, "no_airspace"
    if not asked.controlled:
        return Verdict.MET, code
    if asked.authorized_ft is None:
        return Verdict.NOT_MET, "no_authorization"
    if asked.height_ft.high <= asked.authorized_ft:
        return Verdict.MET, "authorized"
    over = asked.height_ft.low > asked.authorized_ft
    return (Verdict.NOT_MET, "above_authorized") if over else (Verdict.UNKNOWN, "within_doubt")


def both(feet: Decimal) -> str:
    """A length in feet, with meters behind it."""
    meters = (feet * METERS["ft"]).quantize(Decimal(1))
    return f"{feet.quantize(Decimal(1)):,} ft ({meters:,} m)"


def structure_sentences(answer: StructureAnswer) -> list[str]:
    """The verdict first, then the rule and the distance."""
    said, asked, limits = sentences(), answer.asked, answer.limits
    ceiling = "" if asked.authorized_ft is None else both(asked.authorized_ft)
    found = [said["verdict"][answer.code].format(height=both(asked.height_ft.best), ceiling=ceiling)]
    found.append(said["distance"]["known"].format(far=both(answer.distance_ft.best)))
    if asked.position_error_ft:
        low, high = max(Decimal(0), answer.distance_ft.low), answer.distance_ft.high
        found.append(said["distance"]["doubt"].format(low=both(low), high=both(high)))
    if limits is not None:
        rule = said["rule"]
        found.append(
            rule["allows"].format(radius=limits.radius_ft, most=both(limits.most_ft), above=limits.above_ft)
        )
        found.append(rule["flat"].format(radius=limits.radius_ft, limit=limits.flat_ft))
        found.append(rule["radius"].format(radius=limits.radius_ft))
    return found


def structure_json(answer: StructureAnswer) -> Json:
    """The document."""
    asked, limits = answer.asked, answer.limits
    return {
        "question": "structure",
        "scope": SCOPE_OF_STRUCTURE,
        "on": asked.on.isoformat(),
        **reading_json(asked.on),
        "structure": {"latitude_deg": asked.place.latitude_deg, "longitude_deg": asked.place.longitude_deg},
        "verdict": answer.verdict.value,
        "code": answer.code,
        "greatest_distance_ft": _ends(answer.distance_ft),
        "top_ft": _ends(asked.top_ft),
        "height_ft": _ends(asked.height_ft),
        "highest_beside_it_ft": None if limits is None else float(limits.most_ft),
        "controlled": asked.controlled,
        "says": structure_sentences(answer),
        "cites": "14 CFR 107.51(b)",
        "caution": CAUTION,
    }


def _ends(value: Measured) -> Json:
    return {name: float(one) for name, one in value._asdict().items()}
