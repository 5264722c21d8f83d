"""Which part a certificate of registration is of: by the kind on file, or by the form of its number."""

from __future__ import annotations

from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts


def has_n_number(certificate: Facts) -> bool:
    """Whether its number has the form of an N-number: what makes a Part 47 registration more than a word on file."""
    return certificate.named(number_form) is NumberForm.N_NUMBER


def is_part_47(certificate: Facts) -> bool:
    """Whether it is a Part 47 registration, by its kind, or by the form of its number where no kind is on file.

    Undecided when neither tells.
    """
    kind = certificate.on_file(REGISTRATION_KIND)
    if kind is not None:
        return kind is RegistrationKind.PART_47
    form = certificate.named(number_form)
    if form is NumberForm.NEITHER:
        raise Undecided(Why.MISSING, REGISTRATION_KIND.name)
    return form is NumberForm.N_NUMBER
