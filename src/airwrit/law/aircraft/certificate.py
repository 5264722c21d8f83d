"""Which part a certificate of registration is of: by the kind on file, or by the form of its number."""

from __future__ import annotations

from airwrit.base.identifiers import NumberForm, number_form
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts


def has_n_number(certificate: Facts) -> bool:
    """Whether its number has the form of an N-number: what makes a Part 47 registration more than a word on file."""
    return certificate.named(number_form) is NumberForm.N_NUMBER


def kind_of(certificate: Facts) -> RegistrationKind:
    """Its kind on file; Part 47 by the form of its number where none is. Undecided where neither tells.

    The form of a Part 48 number doesn't tell which of the two kinds it is.
    """
    if not certificate.has(REGISTRATION_KIND) and has_n_number(certificate):
        return RegistrationKind.PART_47
    return certificate[REGISTRATION_KIND]


def is_part_47(certificate: Facts) -> bool:
    """Whether it is a Part 47 registration, by its kind, or by the form of its number where no kind is on file.

    Undecided when neither tells.
    """
    if not certificate.has(REGISTRATION_KIND) and certificate.named(number_form) is NumberForm.PART_48:
        return False
    return kind_of(certificate) is RegistrationKind.PART_47
