"""Which part a registration is of, for `airwrit which-registration`: its kind on file, or the form of its number."""

from __future__ import annotations

from airwrit.answers.asking.questions import Prompt, words
from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.verdict import Why
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Held, State
from airwrit.facts.vocabulary import id_of, subject_named

PART_47, PART_48, UNKNOWN, DISAGREE = "part_47", "part_48_unknown", "part_unknown", "kind_disagrees"
_BY_KIND = {
    RegistrationKind.PART_47: PART_47,
    RegistrationKind.RECREATIONAL: "recreational",
    RegistrationKind.PER_AIRCRAFT: "per_aircraft",
}
_BY_FORM = {NumberForm.N_NUMBER: PART_47, NumberForm.PART_48: PART_48, NumberForm.NEITHER: UNKNOWN}


def part_of(state: State, number: str | None) -> str:
    """The part a registration number is of, as the words of the steps name it.

    The kind on file tells it, and where none is, the form of the number. Where the two disagree neither is chosen.
    """
    if number is None:
        return UNKNOWN
    held = _kind_held(state, number)
    if held is None:
        return _BY_FORM[number_form(number)]
    if _disagrees(number, held):
        return DISAGREE
    return UNKNOWN if held.why is not None else _BY_KIND[held.value]


def is_kind_open(state: State, number: str) -> bool:
    """Whether it has to be asked what kind of registration a number is: where neither kind nor form tells, or they disagree."""
    return part_of(state, number) in (UNKNOWN, PART_48, DISAGREE)


def put_by_form(question: Prompt, state: State) -> Prompt:
    """A question about the kind of registration, which names the number where its form and the kind on file disagree."""
    subject, key = question.settles[0]
    held = None if key is not REGISTRATION_KIND else state.held.get(subject, {}).get(key)
    number = id_of(subject)
    if held is None or not _disagrees(number, held):
        return question
    table = words()[DISAGREE]
    form = number_form(number)
    text = table[form.name.lower()].format(number=number, kind=held.value)
    return question._replace(text=text, why=table["why"])


def _kind_held(state: State, number: str) -> Held | None:
    return state.held.get(subject_named("registration", number), {}).get(REGISTRATION_KIND)


def _disagrees(number: str, held: Held) -> bool:
    """Whether a kind on file is of the other part than the form of its number; a kind told twice differently is none."""
    form = number_form(number)
    if held.value is None or held.why not in (None, Why.CONFLICT) or form is NumberForm.NEITHER:
        return False
    return (held.value is RegistrationKind.PART_47) is not (form is NumberForm.N_NUMBER)
