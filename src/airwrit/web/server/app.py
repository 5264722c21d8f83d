"""The page as an ASGI application: a request becomes a visit, a page answers, the answer is rendered."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Awaitable, Callable
from contextlib import suppress
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartParser
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from airwrit.answers.document import CAUTION
from airwrit.base.errors import AirwritError
from airwrit.base.faults import of_the_machine, own_fault
from airwrit.ledger.given_out import noted
from airwrit.web.server.forms import CLOCK, IS_RIGHT, OWN, PUT_BACK, ClockAsked, ClockBehind, Resent, Stale
from airwrit.web.server.guard import POLICY_NAME, SANDBOX, Guard, Session
from airwrit.web.server.program import program_name
from airwrit.web.server.render import PageFrame, html_of, static_file
from airwrit.web.server.site import FIRST, NAMES, PAGES, Page, answer_of, load_all, most_bytes, most_files
from airwrit.web.server.trouble import Refused, Trouble, of_error, of_the_machine_trouble, plain
from airwrit.web.server.visit import Download, PageSheet, Picture, Redirect, SentFile, Visit
from airwrit.web.server.workspace import DayAsked, Workspace, asked_of

_MOST_FIELDS = 400
_YEAR_S = 31_536_000


def site_of(desk: Workspace, session: Session, port: int) -> ASGIApp:
    """The routes of every page behind the guard."""
    routes = [Route("/", _first), Route("/static/{name}", _static)]
    for page in PAGES:
        methods = ["GET", "POST"] if page.act else ["GET"]
        routes.append(Route(page.path + ".json", _endpoint(desk, page, twin=True), methods=["GET"]))
        routes.append(Route(page.path, _endpoint(desk, page, twin=False), methods=methods))

    async def on_http(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 500
        return _told(desk, request, plain(status, request.url.path))

    async def on_fault(request: Request, error: Exception) -> Response:
        _say(own_fault(error))
        return _told(desk, request, plain(500, request.url.path))

    async def refuse(trouble: Trouble, scope: Scope, receive: Receive, send: Send) -> None:
        await _told(desk, Request(scope), trouble)(scope, receive, send)

    app = Starlette(routes=routes, exception_handlers={HTTPException: on_http, Exception: on_fault})
    return Guard(GZipMiddleware(app), session, port, refuse, most_bytes)


def make_ready(desk: Workspace, pause_s: float = 0) -> None:
    """Judge today; after a pause for the first page load the other pages, and read what sheets and acts need.

    What is wrong with the ledger is told by its pages.
    """
    with suppress(AirwritError):
        if not desk.is_empty:
            desk.standing(_today(desk))
    time.sleep(pause_s)
    works = load_all()
    with suppress(AirwritError):
        if not desk.is_empty:
            for work in works:
                work(desk, _today(desk))


def _first(request: Request) -> Response:
    query = request.url.query
    return RedirectResponse(FIRST + (f"?{query}" if query else ""), 303)


def _static(request: Request) -> Response:
    found = static_file(request.path_params["name"])
    if found is None:
        raise HTTPException(404)
    kept = {"cache-control": f"public, max-age={_YEAR_S}, immutable"}
    return Response(found.content, headers=kept, media_type=found.media_type)


def _endpoint(desk: Workspace, page: Page, *, twin: bool) -> Callable[[Request], Awaitable[Response]]:
    async def answered(request: Request) -> Response:
        try:
            visit = await _visit(desk, request)
            return await run_in_threadpool(_response, page, request.method, visit, twin)
        except Refused as refused:
            return _told(desk, request, refused.trouble)
        except Stale as stale:
            return await run_in_threadpool(_stale, stale, visit)
        except Resent as resent:
            return await run_in_threadpool(_resent, resent, visit)
        except ClockAsked as asked:
            return await run_in_threadpool(_clock, asked, visit)
        except ClockBehind as behind:
            return await run_in_threadpool(_clock_behind, behind, visit)
        except AirwritError as error:
            return _told(desk, request, of_error(error, request.url.path))
        except ClientDisconnect:
            _say("a browser stopped in the middle of sending. Nothing from it was kept")
            return Response(status_code=400)
        except (OSError, MemoryError) as error:
            _say(str(of_the_machine(error)))
            return _told(desk, request, of_the_machine_trouble(error, request.url.path))

    return answered


def _say(line: str) -> None:
    """One line on the terminal that the server runs in; where that is gone there is nobody to tell."""
    with suppress(OSError, ValueError):
        sys.stderr.write(f"airwrit: {line}\n")
        sys.stderr.flush()


def _note_given(desk: Workspace, file: Download) -> None:
    """Note in the ledger that a file of it is given out; on the terminal, why that cannot be."""
    if file.what:
        with desk.opened() as book:
            trouble = noted(book, file.what, file.name, desk.clock, file.about)
        if trouble:
            _say(f"that {file.name} was saved could not be noted ({trouble})")


def _stale(stale: Stale, visit: Visit) -> Response:
    """What was written since a form was made, and what was typed into it."""
    told = {"since": stale.since, "typed": _typed(visit)}
    return _about_form(visit, PageSheet("stale.html", "Problem: someone saved a change first", told))


def _resent(resent: Resent, visit: Visit) -> Response:
    """That a form was saved once, with other values than those that were typed into it now."""
    told = {"to": resent.to, "typed": _typed(visit)}
    return _about_form(visit, PageSheet("resent.html", "Trouble: saved already", told))


def _clock(asked: ClockAsked, visit: Visit) -> Response:
    """The question whether the clock is right, with all that the form said, to be sent again."""
    fields = [(name, value) for name, values in visit.chosen.items() for value in values if name != CLOCK]
    told = {"says": str(asked), "fields": fields, "typed": _typed(visit), "clock": (CLOCK, IS_RIGHT)}
    return _about_form(visit, PageSheet("clock_asked.html", "Problem: is the clock right?", told))


def _clock_behind(behind: ClockBehind, visit: Visit) -> Response:
    """That the last entry is stamped later than the clock, what was typed, and the way back."""
    told = {"says": str(behind), "typed": _typed(visit), "to": PUT_BACK}
    return _about_form(visit, PageSheet("clock_behind.html", "Problem: the last entry is dated ahead", told))


def _typed(visit: Visit) -> list[tuple[str, str]]:
    return [(name, value) for name, value in visit.said.items() if name not in OWN and value]


def _about_form(visit: Visit, sheet: PageSheet) -> Response:
    return _html(sheet, PageFrame(program_name(visit.desk, visit.asked), NAMES, visit.asked, visit.path), 409)


async def _visit(desk: Workspace, request: Request) -> Visit:
    """The visit that a request makes. UsageError on a day or moment that is none."""
    asked = asked_of(request.query_params, desk.clock())
    path, query = _path_of(request), dict(request.query_params)
    if request.method != "POST":
        several = {name: request.query_params.getlist(name) for name in query}
        return Visit(desk, asked, path, request.path_params, query, chosen=several)
    most = most_bytes(request.url.path)
    chosen: dict[str, list[str]] = {}
    files: dict[str, list[SentFile]] = {}
    MultiPartParser.spool_max_size = max(
        MultiPartParser.spool_max_size, most
    )  # files stay in memory, off the disk
    form = request.form(max_files=most_files(request.url.path), max_fields=_MOST_FIELDS, max_part_size=most)
    async with form as given:
        for name, value in given.multi_items():
            if isinstance(value, UploadFile):
                files.setdefault(name, []).append(SentFile(value.filename or "", await value.read()))
            else:
                chosen.setdefault(name, []).append(value.replace("\r\n", "\n"))
    said = {name: values[-1] for name, values in chosen.items()}
    return Visit(desk, asked, path, request.path_params, query, said, chosen, files)


def _path_of(request: Request) -> str:
    """The path of a request as it stands in an address, so that a page can link to itself whatever its subject is called."""
    return quote(request.scope["path"])


def _response(page: Page, method: str, visit: Visit, twin: bool) -> Response:
    """What a page answers, as a response; runs in a worker thread."""
    answer = answer_of(page, method, visit)
    if isinstance(answer, Redirect):
        return RedirectResponse(answer.to, 303)
    if isinstance(answer, Download):
        if method != "HEAD":
            _note_given(visit.desk, answer)
        named = f"attachment; filename*=UTF-8''{quote(answer.name, safe='')}"
        return Response(answer.content, headers={"content-disposition": named}, media_type=answer.media_type)
    if isinstance(answer, Picture):
        return Response(answer.content, headers={POLICY_NAME: SANDBOX}, media_type=answer.media_type)
    if twin:
        if answer.twin is None:
            raise HTTPException(404)
        return _json(
            _framed(answer.twin(), page.scope if answer.scope is None else answer.scope), answer.status
        )
    program = program_name(visit.desk, visit.asked)
    around = PageFrame(program, NAMES, visit.asked, visit.path, page.scope, visit.just_written)
    return _html(answer, around, answer.status)


def _framed(document: object, scope: str) -> object:
    """A document with what it is based on and the caution, where it does not carry them itself."""
    if not isinstance(document, dict):
        return document
    return {**({"scope": scope} if scope else {}), "caution": CAUTION, **document}


def _told(desk: Workspace, request: Request, trouble: Trouble) -> Response:
    """A trouble as a page, or as JSON where JSON was asked for."""
    if request.url.path.endswith(".json"):
        told = {"error": trouble.title, **trouble._asdict()}
        return _json(told, trouble.status)
    asked = _today(desk)
    names = () if trouble.status == 403 else NAMES
    around = PageFrame("airwrit", names, asked, _path_of(request))
    return _html(PageSheet("trouble.html", f"Trouble: {trouble.title}", trouble), around, trouble.status)


def _today(desk: Workspace) -> DayAsked:
    return asked_of({}, desk.clock())


def _html(sheet: PageSheet, around: PageFrame, status: int) -> Response:
    return Response(html_of(sheet, around), status, media_type="text/html; charset=utf-8")


def _json(document: object, status: int) -> Response:
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
    return Response(text, status, media_type="application/json")
