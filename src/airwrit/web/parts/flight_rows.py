"""The answer before a flight as rows of its page: what to confirm and tick, the rules, aircraft and pilot, the day's lanes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, time, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple

from markupsafe import Markup

from airwrit.answers.asking.events import Needed
from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.check import FlightCheck, fact_of
from airwrit.answers.before_flight.confirmations import AT_ONCE, confirmations
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.before_flight.surroundings import forecast_against, turns_of_forecasts, weather_flight
from airwrit.answers.before_flight.view import reason_text, words
from airwrit.answers.sky.light import LightEvent, light_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import words_of
from airwrit.facts.vocabulary import KEYS
from airwrit.web.draw.day_lanes import DayAxis, LanePart, lane
from airwrit.web.parts.planned import CONFIRM
from airwrit.web.server.forms import Typed


class ConfirmField(NamedTuple):
    """A fact to confirm, as a row of the form: its question, where to look, choices (none: a text), what is typed, by whom."""

    name: str
    asks: str
    look: str
    choices: tuple[tuple[str, str], ...]
    hint: str
    typed: str
    wrong: str
    by: str = ""


class ConfirmGroup(NamedTuple):
    """What is left to confirm in one place: its title, its fields; where some can be confirmed at once, the group and which.

    `each` are the fields of those, one by one.
    """

    title: str
    at_once: str
    names: str
    listed: tuple[str, ...]
    each: tuple[ConfirmField, ...]
    fields: tuple[ConfirmField, ...]

    @property
    def is_open(self) -> bool:
        """Whether one of those that can be confirmed at once was answered by itself."""
        return any(one.typed or one.wrong for one in self.each)

    @property
    def is_begun(self) -> bool:
        """Whether something in it was answered, or can't be read."""
        return any(one.typed or one.wrong for one in (*self.each, *self.fields))


class DayLane(NamedTuple):
    """A lane of the day: its name, what it says in words, and the drawing."""

    name: str
    says: str
    drawn: Markup


def confirm_groups(
    check: FlightCheck, form: Typed, plain_of: Callable[[str], Mapping[str, str]]
) -> Iterable[ConfirmGroup]:
    """What is left to confirm, by where the pilot is when looking, and what else of the flight has to be told.

    `plain_of` tells what of a group goes at once.
    """
    owed = check.owed
    for group in dict.fromkeys(one.group for one in confirmations().values()):
        mine = [need for need in owed if confirmations()[fact_of(need)].group == group]
        if mine:
            plain = plain_of(group) if group in AT_ONCE else {}
            plain = plain if len(plain) > 1 else {}
            each = [need for need in mine if fact_of(need) in plain]
            yield ConfirmGroup(
                words()["confirm"][group],
                group if plain else "",
                ",".join(plain),
                tuple(confirmations()[name].asks + f" {said.capitalize()}." for name, said in plain.items()),
                tuple(confirm_field(fact_of(need), form, need) for need in each),
                tuple(confirm_field(fact_of(need), form, need) for need in mine if need not in each),
            )

    told = [need for need in check.needed if need.question.settles[0][0] == PLANNED]
    if told:
        fields = tuple(confirm_field(fact_of(need), form, need) for need in told)
        yield ConfirmGroup(words()["groups"]["needed"], "", "", (), (), fields)


def confirm_field(name: str, form: Typed, need: Needed | None = None, by: str = "") -> ConfirmField:
    """The field of a confirmation, with what the form says in it."""
    one, key = confirmations().get(name), KEYS[name]
    asks, look = (key.question, "") if one is None else (one.asks, one.look)
    choices: tuple[tuple[str, str], ...] = ()
    if key.kind is bool:
        choices = (("yes", "yes"), ("no", "no"))
    elif issubclass(key.kind, StrEnum):
        choices = tuple((str(word), words_of(word)) for word in key.kind)
    hint = "" if choices or need is None else need.question.hint
    field = CONFIRM + name
    return ConfirmField(
        field, asks, look, choices, hint, form.values.get(field, ""), form.wrong.get(field, ""), by
    )


def day_axis(answer: FlightAnswer, now: datetime) -> DayAxis:
    """The span of the day of a flight that its lanes are drawn over."""
    plan = answer.check.plan
    start = answer.stretches[0].start
    end = min(answer.stretches[-1].end, start + timedelta(hours=25))
    day = datetime.combine(
        plan.starts.astimezone(plan.zone.info).date() + timedelta(days=1), time(), plan.zone.info
    )
    end = min(end, day.astimezone(start.tzinfo))
    return DayAxis(start, end, plan.zone, now if start <= now < end else None)


def day_lanes(answer: FlightAnswer, now: datetime) -> Iterable[DayLane]:
    """The light of the flight's day, and when the flight could go, with the flight as planned."""
    plan, axis = answer.check.plan, day_axis(answer, now)
    flight = LanePart(plan.starts, plan.ends, "met")
    yield DayLane("Light", "", lane(_bands(answer), axis))
    forecast = _forecast(answer)
    if forecast:
        yield DayLane("Forecast", words()["windows"]["lane"], lane(forecast, axis))
    parts = [LanePart(one.start, one.end, one.verdict.value) for one in answer.stretches]
    reasons = dict.fromkeys(reason_text(one) for one in answer.stretches if one.verdict is not Verdict.MET)
    says = next(iter(reasons), words()["windows"]["met"])
    yield DayLane("As planned", says, lane(parts, axis, [flight]))


def _forecast(answer: FlightAnswer) -> list[LanePart]:
    """A forecast between its turns: hatched where it is against the flight, dotted where it may be."""
    plan, around = answer.check.plan, answer.check.around
    found = []
    for start, end in pairwise(sorted(turns_of_forecasts(around.weather))):
        then = weather_flight(plan._replace(starts=start + (end - start) / 2), around.limits)
        against = forecast_against(around.weather, then, has_looked=False)
        kind = "met" if against is None else "not_met" if against.is_expected else "unknown"
        found.append(LanePart(start, end, kind))
    return found


def _bands(answer: FlightAnswer) -> list[LanePart]:
    """Night and twilight of the day as bands."""
    plan = answer.check.plan
    day = plan.starts.astimezone(plan.zone.info).date()
    light = light_of(plan.place, plan.zone, day, day)[0]
    found = []
    for kind, first, last in (
        ("twilight", LightEvent.DAWN, LightEvent.SUNRISE),
        ("twilight", LightEvent.SUNSET, LightEvent.DUSK),
    ):
        found += [
            LanePart(a.at, b.at, kind)
            for a, b in zip(light.of(first), light.of(last), strict=False)
            if a.at < b.at
        ]
    dawn, dusk = light.of(LightEvent.DAWN), light.of(LightEvent.DUSK)
    if dawn and dusk:
        found += [LanePart(light.start, dawn[0].at, "night"), LanePart(dusk[-1].at, light.end, "night")]
    return found
