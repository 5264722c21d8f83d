"""Worksheets on paper: a page for the fleet with its fees, then a page for each aircraft to tick and write on."""

from __future__ import annotations

from datetime import date

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.registration.fees import Fee, FeeReason, Fees
from airwrit.answers.registration.filing import ApplicationItem, FilingStep, Worksheet, Worksheets
from airwrit.base.identifiers import broadcast_serial
from airwrit.base.sentences import sentence
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.vocabulary import id_of
from airwrit.law.parameters import late_reading, read_as
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "worksheet.typ"

_ACTS = {
    FeeReason.RENEW: "renew by {by}",
    FeeReason.REGISTER: "register before you fly",
    FeeReason.UNKNOWN: "can't tell yet",
}
_MAKER_SIGNS, _GROUP = 4, 4


def worksheet_pdf(worksheets: Worksheets, day: date, *, paper: str = "letter") -> bytes:
    """The worksheets as PDF: the same worksheets and day give the same bytes."""
    return pdf_of(TEMPLATE, worksheet_data(worksheets, day, paper=paper), day)


def worksheet_data(worksheets: Worksheets, day: date, *, paper: str = "letter") -> Json:
    """What the template is filled with."""
    read = [source.name for source in worksheets.report.sources]
    return {
        "title": "Worksheet",
        "program": "airwrit",
        "day": day.isoformat(),
        "paper": paper_name(paper),
        "foot": printable(
            f"worksheet, as of {day.isoformat()}" + (f", from {', '.join(read)}" if read else ""), 110
        ),
        "scope": SCOPE,
        "caution": CAUTION,
        "late": late_reading(day),
        "fees": _fees(worksheets.fees),
        "sheets": [_sheet(sheet) for sheet in worksheets.sheets],
        "quiet": [printable(id_of(subject), 60) for subject in worksheets.quiet],
    }


def _fees(fees: Fees) -> Json:
    spans = list(dict.fromkeys(reading.span for reading in fees.law))
    read = "; ".join(f"{span.cites}, {read_as(span)}" for span in spans)
    return {
        "years": fees.years,
        "total": f"${fees.total_usd}",
        "complete": fees.complete,
        "read": read,
        "certificates": [
            {
                "for": printable(", ".join(id_of(subject) for subject in fee.subjects), 120),
                "kind": fee.kind.words,
                "act": _act(fee),
                "usd": f"${fee.usd}",
            }
            for fee in fees.fees
        ],
        "uncounted": [
            {
                "for": printable(id_of(one.subject), 60),
                "verdict": "unknown" if one.unknown else "not_applicable",
                "why": printable(one.why),
            }
            for one in fees.uncounted
        ],
    }


def _act(fee: Fee) -> str:
    return _ACTS[fee.act].format(by=fee.by)


def _sheet(sheet: Worksheet) -> Json:
    fee = sheet.fee
    return {
        "name": printable(id_of(sheet.subject), 60),
        "about": printable(sheet.about, 60),
        "verdict": sheet.headline.mark.value,
        "headline": sentence(sheet.headline.value),
        "because": printable(sheet.because, 300),
        "owner": _text(sheet.owner),
        "owner_kind": sheet.owner_kind,
        "certificate": printable(sheet.certificate),
        "number": _text(sheet.number),
        "part_47": sheet.certificate == RegistrationKind.PART_47.value,
        "anew": fee is not None and fee.act is FeeReason.REGISTER,
        "mark_place": sheet.mark_place,
        "fee": None if fee is None else f"${fee.usd}, {_act(fee)}",
        "serial": _serial(sheet.serial),
        "asks": [_asked(one) for one in sheet.asks],
        "asks_cites": sheet.asks_cites,
        "steps": [_step(step) for step in sheet.steps],
    }


def _text(text: str | None) -> str | None:
    return None if text is None else printable(text, 120)


def _asked(one: ApplicationItem) -> Json:
    return {"item": one.item, "held": _text(one.held)}


def _step(step: FilingStep) -> Json:
    return {
        "verdict": step.verdict.value,
        "do": printable(step.do, 300),
        "says": printable(step.says, 300),
        "cites": step.cites,
        "by": None if step.by is None else step.by.isoformat(),
    }


def _serial(serial: str | None) -> Json | None:
    """The serial in groups for typing: maker's code, length, then fours; as on file where its form is wrong."""
    if serial is None:
        return None
    checked = broadcast_serial(serial)
    text = checked.text
    if not checked.ok:
        faults = "; ".join(fault.hint for fault in checked.faults)
        return {"groups": [{"signs": printable(text, 40), "is": ""}], "wrong": printable(faults, 300)}
    number = text[_MAKER_SIGNS + 1 :]
    groups = [{"signs": text[:_MAKER_SIGNS], "is": "maker"}, {"signs": text[_MAKER_SIGNS], "is": "length"}]
    for start in range(0, len(number), _GROUP):
        groups.append({"signs": number[start : start + _GROUP], "is": "number" if start == 0 else ""})
    return {"groups": groups, "wrong": None}
