"""What rows say beside their facts: in service, out or gone, and what may matter and was not understood.

What was not understood is stated as such and holds the answer until somebody says that it does not matter.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.base.days import EARLIEST
from airwrit.facts.choices import CrewRole, ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import DESTROYED_ON, LOST_ON, SOLD_ON
from airwrit.facts.keys.person import CREW_ROLE, HAS_LEFT
from airwrit.facts.keys.service import GONE, HOLDS, SERVICE_STATUS
from airwrit.facts.statement import Known, Problem, Statement
from airwrit.intake.cell.column import Read
from airwrit.intake.cell.dates import day_within
from airwrit.intake.cell.value import Got, clean, shown
from airwrit.intake.layout import Block
from airwrit.intake.meaning.shapes import shapes_of
from airwrit.intake.meaning.status import (
    LETTERS,
    Bearing,
    Legend,
    color_named,
    denies,
    doubts_about_person,
    is_harmless,
    is_mended,
    is_returned,
    opens_harmless,
    person_says,
    says_it_was_mended,
    status_of,
    stops_in,
)
from airwrit.intake.meaning.values import STATUS_WORDS, flag_of
from airwrit.intake.reader.cells import Cell, Kind
from airwrit.intake.reader.looks import CellLook
from airwrit.intake.rows.fields import Field
from airwrit.intake.rows.rows import Table
from airwrit.intake.rows.statements import Told, cell_names, cells_shown, column_name

REMARKS, PERSON_STATUS, IS_CANCELED, COUNT = "remarks", "person_status", "is_canceled", "count"
_MATTERS = frozenset({"day", "month", "yesno", "flag", "status", "text", "weight", "reg", "cta"})
"""Shapes of values for which a column that was not understood holds its rows."""
_LONGEST, _SHORT = 200, 2
_RARE, _FEWEST_ROWS = 0.34, 4
_BLANK = ": nothing is written"
_FEW_TOLD, _MOSTLY_TOLD = 3, 0.6
"""How many rows, and which share, tell their status where one that does not is held."""
_SEVERITY = {
    status: place
    for place, status in enumerate(
        (*GONE, ServiceStatus.OUT_OF_SERVICE, ServiceStatus.SPARE, ServiceStatus.IN_SERVICE)
    )
}
_DAY_OF: Mapping[ServiceStatus, Key[date]] = {
    ServiceStatus.SOLD: SOLD_ON,
    ServiceStatus.LOST: LOST_ON,
    ServiceStatus.DESTROYED: DESTROYED_ON,
}
"""Ends of which the day is a fact of its own, told in place of the status where a cell names it."""


class StatusClaim(NamedTuple):
    """What one cell says of a row: a status with the day since when it is so, or a text to be held; and where it says so.

    A text that only tells of a repair is held unless a status column says that the aircraft is in service.
    """

    status: ServiceStatus | None
    text: str
    origin: str
    is_repair: bool = False

    @property
    def since(self) -> date:
        """The day that the text names, where it names one; else ever since."""
        return day_within(self.text) or EARLIEST if self.status is not None else EARLIEST


def watch(told: Told, table: Table, reads: Mapping[int, Read], legend: Legend) -> None:
    """State what the rows of a table of aircraft or people say of being in service, and what was not understood."""
    kind = table.block.table
    if kind not in ("aircraft", "person"):
        return
    claims: list[list[StatusClaim]] = [[] for _ in table.rows]
    for place, item, text in told.unclear:
        if kind == "person" and person_says(next(iter(text.split()), "")):
            continue
        where = table.cell_name(item.column, table.rows[place])
        claims[place].append(StatusClaim(None, _quoted(item, text), where))
    told.problems += _by_columns(claims, table, reads)
    _by_looks(claims, table, legend)
    for place, (mine, name) in enumerate(zip(claims, table.ids, strict=True)):
        is_blank = not told.by_row[place] and all(claim.text.endswith(_BLANK) for claim in mine)
        if mine and not is_blank:
            told.by_row[place] += _stated(f"{kind}/{name}", mine)


def _stated(subject: str, claims: Sequence[StatusClaim]) -> Iterator[Known]:
    """The worst that is said of being in service, and each text that is held, once."""
    kind = subject.partition("/")[0]
    statuses = [(claim.status, claim) for claim in claims if claim.status is not None]
    if statuses and kind == "aircraft":
        status, worst = min(statuses, key=lambda one: _SEVERITY[one[0]])
        since = worst.since
        dated = _DAY_OF.get(status) if since != EARLIEST else None
        if dated is not None:
            yield Known(Statement(subject, dated.name, since.isoformat()), worst.origin)
        else:
            yield Known(Statement(subject, SERVICE_STATUS.name, status.value, since), worst.origin)
    seen: set[str] = set()
    for claim in claims:
        if statuses and claim.text.endswith(_BLANK):
            continue
        if claim.status is None and claim.text not in seen:
            seen.add(claim.text)
            yield Known(Statement(subject, HOLDS[kind].text.name, claim.text), claim.origin)


def _quoted(item: Field, text: str) -> str:
    """A text as it is held, after the heading it stands under."""
    said = text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."
    return said if item.meaning == REMARKS or not item.heading else f"{item.heading}: {said}"


# ---- what columns say ------------------------------------------------------------------------------------------------


def _by_columns(claims: list[list[StatusClaim]], table: Table, reads: Mapping[int, Read]) -> list[Problem]:
    """Add what columns say of their rows; the remarks how notes were read."""
    notes: list[tuple[Field, Sequence[tuple[int, StatusClaim]]]] = []
    for item in table.fields:
        if item.meaning == SERVICE_STATUS.name and item.column in reads:
            _by_status(claims, table, item, reads[item.column])
        elif item.meaning in ("", REMARKS, PERSON_STATUS):
            notes.append((item, _by_texts(claims, table, item)))
        elif item.meaning == COUNT:
            _held_unless(claims, table, item, lambda text: text in ("", "1", "1.0"))
        elif item.meaning == IS_CANCELED:
            _held_unless(claims, table, item, lambda text: not text or flag_of(text) is False)
    for mine in claims:
        if any(claim.status is ServiceStatus.IN_SERVICE for claim in mine):
            mine[:] = [claim for claim in mine if not claim.is_repair]
    return [problem for item, found in notes for problem in _notes_read(claims, table, item, found)]


def _by_status(claims: list[list[StatusClaim]], table: Table, item: Field, read: Read) -> None:
    """What a status column says; a word that is not known is held."""
    said = sum(1 for got in read.gots if got.raw is not None or got.unclear or got.fault)
    is_own = item.variant == STATUS_WORDS and item.heading != SERVICE_STATUS.name
    is_mostly_told = is_own and said >= max(_FEW_TOLD, _MOSTLY_TOLD * len(read.gots))
    blank = StatusClaim(None, f"{item.heading}{_BLANK}", "") if is_mostly_told else None
    known: dict[tuple[Got, Cell], StatusClaim | None] = {}
    found: list[tuple[int, StatusClaim]] = []
    for place, pair in enumerate(zip(read.gots, table.cells(item.column), strict=True)):
        if pair not in known:
            known[pair] = _status_claim(item, *pair, blank)
        claim = known[pair]
        if claim is not None:
            found.append((place, claim))
    _add(claims, table, item, found)


def _status_claim(item: Field, got: Got, cell: Cell, blank: StatusClaim | None) -> StatusClaim | None:
    """What a cell of a status column says; `blank` is what one says in which nothing is written."""
    if isinstance(got.raw, str):
        return StatusClaim(ServiceStatus(got.raw), cell.text, "")
    if got.unclear or got.fault:
        return StatusClaim(None, _quoted(item, got.unclear or cell.text), "")
    return blank if got.raw is None else None


def _add(
    claims: list[list[StatusClaim]], table: Table, item: Field, found: Sequence[tuple[int, StatusClaim]]
) -> None:
    """Add what cells of a column say to what is said of their rows, each with its cell."""
    origins = cell_names(table, item, [place for place, _ in found])
    for (place, claim), origin in zip(found, origins, strict=True):
        claims[place].append(claim._replace(origin=origin))


def _held_unless(
    claims: list[list[StatusClaim]], table: Table, item: Field, is_harmless: Callable[[str], bool]
) -> None:
    """Hold each row whose cell in a column says something that is not harmless."""
    found = [
        (place, StatusClaim(None, _quoted(item, cell.text), ""))
        for place, cell in enumerate(table.cells(item.column))
        if not is_harmless(cell.text.strip())
    ]
    _add(claims, table, item, found)


def _by_texts(
    claims: list[list[StatusClaim]], table: Table, item: Field
) -> Sequence[tuple[int, StatusClaim]]:
    """Add what the cells of a column say that is no fact: remarks, what was put aside, what was not understood."""
    cells = table.cells(item.column)
    known = {cell: _said_in(cell, item, table.block) for cell in set(cells) if cell.kind is not Kind.EMPTY}
    found = [(place, claim) for place, cell in enumerate(cells) for claim in known.get(cell, ())]
    _add(claims, table, item, found)
    return found


def _notes_read(
    claims: Sequence[Sequence[StatusClaim]],
    table: Table,
    item: Field,
    found: Sequence[tuple[int, StatusClaim]],
) -> Iterator[Problem]:
    """The remark what was concluded from each note about an aircraft: its status, or that something was mended."""
    if table.block.table != "aircraft":
        return
    read: dict[tuple[str, str], list[int]] = {}
    for place, claim in found:
        if claim.status is not None:
            read.setdefault((claim.text, claim.status.value), []).append(place)
    for place, cell in enumerate(table.cells(item.column)) if item.meaning == REMARKS else ():
        is_held = any(claim.is_repair for claim in claims[place])
        if cell.kind is Kind.TEXT and says_it_was_mended(cell.text) and not is_held:
            read.setdefault((clean(cell.text).text, "repaired, so it changes nothing"), []).append(place)
    for (text, means), places in read.items():
        cells = cells_shown(table, item, [table.rows[place] for place in places])
        what = f"{shown(text)} was read as: {means} ({cells})"
        yield Problem(column_name(table, item), what, "if that's wrong, say it in a status column")


def _said_in(cell: Cell, item: Field, block: Block) -> list[StatusClaim]:
    """What a cell of a column that is no fact says, without its place."""
    found = list(_said(cell, item, block.table))
    is_asked = bool(item.match.why) and not item.meaning and item.match.how == "unknown"
    is_odd = item.meaning == PERSON_STATUS and status_of(cell.text) is not ServiceStatus.IN_SERVICE
    is_remark = item.meaning == REMARKS and cell.kind is Kind.TEXT
    is_left = is_remark and _is_left_open(clean(cell.text).text, block)
    if not found and (is_odd or is_left or (is_asked and _may_matter(cell))):
        found = [StatusClaim(None, _quoted(item, clean(cell.text).text), "")]
    return found


def _is_left_open(text: str, block: Block) -> bool:
    """Whether a remark may say more than is understood of it; beside an aircraft, one of the person only where it denies."""
    if block.table == "aircraft":
        return not is_harmless(text)
    if person_says(text):
        return False
    said = _OF_NUMBERS.sub(" ", text)
    stops = any(stop.bearing is not Bearing.DOUBT for stop in stops_in(said))
    if block.is_part:
        return not stops and denies(said)
    return not is_harmless(said, of_person=True) or (stops and not opens_harmless(said))


_OF_NUMBERS = re.compile(
    r"\bno (?:faa )?(?:#|numbers?|reg\w*) (?:is |are )?(?:needed|required|necessary)", re.IGNORECASE
)
"""What a remark about a person says of the numbers of aircraft, which changes nothing of the person."""


def _may_matter(cell: Cell) -> bool:
    """Whether a cell of a column that was not understood may matter: anything but a plain name."""
    shapes = shapes_of(cell)
    if shapes & _MATTERS or cell.kind is not Kind.TEXT:
        return bool(shapes)
    return any(sign.isdigit() for sign in cell.text)


def _said(cell: Cell, item: Field, kind: str) -> Iterator[StatusClaim]:
    """What a text says: that the aircraft is gone or out, or what has to be asked."""
    if cell.kind is not Kind.TEXT:
        return
    text = clean(cell.text).text
    if item.meaning == "" and not _is_worth_reading(cell, item):
        return
    if kind == "person":
        if doubts_about_person(text) and not person_says(text):
            yield StatusClaim(None, _quoted(item, text), "")
        return
    stops = stops_in(text)
    sure = [stop for stop in stops if not stop.about_part]
    gone = next((stop for stop in sure if stop.bearing is Bearing.GONE), None)
    if gone is not None and "?" not in text:
        yield StatusClaim(gone.status, text, "")
    elif any(stop.bearing is Bearing.OUT for stop in sure) and not is_mended(text):
        yield StatusClaim(ServiceStatus.OUT_OF_SERVICE, text, "")
    elif stops:
        yield StatusClaim(None, _quoted(item, text), "")
    elif says_it_was_mended(text) and not is_returned(text):
        yield StatusClaim(None, _quoted(item, text), "", is_repair=True)


def _is_worth_reading(cell: Cell, item: Field) -> bool:
    """Whether a cell of a column put aside may hold a remark: words, no code, name of a person or address."""
    shapes = shapes_of(cell)
    if item.match.how == "unknown":
        return True
    return bool(shapes & {"text", "name", "status"}) and not shapes & {"email", "phone", "person", "serial"}


def person_statements(table: Table) -> Iterator[tuple[int, Known]]:
    """By place, that a person has left, or does something else than fly, as a cell of the row says in whole."""
    for item in table.fields:
        is_fact = item.meaning not in ("", "id", REMARKS, PERSON_STATUS, "role")
        gots = table.read(item).gots if is_fact else ()
        for place, cell in enumerate(table.cells(item.column)):
            if is_fact and not (gots[place].fault or gots[place].unclear):
                continue
            said = person_says(cell.text) if cell.kind is Kind.TEXT and len(cell.text) < _LONGEST else ""
            if is_fact and not person_says(next(iter(cell.text.split()), "")):
                continue
            if not said:
                continue
            where, subject = table.cell_name(item.column, table.rows[place]), f"person/{table.ids[place]}"
            if said == "left" and item.meaning == "role":
                text = _quoted(item, clean(cell.text).text)
                yield place, Known(Statement(subject, HOLDS["person"].text.name, text), where)
            elif said == "left":
                yield place, Known(Statement(subject, HAS_LEFT.name, True), where)
            elif item.meaning == "role" or said == "observer" or len(cell.text.split()) <= _SHORT:
                role = CrewRole.OBSERVER if said == "observer" else CrewRole.OTHER
                yield place, Known(Statement(subject, CREW_ROLE.name, role.value), where)


# ---- what the eye sees -----------------------------------------------------------------------------------------------


def _by_looks(claims: list[list[StatusClaim]], table: Table, legend: Legend) -> None:
    """What rows struck out, filled, hidden or commented say."""
    sheet, view = table.sheet, table.view
    if legend.get(LETTERS) and not any(look.ink for look in sheet.looks.values()):
        for place, index in enumerate(table.rows):
            text = f"{legend[LETTERS]} (no color of letters is in the file)"
            claims[place].append(StatusClaim(None, text, table.where(index)))
    if not sheet.looks and not sheet.hidden_rows and not sheet.hidden_columns and not sheet.hidden:
        return
    fills, inks = _colors(table, lambda look: look.fill), _colors(table, lambda look: look.ink)
    hidden = _hidden_fields(table)
    for place, index in enumerate(table.rows):
        is_struck = _is_struck(table, index)
        if is_struck:
            claims[place].append(StatusClaim(None, "the row is struck out", table.where(index)))
        for column in range(len(view.rows[index])):
            claims[place] += _seen_in(table, index, column, is_struck=is_struck)
        for item in hidden:
            if view.cell(index, item.column).kind is not Kind.EMPTY:
                text = f"the {'row' if view.turned else 'column'} {item.heading or item.letter} is hidden"
                claims[place].append(StatusClaim(None, text, table.cell_name(item.column, index)))
        at = view.place(index, 0)
        if sheet.hidden or (at[1] in sheet.hidden_columns if view.turned else at[0] in sheet.hidden_rows):
            claims[place].append(StatusClaim(None, "the row is hidden", table.where(index)))
        for what, colors in (("the row is filled", fills), ("the letters are", inks)):
            if colors[place]:
                claims[place] += _colored(what, legend, table, place, colors)


def _hidden_fields(table: Table) -> list[Field]:
    """The columns that nobody sees and that are read as facts; the rows of a table on its side."""
    sheet, view = table.sheet, table.view
    if sheet.hidden or not table.rows:
        return []
    first = table.rows[0]
    places = [(item, view.place(first, item.column)) for item in table.fields if item.meaning]
    return [
        item
        for item, (row, column) in places
        if (row in sheet.hidden_rows if view.turned else column in sheet.hidden_columns)
    ]


def _is_struck(table: Table, index: int) -> bool:
    """Whether all that is written in a row is struck out, in several cells."""
    written = [place for place, cell in enumerate(table.view.rows[index]) if cell.kind is not Kind.EMPTY]
    looks = [table.sheet.looks.get(table.view.place(index, column)) for column in written]
    return len(looks) > 1 and all(look is not None and look.struck and not look.struck_part for look in looks)


def _seen_in(table: Table, index: int, column: int, *, is_struck: bool) -> Iterator[StatusClaim]:
    """What is struck out, noted or ticked in a cell; in a row struck out as a whole what else is seen."""
    at, cell = table.view.place(index, column), table.view.rows[index][column]
    look = table.sheet.looks.get(at)
    if look is None or (cell.kind is Kind.EMPTY and not look.note):
        return
    where = table.cell_name(column, index)
    if look.struck and not is_struck:
        yield StatusClaim(None, f"struck out: {clean(look.struck_part or cell.text).text}", where)
    if look.note:
        yield _noted(look.note, where, table.block.table)
    if look.box is not None:
        yield StatusClaim(None, f"check box: {'checked' if look.box else 'not checked'}", where)


def _noted(note: str, where: str, kind: str) -> StatusClaim:
    text = " ".join(note.split())
    stops = [stop for stop in stops_in(text) if not stop.about_part]
    if kind == "aircraft" and stops and stops[0].bearing is Bearing.GONE and "?" not in text:
        return StatusClaim(stops[0].status, text, where)
    if kind == "aircraft" and stops and stops[0].bearing is Bearing.OUT:
        return StatusClaim(ServiceStatus.OUT_OF_SERVICE, text, where)
    return StatusClaim(None, f"comment: {text[:_LONGEST]}", where)


def _colors(table: Table, color_of: Callable[[CellLook], str]) -> list[str]:
    """The color of each row: that of most of its colored cells; "" for none."""
    found = []
    for index in table.rows:
        colors: Counter[str] = Counter()
        cells = table.view.rows[index]
        said = 0
        for column, cell in enumerate(cells):
            if cell.kind is not Kind.EMPTY:
                said += 1
                look = table.sheet.looks.get(table.view.place(index, column))
                if look is not None and color_of(look):
                    colors[color_of(look)] += 1
        best = colors.most_common(1)
        found.append(best[0][0] if best else "")
    return found


def _colored(
    what: str, legend: Legend, table: Table, place: int, colors: Sequence[str]
) -> Iterator[StatusClaim]:
    """What the color of a row says: what a legend tells of it, else that it singles out some rows."""
    where = table.where(table.rows[place])
    name = color_named(colors[place])
    words = legend.get(name)
    if words is not None:
        stops = [stop for stop in stops_in(words) if stop.bearing is not Bearing.DOUBT]
        said = status_of(words) or (stops[0].status or ServiceStatus.OUT_OF_SERVICE if stops else None)
        yield StatusClaim(said, "" if said else f"{name}: {words}", where)
        return
    rare = colors.count(colors[place]) <= max(1, int(_RARE * len(colors)))
    if rare and len(colors) >= _FEWEST_ROWS:
        yield StatusClaim(None, f"{what} {name}", where)


def legend_problem(table: Table, legend: Legend) -> list[Problem]:
    """The remark how colors of rows were read."""
    if not legend or not table.sheet.looks:
        return []
    told = "; ".join(f"{name} = {words}" for name, words in legend.items())
    return [
        Problem(
            table.sheet.label, f"we read the row colors by the sheet's legend: {told}", "check these rows"
        )
    ]
