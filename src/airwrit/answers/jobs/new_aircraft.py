"""A new aircraft from bought to on record: weighed, registered, its serial listed, marked. At most 12 fields."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from airwrit.answers.acts.catalog import ActRequest, subjects_named
from airwrit.answers.jobs.job import Job, JobAsked, JobField, JobFilled, JobStep, wrong
from airwrit.answers.standing.missing import model_of
from airwrit.base.errors import BadFact
from airwrit.base.identifiers import NumberForm, broadcast_serial, number_form
from airwrit.facts.choices import MarkPlace, OwnerKind, RegistrationKind, RemoteIdWay, UsedFor, words_of
from airwrit.facts.key import Key, Raw, raw_of
from airwrit.facts.keys.aircraft import (
    DECLARATION_ACCEPTED,
    IS_REGISTERED,
    LISTED_SERIAL,
    MAKER,
    MARK_PLACE,
    MODEL,
    OWNER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
    TAKEOFF_WEIGHT,
    USED_FOR,
)
from airwrit.facts.keys.registration import ISSUED_ON, OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import folded, subject_named
from airwrit.intake.typed.reply import read_reply

_FOUND = {
    True: "serial found on the FAA's list",
    False: "serial not found on the FAA's list",
    None: "not looked up yet",
}
_BROADCASTS = {RemoteIdWay.STANDARD: "Built in", RemoteIdWay.MODULE: "Module"}
_OTHERWISE = {
    RemoteIdWay.FRIA: "None. It flies only inside a FRIA",
    RemoteIdWay.AUTHORIZATION: "None. The FAA authorized that",
    RemoteIdWay.NONE: "None",
}
REMOTE_ID: Mapping[str, tuple[str, RemoteIdWay, bool | None]] = {
    **{
        f"{way.value}, {'listed' if found else 'not listed' if found is False else 'not looked up'}": (
            f"{word}, {told}",
            way,
            found,
        )
        for way, word in _BROADCASTS.items()
        for found, told in _FOUND.items()
    },
    **{way.value: (word, way, None) for way, word in _OTHERWISE.items()},
}
"""How it broadcasts and what the FAA's list says of its serial, in one choice: its words, the way, what was found."""


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    return (_bought(asked), _remote_id(asked), _registered(asked), _marked(asked))


def _bought(asked: JobAsked) -> JobStep:
    state = asked.state
    fields = [
        *([] if asked.subject else [JobField("name", "What do you call it?", required=True)]),
        *_open(asked, MODEL, JobField("model", asks="Maker and model", choices=_pairs(_models(state)))),
        *_open(
            asked,
            OWNER,
            JobField(
                "owner",
                "Who owns it?",
                choices=_pairs(subjects_named(state, "owner")),
                suggested=_mostly(state, OWNER),
            ),
        ),
        *_open(
            asked,
            USED_FOR,
            JobField(
                "used_for", "What do you fly it for?", "radios", _pairs(UsedFor), _only(state, USED_FOR)
            ),
        ),
        *(
            []
            if asked.subject
            else [JobField("got_on", "When did you get it?", "date", (), (asked.on.isoformat(),))]
        ),
        *_open(
            asked,
            TAKEOFF_WEIGHT,
            JobField(
                "weight",
                "Weight ready to fly",
                hint="With its unit. If blank: the weight on file for its model",
            ),
        ),
    ]
    return JobStep(
        "What you bought", _done(asked, MAKER, MODEL, OWNER, USED_FOR, TAKEOFF_WEIGHT), tuple(fields)
    )


def _remote_id(asked: JobAsked) -> JobStep:
    choices = tuple((value, words) for value, (words, _, _) in REMOTE_ID.items())
    fields = [
        *_open(
            asked,
            REMOTE_ID_SERIAL,
            JobField("serial", "Remote ID serial number", hint="Read it off the screen, not off a sticker"),
        ),
        *_open(
            asked,
            DECLARATION_ACCEPTED,
            JobField("remote_id", "Remote ID, and the FAA's list", "select", choices),
        ),
    ]
    return JobStep(
        "Remote ID",
        _done(asked, REMOTE_ID_SERIAL, REMOTE_ID_WAY, DECLARATION_ACCEPTED),
        tuple(fields),
        "Look for the serial on the FAA's list of accepted declarations of compliance. 14 CFR 89.110",
    )


def _registered(asked: JobAsked) -> JobStep:
    listed = JobField("listed", "Is the serial number on that registration?", "radios", _pairs(("yes", "no")))
    unregistered = value_held(asked.state, asked.subject, IS_REGISTERED) is False
    fresh = asked._replace(subject="") if unregistered else asked
    fields = [
        *_open(
            fresh,
            REGISTRATION,
            JobField("number", "Registration number", hint="Leave blank until you have it"),
            JobField("issued_on", "Issued on", "date", hint="As printed on the certificate"),
        ),
        *_open(fresh, LISTED_SERIAL, listed),
    ]
    done = _done(asked, REGISTRATION, LISTED_SERIAL)
    number = value_held(asked.state, asked.subject, REGISTRATION)
    if number is not None:
        done += _done(asked._replace(subject=subject_named("registration", number)), ISSUED_ON)
    return JobStep(
        "Register it with the FAA",
        done,
        tuple(fields),
        "Use the FAA's own site. It ends in .gov and charges $5.",
        (
            "Which registration does it need?",
            "/which-registration" + (f"/{quote(asked.subject)}" if asked.subject else ""),
        ),
    )


def _marked(asked: JobAsked) -> JobStep:
    field = JobField("mark", "Where is the number on it?", "radios", _pairs(MarkPlace))
    return JobStep(
        "Put the number on it",
        _done(asked, MARK_PLACE),
        tuple(_open(asked, MARK_PLACE, field)),
        "On the outside, where you can read it up close. 14 CFR 48.205",
    )


def _open(asked: JobAsked, key: Key[Any], *fields: JobField) -> Iterator[JobField]:
    """The fields of a fact that is not on file."""
    if value_held(asked.state, asked.subject, key) is None:
        yield from fields


def _done(asked: JobAsked, *keys: Key[Any]) -> tuple[tuple[str, str], ...]:
    """What is on file already, in words."""
    found = [(key, value_held(asked.state, asked.subject, key)) for key in keys]
    return tuple((key.meaning, _shown(key, value)) for key, value in found if value is not None)


def _shown(key: Key[Any], value: object) -> str:
    raw = raw_of(value)
    return ("yes" if raw else "no") if isinstance(raw, bool) else f"{raw} {key.unit}".strip()


def _pairs(words: Sequence[str] | type[Any]) -> tuple[tuple[str, str], ...]:
    return tuple((str(word), words_of(word)) for word in words)


def _models(state: State) -> list[str]:
    return sorted({name for one in state.subjects("aircraft") if (name := model_of(state, one))})


def _only(state: State, key: Key[Any]) -> tuple[str, ...]:
    """The value that all aircraft have of a fact; nothing where they differ."""
    values = {value_held(state, one, key) for one in state.subjects("aircraft")} - {None}
    return (str(values.pop()),) if len(values) == 1 else ()


def _mostly(state: State, key: Key[Any]) -> tuple[str, ...]:
    """The value that most aircraft have of a fact."""
    found = Counter(value for one in state.subjects("aircraft") if (value := value_held(state, one, key)))
    return tuple(str(value) for value, _ in found.most_common(1))


def _acts(asked: JobAsked, filled: JobFilled) -> Sequence[ActRequest]:
    subject = asked.subject or subject_named("aircraft", filled.get("name"))
    got_on = filled.day("got_on", asked.on)
    bought = _told_of_it(asked, filled)
    found = []
    if bought:
        owner = filled.get("owner") or value_held(asked.state, subject, OWNER)
        if not owner:
            raise wrong("owner", "we need to know who owns the aircraft", "type the owner's name")
        found.append(ActRequest("buy", subject, {**bought, "owner": owner}, got_on))
    if filled.get("weight"):
        grams = _read("weight", TAKEOFF_WEIGHT, filled)
        found.append(
            ActRequest("change_equipment", subject, {"takeoff_weight_g": grams}, max(got_on, asked.on))
        )
    return [*found, *_registering(asked, filled, subject, bought), *_marking(asked, filled, subject)]


def _told_of_it(asked: JobAsked, filled: JobFilled) -> dict[str, Raw]:
    """What is said of the aircraft itself, and what others of its model tell where nothing is."""
    told: dict[str, Raw] = {}
    if model := filled.get("model"):
        told["maker"], told["model"] = _maker_and_model(model, asked.state)
        told |= _by_model(model, asked.state, filled)
    for name, key in (("used_for", USED_FOR), ("serial", REMOTE_ID_SERIAL)):
        if filled.get(name):
            told[key.name] = filled.get(name)
    if serial := filled.get("serial"):
        checked = broadcast_serial(serial)
        if not checked.ok:
            raise wrong(
                "serial", f"{serial[:40]!r} can't be a Remote ID serial", "read it off the screen again"
            )
    if chosen := filled.get("remote_id"):
        _, way, listed = REMOTE_ID[chosen]
        told[REMOTE_ID_WAY.name] = way.value
        if listed is not None:
            told[DECLARATION_ACCEPTED.name] = listed
    if filled.get("owner"):
        told["owner"] = filled.get("owner")
    return told


def _maker_and_model(text: str, state: State) -> tuple[str, str]:
    """Maker and model of a text: as on file where another aircraft is of it, else the first word and the rest."""
    for one in state.subjects("aircraft"):
        maker, model = value_held(state, one, MAKER), value_held(state, one, MODEL)
        if maker and model and folded(model_of(state, one)) == folded(text):
            return maker, model
    maker, _, model = text.partition(" ")
    if not model.strip():
        raise wrong("model", f"{text[:40]!r} is only one word", "write the maker, then the model")
    return maker, model.strip()


def _by_model(text: str, state: State, filled: JobFilled) -> dict[str, Raw]:
    """What all others of the model agree on: how they broadcast, and what they weigh ready to fly."""
    alike = [one for one in state.subjects("aircraft") if folded(model_of(state, one)) == folded(text)]
    told: dict[str, Raw] = {}
    keys: dict[str, Key[Any]] = {"remote_id": REMOTE_ID_WAY, "weight": TAKEOFF_WEIGHT}
    for name, key in keys.items():
        values = {value_held(state, one, key) for one in alike}
        if len(values) == 1 and None not in values and not filled.get(name):
            told[key.name] = raw_of(values.pop())
    return told


def _registering(
    asked: JobAsked, filled: JobFilled, subject: str, bought: Mapping[str, Raw]
) -> Iterator[ActRequest]:
    number, state = filled.get("number"), asked.state
    serial = filled.get("serial") or value_held(state, subject, REMOTE_ID_SERIAL)
    listed = serial if filled.get("listed") == "yes" else None
    if filled.get("listed") == "yes" and not serial:
        raise wrong("serial", "no Remote ID serial is on file", "type the serial that is listed")
    if number:
        if not filled.get("issued_on"):
            raise wrong("issued_on", "we need the date it was issued", "copy it from the certificate")
        if not asked.subject and filled.day("issued_on", asked.on) < filled.day("got_on", asked.on):
            raise wrong(
                "issued_on", "it was issued before you got the aircraft", "correct one of the two dates"
            )
        owner = bought.get("owner") or value_held(state, subject, OWNER)
        use = bought.get("used_for") or value_held(state, subject, USED_FOR)
        told: dict[str, Raw] = {
            "number": number,
            "kind": _kind(number, str(owner or ""), str(use or ""), state),
            "registered_to": str(owner) if owner else None,
            "listed_serial": listed,
        }
        said = {name: value for name, value in told.items() if value}
        yield ActRequest("register", subject, said, filled.day("issued_on", asked.on))
    elif listed and (held := value_held(state, subject, REGISTRATION)):
        told = {"aircraft": subject.partition("/")[2], "listed_serial": listed}
        yield ActRequest("file_change", subject_named("registration", held), told, asked.on)


def _kind(number: str, owner: str, use: str, state: State) -> str:
    """The kind of certificate: as on file, by the form of its number, or by who owns it and what it is flown for."""
    held = value_held(state, subject_named("registration", number), REGISTRATION_KIND)
    if held is not None:
        return held.value
    if number_form(number) is NumberForm.N_NUMBER:
        return RegistrationKind.PART_47.value
    person = value_held(state, subject_named("owner", owner), OWNER_KIND) is OwnerKind.PERSON
    only = use == UsedFor.RECREATION.value
    return (RegistrationKind.RECREATIONAL if person and only else RegistrationKind.PER_AIRCRAFT).value


def _marking(asked: JobAsked, filled: JobFilled, subject: str) -> Iterator[ActRequest]:
    place = filled.get("mark")
    if not place:
        return
    held = value_held(asked.state, subject, REGISTRATION)
    if place != MarkPlace.NOT_MARKED.value and not (held or filled.get("number")):
        raise wrong("number", "no registration number is on file", "type the number that is on it")
    yield ActRequest("mark", subject, {"place": place}, asked.on)


def _read(name: str, key: Key[Any], filled: JobFilled) -> Raw:
    try:
        return read_reply(key, filled.get(name))
    except BadFact as fault:
        raise wrong(name, fault.what, fault.do) from fault


NEW_AIRCRAFT = Job(
    "new-aircraft",
    "aircraft",
    "New aircraft",
    "Add a new aircraft. Enter what you know, and come back for the rest.",
    True,
    _steps,
    _acts,
)
"""The job."""
