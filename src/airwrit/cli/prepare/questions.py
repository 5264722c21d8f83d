"""The questions one by one, on a terminal or from lines of text: every answer is taken, put right or taken back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import zip_longest
from textwrap import fill

from airwrit.answers.asking.dialogue import Dialogue, next_question, so_far
from airwrit.answers.asking.questions import Prompt, answered
from airwrit.answers.asking.steps import words
from airwrit.answers.standing.standing import contradictions
from airwrit.base.errors import BadFact
from airwrit.base.sentences import sentence
from airwrit.cli.console import clean
from airwrit.facts.choices import words_of

HELP = (
    "Answer in your own words. Enter ? if you don't know. That never counts as a yes. "
    "Enter back to change the last answer, or stop to end with what we know."
)
_STOP, _BACK = ("stop", "quit", "exit", "end"), ("back", "undo")


def ask_all(
    dialogue: Dialogue, today: date, ask: Callable[[str], str | None], say: Callable[[str], None], width: int
) -> Dialogue:
    """The dialogue after the last answer. `ask` gives a line, None at the end of input; `say` prints one."""
    say(_filled(HELP, width))
    say("")
    say(_filled("Your options: " + "; ".join(words()["short"].values()) + ".", width))
    while True:
        question = next_question(dialogue)
        if question is None:
            return dialogue
        _put(question, len(dialogue.given) + 1, say, width)
        reply = _reply(question, dialogue, today, ask, say)
        if reply is None:
            return dialogue
        dialogue = reply
        say(_filled("so far: " + so_far(dialogue), width, "   "))


def _put(question: Prompt, number: int, say: Callable[[str], None], width: int) -> None:
    say("")
    say(_filled(f"{number}. {question.text}", width))
    for place, (choice, beside) in enumerate(zip_longest(question.choices, question.beside), 1):
        told = f"{words_of(choice)} ({beside})" if beside else words_of(choice)
        say(fill(f"{place}  {told}", width, initial_indent=" " * 5, subsequent_indent=" " * 8))
    cites = f"  [{question.cites}]" if question.cites else ""
    say(_filled(f"why: {question.why}{cites}", width, "   "))
    say(_filled(f"answer: {question.hint}", width, "   "))


def _reply(
    question: Prompt,
    dialogue: Dialogue,
    today: date,
    ask: Callable[[str], str | None],
    say: Callable[[str], None],
) -> Dialogue | None:
    """The dialogue with the answer, or one answer shorter; None to stop. A bad answer gets one line and another try."""
    while True:
        line = ask("> ")
        word = None if line is None else line.strip().casefold()
        if line is None or word in _STOP:
            return None
        if word in _BACK:
            if dialogue.given:
                return dialogue.back()
            say("  You have no answer to take back yet.")
            continue
        if word in ("help", "h"):
            say(f"  {HELP}")
            continue
        try:
            candidate = dialogue.with_answer(answered(question, line, today))
        except BadFact as fault:
            say("  " + clean(str(fault)))
            continue
        clashes = contradictions(candidate.stated(), today)[1]
        if not clashes:
            return candidate
        say(
            f"  That can't be right. {sentence(clashes[0].what)} Answer again, or enter back to change an earlier answer."
        )


def _filled(text: str, width: int, indent: str = "") -> str:
    return fill(text, width, initial_indent=indent, subsequent_indent=indent + "   ")
