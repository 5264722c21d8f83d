"""What each column of a table is: heading and values have to agree and no other reading be near, else it is asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from airwrit.facts.vocabulary import KEYS
from airwrit.intake.columns import heading_of
from airwrit.intake.meaning.lexicon import Heard, Lexicon, words_of
from airwrit.intake.meaning.shapes import (
    APART,
    BY_VALUES,
    FEW,
    ID,
    READ_AT,
    Beside,
    ColumnLook,
    Scored,
    choice_words,
    fitted,
    fitted_by_template,
    is_bare_day,
    of_other_paper,
    rules_of,
    vague_day,
)

_SAME_FACT, _CLEARLY, _INSIDE = 0.12, 0.4, 0.6
IGNORE, REMARKS, STATUS, PERSON_STATUS, ROLE = "ignore", "remarks", "service_status", "person_status", "role"
OWNER = "owner"
_SPARE_OF_MANY = frozenset({"count", IGNORE, ID, REMARKS, STATUS, PERSON_STATUS, "holder", ROLE})
"""Readings that several columns may share."""
_TELLING = {
    "aircraft": ("reg", "cta", "yesno", "weight", "status", "way", "regkind", "markplace"),
    "person": ("reg", "yesno", "status"),
}
"""Shapes that a column put aside as of no meaning should not have."""


class ColumnSeen(NamedTuple):
    """A column before it is understood: heading, group above it, and how its values look."""

    heading: str
    group: str
    look: ColumnLook


@dataclass(frozen=True, slots=True)
class ColumnReading:
    """What a column was read as, None when it has to be asked; why, the next reading, what decided: exact, words, values."""

    fact: str | None
    score: float = 0.0
    runner_up: str = ""
    why: str = ""
    by: str = "words"


def readings_of(columns: Sequence[ColumnSeen], kind: str, lexicon: Lexicon) -> list[ColumnReading]:
    """What each column of a table of a kind is. A heading of the template is one more thing that speaks for its fact."""
    beside = zip(columns, _befores(columns, lexicon), strict=True)
    found = [_reading(column, kind, lexicon, before) for column, before in beside]
    found = _by_their_values(found, columns, kind)
    found = _one_each(_tests(_serials(found, columns, lexicon), columns, lexicon), columns)
    return _whose(_named(found, columns, kind, lexicon), columns, kind, lexicon)


def _befores(columns: Sequence[ColumnSeen], lexicon: Lexicon) -> Iterator[str]:
    """The heading before each column that says more than the beginning or end of something."""
    before = ""
    for column in columns:
        yield before
        before = before if is_bare_day(lexicon.heard(column.heading)) else column.heading


def _reading(column: ColumnSeen, kind: str, lexicon: Lexicon, before: str) -> ColumnReading:
    heard, group = lexicon.heard(column.heading), lexicon.heard(column.group)
    exact = lexicon.template(kind).get(heading_of(column.heading).text) if column.heading else None
    if exact in _NOT_BY_HEADING and heading_of(column.heading).text != KEYS[exact].headings[0]:
        exact = None
    fits = (fitted(rule, heard, group, column.look) for rule in rules_of(kind))
    by_fact = {one.fact: one for one in fits if one is not None}
    if exact is not None:
        own = fitted_by_template(exact, kind, heard, column.look)
        rule = next((rule for rule in rules_of(kind) if rule.name == own.fact), None)
        if rule is not None and heard.inside & rule.forbids - rule.mentions:
            own = own._replace(score=own.score - _INSIDE, is_exact=False)
        by_fact[own.fact] = max(own, by_fact.get(own.fact, own), key=lambda one: one.score)
    scored = sorted(by_fact.values(), key=lambda one: -one.score)
    if not scored:
        return ColumnReading(None, why="we don't know any word in its heading")
    best = scored[0]
    runner = scored[1] if len(scored) > 1 else None
    if runner is not None and best.score - runner.score < APART and not best.is_exact:
        best, runner = _ordered(best, runner, column.look)
    second = runner.fact if runner else ""
    why = _doubt(best, runner, heard, column.look, kind)
    about = Beside(group, before, lexicon.heard(before), kind)
    why = why or vague_day(best, heard, group) or of_other_paper(best, heard, about)
    if why:
        return ColumnReading(None, best.score, second if why == _NEAR else best.fact, why)
    return ColumnReading(best.fact, best.score, second, by="exact" if best.is_exact else "words")


_NOT_BY_HEADING = frozenset({"acquired_on", "holder"})
"""Facts that are read where a mapping says so: what stands under such headings mostly has no meaning here."""
_NEAR = "it could mean two things"
_TESTS = ("event: initial test", "event: recurrent test or training")
_SERIALS = ("remote_id_serial", "airframe_serial")
_ALIKE = (set(_SERIALS), set(_TESTS), {"registration", "mark_text"}, {"safety_test_on", "safety_test_proof"})


_DAYS = ("_on", "event: ")


def _is_excused(best: Scored, heard: Heard, look: ColumnLook) -> bool:
    """Whether words that are not known may be passed over: in a long heading, or where the values have a form of their own.

    Never for a day: the word may be what tells the day something was done from the day it is due.
    """
    if best.fact.endswith(_DAYS[0]) or best.fact.startswith(_DAYS[1]):
        return False
    if best.fact == "takeoff_weight_g" and _tells_load(heard):
        return True
    shape = _OWN_FORM.get(best.fact)
    if shape is not None and look.share(shape) >= BY_VALUES:
        return True
    return heard.content > _SHORT_HEADING and len(heard.unknown) * 3 <= heard.content


def _unlisted(best: Scored, heard: Heard) -> Sequence[str]:
    """The words of a heading that are not known, without those by which it lists the choices below: `commercial or hobby`."""
    if not heard.unknown or best.agreement < BY_VALUES:
        return heard.unknown
    return [word for word in heard.unknown if word not in choice_words(best.fact)]


def _tells_load(heard: Heard) -> bool:
    """Whether all that is not known in the heading of a weight stands after `with`: what is on board when it is weighed."""
    if "with" not in heard.words:
        return False
    return not set(heard.unknown) & set(heard.words[: heard.words.index("with")])


_OWN_FORM = {
    "registration": "reg",
    "remote_id_serial": "cta",
    "takeoff_weight_g": "weight",
    "remarks": "text",
}
_SHORT_HEADING = 3


def _ordered(best: Scored, runner: Scored, look: ColumnLook) -> tuple[Scored, Scored]:
    """Two near readings, the one first that is taken of the two where they are two ways of saying one thing."""
    pair = {best.fact, runner.fact}
    wanted = ""
    if pair == set(_SERIALS):
        wanted = _SERIALS[0] if look.share("cta") >= BY_VALUES else _SERIALS[1]
    elif pair == set(_TESTS):
        wanted = _TESTS[1]
    elif pair == {"registration", "mark_text"}:
        wanted = "registration"
    elif pair == {"safety_test_on", "safety_test_proof"}:
        wanted = "safety_test_on" if look.share("day") >= BY_VALUES else "safety_test_proof"
    return (runner, best) if runner.fact == wanted else (best, runner)


def _is_settled(best: Scored, runner: Scored) -> bool:
    """Whether two near readings are two ways of saying one thing, or the values speak clearly for the better one."""
    return {best.fact, runner.fact} in _ALIKE or best.agreement - runner.agreement >= _CLEARLY


def _doubt(best: Scored, runner: Scored | None, heard: Heard, look: ColumnLook, kind: str) -> str:
    """Why the best reading is not taken; "" when it is."""
    if heard.turned and best.fact != REMARKS and not best.is_exact:
        return "its heading says old, former or not"
    if best.score < READ_AT:
        return "heading and values do not agree"
    if best.is_exact:
        return ""
    if runner is not None and best.score - runner.score < APART and not _is_settled(best, runner):
        return _NEAR
    unknown = _unlisted(best, heard)
    if unknown and not _is_excused(best, heard, look):
        return f"we don't know the word {unknown[0]!r}"
    if best.fact == IGNORE and any(look.share(shape) >= 0.5 for shape in _mattering(_TELLING[kind], heard)):
        return "it looks important"
    foreign = _foreign_to(best.fact, kind, heard)
    if foreign and not _is_excused(best, heard, look):
        return f"its heading also says {foreign!r}"
    return ""


_SURELY_ASIDE = frozenset(
    {"INSUR", "MONEY", "GEAR", "BATT", "SOFT", "MEDICAL", "WARR", "PHONE", "EMAIL", "ELSE"}
)
_BESIDE_IT = frozenset({"NUM", "DATE", "EXP", "DUE", "NAME", "CODE", "KIND", "COUNT"})


def _mattering(telling: Sequence[str], heard: Heard) -> Sequence[str]:
    """The shapes that a column put aside should not have; yes and no are fine under words of other things alone."""
    concepts = heard.concepts
    is_plain = concepts & _SURELY_ASIDE and all(
        one.concepts & (_SURELY_ASIDE | _BESIDE_IT) for one in heard.covered
    )
    return [shape for shape in telling if not (is_plain and shape in ("yesno", "status"))]


_PLAIN = frozenset({ID, IGNORE, "maker", "model", "holder", ROLE})
"""Readings that a further word in the heading leaves as they are; that of remarks where it is not the last: log location."""
_NEUTRAL = frozenset({"AC", "PERSON", "FAA", "UNIT", "NAME", "DATE", "NUM", "CODE", "TEXTUAL"})
"""Concepts that may stand in any heading and make it nothing else."""


def _foreign_to(fact: str, kind: str, heard: Heard) -> str:
    """The first words of a heading that are known and no part of a fact with a form of its own; "" for none."""
    rule = next((rule for rule in rules_of(kind) if rule.name == fact), None)
    if rule is None:
        return ""
    fitting = rule.mentions | (_NEUTRAL - rule.forbids)
    strange = (one for one in heard.covered if not one.concepts & fitting)
    if fact == REMARKS and heard.covered:
        strange = (one for one in strange if one is heard.covered[-1])
    one = next((one for one in strange if fact not in _PLAIN or one.concepts & rule.forbids), None)
    return "" if one is None else " ".join(heard.words[one.start : one.end])


def _by_their_values(
    found: list[ColumnReading], columns: Sequence[ColumnSeen], kind: str
) -> list[ColumnReading]:
    """Columns not read by their heading whose values have a form that only one fact has."""
    if kind != "aircraft":
        return _roles(found, columns)
    taken = {one.fact for one in found}
    settled = list(found)
    for shape, fact in (("reg", "registration"), ("cta", "remote_id_serial")):
        alone = [
            place
            for place, (one, column) in enumerate(zip(found, columns, strict=True))
            if one.fact is None and column.look.share(shape) >= BY_VALUES and column.look.said >= FEW
        ]
        if fact not in taken and len(alone) == 1 and "old, former" not in found[alone[0]].why:
            settled[alone[0]] = ColumnReading(fact, READ_AT, why="worked out from its values", by="values")
    return settled


def _roles(found: list[ColumnReading], columns: Sequence[ColumnSeen]) -> list[ColumnReading]:
    """In a table of people, a column of words for roles under a heading that speaks of status or flying."""
    if any(one.fact == ROLE for one in found):
        return found
    return [
        replace(one, fact=ROLE, why="told by its values", by="values")
        if one.fact == PERSON_STATUS and column.look.share(ROLE) >= _MOSTLY
        else one
        for one, column in zip(found, columns, strict=True)
    ]


def _whose(
    found: list[ColumnReading], columns: Sequence[ColumnSeen], kind: str, lexicon: Lexicon
) -> list[ColumnReading]:
    """Beside aircraft without an owner, a column of members' names is asked about: theirs, or only in their hands."""
    if kind != "aircraft" or any(one.fact == OWNER for one in found):
        return found
    return [
        replace(one, fact=None, runner_up=OWNER, why="it may be the owner")
        if one.fact == IGNORE
        and "MEMBER" in lexicon.heard(column.heading).concepts
        and column.look.share("person") + column.look.share("called") >= _HALF
        else one
        for one, column in zip(found, columns, strict=True)
    ]


_BESIDE = "because another column has the Remote ID serial number"


def _serials(
    found: list[ColumnReading], columns: Sequence[ColumnSeen], lexicon: Lexicon
) -> list[ColumnReading]:
    """A plain serial is the airframe's where another column is Remote ID's."""
    facts = [one.fact for one in found]
    if facts.count(_SERIALS[0]) != 2 or _SERIALS[1] in facts:
        return found
    plain = [
        place
        for place, fact in enumerate(facts)
        if fact == _SERIALS[0]
        and not lexicon.heard(columns[place].heading).concepts & {"RID", "RIDNO", "ADDON"}
    ]
    if len(plain) != 1:
        return found
    settled = list(found)
    settled[plain[0]] = replace(found[plain[0]], fact=_SERIALS[1], why=_BESIDE)
    return settled


def _tests(
    found: list[ColumnReading], columns: Sequence[ColumnSeen], lexicon: Lexicon
) -> list[ColumnReading]:
    """Of two columns of tests the one that does not speak of recurrency is the first test, where the other does."""
    places = [place for place, one in enumerate(found) if one.fact == _TESTS[1]]
    plain = [
        place for place in places if not lexicon.heard(columns[place].heading).concepts & {"RECUR", "RENEW"}
    ]
    if len(places) != 2 or len(plain) != 1 or any(one.fact == _TESTS[0] for one in found):
        return found
    settled = list(found)
    settled[plain[0]] = replace(
        found[plain[0]], fact=_TESTS[0], why="since another column holds the recurrent one"
    )
    return settled


def _one_each(found: list[ColumnReading], columns: Sequence[ColumnSeen]) -> list[ColumnReading]:
    """One column for one fact: of two about as good both are asked, else the better one is read and the other asked."""
    settled = list(found)
    by_fact: dict[str, list[int]] = {}
    for place, one in enumerate(found):
        if one.fact is not None and one.fact not in _SPARE_OF_MANY:
            by_fact.setdefault(one.fact, []).append(place)
    for fact, places in by_fact.items():
        if len(places) < 2 or _complement(fact, places, columns):
            continue
        best = max(found[place].score for place in places)
        close = [place for place in places if best - found[place].score < _SAME_FACT]
        worded = [place for place in close if _is_plainer(fact, columns[place])]
        close = worded if len(worded) == 1 else close
        for place in places:
            if len(close) > 1 or place not in close:
                others = " and ".join(repr(columns[other].heading) for other in places if other != place)
                settled[place] = replace(
                    found[place], fact=None, runner_up=fact, why=f"{others} says the same thing"
                )
    return settled


def _is_plainer(fact: str, column: ColumnSeen) -> bool:
    """Whether a column says best what several say: Remote ID in words, not by yes and no; a weight as loaded."""
    if fact == "takeoff_weight_g":
        return not _LOADED.isdisjoint(words_of(column.heading))
    look = column.look
    return fact == "remote_id_way" and look.share("way") >= BY_VALUES and look.share("yesno") < _HALF


_LOADED = frozenset({"loaded", "auw", "gross", "takeoff", "tow", "mtow", "flown"})


def _complement(fact: str, places: Sequence[int], columns: Sequence[ColumnSeen]) -> bool:
    """Whether several columns of yes and no say one thing together, like built in and add-on."""
    return fact == "remote_id_way" and all(
        columns[place].look.share("yesno") >= BY_VALUES for place in places
    )


_RANK = ("NICK", "AC NAME", "TAG", "AC", "PERSON", "NAME", "CODE")
_KEYED = ("id", "no", "number", "#", "num")
"""Last words of a heading on the left that make it the name of a row before any nickname."""


def _named(
    found: list[ColumnReading], columns: Sequence[ColumnSeen], kind: str, lexicon: Lexicon
) -> list[ColumnReading]:
    """The same with one column that names the rows: the best of those read as such, else leftmost distinct words.

    Another column of words for aircraft is the model, where none is. Words that recur name no aircraft that has numbers.
    """
    settled = list(found)
    names = [place for place, one in enumerate(found) if one.fact == ID]
    ranked = sorted(names, key=lambda place: _name_rank(columns[place], kind, lexicon, place))
    if columns and not columns[0].heading and found[0].fact is None and _could_name(columns[0]):
        ranked.insert(0, 0)
    best = ranked[0] if ranked else None
    numbers = _own_numbers(found, columns)
    if best is None or _recurs(columns[best].look):
        left = next((place for place in (0, 1) if _may_name_on_left(found, columns, place, kind)), None)
        best = left if left is not None else None if kind == "aircraft" and numbers else best
    numbering = next(
        (
            place
            for place, (one, seen) in enumerate(zip(found, columns, strict=True))
            if _numbers_rows(one, seen, lexicon)
        ),
        None,
    )
    if numbering is not None:
        settled[numbering] = replace(found[numbering], fact=IGNORE, why="it numbers the rows")
        if best is None and not _STANDINS & {one.fact for one in found}:
            best = numbering
    if best is None and not (names and numbers):
        return settled
    if best is not None and best not in names:
        settled[best] = ColumnReading(ID, READ_AT, why="distinct words on the left", by="values")
    named = columns[numbers[0] if best is None else best].heading
    _settle_names(settled, [place for place in names if place != best], columns, kind, lexicon, named)
    return settled


def _recurs(look: ColumnLook) -> bool:
    """Whether names recur too often to be names: one in five is another row's."""
    return look.distinct * _OFTEN <= look.said * (_OFTEN - 1)


def _own_numbers(found: Sequence[ColumnReading], columns: Sequence[ColumnSeen]) -> list[int]:
    """The columns of serial or registration numbers that tell nearly all rows apart."""
    said = sorted((column.look.said for column in columns), reverse=True)
    rows = said[len(said) // 2] if said else 0
    return [
        place
        for place, one in enumerate(found)
        if one.fact in _STANDINS
        and columns[place].look.is_distinct
        and columns[place].look.said >= _MOSTLY * rows
    ]


def _settle_names(
    settled: list[ColumnReading],
    places: Sequence[int],
    columns: Sequence[ColumnSeen],
    kind: str,
    lexicon: Lexicon,
    named: str,
) -> None:
    """What columns are that might name the rows, which another does, headed `named`."""
    facts = {one.fact for one in settled}
    for place in places:
        look, heard = columns[place].look, lexicon.heard(columns[place].heading)
        own = _own_by_values(look)
        if own and own not in facts and look.said >= FEW:
            facts.add(own)
            settled[place] = replace(settled[place], fact=own, why="told by its values", by="values")
        elif heard.unknown or any(look.share(shape) >= _HALF for shape in _TELLING["aircraft"]):
            settled[place] = replace(
                settled[place], fact=None, runner_up=ID, why="another column names the row"
            )
        elif kind == "aircraft" and "model" not in facts and ("AC" in heard.concepts or _recurs(look)):
            facts.add("model")
            settled[place] = replace(settled[place], fact="model", why="the row is named by another column")
        else:
            why = f"the row is named by {named!r}" if named else "the row is named by its first column"
            settled[place] = replace(settled[place], fact=IGNORE, why=why)


_STANDINS = {"airframe_serial", "remote_id_serial", "registration"}
"""Facts that name an aircraft where nothing else does."""


def _numbers_rows(one: ColumnReading, column: ColumnSeen, lexicon: Lexicon) -> bool:
    """Whether a column that is nothing else counts the rows of its table: 1, 2, 3."""
    concepts = lexicon.heard(column.heading).concepts
    return (
        one.fact is None
        and concepts <= {"NUM"}
        and column.look.said >= 2
        and column.look.share("counting") == 1
    )


def _own_by_values(look: ColumnLook) -> str:
    """The fact of a column whose heading may name the rows and whose values have another fact's form; "" for none."""
    if look.share("reg") >= BY_VALUES:
        return "registration"
    return STATUS if look.share("status") >= _MOSTLY and look.distinct * 2 <= look.said else ""


_OFTEN, _HALF, _MOSTLY = 5, 0.5, 0.8
"""One in so many names may come twice."""


def _may_name_on_left(
    found: Sequence[ColumnReading], columns: Sequence[ColumnSeen], place: int, kind: str
) -> bool:
    """Whether a column on the left that is read as no fact may name the rows: words, or in the first codes put aside."""
    if place >= len(found) or not _could_name(columns[place]):
        return False
    if found[place].fact is None:
        return "old, former" not in found[place].why
    own = "person" if kind == "person" else "serial"
    return found[place].fact == IGNORE and place == 0 and columns[0].look.share(own) >= BY_VALUES


def _name_rank(column: ColumnSeen, kind: str, lexicon: Lexicon, place: int) -> tuple[bool, bool, int, int]:
    concepts = lexicon.heard(column.heading).concepts
    rank = next((at for at, needs in enumerate(_RANK) if set(needs.split()) <= concepts), len(_RANK))
    words = lexicon.heard(column.heading).words
    if place == 0 and "TAG" in concepts and words and words[-1] in _KEYED:
        rank = -1
    is_no_person = kind == "person" and column.look.share("person") < _HALF
    return is_no_person, column.look.distinct * 2 <= column.look.said, rank, place


def _could_name(column: ColumnSeen) -> bool:
    look = column.look
    words = look.share("name") + look.share("serial")
    return look.said >= 2 and look.is_distinct and words >= BY_VALUES and look.share("text") < 0.2
