"""What applies to a flight by the airspace on file, in sentences."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import UTC, datetime, time, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from airwrit.airspace.here import AreasTouched, Asked, Here, VolumeTouched
from airwrit.airspace.hours import SUN_MARGIN, ActiveState, TimeSpan
from airwrit.airspace.kinds import AreaKind, kinds
from airwrit.airspace.limits import HeightLimit, Reach, Reference
from airwrit.airspace.problems import UNPLACED, FeatureProblem
from airwrit.airspace.shelf import ShelfState
from airwrit.answers.airspace.at import INFORMS, OpenQuestion, class_here, is_open, map_answer, restricting
from airwrit.answers.document import Json
from airwrit.base.places import Place
from airwrit.base.sentences import counted, day_words
from airwrit.geo.earth import M_PER_FT, M_PER_NM
from airwrit.geo.fixed import DEGREE

_MOST_SPANS, _MOST_NAMES = 5, 3
_PLACES_ALONE = (AreaKind.AIRPORT, AreaKind.FRIA, AreaKind.FIXED_SITE)


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The sentences."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def asked_text(asked: Asked) -> str:
    """What was asked, in one line."""
    said, band, zone = words()["asked"], asked.band, asked.zones[0]
    places, radius = places_of(asked), f"{asked.footprint.radius_m / M_PER_FT:,.0f}"
    one = "circle" if asked.footprint.radius_m else "point"
    shape = "area" if asked.footprint.is_filled else one if len(places) == 1 else "line"
    heights = said["heights" if band.low_ft else "up_to"].format(
        low=f"{band.low_ft:,g}", high=f"{band.high_ft:,g}", reference=said[band.reference.value]
    )
    where = said[shape].format(place=places[0], count=len(places), radius=radius)
    start, end = (instant.astimezone(zone) for instant in asked.span)
    is_whole_day = start.time() == end.time() == time() and (end.date() - start.date()).days == 1
    return f"{where}, {heights}, {day_words(start.date()) if is_whole_day else span_text(asked.span, zone)}"


def places_of(asked: Asked) -> list[Place]:
    """The places of a question: its point, those of its line, or the corners of its area."""
    rows = asked.footprint.points.tolist()
    if asked.footprint.is_filled:
        rows = rows[:-1]
    return [Place(row[0] / DEGREE, (row[1] / DEGREE + 180) % 360 - 180) for row in rows]


def headlines(here: Here) -> list[str]:
    """What surely restricts the flight, first; then what the facility map says."""
    said = words()["headline"]
    found = []
    for what, names in restricting(here).items():
        if names:
            shown = "; ".join(names[:_MOST_NAMES])
            if len(names) > _MOST_NAMES:
                shown = said["more"].format(names=shown, count=len(names) - _MOST_NAMES)
            found.append(said[what].format(names=shown))
    return [*found, *map_sentences(here)]


def map_sentences(here: Here) -> list[str]:
    """What the facility map says, in sentences."""
    answer, lowest = map_answer(here)
    said = words()["map"]
    found = [said[answer.value].format(feet=lowest)]
    band = here.asked.band
    if lowest is not None and band.reference is Reference.GROUND and band.high_ft > lowest:
        found.append(said["above"].format(height=f"{band.high_ft:,g}"))
    return found


def volume_sentences(one: VolumeTouched, zone: ZoneInfo) -> list[str]:
    """How a flight lies to a volume: by where, how high, when."""
    said = words()
    if one.kind in _PLACES_ALONE:
        return [_where(one)]
    if one.kind is AreaKind.OBSTACLE:
        return [_where(one) if one.apart_m else said["where"]["obstacle"], heights_sentence(one)]
    found = [_where(one), heights_sentence(one)]
    found += [said["when"][one.times.state.value].format(spans=_spans(one, zone))]
    if one.area.begins is not None or one.area.ends is not None:
        begins, ends = (
            said["when"]["open"] if instant is None else instant_text(instant, zone)
            for instant in (one.area.begins, one.area.ends)
        )
        found.append(said["when"]["from_to"].format(begins=begins, ends=ends))
    if one.area.hours:
        found.append(said["when"]["written"].format(hours=one.area.hours))
    return found


class VolumeGroup(NamedTuple):
    """Volumes that lie to a flight in the same way, under their title."""

    title: str
    volumes: tuple[VolumeTouched, ...]


def groups_of(here: Here) -> list[VolumeGroup]:
    """The volumes touched and those close by, what binds first; groups with none are left out."""
    said = words()["group"]
    rules = [one for one in here.touched if one.kind not in INFORMS]
    found = (
        VolumeGroup(said["met"], tuple(one for one in rules if one.may_be_met)),
        VolumeGroup(said["apart"], tuple(one for one in rules if not one.may_be_met)),
        VolumeGroup(said["informs"], tuple(one for one in here.touched if one.kind in INFORMS)),
        VolumeGroup(said["close"], here.close_by),
    )
    return [group for group in found if group.volumes]


def _where(one: VolumeTouched) -> str:
    said = words()["where"]
    if one.apart_m:
        return said["apart"].format(away=away_text(one.apart_m))
    if one.margin_m is not None:
        return said["inside"].format(away=away_text(one.margin_m))
    return (
        said["reaches"].format(away=away_text(one.deepest_m)) if one.deepest_m >= M_PER_FT else said["edge"]
    )


def heights_sentence(one: VolumeTouched) -> str:
    """From where to where a volume reaches, and whether that meets the heights of the flight."""
    shared, said = one.heights, words()["reach"]
    limits = said["limits"].format(
        floor=limit_text(one.area.floor, floor=True), ceiling=limit_text(one.area.ceiling, floor=False)
    )
    feet = shared.overlap_ft if shared.reach is Reach.IN else shared.clear_ft
    return f"{limits} {said[shared.reach.value].format(feet='' if feet is None else f'{feet:,.0f}')}"


def _spans(one: VolumeTouched, zone: ZoneInfo) -> str:
    if one.times.state is ActiveState.NOT:
        return ""
    return "; ".join(span_text(span, zone) for span in one.times.spans[:_MOST_SPANS])


def away_text(meters: float) -> str:
    """A distance as people here say it: feet up to a nautical mile, then nautical miles."""
    if meters < M_PER_NM:
        return f"{meters / M_PER_FT:,.0f} ft"
    return f"{meters / M_PER_NM:,.1f} NM"


def span_text(span: TimeSpan, zone: ZoneInfo) -> str:
    """A span in local time there, with UTC beside it."""
    if span.start == span.end:
        return instant_text(span.start, zone)
    start, end = (instant.astimezone(zone) for instant in span)
    until = _time(end) if start.date() == end.date() else _moment(end)
    utc_start, utc_end = (instant.astimezone(UTC) for instant in span)
    utc_until = f"{utc_end:%H:%M}" if utc_start.date() == utc_end.date() else _utc(utc_end, start)
    return f"{_moment(start)} to {until} {end.tzname()} ({_utc(utc_start, start)} to {utc_until} UTC)"


def instant_text(instant: datetime, zone: ZoneInfo) -> str:
    """An instant in local time there, with UTC beside it."""
    local = instant.astimezone(zone)
    return f"{_moment(local)} {local.tzname()} ({_utc(instant.astimezone(UTC), local)} UTC)"


def _moment(local: datetime) -> str:
    return f"{day_words(local.date())}, {_time(local)}"


def _time(local: datetime) -> str:
    return f"{local:%I:%M %p}".removeprefix("0")


def _utc(utc: datetime, local: datetime) -> str:
    """The time in UTC, with its day where that is not the day at the place."""
    return f"{utc:%H:%M}" if utc.date() == local.date() else f"{day_words(utc.date())}, {utc:%H:%M}"


def layer_sentences(here: Here) -> list[str]:
    """The edition of each layer, or that there is none and where it is published."""
    return [said for layer in here.layers for said in layer_of_day(layer)]


def layer_of_day(layer: AreasTouched) -> list[str]:
    """The edition of a layer on a day, or that there is none, in sentences."""
    said, facts, told = words()["layer"], kinds()[layer.day.kind], layer.day
    named = {
        "title": title_text(told.kind),
        "name": "" if told.layer == told.kind.value.replace("_", "-") else f" ({told.layer})",
        "day": day_words(layer.on),
        "published": facts.published,
        "dataset": facts.dataset,
    }
    if told.edition is None:
        return [said["missing" if facts.published else "missing_own"].format(**named)]
    ends = facts.ends(told.edition.on)
    named["on"] = day_words(told.edition.on)
    if told.state is ShelfState.DAMAGED:
        return [said["damaged"].format(file=told.edition.path.name, **named)]
    if told.state is ShelfState.OLD and ends is not None:
        return [said["old"].format(ends=day_words(ends), **named)]
    until = said["until"].format(last=day_words(ends - timedelta(days=1))) if ends else ""
    found = [said["current"].format(until=until, **named)]
    if layer.edition is not None and layer.edition.has_gaps:
        count = sum(problem.fault in UNPLACED for problem in layer.edition.problems)
        found.append(said["gaps"].format(count=counted(count, "feature"), **named))
    return found


def question_sentence(one: OpenQuestion) -> str:
    """A question to the person who flies."""
    said = words()["question"]
    if not one.numbers:
        return said[f"{one.point.value}_plain"].format(about=one.about)
    numbers = {name: f"{number:,}" for name, number in one.numbers.items()}
    return said[one.point.value].format(about=one.about, **numbers)


def notes(here: Here) -> list[str]:
    """What to keep in mind about the answer."""
    said = words()["note"]
    found = []
    if here.asked.ground is not None:
        low, high = (f"{feet:,.0f}" for feet in here.asked.ground)
        found.append(said["ground_used"].format(low=low, high=high))
    if not here.touched:
        found.append(said["nothing"])
    if class_here(here) is None:
        found.append(said["no_class"])
    open_ones = [one.area for one in here.touched if is_open(one)]
    if any(Reference.SEA in (area.floor.reference, area.ceiling.reference) for area in open_ones):
        found.append(said["ground"])
    if any(area.problems for area in open_ones) or any(cell.problems for cell in here.cells):
        found.append(said["doubt"])
    states = {one.times.state for one in here.touched}
    if any(hours.start_by or hours.end_by for one in here.touched for hours in one.area.weekly):
        found.append(said["by_sun"].format(minutes=SUN_MARGIN // timedelta(minutes=1)))
    found += [said[one.value] for one in (ActiveState.BY_TEXT, ActiveState.BY_NOTAM) if one in states]
    return [*found, said["look"]]


def title_text(kind: AreaKind) -> str:
    """The title of a kind, as a line begins with it."""
    title = kinds()[kind].title
    return title[:1].upper() + title[1:]


def limit_text(limit: HeightLimit, *, floor: bool) -> str:
    """A limit as people write it."""
    if limit.reference is Reference.NONE:
        return "the ground" if floor else "an unlimited height"
    if limit.reference is Reference.PRESSURE:
        return f"FL{limit.feet // 100:03}"
    if limit.reference is Reference.SEA:
        return f"{limit.feet:,} ft above sea level"
    return f"{limit.feet:,} ft above ground" if limit.feet else "the ground"


def problem_text(problem: FeatureProblem) -> str:
    """A problem in one line."""
    detail = f" ({problem.detail})" if problem.detail else ""
    return f"{problem.feature} {words()['fault'][problem.fault.value]}{detail}"


def problem_json(problem: FeatureProblem) -> Json:
    """A problem of a feature."""
    return {
        "code": problem.fault.value,
        "feature": problem.feature,
        "detail": problem.detail,
        "says": problem_text(problem),
    }
