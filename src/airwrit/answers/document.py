"""What every answer's JSON document has in common: what it is based on, what it is not, how it is written."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from airwrit.base.days import When

Json = dict[str, Any]

NOT_CHECKED = ("airspace", "weather", "people below", "the aircraft's condition")
"""What no answer about papers looks at."""

SCOPE = f"Based on papers on file. Not checked: {', '.join(NOT_CHECKED)}."
"""Said once at the top of every face that judges papers."""

SCOPE_OF_RECORDS = "Based on what was recorded. Not checked: the law, the aircraft, the flight."
"""Said once at the top of every face that shows what is on record and judges nothing."""

CAUTION = (
    "airwrit gives information, not legal advice. The FAA and the pilot in command decide. "
    "State and local rules are not checked."
)
"""Said once at the end of every face and in every document."""

SCOPE_OF_ANSWERS = "Based on what you told us. Not checked: your answers, and the aircraft itself."
"""Said once at the top of an answer to facts that somebody told for it."""

SCOPE_OF_LIGHT = (
    "Worked out for a level horizon at sea level. Not counted: hills, clouds, how well you can see."
)
"""Said once at the top of an answer about the sun."""

SCOPE_OF_FLIGHT = (
    "Based on papers on file, the data you added and what you confirm. "
    "Not checked: current NOTAMs and TFRs, state and local law, landowner rules."
)
SCOPE_OF_FLOWN = (
    "Based on the flight log, and on papers and data on file. "
    "Not checked: who could see the aircraft, people below, and the aircraft's condition."
)
SCOPE_OF_WEATHER = "Based on the report you entered. Not checked: whether there is a newer report, and what you see yourself."
"""Said once at the top of an answer about a weather report."""

SCOPE_OF_AUTHORITY = (
    "Based on the papers and facts on file. Not checked: other rules, other airspace, your answers."
)
"""Said once at the top of an answer about the authority of a flight."""

SCOPE_OF_TERRAIN = "Based on the terrain tiles on file. Not checked: towers, trees, airspace."
"""Said once at the top of an answer about the ground."""

SCOPE_OF_SIGHT = (
    "This is geometry only. It leaves out haze, light, background, glare and trees. Your own eyes decide."
)
"""Said once at the top of an answer about sight."""

SCOPE_OF_STRUCTURE = (
    "Based on your answers about the structure. Not checked: airspace on file, notices, the structure itself."
)
"""Said once at the top of an answer about a structure beside a flight."""

SCOPE_OF_AIRSPACE = (
    "Based on the airspace data on file. Not checked: newer restrictions and notices, weather, people below."
)
"""Said once at the top of an answer about airspace."""

SCOPE_OF_INCIDENT = (
    "Based on your answers. Not checked: what a doctor or a repair shop will find later. If in doubt, call."
)
"""Said once at the top of an answer about an incident."""

SCOPE_OF_HOME = "Based on the speeds, wind and battery you entered. Not counted: climbs, turns, cold weather, an old battery."
"""Said once at the top of an answer about the way home."""

SCOPE_OF_LAW = "Based on the law as we last read it. Not checked: your aircraft, people and flights."
"""Said once at the top of an answer about rules and penalties alone."""

SCOPE_OF_NUMBERS = "Based on the format alone. Not checked: any FAA record."
"""Said once at the top of an answer about a number."""

SCOPE_OF_LINKS = "Based on the address alone. Not checked: the site itself, which we don't open."
"""Said once at the top of an answer about a web address."""

ON_PAPERS: Json = {"scope": SCOPE, "caution": CAUTION}
ON_RECORDS: Json = {"scope": SCOPE_OF_RECORDS, "caution": CAUTION}
ON_ANSWERS: Json = {"scope": SCOPE_OF_ANSWERS, "caution": CAUTION}
"""What documents carry of it."""


def instant_text(when: When) -> str:
    """A day or instant in ISO form."""
    return when.isoformat()


def json_pieces(document: object) -> Iterator[str]:
    """The text of a document in pieces. A member whose rows are still to be made (an iterator) has them made one at a time."""
    if not isinstance(document, dict):
        yield from _value(document)
        return
    before = "{\n"
    for name, value in document.items():
        yield f"{before}{json.dumps(name)}: "
        yield from _value(value)
        before = ",\n"
    yield "\n}" if document else "{}"


def _value(value: Any) -> Iterator[str]:
    is_rows = isinstance(value, Iterator) or (isinstance(value, list | tuple) and any(map(_is_row, value)))
    if not is_rows:
        yield json.dumps(value)
        return
    before = "[\n"
    for row in value:
        yield before + json.dumps(row)
        before = ",\n"
    yield "[]" if before == "[\n" else "\n]"


def _is_row(value: object) -> bool:
    return isinstance(value, dict | list | tuple)


def made(document: Json) -> Json:
    """The same document with all of its rows made."""
    return {name: list(value) if isinstance(value, Iterator) else value for name, value in document.items()}
