"""Every page there is: one tuple of addresses, and the names in the head and the contents."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import NamedTuple, cast

from starlette.routing import compile_path

from airwrit.answers.document import (
    SCOPE,
    SCOPE_OF_AIRSPACE,
    SCOPE_OF_ANSWERS,
    SCOPE_OF_AUTHORITY,
    SCOPE_OF_FLIGHT,
    SCOPE_OF_FLOWN,
    SCOPE_OF_HOME,
    SCOPE_OF_INCIDENT,
    SCOPE_OF_LAW,
    SCOPE_OF_LIGHT,
    SCOPE_OF_RECORDS,
    SCOPE_OF_SIGHT,
    SCOPE_OF_STRUCTURE,
    SCOPE_OF_TERRAIN,
    SCOPE_OF_WEATHER,
)
from airwrit.web.server.visit import Answer, Name, Visit
from airwrit.web.server.workspace import DayAsked, Workspace

_FORM_BYTES = 64_000


class Page(NamedTuple):
    """One address, the module of `airwrit.web.pages` behind it, and the names there of what shows it and takes its form.

    A module is loaded when its page is first asked for, so that the first page of all comes at once. `of_facts` tells that
    nothing can be shown of an empty ledger; `files` that its form takes files, as much as the module's MOST_BYTES.
    `scope` says at the top of it what it is based on and what was not checked; "" where nothing is judged or shown.
    """

    path: str
    module: str
    show: str = "show"
    act: str = ""
    of_facts: bool = False
    files: bool = False
    scope: str = SCOPE


JOB_NAMES = ("new-aircraft", "renew", "filed-with-faa", "new-person", "person-leaves")
"""The jobs that have a page from beginning to end; the module behind them knows each by its name."""

FIRST = "/today"
"""The page one comes to first, and again once an empty ledger was filled."""

_MOST_FILES = 8
"""What most forms may carry; a module that takes more says so with MOST_FILES."""

_WAYS_IN = "write.first_run"

NAMES: tuple[tuple[Name, ...], ...] = (
    (
        Name("Today", "/today", "who is grounded, and what to fix first"),
        Name("Deadlines", "/deadlines", "what is due, and a calendar file"),
        Name("Aircraft", "/aircraft", "every aircraft and its record"),
        Name("People", "/people", "certificates, training and papers"),
    ),
    (
        Name("New aircraft", "/new-aircraft", "add an aircraft, step by step"),
        Name("Before a flight", "/before-flight", "can this flight go, and when"),
        Name("After a flight", "/after-flight", "a flight's log, beside the limits of its day"),
        Name("Log a flight", "/log-flight", "flights, hours, batteries, defects"),
        Name("Incident", "/incident", "whom to notify, and by when"),
    ),
    (
        Name("Pilot papers", "/pilot-papers", "a pilot's papers, on a phone or in print"),
        Name("Import", "/import", "a spreadsheet, or flights from a phone"),
        Name("Proof", "/proof", "the status on a day, as a PDF to check"),
        Name("Reports", "/reports", "a month, a year, an insurer's and others"),
        Name("Rules", "/rules", "every rule, its numbers and sources"),
    ),
    (
        Name("Maintenance", "/maintenance", "defects, work done, and what is due next"),
        Name("Batteries", "/batteries", "which are fit, their cycles and capacity"),
        Name("Training", "/training", "gaps in the plan, and practice by model"),
        Name("What if", "/what-if", "what a change would do, without saving it"),
        Name("Which registration", "/which-registration", "how to register, question by question"),
        Name("Daylight", "/daylight", "sunrise, sunset, twilight and night"),
        Name("Airspace", "/airspace", "the airspace on file at a place"),
        Name("Weather", "/weather", "a METAR or TAF in plain words"),
        Name("Check an authorization", "/check-authorization", "if an authorization covers a flight"),
        Name("Terrain", "/terrain", "how high the ground is"),
        Name("Height near a tower", "/height-near-tower", "how high next to a tower or building"),
        Name("Line of sight", "/line-of-sight", "how far away it gets, and what hides it"),
        Name("Way home", "/way-home", "if the battery lasts to fly home"),
        Name("Over people", "/over-people", "which categories allow it"),
    ),
)
"""The names by groups: looking, doing, keeping, and those that only the list of all pages holds."""

IN_HEAD = 3
"""So many groups stand in the head."""

IN_THE_FIELD = ("/today", "/before-flight", "/incident")
"""What stands in the head on a phone."""

PAGES: tuple[Page, ...] = (
    Page("/today", "today", of_facts=True),
    Page("/find", "find"),
    Page("/aircraft", "aircraft_list"),
    Page("/aircraft/{id:path}", "aircraft"),
    Page("/people", "people_list"),
    Page("/people/{id:path}", "person"),
    *(Page(f"/{name}", "write.job", "show", "act") for name in JOB_NAMES),
    Page("/deadlines", "deadlines", of_facts=True),
    Page("/deadlines.ics", "deadlines", "save"),
    Page("/record-change", "write.record", "show", "act", scope=SCOPE_OF_RECORDS),
    Page("/record-change/{act}", "write.act", "show", "act"),
    Page("/record-change/{act}/{subject:path}", "write.act", "show", "act"),
    Page("/take-back/{entry}", "write.take_back", "show", "act"),
    Page("/erase-personal-data/{id:path}", "write.erase_personal_data", "show", "act"),
    Page("/legal-hold", "write.legal_hold", "show", "act"),
    Page("/fix-entry-dates", "write.fix_entry_dates", "show", "act", scope=SCOPE_OF_RECORDS),
    Page("/document/{digest}", "document"),
    Page(
        "/attach-file/{subject:path}", "write.attach_file", "show", "act", files=True, scope=SCOPE_OF_RECORDS
    ),
    Page("/proof", "proof", "show", "act", of_facts=True),
    Page("/check-proof", "proof", "show_verify", "verify", files=True),
    Page("/seal-records", "proof", "show_checkpoint", "checkpoint", of_facts=True, scope=SCOPE_OF_RECORDS),
    Page("/incident", "write.incident", "show", "act", files=True, scope=SCOPE_OF_INCIDENT),
    Page("/notice-sent/{incident:path}", "write.notice_sent", "show", "act", scope=SCOPE_OF_RECORDS),
    Page("/which-registration", "prepare.which_registration", "show", "act", scope=SCOPE_OF_ANSWERS),
    Page("/which-registration.pdf", "prepare.which_registration", "save"),
    Page("/check-scenario", "prepare.check_scenario", "show", "act", files=True, scope=SCOPE_OF_ANSWERS),
    Page("/whose-name", "prepare.whose_name", scope=SCOPE_OF_ANSWERS),
    Page(
        "/which-registration/{subject:path}", "prepare.which_registration", "show_of", scope=SCOPE_OF_ANSWERS
    ),
    Page("/registration-sheets/{subject:path}", "prepare.which_registration", "save_of"),
    Page("/before-flight", "place.before_flight", "show", "act", of_facts=True, scope=SCOPE_OF_FLIGHT),
    Page("/after-flight", "place.after_flight", "show", "act", files=True, scope=SCOPE_OF_FLOWN),
    Page("/after-flights", "place.after_flights", "show", "act", files=True, scope=SCOPE_OF_FLOWN),
    Page("/daylight", "place.daylight", scope=SCOPE_OF_LIGHT),
    Page("/airspace", "place.airspace", scope=SCOPE_OF_AIRSPACE),
    Page("/way-home", "place.way_home", scope=SCOPE_OF_HOME),
    Page("/weather", "place.weather", "show", "act", scope=SCOPE_OF_WEATHER),
    Page("/check-authorization", "place.check_authorization", of_facts=True, scope=SCOPE_OF_AUTHORITY),
    Page("/terrain", "place.terrain", scope=SCOPE_OF_TERRAIN),
    Page("/height-near-tower", "place.height_near_tower", scope=SCOPE_OF_STRUCTURE),
    Page("/line-of-sight", "place.line_of_sight", scope=SCOPE_OF_SIGHT),
    Page("/over-people", "place.over_people", scope=SCOPE_OF_ANSWERS),
    Page("/batteries", "upkeep", "show_batteries", of_facts=True),
    Page("/maintenance", "upkeep", "show_maintenance", of_facts=True),
    Page("/training", "upkeep", "show_training", of_facts=True),
    Page("/penalties", "prepare.which_registration", "show_exposure", scope=SCOPE_OF_LAW),
    Page("/reports", "reports", scope=SCOPE_OF_RECORDS),
    Page("/reports/{kind}", "reports", "show_one", "act", of_facts=True, files=True, scope=SCOPE_OF_RECORDS),
    Page("/reports/{kind}/{form}", "reports", "save"),
    Page("/what-if", "write.what_if", of_facts=True),
    Page("/log-flight", "write.log_flight", "show", "act", of_facts=True, scope=SCOPE_OF_RECORDS),
    Page("/release/{aircraft:path}", "write.release", "show", "act", scope=SCOPE_OF_RECORDS),
    Page("/pilot-papers", "prepare.pilot_papers", of_facts=True),
    Page("/pilot-papers/{kind}", "prepare.pilot_papers", "save"),
    Page("/import", "write.import_file", "show", "act", files=True, scope=SCOPE_OF_RECORDS),
    Page("/first-run", "write.first_run", "show", "act", scope=""),
    Page("/rules", "rules", scope=SCOPE_OF_LAW),
    Page("/rules/{rule}", "rules", "show_rule", scope=SCOPE_OF_LAW),
)
"""Every address; each also answers with `.json` at its end."""

_FORMS = tuple((compile_path(page.path)[0], page) for page in PAGES if page.act)


def answer_of(page: Page, method: str, visit: Visit) -> Answer:
    """What a page answers to a visit; over an empty ledger the ways in, where it has nothing to show."""
    if page.of_facts and method != "POST" and visit.desk.is_empty:
        return _work(_WAYS_IN, "show")(visit)
    return _work(page.module, page.act if method == "POST" else page.show)(visit)


def most_bytes(path: str) -> int:
    """The most bytes that a request to an address may carry."""
    page = next((page for pattern, page in _FORMS if pattern.match(path)), None)
    if page is None:
        return 0
    return int(_loaded(page.module).MOST_BYTES) if page.files else _FORM_BYTES


def most_files(path: str) -> int:
    """The most files that a form at an address may carry."""
    page = next((page for pattern, page in _FORMS if pattern.match(path)), None)
    return _MOST_FILES if page is None else int(getattr(_loaded(page.module), "MOST_FILES", _MOST_FILES))


def load_all() -> Iterable[Callable[[Workspace, DayAsked], None]]:
    """Load every page beforehand; gives what makes ready, for a day, the things that some of them need."""
    modules = [_loaded(page.module) for page in PAGES]
    return [module.make_ready for module in dict.fromkeys(modules) if hasattr(module, "make_ready")]


def _work(module: str, name: str) -> Callable[[Visit], Answer]:
    return cast("Callable[[Visit], Answer]", getattr(_loaded(module), name))


@cache
def _loaded(module: str) -> ModuleType:
    return import_module(f"airwrit.web.pages.{module}")
