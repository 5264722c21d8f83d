"""Keys of a person who flies or answers for flights, and of the tests and training on file for that person."""

from __future__ import annotations

from datetime import date
from typing import Any

from airwrit.facts.choices import CrewRole, EventKind, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.service import PERSON_HOLD_KEYS

ROLE = Key(
    "role",
    str,
    "pilot",
    "role in the program",
    "What does the person do?",
    ("role", "position", "job", "duty", "title"),
)
CREW_ROLE = Key(
    "crew_role",
    CrewRole,
    "pilot",
    "flying role",
    "Is the person a pilot, a visual observer, an instructor or office staff?",
    ("crew role",),
)
FLIES_FOR = Key(
    "flies_for",
    UsedFor,
    "pilot",
    "purpose of the person's flying",
    "Does the person fly for work, for recreation, or both?",
    ("flies for", "flies", "use", "purpose"),
)
FLIES_AT_NIGHT = Key(
    "flies_at_night",
    bool,
    "pilot",
    "whether the person flies at night",
    "Does the person fly at night?",
    ("flies at night", "night", "night pilot", "night flights"),
)
HAS_CERTIFICATE = Key(
    "has_certificate",
    bool,
    "pilot",
    "remote pilot certificate",
    "Does the person hold a remote pilot certificate?",
    ("remote pilot", "certificated", "has certificate", "part 107", "part 107 certificate", "107 certified"),
)
CERTIFICATE_NUMBER = Key(
    "certificate_number",
    str,
    "pilot",
    "remote pilot certificate number",
    "What number is on the remote pilot certificate?",
    (
        "certificate number",
        "certificate no",
        "certificate #",
        "cert no",
        "cert #",
        "remote pilot certificate",
        "107 number",
        "remote pilot number",
    ),
    digits=True,
    private=True,
    lasting=True,
)
TEMPORARY_ISSUED_ON = Key(
    "temporary_issued_on",
    date,
    "pilot",
    "issue date of a temporary certificate",
    "When was the temporary certificate issued?",
    ("temporary certificate issued", "temporary issued on", "temporary certificate", "temp certificate"),
    lasting=True,
)
BORN_ON = Key(
    "born_on",
    date,
    "pilot",
    "birthday",
    "When was the person born?",
    ("born", "born on", "birthday", "date of birth", "dob"),
    private=True,
    lasting=True,
)
PART_61_PILOT = Key(
    "part_61_pilot",
    bool,
    "pilot",
    "Part 61 pilot certificate, other than student",
    "Does the person hold a Part 61 pilot certificate other than student?",
    ("part 61 pilot", "part 61", "crewed pilot"),
)
FLIGHT_REVIEW_ON = Key(
    "flight_review_on",
    date,
    "pilot",
    "date of the last flight review (61.56)",
    "When was the last flight review?",
    ("flight review", "flight review on", "last flight review", "bfr"),
)
ADDRESS_CHANGED_ON = Key(
    "address_changed_on",
    date,
    "pilot",
    "date the mailing address changed",
    "When did the mailing address change?",
    ("address changed", "address changed on", "moved", "moved on"),
)
ADDRESS_TOLD_ON = Key(
    "address_told_on",
    date,
    "pilot",
    "date the FAA was notified of the new address",
    "When was the FAA notified?",
    ("address told on", "faa told on", "address told"),
)
SAFETY_TEST_ON = Key(
    "safety_test_on",
    date,
    "pilot",
    "date the recreational safety test was passed",
    "When was the recreational safety test passed?",
    (
        "safety test",
        "recreational test",
        "recreational safety test",
        "recreational knowledge test",
        "safety test on",
    ),
)
SAFETY_TEST_PROOF = Key(
    "safety_test_proof",
    bool,
    "pilot",
    "proof of the recreational safety test",
    "Do you have proof of the recreational safety test?",
    ("safety test proof", "test proof", "proof kept"),
)
SUPERVISED = Key(
    "supervised",
    bool,
    "pilot",
    "a remote pilot in command stands by to take over",
    "Does a remote pilot in command stand by who can take over immediately?",
    ("supervised", "under supervision"),
)
LEFT_ON = Key(
    "left_on",
    date,
    "pilot",
    "date the person left the program",
    "When did the person leave?",
    ("left", "left on", "leaving date", "end date", "last day"),
    lasting=True,
)

HAS_LEFT = Key(
    "has_left",
    bool,
    "pilot",
    "whether the person left the program",
    "Did the person leave the program?",
    ("has left", "left the program"),
)
ALSO_CALLED: Key[tuple[str, ...]] = Key(
    "also_called",
    tuple,
    "pilot",
    "other names the person goes by in sheets",
    "Which other names does the person go by?",
    ("also called",),
)
NOT_CALLED: Key[tuple[str, ...]] = Key(
    "not_called",
    tuple,
    "pilot",
    "similar names in sheets that belong to other people",
    "Which similar names are other people?",
    ("not called",),
)
RECURRENT_DUE_ON = Key(
    "recurrent_due_on",
    date,
    "pilot",
    "due date of the recurrent training on file",
    "When is the recurrent training due?",
    (
        "recurrent due",
        "recurrent training due",
        "current through",
        "current until",
        "next recurrent",
    ),
)

EVENT_OF = Key(
    "event_of",
    str,
    "training",
    "whose test or training it is",
    "Whose test or training is it?",
    ("person", "pilot", "name", "who", "trainee"),
    links_to="person",
)
EVENT_KIND = Key(
    "event_kind",
    EventKind,
    "training",
    "kind of test or training",
    "Which test or training is it?",
    ("event", "course", "training", "test", "kind", "event kind", "training kind", "type"),
)
COMPLETED_ON = Key(
    "completed_on",
    date,
    "training",
    "date or time it was completed",
    "When was it completed?",
    ("completed", "completed on", "date", "passed on", "date completed", "done on"),
    instants=True,
)

COURSE_OF = Key(
    "course_of",
    str,
    "course",
    "who took the course",
    "Who took the course?",
    ("course of", "person", "trainee"),
    links_to="person",
    lasting=True,
)
COURSE = Key(
    "course",
    str,
    "course",
    "course of your own training plan",
    "Which course of your training plan was it?",
    ("course", "course name"),
    lasting=True,
)
COURSE_ON = Key(
    "course_on",
    date,
    "course",
    "date the course was completed",
    "When was the course completed?",
    ("course on", "completed on", "course date"),
    lasting=True,
)
COURSE_PASSED = Key(
    "course_passed",
    bool,
    "course",
    "whether the course was passed",
    "Did the person pass the course?",
    ("course passed", "passed", "result"),
)
COURSE_BY = Key(
    "course_by",
    str,
    "course",
    "who gave the course or graded it",
    "Who gave the course or graded it?",
    ("course by", "trainer", "evaluator"),
)
COURSE_FOR_PAPER = Key(
    "course_for_paper",
    str,
    "course",
    "waiver or document the course is for",
    "Which waiver or paper was the course for?",
    ("course for paper", "for waiver"),
    links_to="paper",
)

PERSON_KEYS: tuple[Key[Any], ...] = (
    ROLE,
    CREW_ROLE,
    FLIES_FOR,
    FLIES_AT_NIGHT,
    HAS_CERTIFICATE,
    CERTIFICATE_NUMBER,
    TEMPORARY_ISSUED_ON,
    BORN_ON,
    PART_61_PILOT,
    FLIGHT_REVIEW_ON,
    ADDRESS_CHANGED_ON,
    ADDRESS_TOLD_ON,
    SAFETY_TEST_ON,
    SAFETY_TEST_PROOF,
    SUPERVISED,
    LEFT_ON,
    HAS_LEFT,
    ALSO_CALLED,
    NOT_CALLED,
    RECURRENT_DUE_ON,
    *PERSON_HOLD_KEYS,
)
TRAINING_KEYS = (EVENT_OF, EVENT_KIND, COMPLETED_ON)
COURSE_KEYS: tuple[Key[Any], ...] = (
    COURSE_OF,
    COURSE,
    COURSE_ON,
    COURSE_PASSED,
    COURSE_BY,
    COURSE_FOR_PAPER,
)
