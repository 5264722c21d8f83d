"""Every page there is: one tuple of addresses, and the names in the head and the contents."""

from __future__ import annotations

from starlette.routing import compile_path

from airwrit.web.pages import (
    act,
    aircraft,
    aircraft_record,
    ask,
    attach,
    bring_in,
    carry,
    document,
    due,
    enter,
    first_run,
    law,
    people,
    person_record,
    proof,
    release,
    standing,
    what_if,
)
from airwrit.web.sheets import Name, Page

NAMES: tuple[tuple[Name, ...], ...] = (
    (
        Name("Standing", "/standing", "what may fly, what may not and why, what is due"),
        Name("Aircraft", "/aircraft", "every aircraft, and all that is on record of one"),
        Name("People", "/people", "certificates, recency, papers, who answers for what"),
        Name("Due", "/due", "what falls due over three years, what it costs, a calendar of it"),
        Name("Law", "/law", "every rule, its numbers through time, where they stand"),
    ),
    (
        Name("Ask", "/ask", "which way an aircraft must be registered, by questions"),
        Name("What if", "/what-if", "two futures side by side: with an act and without it"),
        Name("Enter", "/enter", "a flight by hand; hours and battery cycles; release after a defect"),
        Name("Carry", "/carry", "a pilot's pack for a day, for the phone with no network and on paper"),
    ),
    (
        Name(
            "Proof",
            "/proof",
            "how things stood on a day, for an inspector, client or insurer; check such a file",
        ),
        Name("Import", "/import", "bring in a spreadsheet, or the flights of a carry pack"),
    ),
)
"""The names by groups: looking, asking and writing, keeping. A page stands here only when it exists."""

PAGES: tuple[Page, ...] = (
    Page("/standing", standing.show),
    Page("/aircraft", aircraft.show),
    Page("/aircraft/{id:path}", aircraft_record.show),
    Page("/people", people.show),
    Page("/people/{id:path}", person_record.show),
    Page("/due", due.show),
    Page("/due.ics", due.save),
    Page("/act/{act}", act.show, act.act),
    Page("/act/{act}/{subject:path}", act.show, act.act),
    Page("/document/{digest}", document.show),
    Page("/attach/{subject:path}", attach.show, attach.act, attach.MOST_BYTES),
    Page("/proof", proof.show, proof.act),
    Page("/proof/verify", proof.show_verify, proof.verify, proof.MOST_BYTES),
    Page("/proof/checkpoint", proof.show_checkpoint, proof.checkpoint),
    Page("/ask", ask.show, ask.act),
    Page("/ask.pdf", ask.save),
    Page("/ask/{subject:path}", ask.show_of),
    Page("/worksheet/{subject:path}", ask.save_of),
    Page("/exposure", ask.show_exposure),
    Page("/what-if", what_if.show),
    Page("/enter", enter.show, enter.act),
    Page("/release/{aircraft:path}", release.show, release.act),
    Page("/carry", carry.show),
    Page("/carry/{kind}", carry.save),
    Page("/import", bring_in.show, bring_in.act, bring_in.MOST_BYTES),
    Page("/first-run", first_run.show, first_run.act),
    Page("/law", law.show),
    Page("/law/{rule}", law.show_rule),
)
"""Every address; each also answers with `.json` at its end."""

_LIMITS = tuple((compile_path(page.path)[0], page.most_bytes) for page in PAGES if page.act is not None)


def most_bytes(path: str) -> int:
    """The most bytes that a request to an address may carry."""
    return next((most for pattern, most in _LIMITS if pattern.match(path)), 0)
