"""In which way a column says what it holds: yes and no beside a serial, a box ticked for built in, a flag for disposed."""

from __future__ import annotations

from airwrit.facts.keys.aircraft import LISTED_SERIAL, MARK_PLACE, REMOTE_ID_WAY
from airwrit.facts.keys.service import SERVICE_STATUS
from airwrit.intake.meaning.lexicon import split_brackets, whole_lexicon, words_listed, words_of
from airwrit.intake.meaning.shapes import ColumnLook

SAME, OUTSIDE, BUILT_IN, ADD_ON, OUT_FLAG, GONE_FLAG, STATUS_WORDS = (
    "same serial",
    "on the outside",
    "built in",
    "add-on",
    "flag: out",
    "flag: gone",
    "status words",
)
_MOSTLY = 0.5
_GONE = frozenset({"GONEFLAG", "RETFLAG", "LOSTFLAG", "WRECKFLAG"})


def variant_of(meaning: str, heading: str, look: ColumnLook) -> str:
    """The way in which a column's values say what it holds; "" for the plain one."""
    is_yes_or_no = look.share("yesno") >= _MOSTLY
    if meaning == LISTED_SERIAL.name:
        return SAME if is_yes_or_no else ""
    if meaning == MARK_PLACE.name:
        return OUTSIDE if is_yes_or_no and not words_listed("outside").isdisjoint(words_of(heading)) else ""
    concepts = whole_lexicon().heard(split_brackets(heading)[0]).concepts
    if meaning == REMOTE_ID_WAY.name and is_yes_or_no:
        plain = concepts & {"BUILTIN", "ADDON"}
        return {frozenset({"BUILTIN"}): BUILT_IN, frozenset({"ADDON"}): ADD_ON}.get(plain, "")
    if meaning == SERVICE_STATUS.name:
        if "STATUS" in concepts or not is_yes_or_no:
            return STATUS_WORDS
        return OUT_FLAG if "OUTFLAG" in concepts else GONE_FLAG if concepts & _GONE else STATUS_WORDS
    return ""
