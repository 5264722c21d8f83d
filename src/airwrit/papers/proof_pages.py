"""What stands on the pages of a proof: from its machine part alone, in words a person reads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import Any

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.proof.proof import Proof
from airwrit.answers.standing.headline import Headline
from airwrit.base.days import day_of, parse_when
from airwrit.base.sentences import VERDICT_WORDS, counted, sentence
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.document import DocumentType
from airwrit.facts.keys.registration import CITIZENSHIP
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.law.parameters import Had, hearsay
from airwrit.ledger.entry import Entry, instant_text, name_of_source, parts_of
from airwrit.ledger.excerpt.check import last_moment
from airwrit.ledger.excerpt.excerpt import entry_in
from airwrit.ledger.log.notes import checkpoint_of, note_of
from airwrit.papers.typeset import Json, paper_name, printable

_ORDER = ("not_met", "unknown", "met")
_WAYS = (("work", "for work"), ("recreation", "for recreation"), ("night", "at night"))
_RESTS = 5
"""How many facts stand under a subject on the first page."""
_TOLD_IN_FULL = 3
"""Up to how many subjects the first page tells what was found in order."""
_CLAIMS = 8
"""How many things that do not follow stand on the first page."""
_PRIVATE = "(private)"
_ASIDE = 8
"""How many findings that decide no row stand on the first page."""
_TOLD_BY_WORDS = (CITIZENSHIP.name,)
"""Private facts whose value the words of a sentence tell, though they do not hold it."""
_UNREADABLE = {
    "conflict": "more than one value on record",
    "damaged": "unreadable",
    "within_doubt": "can't tell for that day",
}


def page_data(proof: Proof) -> Json:
    """What the template is filled with."""
    pages = _Pages(proof)
    question = proof.question
    known = _moment(question.known_at)
    return {
        "title": "Proof",
        "program": "airwrit",
        "day": str(question.on),
        "paper": paper_name(question.paper),
        "foot": printable(f"proof, as of {question.on}, as known {known}", 110),
        "lead": pages.lead(known),
        "tally": pages.tally(),
        "rows": [pages.row(row) for row in proof.answers["rows"]],
        "aside": list(pages.aside()),
        "planned": list(pages.planned()),
        "shows": list(pages.shows(known)),
        "shows_not": list(pages.shows_not()),
        "findings": list(pages.findings()),
        "facts": list(pages.facts()),
        "silences": list(pages.silences()),
        "documents": [pages.document(at) for at in range(len(proof.answers["documents"]))],
        "entries": list(pages.entries()),
        "more_open": pages.more_claims(),
        "check": _check(proof),
        "scope": SCOPE,
        "caution": CAUTION,
        "late": printable(str(proof.answers.get("late_reading") or ""), 300),
    }


def _moment(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M} UTC"


_PLANNED = {
    "answer_given": "Answer saved {answered_on}: {answer_given}.",
    "accepted_by": "Released by {accepted_by}, {accepted_on}.",
    "flown_against": "Reason for releasing it although the answer was not OK: {flown_against}.",
    "sha256": "All of it is in the file {snapshot}, SHA-256 {sha256}.",
}
"""What is said of a planned flight, by what of it is on record."""


class _Pages:
    """The parts of the pages; facts that hold something are numbered from 1."""

    def __init__(self, proof: Proof) -> None:
        self.proof, self.answers = proof, proof.answers
        self.on: date = day_of(proof.question.on)
        self.head = checkpoint_of(note_of(proof.excerpt.note).text)
        self.by_seq: dict[int, Entry] = {
            piece.seq: entry for piece in proof.excerpt.lines if (entry := entry_in(piece)) is not None
        }
        facts = self.answers["facts"]
        told = [at for at, one in enumerate(facts) if one["value"] is not None or one["why"]]
        subjects = list(dict.fromkeys(facts[at]["subject"] for at in told))
        self.told = sorted(told, key=lambda at: (subjects.index(facts[at]["subject"]), at))
        self.numbers = {at: number for number, at in enumerate(self.told, 1)}

    # ---- the first page ------------------------------------------------------------------------------------------

    def lead(self, known: str) -> str:
        """The first sentence."""
        subjects = self.proof.question.subjects
        who = id_of(subjects[0]) if len(subjects) == 1 else f"{len(subjects)} records"
        return printable(
            f"The status of {who} on {self.proof.question.on}, based on what was on record {known}."
        )

    def tally(self) -> str:
        """How much was found of all that was judged, whatever came of it."""
        findings = self.answers["findings"]
        about = len({one["subject"] for one in findings})
        subjects = "1 record" if about == 1 else f"{about} records"
        return f"All findings about {subjects}: {_counted(findings)}."

    def aside(self) -> Iterator[Json]:
        """What is not met or unknown and decides no row above: other uses and subjects, records to put right."""
        findings = self.answers["findings"]
        told = {at for row in self.answers["rows"] for at in row["in_the_way"]}
        left = [one for at, one in enumerate(findings) if at not in told]
        found = [one for verdict in _ORDER[:2] for one in left if one["verdict"] == verdict]
        for finding in found[:_ASIDE]:
            use = "" if finding["use"] is None else f", for {finding['use']}"
            yield self._clause(finding) | {"name": printable(id_of(finding["subject"]), 60) + use}
        if len(found) > _ASIDE:
            says = f"{len(found) - _ASIDE} more are under Findings."
            yield {"name": "", "mark": "", "says": says, "cites": ""}

    def row(self, row: Json) -> Json:
        """A subject with its headline, what decides it and what that rests on."""
        findings = self.answers["findings"]
        way = [findings[at] for at in row["in_the_way"]]
        mark = Headline(row["headline"]).mark.value if row["headline"] else row["verdict"]
        return {
            "name": printable(id_of(row["subject"]), 60),
            "kind": kind_of(row["subject"]),
            "mark": mark,
            "headline": sentence(row["headline"] or VERDICT_WORDS[Verdict(row["verdict"])]),
            "because": self._hidden(way[0], row["because"] or "") if way else "",
            "uses": [[name, row[key]] for key, name in _WAYS if row.get(key)],
            "deciding": self._deciding(way[0]) if way else None,
            "also": [
                self._clause(finding)
                for finding in way[1:] or ([] if way else self._in_order(row["subject"]))
            ],
            "stands": self._stands(row["subject"]),
        }

    def _deciding(self, finding: Json) -> Json:
        """The finding that explains the headline: its sections, and what it rests on."""
        told = [at for at in finding["facts"] if at in self.numbers]
        first = sorted(told, key=lambda at: self._weight(finding, at))[:_RESTS]
        rests = [self._rest(at, finding["subject"]) for at in first]
        rests += [f"document {at + 1}: {self._document_words(at)}" for at in finding["documents"]]
        return {
            "cites": self._cites(finding),
            "do": self._hidden(finding, finding["do"] or ""),
            "rests": rests,
        }

    def _weight(self, finding: Json, at: int) -> tuple[bool, int]:
        """Facts whose value the sentence tells come first, then those looked at last."""
        value = self.answers["facts"][at]["value"]
        return not (value is not None and str(value) in finding["says"]), -finding["facts"].index(at)

    def _rest(self, at: int, about: str) -> str:
        fact, subject = self.fact(at), self.answers["facts"][at]["subject"]
        of = "" if subject == about else f"{printable(id_of(subject), 60)}: "
        written = f", {fact['written']}" if fact["written"] else ""
        return f"{of}{fact['what']}: {fact['value']} (fact {fact['number']}{written})"

    def _clause(self, finding: Json) -> Json:
        return {
            "mark": finding["verdict"],
            "says": self._hidden(finding, finding["says"]),
            "cites": "; ".join(
                [self._cites(finding), *(f"document {at + 1}" for at in finding["documents"])]
            ),
        }

    def _met(self, subject: str) -> list[Json]:
        mine = [one for one in self.answers["findings"] if one["subject"] == subject and one["counts"]]
        return [one for one in mine if one["verdict"] == "met"]

    def _stands(self, subject: str) -> str:
        """How much was found of the subject in all, and how long what is met holds by itself."""
        mine = [one for one in self.answers["findings"] if one["subject"] == subject]
        days = sorted(one["holds_until"] for one in self._met(subject) if one["holds_until"])
        until = f" The first one to expire is good through {days[0]}." if days else ""
        return f"Findings: {_counted(mine)}.{until}"

    def _in_order(self, subject: str) -> list[Json]:
        """What was found in order, where there is room to tell it."""
        return self._met(subject) if len(self.proof.question.subjects) <= _TOLD_IN_FULL else []

    def planned(self) -> Iterator[str]:
        """The flights planned for the day: the answer saved, who released it, and the kept file that holds all of it."""
        for one in self.answers.get("planned_flights", ()):
            said = " ".join(
                template.format(**one) for name, template in _PLANNED.items() if one[name] is not None
            )
            yield printable(f"{id_of(one['flight'])}: {said}", 400)

    def shows(self, known: str) -> Iterator[str]:
        """What follows from the file."""
        excerpt = self.proof.excerpt
        yield f"The status above is based on what was on record {known} and on our reading of the law on {self.on}."
        yield (
            f"This file has every line about {counted(len(excerpt.subjects), 'record')}, {len(excerpt.lines)} of the "
            f"{self.head.size:,} entries in the ledger. If anyone changes, adds or removes a line, checking the file shows it."
        )
        later = self._later()
        if later:
            many = f"{len(later)} lines were" if len(later) > 1 else "One line was"
            yield f'{many} written after that time. They don\'t count here, and are marked "later" under Entries.'

    def _later(self) -> list[int]:
        known_at = self.proof.question.known_at
        return [seq for seq, entry in self.by_seq.items() if entry.recorded_at > known_at]

    def shows_not(self) -> Iterator[str]:
        """What does not follow from it."""
        yield "The records could be wrong. This file shows what was entered, by whom and when."
        claims = self._claims()
        yield from claims[:_CLAIMS]
        if len(claims) > _CLAIMS:
            yield f"{len(claims) - _CLAIMS} more points about the whole ledger are on the last pages."
        for problem in self.answers["problems"]:
            yield printable(f"We couldn't read some of {problem['where']} ({problem['what']}).", 300)
        hidden = [piece for piece in self.proof.excerpt.lines if piece.text is None]
        if hidden:
            yield f"For {counted(len(hidden), 'line')}, only a hash is here. Where that matters, we can't tell."
        last, known_at = last_moment(self.head), self.proof.question.known_at
        if last is not None and last < known_at:
            yield f"Entries could be missing between {_moment(last)}, its last entry, and {_moment(known_at)}."
        yield "Someone could have rewritten the whole ledger. To check, compare the last page with a checkpoint kept elsewhere."
        yield "We don't check here whether the organization followed its own rules and its waivers' conditions."

    def _claims(self) -> list[str]:
        """What the findings took for granted of the whole ledger."""
        return [printable(f"{one[:1].upper()}{one[1:]}.", 300) for one in self.answers["does_not_follow"]]

    def more_claims(self) -> list[str]:
        """Those for which the first page has no room."""
        return self._claims()[_CLAIMS:]

    # ---- findings and facts --------------------------------------------------------------------------------------

    def findings(self) -> Iterator[Json]:
        """The findings, by subject: what is not met first; what does not apply in one line."""
        findings = self.answers["findings"]
        for subject in dict.fromkeys(one["subject"] for one in findings):
            mine = [one for one in findings if one["subject"] == subject]
            rows = [one for verdict in _ORDER for one in mine if one["verdict"] == verdict]
            quiet = [one for one in mine if one["verdict"] == "not_applicable"]
            yield {
                "name": printable(id_of(subject), 60),
                "kind": kind_of(subject),
                "rows": [self._finding(one) for one in rows],
                "quiet": [self._hidden(one, _with_use(one, one["says"])) for one in quiet],
            }

    def _finding(self, finding: Json) -> Json:
        facts = [str(self.numbers[at]) for at in finding["facts"] if at in self.numbers]
        documents = [f"document {at + 1}" for at in finding["documents"]]
        return {
            "mark": finding["verdict"],
            "says": self._hidden(finding, _with_use(finding, finding["says"])),
            "do": self._hidden(finding, finding["do"] or "") if finding["verdict"] != "met" else "",
            "cites": self._cites(finding),
            "counts": finding["counts"],
            "facts": ", ".join([*facts, *documents]) or "nothing on file",
        }

    def _cites(self, finding: Json) -> str:
        if not finding["cites"]:
            return ""
        text, read, had = finding.get("law_text_of"), finding["law_read_on"], finding.get("law_had")
        parts = (
            finding["cites"],
            f"text of {text}" if text and had != Had.MEMORY else "",
            f"read {read}" if read and had != Had.MEMORY else "",
            hearsay(str(had)),
            "low confidence" if finding["confidence"] == "low" else "",
        )
        return printable(", ".join(part for part in parts if part), 300)

    def _hidden(self, finding: Json, text: str) -> str:
        """A sentence without what is private in it; one that tells a person's standing by its words is left out whole."""
        for at in finding["facts"]:
            fact = self.answers["facts"][at]
            value = fact["value"]
            if not self._is_hidden(fact) or value is None or isinstance(value, bool):
                continue
            if fact["key"] in _TOLD_BY_WORDS:
                return f"This depends on a private fact: {_meaning(fact['key'])}." if text else ""
            text = re.sub(rf"(?<!\w){re.escape(str(value))}(?!\w)", _PRIVATE, text)
        return printable(text, 400)

    def _is_hidden(self, fact: Json) -> bool:
        key = KEYS.get(fact["key"])
        return not self.proof.question.private and (key is None or key.private)

    def facts(self) -> Iterator[Json]:
        """The facts that hold something, by the subject they are about."""
        subjects = [self.answers["facts"][at]["subject"] for at in self.told]
        for subject in dict.fromkeys(subjects):
            mine = [self.fact(at) for at, one in zip(self.told, subjects, strict=True) if one == subject]
            yield {"name": printable(id_of(subject), 60), "kind": kind_of(subject), "rows": mine}

    def fact(self, at: int) -> Json:
        """A fact: about whom, what, its value, and when it was written against the day it speaks of."""
        fact = self.answers["facts"][at]
        entries = [seq for number in fact["numbers"] if (seq := parts_of(number)[0]) in self.by_seq]
        return {
            "number": self.numbers[at],
            "what": _meaning(fact["key"]),
            "value": self._value(fact),
            "since": fact["since"] or "",
            "entries": ", ".join(map(str, dict.fromkeys(entries))),
            "written": self._written(fact, entries),
            "later": ", ".join(str(parts_of(number)[0]) for number in fact["later"]),
        }

    def _value(self, fact: Json) -> str:
        if fact["why"] and (fact["subject"], fact["key"]) in self.proof.held_back:
            return "left out of this file"
        if fact["why"]:
            return _UNREADABLE.get(why := str(fact["why"]), why)
        if self._is_hidden(fact):
            return _PRIVATE
        value, key = fact["value"], KEYS.get(fact["key"])
        if isinstance(value, bool):
            return "yes" if value else "no"
        return printable(f"{value} {key.unit}" if key is not None and key.unit else str(value), 120)

    def _written(self, fact: Json, entries: Sequence[int]) -> str:
        """The day it was written, and how long after the day it speaks of, or after the day asked about."""
        if not entries:
            return ""
        day = min(self.by_seq[seq].recorded_at for seq in entries).date()
        since = day_of(parse_when(fact["since"])) if fact["since"] else None
        if day > self.on:
            return f"entered {day}, {_days(self.on, day)} after this status date"
        if since is not None and day > since:
            return f"entered {day}, {_days(since, day)} later"
        return f"entered {day}"

    def silences(self) -> Iterator[Json]:
        """The facts looked for of which nothing is on record, by subject."""
        facts = [one for one in self.answers["facts"] if one["value"] is None and not one["why"]]
        for subject in dict.fromkeys(one["subject"] for one in facts):
            mine = dict.fromkeys(_meaning(one["key"]) for one in facts if one["subject"] == subject)
            yield {"name": printable(id_of(subject), 60), "what": "; ".join(mine)}

    # ---- documents and entries -----------------------------------------------------------------------------------

    def _document_words(self, at: int) -> str:
        one = self.answers["documents"][at]
        made = "no date"
        if one["made_on"]:
            day = day_of(parse_when(one["made_on"]))
            made = f"made on {day}" + (
                f", {_days(self.on, day)} after this status date" if day > self.on else ""
            )
        return printable(f"{one['shows'] or 'unknown'} of {id_of(one['subject'])}, {made}", 200)

    def document(self, at: int) -> Json:
        """A document with its caption, and the input that holds its photo."""
        one = self.answers["documents"][at]
        photo = one["sha256"] if self.proof.copies.get(one["sha256"] or "") else None
        entries = ", ".join(map(str, one["entries"]))
        if photo:
            how = "Small copy, without the camera's own data."
        elif one["type"] == DocumentType.PDF.value:
            how = "Kept in the ledger. We don't print PDFs on this page."
        else:
            how = "Kept in the ledger, but not printed on this page."
        return {
            "number": at + 1,
            "title": self._document_words(at),
            "photo": photo,
            "how": how,
            "original": printable(
                f"{one['name'] or 'unknown'}, {one['type'] or 'unknown'}, entry {entries}", 160
            ),
            "sha256": printable(one["sha256"] or "unknown", 64),
        }

    def entries(self) -> Iterator[Json]:
        """The entries that facts and documents come from, and those written after the moment asked about."""
        numbers = [number for fact in self.answers["facts"] for number in (*fact["numbers"], *fact["later"])]
        wanted = {parts_of(number)[0] for number in numbers} | set(self._later())
        wanted |= {seq for one in self.answers["documents"] for seq in one["entries"]}
        later = set(self._later())
        for seq in sorted(wanted & self.by_seq.keys()):
            entry = self.by_seq[seq]
            source = name_of_source(entry.source) or entry.source
            yield {
                "seq": str(seq),
                "written": f"{entry.recorded_at:%Y-%m-%d %H:%M:%S}",
                "by": printable(entry.by, 40),
                "act": printable(" ".join((entry.act, source)), 90),
                "note": printable(entry.note, 160),
                "later": seq in later,
            }


def _with_use(finding: Json, text: str) -> str:
    return f"{text} ({finding['use']})" if finding["use"] else text


def _meaning(name: str) -> str:
    key = KEYS.get(name)
    return printable(name if key is None else key.meaning, 120)


def _days(start: date, end: date) -> str:
    days = (end - start).days
    return f"{days} day{'s' * (days != 1)}"


def _counted(findings: Sequence[Json]) -> str:
    """How many of some findings came out how."""
    found = [
        (sum(one["verdict"] == verdict for one in findings), word) for verdict, word in VERDICT_WORDS.items()
    ]
    told = ", ".join(f"{many} {word}" for many, word in found if many) or "nothing"
    return told.replace("doesn't", "that don't").replace("can't tell", "we can't tell")


def _check(proof: Proof) -> Json:
    """The last page: head, checkpoint, heads of subjects, versions."""
    excerpt, note = proof.excerpt, note_of(proof.excerpt.note)
    head = checkpoint_of(note.text)
    return {
        "size": f"{head.size:,}",
        "head": f"{head.size}:{head.root.hex()}",
        "ledger": printable(excerpt.ledger, 80),
        "note": [printable(line, 120) for line in excerpt.note.splitlines()],
        "signed": _signers(note.signatures),
        "subjects": [
            [printable(one.name, 90), str(one.entries), one.head.hex()[:16]] for one in excerpt.subjects
        ],
        "question": printable(
            f"on {proof.question.on}, known at {instant_text(proof.question.known_at)}", 120
        ),
        "law": printable(proof.made_by.law, 64),
        "made_by": printable(f"airwrit {proof.made_by.airwrit}, {proof.made_by.typeset_by}", 80),
    }


def _signers(signatures: Iterable[Any]) -> str:
    names = [printable(one.name, 60) for one in signatures]
    return f"signed with the key {', '.join(names)}" if names else "not signed"
