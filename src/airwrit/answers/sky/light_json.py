"""The light as a JSON document, and as facts of a flight."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from airwrit.answers.document import CAUTION, SCOPE_OF_LIGHT, Json
from airwrit.answers.law_reading import law_json, reading_json
from airwrit.answers.sky.light import LightAt, LightEvent, LightOfDay, Moment, sentences
from airwrit.answers.sky.light_words import minute_of, notes, phases_words, to_minute
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.limits import DAWN, DUSK, IN_ALASKA, SUNRISE, SUNSET
from airwrit.sky.zones import Zone

FACTS: tuple[tuple[LightEvent, Key[date]], ...] = (
    (LightEvent.SUNRISE, SUNRISE),
    (LightEvent.SUNSET, SUNSET),
    (LightEvent.DAWN, DAWN),
    (LightEvent.DUSK, DUSK),
)
"""Which moment is which fact of a flight."""


def light_json(place: Place, zone: Zone, days: Sequence[LightOfDay], at: LightAt | None) -> Json:
    """The document: place, zone, verdict, the moments of each day, the light at the instant, facts and cautions."""
    rules = at.rules if at is not None else days[0].rules
    return {
        "question": "light",
        "scope": SCOPE_OF_LIGHT,
        "place": {"latitude_deg": place.latitude_deg, "longitude_deg": place.longitude_deg},
        "zone": {"name": zone.name, "near": list(zone.near)},
        "in_alaska": zone.in_alaska,
        "on": days[0].on.isoformat(),
        "until": days[-1].on.isoformat(),
        **reading_json(days[0].on),
        "verdict": verdict_of(zone, days, at).value,
        "days": [_day(day, zone) for day in days],
        "at": None if at is None else _at(at, zone),
        "facts": site_facts(zone, days[0], at) if len(days) == 1 else {},
        "notes": [note.says for note in notes(zone, rules)],
        "law": law_json(rules.readings),
        "problems": [],
        "caution": CAUTION,
    }


def verdict_of(zone: Zone, days: Sequence[LightOfDay], at: LightAt | None) -> Verdict:
    """Met where all that was asked could be told; unknown where the light, Alaska or the day's law could not."""
    unread = any(day.rules.minutes is None for day in days)
    doubt = at is not None and len(at.phases) > 1
    return Verdict.UNKNOWN if unread or doubt or zone.in_alaska is None or zone.near else Verdict.MET


def site_facts(zone: Zone, day: LightOfDay, at: LightAt | None) -> Json:
    """Facts of a flight's site: the sun's moments nearest to the instant, or the day's own where each comes once."""
    found: Json = {}
    for kind, key in FACTS:
        moment = at.nearest.get(kind) if at is not None else _only(day.of(kind))
        if moment is not None:
            found[key.name] = to_minute(moment.at).astimezone(zone.info).isoformat()
    if zone.in_alaska is not None:
        found[IN_ALASKA.name] = zone.in_alaska
    return found


def _only(moments: tuple[Moment, ...]) -> Moment | None:
    return moments[0] if len(moments) == 1 else None


def _day(day: LightOfDay, zone: Zone) -> Json:
    words = sentences()
    return {
        "on": day.on.isoformat(),
        "starts_at": day.start.isoformat(),
        "ends_at": day.end.isoformat(),
        **{kind.value: [minute_of(one, zone) for one in day.of(kind)] for kind in LightEvent},
        "sun": None if day.horizon is None else words["horizon"][day.horizon.value],
        "night": None if day.civil is None else words["civil"][day.civil.value],
        "moments": [_moment(one, zone) for one in day.moments],
    }


def _moment(one: Moment, zone: Zone) -> Json:
    return {
        "kind": one.kind.value,
        "says": sentences()["moment"][one.kind.value],
        "cites": sentences()["cites"][one.kind.value] or None,
        "at_local": one.at.astimezone(zone.info).isoformat(),
        "at_utc": one.at.isoformat(),
        "error_s": one.error_s,
    }


def _at(at: LightAt, zone: Zone) -> Json:
    return {
        "at": at.at.isoformat(),
        "at_local": at.at.astimezone(zone.info).isoformat(),
        "sun_altitude_deg": round(at.altitude_deg, 2),
        "phases": [phase.value for phase in at.phases],
        "too_close": len(at.phases) > 1,
        "says": list(phases_words(at)),
    }
