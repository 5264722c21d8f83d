"""The answer before a flight in sentences, for every face: the whole, the times, the height, what was looked at."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.airspace.at import NOTICES
from airwrit.answers.airspace.at_words import layer_sentences, map_sentences, title_text, volume_sentences
from airwrit.answers.asking.events import NEVER_JUDGED
from airwrit.answers.before_flight.changes import Change, ChangeCode, last_takeoff
from airwrit.answers.before_flight.check import Clause, FlightAnswerCode, FlightCheck
from airwrit.answers.before_flight.checklists import ChecklistFound, ChecklistLine, Risk, RiskAssessment
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.equipment import BatteryFound
from airwrit.answers.before_flight.heights import HeightsFound, PartHeight
from airwrit.answers.before_flight.plan import DoubleBooking, FlightPlan, middle_of
from airwrit.answers.before_flight.surroundings import ForecastAgainst
from airwrit.answers.before_flight.windows import FlightWindow, Stretch
from airwrit.answers.drawings.side_view import SideView
from airwrit.answers.site import saved_sites
from airwrit.answers.site.authority_view import headline, paper_sentence, paper_title, rule_notes
from airwrit.answers.site.sight import GroundBetween
from airwrit.answers.site.terrain import feet
from airwrit.answers.site.terrain_json import both
from airwrit.answers.sky.light import light_at
from airwrit.answers.sky.light_words import clock_words, phases_words
from airwrit.answers.sky.weather import WeatherAnswer
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.base.measured import METERS
from airwrit.base.places import Place
from airwrit.base.sentences import day_words, feet_text
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.flights.planning import SITE_AREA, SITE_NOTES
from airwrit.facts.state import value_held
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.geo.earth import geodesic_m
from airwrit.geo.outlines import WhereInStates
from airwrit.geo.terrain import GROUND_ERROR_M
from airwrit.house.rules import row_of
from airwrit.law import wording
from airwrit.law.flight.limits import CLOUD_DISTANCE_RULE, FLIGHT_VISIBILITY_RULE
from airwrit.law.flight.return_home import RETURN_HOME_RULE

_WITH_A_LEAST = (FLIGHT_VISIBILITY_RULE, CLOUD_DISTANCE_RULE, RETURN_HOME_RULE)
"""Rules that ask for at least so much: what fails them is short, not over."""
_FOR_ONE_USE = (Headline.WORK, Headline.RECREATION)
_MOST_VOLUMES = 3


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The shipped words."""
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def whole_text(check: FlightCheck) -> str:
    """The whole in a line."""
    return words()["whole"][check.whole.value]


def groups_of(check: FlightCheck) -> tuple[tuple[str, tuple[Clause, ...]], ...]:
    """The rules of the flight by what they come to, those to act on first; those that wait for a fact are told with it."""
    waiting = {name for need in (*check.owed, *check.needed) for name in need.rules}
    judged = [one for one in check.clauses if one.finding.rule not in NEVER_JUDGED]
    by = {
        verdict: [one for one in judged if one.verdict is verdict]
        for verdict in (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)
    }
    groups = {
        "not_met": by[Verdict.NOT_MET],
        "open": [one for one in by[Verdict.UNKNOWN] if one.finding.rule.name not in waiting],
        "ask": [one for one in check.clauses if one.finding.rule in NEVER_JUDGED],
        "met": by[Verdict.MET],
        "not_applicable": by[Verdict.NOT_APPLICABLE],
    }
    return tuple((words()["groups"][name], tuple(found)) for name, found in groups.items() if found)


def clause_text(clause: Clause) -> str:
    """What a rule found, and what to do about it."""
    told = wording.worded(clause.finding, clause.state)
    acts = clause.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN) and told.do
    return " ".join(filter(None, (told.says, margin_text(clause), told.do if acts else "")))


def margin_text(clause: Clause) -> str:
    """What room is left to the limit of a rule; "" where it has none, is in doubt, or hangs on something private."""
    margin = clause.finding.outcome.margin
    judged = clause.verdict in (Verdict.MET, Verdict.NOT_MET)
    if margin is None or not judged or any(used.key.private for used in clause.finding.used):
        return ""
    outcome, row = clause.finding.outcome, row_of(clause.finding.rule)
    has_least = clause.finding.rule in _WITH_A_LEAST or outcome.code in ("too_few", "too_cold")
    has_least = has_least or (row is not None and row.kind == "at_least")
    kind = "room" if margin.value >= 0 else "short" if has_least else "over"
    return words()["margin"][kind].format(room=_room_text(abs(margin.value)), unit=margin.unit)


def _room_text(room: Decimal) -> str:
    """The room to a limit, to a tenth, or to the first digit of less than that."""
    return f"{room:.1g}" if 0 < room < Decimal("0.05") else feet_text(room)


def reason_text(one: Stretch) -> str:
    """What a stretch of time is, with what stands in the way."""
    said = words()["windows"]
    if one.verdict is Verdict.MET:
        return said["lights" if one.needs_lights else "met"]
    if isinstance(one.because, Clause):
        return f"{said[one.verdict.value]}: {wording.worded(one.because.finding, one.because.state).says}"
    if isinstance(one.because, ForecastAgainst):
        return said["expected" if one.because.is_expected else "possible"].format(says=one.because.says)
    if isinstance(one.because, DoubleBooking):
        return f"{said[one.verdict.value]}: {booking_text(one.because)}"
    if isinstance(one.because, BatteryFound):
        told = battery_text(one.because)
        return f"{told.name}: {told.status}"
    row = one.because
    return said[one.verdict.value] if row is None else f"{id_of(row.subject)}: {row.headline.value}"


class WhoText(NamedTuple):
    """The aircraft, the pilot or a battery: the verdict, the subject, its name, its status, what is against it."""

    verdict: Verdict
    subject: str
    name: str
    status: str
    why: str


def who_texts(check: FlightCheck) -> tuple[WhoText, ...]:
    """The aircraft, the pilot and each battery, as every face tells them."""
    rows = [_who_text(row, check) for row in (check.aircraft, check.pilot)]
    return (*rows, *map(battery_text, check.batteries))


def _who_text(row: SubjectStanding, check: FlightCheck) -> WhoText:
    verdict = check.verdict_of(row)
    against = row.deciding if verdict is not Verdict.MET else None
    why = "" if against is None else wording.worded(against, check.standing_state).says
    if verdict is not Verdict.MET and not why and row.headline in _FOR_ONE_USE:
        why = words()["who"][check.use.value]
    return WhoText(verdict, row.subject, id_of(row.subject), row.headline.value, why)


def battery_text(found: BatteryFound) -> WhoText:
    """A battery, with what speaks against it."""
    said, name = words()["battery"], id_of(found.subject)
    status = said["on_file" if found.is_on_file else "not_on_file"]
    if found.says:
        status = said[found.verdict.value]
    return WhoText(found.verdict, found.subject, said["name"].format(name=name), status, " ".join(found.says))


def stretch_text(one: Stretch, plan: FlightPlan) -> str:
    """A stretch with its times, to the minute inside it."""
    start, end = _up(one.start), _down(one.end)
    return f"{moment_text(start, plan)} to {moment_text(end, plan)}: {reason_text(one)}"


def _up(at: datetime) -> datetime:
    """The next full minute, or the instant itself on one."""
    down = _down(at)
    return at if down == at else down + timedelta(minutes=1)


def _down(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def window_text(window: FlightWindow, plan: FlightPlan) -> str:
    """From when to when the flight fits, to the minute inside it."""
    return words()["windows"]["window"].format(
        start=moment_text(_up(window.start), plan),
        end=moment_text(_down(window.end), plan),
        latest=moment_text(last_takeoff(window), plan),
    )


def moment_text(at: datetime, plan: FlightPlan) -> str:
    """A moment at the place: Dec 2, 7:02 AM MST."""
    local = at.astimezone(plan.zone.info)
    return f"{local:%b} {local.day}, {clock_words(at, plan.zone)}"


def confirmed_text(by: str, at: datetime, plan: FlightPlan) -> str:
    """Who confirmed something and when, by the clock of the place."""
    return words()["confirm"]["by"].format(by=by, at=moment_text(at, plan))


def span_text(plan: FlightPlan) -> str:
    """When the flight is: Dec 2, 2026, 2:00 PM to 2:40 PM MST."""
    local = plan.starts.astimezone(plan.zone.info)
    start, end = clock_words(plan.starts, plan.zone), clock_words(plan.ends, plan.zone)
    zone = f" {end.rpartition(' ')[2]}"
    return f"{local:%b} {local.day}, {local.year}, {start.removesuffix(zone)} to {end}"


def plan_text(plan: FlightPlan) -> str:
    """The plan in a line: who and what, when, where, how high."""
    purpose = "" if plan.use is None else f" for {plan.use.value}"
    crew = f"{id_of(plan.aircraft)} with {id_of(plan.pilot)}{purpose}"
    return f"{crew}, {span_text(plan)}, {plan.area}, {up_to(plan.height_ft)}"


def up_to(height_ft: Decimal) -> str:
    """The greatest height in words."""
    return f"up to {feet_text(height_ft)} ft above ground"


def height_lines(found: HeightsFound) -> list[str]:
    """How high it could go, over the whole area and over each part of it."""
    said = words()["height"]
    if found.highest_ft is None:
        first = [said[found.barred_by or "none"]]
    else:
        first = [said["highest"].format(feet=feet_text(found.highest_ft)), said["not_a_permission"]]
    lettered = zip(part_letters(found), found.parts, strict=True)
    return [*first, *(f"{letter}. {_part_text(one)}" for letter, one in lettered)]


def part_letters(found: HeightsFound) -> list[str]:
    """The letters of the parts of an area, on the map and beside it."""
    return [chr(ord("A") + number) for number in range(len(found.parts))]


def marks_of(found: HeightsFound) -> list[tuple[str, Place]]:
    """The letter of each part of an area that lies somewhere, with the place."""
    lettered = zip(part_letters(found), found.parts, strict=True)
    return [(letter, one.part.middle) for letter, one in lettered if one.part.middle is not None]


def _part_text(one: PartHeight) -> str:
    said, part = words()["height"], one.part
    where = said[part.side if part.side in ("most", "middle", "edge", "structure") else "side"].format(
        side=part.side
    )
    names = [name for _, _, name, _, _ in sorted(part.volumes, key=str)][:_MOST_VOLUMES]
    under = f" ({', '.join(names)})" if names else ""
    high = "part_none" if one.highest_ft is None else "part"
    feet = "" if one.highest_ft is None else feet_text(one.highest_ft)
    found = said[high].format(where=f"{where}{under}", feet=feet)
    if part.number_ft is not None:
        found = f"{found} {said['part_number'].format(number=part.number_ft)}"
    return found


class ChangeText(NamedTuple):
    """A change in words: what to change, the verdict and what the flight comes to then, what it takes, how long before."""

    says: str
    verdict: Verdict
    then: str
    takes: str
    lead: str


def change_text(change: Change, check: FlightCheck) -> ChangeText:
    """A change as every face tells it."""
    code = change.code.value
    needs_lights = change.code is ChangeCode.HOURS and change.needs_lights
    takes = words()["change_takes"]["lights" if needs_lights else code]
    lead = words()["change_lead"][code]
    return ChangeText(_change_says(change, check), *_change_then(change), takes, lead)


def _change_says(change: Change, check: FlightCheck) -> str:
    said, plan = words()["change_says"], change.plan or check.plan
    if change.clause is not None and change.code is ChangeCode.FIX:
        told = wording.worded(change.clause.finding, change.clause.state)
        about = f"{id_of(change.names[0])}: " if change.names else ""
        return f"{about}{told.do or told.says}"
    names = [name.rpartition("/")[2] for name in change.names]
    return said[change.code.value].format(
        feet=feet_text(plan.height_ft),
        start=moment_text(plan.starts, plan),
        names=", ".join(names),
        many=len(names),
        lines=names[-1] if names else "",
        name=names[0] if names else "",
        thing="item" if len(names) == 1 else "items",
        groups=_groups(change.names) if change.code is ChangeCode.CONFIRM else "",
        question="" if change.need is None else change.need.question.text,
    )


def _groups(facts: Sequence[str]) -> str:
    """How many facts are confirmed where: at the desk (9), the crew (4)."""
    counted = Counter(confirmations()[name].group for name in facts)
    titles = {group: words()["confirm"][group] for group in counted}
    return ", ".join(
        f"{titles[group][:1].lower()}{titles[group][1:]} ({many})" for group, many in counted.items()
    )


def _change_then(change: Change) -> tuple[Verdict, str]:
    """What the flight comes to with a change: never a yes, since what is confirmed is confirmed again."""
    said = words()["change"]
    if change.plan is None:
        asked = change.code in (ChangeCode.AUTHORIZATION, ChangeCode.WAIVER)
        return Verdict.UNKNOWN, said["up_to_the_faa" if asked else "then_fix"]
    still = ", ".join(name.replace("_", " ") for name in change.still)
    left = f" {said['still'].format(rules=still)}" if still else ""
    verdict = Verdict.NOT_MET if change.then is FlightAnswerCode.NOT_ALLOWED else Verdict.UNKNOWN
    return verdict, f"{said[f'then_{change.then.value}']}{left}"


def checklist_title(found: ChecklistFound) -> str:
    """The name of a checklist with its edition."""
    said, one = words()["checklist"], found.checklist
    return said["title" if one.edition else "no_edition"].format(name=one.name, edition=one.edition)


def checklist_text(found: ChecklistFound) -> str:
    """What of a checklist is ticked."""
    said = words()["checklist"]
    if found.has_changed:
        return said["changed"]
    return said["left" if found.left else "all"].format(left=found.left, many=len(found.checklist.lines))


def answers_text(line: ChecklistLine) -> str:
    """Which facts a tick of a line confirms."""
    named = ", ".join(KEYS[one.key].meaning for one in line.confirms)
    return words()["checklist"]["answers"].format(named=named) if named else ""


def risk_text(risk: Risk) -> str:
    """A risk in words."""
    return words()["risk"]["pair"].format(likelihood=risk.likelihood.value, severity=risk.severity.value)


def approval_text(risks: RiskAssessment) -> str:
    """Who approved the assessment, and until when."""
    said, day = words()["risk"], "" if risks.approval_ends is None else day_words(risks.approval_ends)
    if not risks.approved_by:
        return said["open"]
    if risks.verdict is not Verdict.MET:
        return said["ended"].format(by=risks.approved_by, day=day)
    return said["until" if day else "approved"].format(by=risks.approved_by, day=day)


def side_text(view: SideView) -> str:
    """What the drawing from the side shows, in words: what it stands on, the planned height, the limits, the clouds."""
    said = words()["side"]
    grounds = [one.ground_ft for one in view.points if one.ground_ft is not None]
    found = [said["planned"].format(height=feet_text(Decimal(str(view.height_ft))))]
    if view.limit_ft is not None:
        found.append(said["limit"].format(limit=view.limit_ft))
    if view.has_ground:
        low, high = (feet_text(Decimal(round(one))) for one in (min(grounds), max(grounds)))
        found.append(said["ground_level" if low == high else "ground"].format(low=low, high=high))
    else:
        found.append(said["level"])
    cells = [one.cell_ft for one in view.points if one.cell_ft is not None]
    if cells:
        found.append(said["cell"].format(number=min(cells)))
    if view.clouds_ft is not None:
        found.append(said["clouds"].format(base=feet_text(Decimal(str(view.clouds_ft)))))
    return " ".join(found)


def authority_lines(check: FlightCheck) -> list[str]:
    """Whether the flight has the authority it needs, each paper on file held against it, and notes of land and local rules."""
    found = check.authority
    papers = [f"{paper_title(one, found.state)}: {paper_sentence(one)}" for one in found.papers]
    return [headline(found), *papers, *rule_notes(found)]


def booking_text(double: DoubleBooking) -> str:
    """What another planned flight takes up at the same time."""
    other = double.other.plan
    return words()["day"]["also"].format(
        what=id_of(double.what), other=id_of(double.other.flight), when=span_text(other)
    )


def watch_lines(check: FlightCheck) -> list[str]:
    """What another flight takes up then, a notice on file over this one, bad weather reported, ground in the way of sight."""
    said, here = words()["watch"], check.around.here
    touched = () if here is None else [one for one in here.touched if one.is_met and one.kind in NOTICES]
    found = [booking_text(one) for one in check.double]
    if check.use is not check.plan.use:
        found.append(said["not_recreation"])
    found += [
        said["notice"].format(name=one.area.name, how=volume_sentences(one, check.plan.zone.info)[-1])
        for one in touched
    ]
    answers = () if check.around.weather is None else check.around.weather.answers
    against = [point.says for one in answers for point in one.points if point.verdict is Verdict.NOT_MET]
    if against:
        found.append(said["weather"].format(points=" ".join(dict.fromkeys(against))))
    sight = check.around.sight
    if sight is not None and sight.ground is GroundBetween.BLOCKED:
        found.append(words()["around"]["sight_blocked"].format(far=both(sight.far_m)))
    return found


def weather_lines(check: FlightCheck) -> list[str]:
    """What each report and forecast given says of the limits."""
    answers = () if check.around.weather is None else check.around.weather.answers
    said = words()["around"]["weather"]
    return [said.format(text=" ".join(one.read.text.split()), points=_points(one)) for one in answers]


def _points(answer: WeatherAnswer) -> str:
    return " ".join(one.says for one in answer.points if one.verdict is not Verdict.NOT_APPLICABLE)


def state_text(where: WhereInStates | None) -> str:
    """The county and the State of a place, by outlines that are good for orientation only."""
    said = words()["around"]
    if where is None:
        return said["no_state"]
    code = "near_county" if where.near_line else "county"
    return said[code].format(county=where.county.name, state=where.state.name)


def site_lines(check: FlightCheck) -> list[str]:
    """The saved site with its notes, the structure, the batteries, the ground and the line of sight, as far as told."""
    plan, said = check.plan, words()["around"]
    found = []
    if plan.place_name:
        notes = value_held(check.standing_state, f"{saved_sites.KIND}/{plan.place_name}", SITE_NOTES)
        found.append(said["site" if notes else "site_bare"].format(name=plan.place_name, notes=notes))
    else:
        found += _nearest_site(check)
    if plan.packs:
        found.append(said["packs"].format(packs=", ".join(plan.packs)))
    if plan.structure is not None:
        far, top = feet_text(plan.structure.distance_ft), feet_text(plan.structure.top_ft)
        found.append(said["structure"].format(far=far, top=top))
    ground = check.around.ground
    if ground is not None and ground.lowest_m is not None and ground.highest_m is not None:
        low, high = (feet_text(feet(one)) for one in (ground.lowest_m, ground.highest_m))
        error = feet_text(feet(GROUND_ERROR_M))
        found.append(said["ground"].format(low=low, high=high, error=error))
    sight = check.around.sight
    if sight is not None:
        found.append(said[f"sight_{sight.ground.value}"].format(far=both(sight.far_m)))
    return found


def _nearest_site(check: FlightCheck) -> list[str]:
    """How far off the nearest saved site is: a digit typed wrong shows by it. Nothing where none is saved."""
    state = check.standing_state
    named = ((one, value_held(state, one, SITE_AREA)) for one in state.subjects(saved_sites.KIND))
    far = [(geodesic_m(check.plan.place, middle_of(area)), id_of(one)) for one, area in named if area]
    if not far:
        return []
    nearest = min(far)
    miles = feet_text(Decimal(nearest[0]) / METERS["nm"])
    return [words()["around"]["nearest_site"].format(name=nearest[1], far=miles)]


def around_lines(check: FlightCheck) -> list[str]:
    """What was looked up of the place and the hour: the site, the light at takeoff, the airspace on file."""
    light = phases_words(light_at(check.plan.place, check.plan.zone, check.plan.starts))
    found = [
        *site_lines(check),
        *weather_lines(check),
        words()["around"]["light" if len(light) == 1 else "light_doubt"].format(phase=" ".join(light)),
    ]
    here = check.around.here
    if here is None:
        return [*found, words()["around"]["no_airspace"]]
    for one in here.touched:
        how = " ".join(volume_sentences(one, check.plan.zone.info))
        found.append(f"{title_text(one.kind)}, {one.area.name}. {how}")
    return [*found, *map_sentences(here), *layer_sentences(here)]


def windows_lines(
    stretches: Sequence[Stretch], windows: Sequence[FlightWindow], plan: FlightPlan
) -> list[str]:
    """Every stretch of the days asked about, with what it allows; and that the flight fits into none, where that is so."""
    said = words()["windows"]
    found = times_lines(stretches, plan)
    if windows:
        return [*found, said["doubt"]]
    is_open = any(one.verdict is not Verdict.NOT_MET for one in stretches)
    return [said["none_yet" if is_open else "none"], *found]


def times_lines(stretches: Sequence[Stretch], plan: FlightPlan) -> list[str]:
    """The stretches in order, those beside one another that say the same in one line."""
    return [
        stretch_text(alike[0]._replace(end=alike[-1].end), plan)
        for _, group in groupby(stretches, key=reason_text)
        if (alike := list(group))
    ]
