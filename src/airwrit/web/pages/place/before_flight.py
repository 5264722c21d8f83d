"""Before a flight: may it go, when and how high; what no data can show is a field for the pilot to confirm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from markupsafe import Markup

from airwrit.answers.acts.plan import all_known
from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.check import fact_of, standing_of
from airwrit.answers.before_flight.checklists import checklists_for
from airwrit.answers.before_flight.confirmations import AT_ONCE, confirmations, plain_answers
from airwrit.answers.before_flight.day import release_text
from airwrit.answers.before_flight.flight_view import FlightView, flight_view
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import FlightPlan, place_text
from airwrit.answers.before_flight.program import Program, is_of_every_flight
from airwrit.answers.before_flight.saved import FlightRelease, bookings, saved_flight, without_plans
from airwrit.answers.before_flight.saving import check_release, saving
from airwrit.answers.before_flight.typed import (
    approved,
    confirmation_of,
    plain_left,
    plan_of,
    ticked,
)
from airwrit.answers.before_flight.view import marks_of, side_text, state_text, words
from airwrit.answers.document import SCOPE_OF_FLIGHT
from airwrit.answers.drawings.flight_map import map_of, part_marks
from airwrit.answers.drawings.locator import locator_of
from airwrit.answers.drawings.side import side_of
from airwrit.answers.drawings.side_view import side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.answers.site.saved_sites import SavedSite, saved_sites, site_saving
from airwrit.base.days import parse_day
from airwrit.base.errors import AirwritError, UsageError
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.geo.outlines import where_in_states
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.flight_pdf import flight_pdf
from airwrit.web.draw.day_lanes import hours_axis
from airwrit.web.parts.flight_rows import (
    ConfirmField,
    ConfirmGroup,
    DayLane,
    confirm_field,
    confirm_groups,
    day_axis,
    day_lanes,
)
from airwrit.web.parts.planned import (
    CONFIRM,
    TICK,
    PlannedDay,
    call_out,
    confirmed_by,
    fields_of,
    plan_typed,
    planned_on,
    takeoff_from_now,
)
from airwrit.web.server.forms import Pencil, Ticket, Typed, ticket, write_once, writes_of
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, Download, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import circles_now, held_in, held_now

DIGEST, SAVE, PRINT, RELEASE = "confirmed_for", "save", "print", "release"
SHOW_SITE, SAVE_SITE, ALL_OF = "show_site", "save_site", "all_"
_AT_ONCE_LONGEST = 2_000
_LONG = {
    **{ALL_OF + group: _AT_ONCE_LONGEST for group in AT_ONCE},
    "site_notes": 2_000,
    "weather": 4_000,
    "place": 200_000,
    "hazards": 8_000,
}
_FIELDS = {"from": "start", "until": "end", "at": "place", "person": "pilot"}
"""Which field of the form a refusal of the plan belongs to."""
_LONGEST = 120
_KEPT = ("day", "start", "end", "height", "aircraft", "pilot", "for", "packs")
"""Fields that stay filled in after a site was saved."""
_KEEPS = ("name", "against")
"""Fields about saving the flight."""
_DAYS = ("1", "3", "7")
_OUT = ("not_in_fleet", "not_judged")
"""Codes of headlines of whoever is not offered: sold, left, no pilot."""


@dataclass(frozen=True, slots=True)
class BeforeFlightPage:
    """The page: the form, and the answer where a plan was given and can be read."""

    form: Typed
    aircraft: tuple[tuple[str, str], ...]
    pilots: tuple[tuple[str, str], ...]
    ticket: Ticket
    planned: PlannedDay
    sites: tuple[tuple[str, str], ...] = ()
    configurations: tuple[tuple[str, str], ...] = ()
    view: FlightView | None = None
    confirm: tuple[ConfirmGroup, ...] = ()
    left: int = 0
    approved_by: str = ""
    holds: str = ""
    confirmed: tuple[ConfirmField, ...] = ()
    axis: Markup | None = None
    lanes: tuple[DayLane, ...] = ()
    site: Markup | None = None
    locator: Markup | None = None
    state: str = ""
    side: Markup | None = None
    side_says: str = ""
    digest: str = ""
    released: str = ""
    again: bool = False
    pencil: Pencil | None = None

    @property
    def keeps(self) -> bool:
        """Whether something is typed about saving the flight."""
        return any(self.form.values.get(name) or name in self.form.wrong for name in _KEEPS)


def show(visit: Visit) -> Answer:
    """The form, filled with what the address names; a planned flight on record with its answer."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    if said.get("flight"):
        return _planned(visit, said["flight"])
    told = call_out(visit, _subjects(visit, "aircraft"), _subjects(visit, "person"))
    return _sheet(visit, {"day": visit.asked.on.isoformat(), **told, **said}, {})


def act(visit: Visit) -> Answer:
    """The answer to a form; written only where the form says to save it."""
    said = {name: text.strip()[: _LONG.get(name, _LONGEST)] for name, text in visit.said.items()}
    said |= _at_once(said)
    said |= takeoff_from_now(visit, said)
    wrong: dict[str, str] = {}
    found = _answer(visit, said, wrong)
    if found is not None and said.get("way") in (SHOW_SITE, SAVE_SITE):
        return _site(visit, said, found[0])
    if found is not None and said.get("way") == PRINT:
        return _sheet_of(visit, said, found[0])
    if found is not None and said.get("way") in (SAVE, RELEASE):
        released = None if said["way"] == SAVE else FlightRelease(visit.by, said.get("against", ""))
        _look_at_release(said, released, found[0], wrong)
        if not wrong:
            return _save(visit, said["name"], *found, released)
    return _sheet(visit, said, wrong, None if found is None else found[0])


def _at_once(said: Mapping[str, str]) -> dict[str, str]:
    """The fields of the groups that were confirmed at once: those that the form listed and left without an answer."""
    listed = {group: said.get(ALL_OF + group, "").split(",") for group in AT_ONCE}
    told = [
        plain_answers(group, [one for one in names if one in confirmations()])
        for group, names in listed.items()
    ]
    return {
        CONFIRM + name: answer
        for answers in told
        for name, answer in answers.items()
        if not said.get(CONFIRM + name)
    }


def _site(visit: Visit, said: Mapping[str, str], answer: FlightAnswer) -> Answer:
    """The area of the plan as a saved site: shown in pencil, or written and the page filled with it."""
    plan, wrong = answer.check.plan, dict[str, str]()
    site = SavedSite(
        said.get("site_name", ""),
        plan.area,
        "" if plan.ground_ft is None else f"{plan.ground_ft.normalize():f}",
        "" if plan.takeoff is None else place_text(plan.takeoff),
        said.get("site_notes", ""),
    )
    try:
        taking = site_saving(held_now(visit.desk), site, visit.by)
    except UsageError as fault:
        wrong[fault.where] = fault.says
        return _sheet(visit, said, wrong, answer)
    if said["way"] == SHOW_SITE:
        return _sheet(visit, said, wrong, answer, pencil=Pencil(writes_of(taking)))

    def write(book: Ledger) -> int:
        made = site_saving(held_in(visit.desk, book), site, visit.by)
        if made.is_empty:
            return book.head().size
        return book.append(made.drafts, visit.desk.clock, after=made.after)[-1].seq

    kept = {name: said[name] for name in _KEPT if said.get(name)} | {"site": site.name.strip()}

    def onward(seq: int) -> str:
        return visit.link("/before-flight", None, written=str(seq), **kept)

    return write_once(visit, write, onward)


def _planned(visit: Visit, name: str) -> PageSheet:
    """The page of a planned flight on record. Refused where there is none of that name."""
    try:
        saved = saved_flight(_on_record(visit), name)
    except AirwritError as fault:
        raise Refused(
            Trouble(404, "No such flight", fault.what, visit.path, NOTHING_WRITTEN, fault.do)
        ) from None
    said, wrong = fields_of(saved, _program(visit, saved.plan, [])), dict[str, str]()
    found = _answer(visit, said, wrong)
    return _sheet(visit, said, wrong, None if found is None else found[0], release_text(saved))


def _sheet_of(visit: Visit, said: Mapping[str, str], answer: FlightAnswer) -> Download:
    """The flight sheet, to be saved."""
    name = said.get("name", "")
    site = site_map(answer.check.plan, _folder(visit))
    data = flight_pdf(answer, site, side_view(answer.check, site, _folder(visit)), name)
    return Download("flight-sheet.pdf", "application/pdf", data, "flight sheet", (answer.check.plan.pilot,))


def _look_at_release(
    said: Mapping[str, str], release: FlightRelease | None, answer: FlightAnswer, wrong: dict[str, str]
) -> None:
    """Note at its field what keeps a flight from being saved or released."""
    if not said.get("name"):
        wrong["name"] = "the flight has no name; enter one, like Quarry survey"
    try:
        check_release(release, answer)
    except AirwritError as fault:
        wrong["against"] = fault.says


def _save(
    visit: Visit, name: str, answer: FlightAnswer, told: Sequence[Known], release: FlightRelease | None
) -> Redirect:
    """Keep the plan, and lead back to it."""

    def write(book: Ledger) -> int:
        made = saving(held_in(visit.desk, book), name, answer, told, visit.by, visit.desk.clock(), release)
        if made.taking.is_empty:
            return book.head().size
        return book.append(made.taking.drafts, visit.desk.clock, after=made.taking.after, files=made.files)[
            -1
        ].seq

    return write_once(visit, write, lambda seq: visit.link("/before-flight", flight=name, written=str(seq)))


def _told(said: Mapping[str, str], wrong: dict[str, str]) -> list[Known]:
    """What is confirmed in the form; what can't be read is noted at its field."""
    found = []
    for field, text in said.items():
        name = field.removeprefix(CONFIRM)
        if name == field or not text:
            continue
        try:
            known = confirmation_of(name, text)
        except AirwritError as fault:
            wrong[CONFIRM + name] = fault.says
            continue
        if known is not None:
            found.append(known)
    return found


def _answer(
    visit: Visit, said: Mapping[str, str], wrong: dict[str, str]
) -> tuple[FlightAnswer, Sequence[Known]] | None:
    """The answer and what it counts as confirmed; None, with what is wrong noted at its field, where it can't be had."""
    told = _told(said, wrong)
    typed = plan_typed(said)
    try:
        typed = typed.at_site(_on_record(visit)) if typed.site else typed
        subjects = [subject for kind in ("aircraft", "person") for subject in _subjects(visit, kind)]
        subjects += [one for kind in ("battery", "configuration") for one in _on_file(visit, kind)]
        plan = plan_of(typed, subjects)
        told = told if said.get(DIGEST, plan.digest) == plan.digest else []
        days = int(said["days"]) if said.get("days") in _DAYS else 1
        weather = said.get("weather") or None
        if said.get(DIGEST, plan.digest) == plan.digest:
            told = [*told, *_ticked(plan, _program(visit, plan, []), said), *_approval(visit, said)]
        booked = bookings(_on_record(visit), plan, said.get("name", ""))
        near = replace(_program(visit, plan, told), booked=booked)
        answer = flight_answer(
            plan, near, _folder(visit), weather, days, lambda: replace(near, known=_others(visit))
        )
    except AirwritError as fault:
        wrong.setdefault(_FIELDS.get(fault.where, fault.where), fault.says)
        return None
    return None if wrong else (answer, told)


def _folder(visit: Visit) -> Path:
    return visit.desk.ledger.parent / "airspace"


def _on_record(visit: Visit) -> list[Known]:
    """All that is on record now."""
    return list(all_known(held_now(visit.desk)))


def _others(visit: Visit) -> list[Known]:
    """All that is on record but for planned flights."""
    return without_plans(_on_record(visit))


def _program(visit: Visit, plan: FlightPlan, told: list[Known]) -> Program:
    """What is on record that can bear on the aircraft and the pilot, with what the form confirms."""
    circles = circles_now(visit.desk)
    near = {id(item): item for one in plan.subjects for item in circles.known_around(one)}
    near |= {id(item): item for item in all_known(held_now(visit.desk)) if is_of_every_flight(item)}
    known = without_plans(list(near.values()))
    report = visit.desk.standing(visit.asked).report
    spoiled = [pair for problem in report.problems for pair in problem.spoils]
    return Program(known, report.known_at, visit.desk.house().rules, told, spoiled)


def _sheet(
    visit: Visit,
    said: Mapping[str, str],
    wrong: Mapping[str, str],
    answer: FlightAnswer | None = None,
    released: str = "",
    pencil: Pencil | None = None,
) -> PageSheet:
    form = Typed(dict(said), dict(wrong))
    aircraft = tuple((subject, id_of(subject)) for subject in _subjects(visit, "aircraft"))
    pilots = tuple((subject, id_of(subject)) for subject in _subjects(visit, "person"))
    sites = tuple((name, name) for name in saved_sites(_on_record(visit)))
    day = visit.asked.on
    if answer is not None:
        day = answer.check.plan.starts.astimezone(answer.check.plan.zone.info).date()
    page = BeforeFlightPage(form, aircraft, pilots, ticket(visit.desk), planned_on(visit, day), sites)
    carries = tuple((id_of(one), id_of(one)) for one in _on_file(visit, "configuration"))
    page = replace(page, configurations=carries)
    if answer is not None:
        page = replace(_answered(visit, form, page, answer), released=released, pencil=pencil)
    return form.sheet(
        "before_flight.html",
        "Before a flight",
        page,
        lambda: form.unanswered("before_flight", SCOPE_OF_FLIGHT) if answer is None else check_json(answer),
    )


def _subjects(visit: Visit, kind: str) -> list[str]:
    """The aircraft in the fleet, or the people who fly, in the order of the list."""
    return [
        row.subject
        for row in visit.desk.standing(visit.asked).rows
        if kind_of(row.subject) == kind and row.headline.code not in _OUT
    ]


def _on_file(visit: Visit, kind: str) -> list[str]:
    """The subjects of a kind on file on the day turned to."""
    state = visit.desk.standing(visit.asked).report.state
    return [one for one in state.subjects(kind) if state.held[one]]


def _answered(visit: Visit, form: Typed, page: BeforeFlightPage, answer: FlightAnswer) -> BeforeFlightPage:
    check = answer.check
    plan = check.plan
    owed = {fact_of(need) for need in (*check.owed, *check.needed)}
    counts = form.values.get(DIGEST, check.plan.digest) == check.plan.digest
    told = _told(form.values, {}) if counts else []
    given = [one.statement.key for one in told if one.statement.key not in owed]
    program = _program(visit, plan, told)
    by = confirmed_by(visit, form.values.get("name", ""), plan)
    site = site_map(plan, _folder(visit))
    side = side_view(check, site, _folder(visit))
    where = where_in_states(plan.place)
    return replace(
        page,
        view=flight_view(answer),
        confirm=tuple(confirm_groups(check, form, partial(plain_left, plan, program))),
        left=check.left,
        approved_by="" if check.risks is None else check.risks.approved_by,
        holds=words()["confirm"]["holds"],
        confirmed=tuple(confirm_field(name, form, by=by.get(name, "")) for name in given),
        axis=hours_axis(day_axis(answer, visit.desk.clock())),
        lanes=tuple(day_lanes(answer, visit.desk.clock())),
        site=map_of(site, part_marks(marks_of(answer.heights))),
        locator=None if where is None else locator_of(plan.place, where),
        state=state_text(where),
        side=side_of(side),
        side_says=side_text(side),
        digest=plan.digest,
        again=form.values.get(DIGEST, plan.digest) != plan.digest,
    )


def _approval(visit: Visit, said: Mapping[str, str]) -> list[Known]:
    """The approval of the risk assessment: kept from before, or given now by who writes. UsageError for no day."""
    by = visit.by if said.get("approve") else said.get("approved_by", "")
    if not by:
        return []
    until = said.get("approved_until", "")
    try:
        return approved(by, parse_day(until) if until else None)
    except ValueError as fault:
        raise UsageError(str(fault), where="approved_until", do="write a date like 2026-05-31") from None


def _ticked(plan: FlightPlan, program: Program, said: Mapping[str, str]) -> list[Known]:
    """The lines ticked in the form, those of a checklist that has changed since left out; none ticked is nothing told."""
    lists = checklists_for(standing_of(plan, program).state, plan.aircraft)
    numbers = {
        line.number for one in lists for line in one.lines if said.get(f"{TICK}{line.number}") == one.digest
    }
    return [ticked(plan, program, map(str, sorted(numbers)))] if numbers else []
