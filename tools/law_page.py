"""Make docs/law.md anew: every rule, the parameters it may read through time, and the readings that no parameter uses.

Needs the program on the path: `.venv/bin/python tools/law_page.py`.
"""

import importlib
import pkgutil
import tomllib
from pathlib import Path
from typing import Any

import airwrit.law
from airwrit.answers.lookup.law import parameters_of
from airwrit.law.contradictions import pairs
from airwrit.law.parameters import FOLDER, Param, ValueSpan, readings
from airwrit.law.rule import Rule
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import shown

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "law.md"
UNUSED = ROOT / "tools" / "unused_facts.toml"
TOLD = ROOT / "tools" / "told_not_judged.toml"

HEAD = """# The law in the program

Made by `tools/law_page.py` from the rules and from `src/airwrit/law/params/us`; do not edit it by hand.

Every number, switch, day and list is there with the days on which it applied, its section, and where we read it. For each,
we keep three facts apart: the date *of* the text, how we *had* it (the primary text, a copy of the Code, an agency page, second
hand, memory; all in stored copies), and the day we *read* it. Readings of 2026-11-24 were put together on that day; nobody
noted when each was made before. *high*: the primary text, or two independent copies. *medium*: one copy, an older text or a
good secondary source. *low*: memory or one weak source. A finding says if it rests on a second-hand text or on memory. A day
outside all spans is answered with *unknown*. *open* marks a text that can be read two ways.

"""

CONTRADICTIONS = """## Facts that can't both be true

From `src/airwrit/law/contradictions.toml`, one row each. If two facts on file break a row, neither decides anything. What a
rule would conclude from them is *unknown*, and the sentence says why.
"""


def page() -> str:
    """The whole page."""
    used: dict[str, list[str]] = {}
    for rule in BY_NAME.values():
        for param in parameters_of(rule):
            used.setdefault(param.name, []).append(rule.name)
    parts = [HEAD + _counted(), *_rules(), "## Parameters\n"]
    by_name = _params()
    for path in sorted(FOLDER.glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        title = text.partition("\n")[0].removeprefix("# ")
        parts.append(f"### {path.name}\n\n{title}\n")
        parts += [_param(by_name[name], used.get(name, [])) for name in tomllib.loads(text)]
    parts += [CONTRADICTIONS, _pairs(), "## Told and not judged\n", _told()]
    parts += ["## Readings that no rule uses\n", _unused()]
    return "\n".join(parts)


def _counted() -> str:
    """How many values there are, and how they were had."""
    read = readings()
    had = ", ".join(f"{how.value} {many}" for how, many in read.had.items())
    return f"{read.values} values, read between {read.first_on} and {read.last_on}: {had}.\n"


def _params() -> dict[str, Param[Any]]:
    """Every parameter that a module of the law has read, by name."""
    found: dict[str, Param[Any]] = {}
    for info in pkgutil.walk_packages(airwrit.law.__path__, "airwrit.law."):
        module = importlib.import_module(info.name)
        for value in vars(module).values():
            several = value if isinstance(value, tuple) else (value,)
            found.update({one.name: one for one in several if isinstance(one, Param)})
    return found


def _rules() -> list[str]:
    """The rules by kind of subject, each with what it asks and the parameters it may read."""
    kinds = dict.fromkeys(rule.about for rule in BY_NAME.values())
    parts = ["## Rules\n"]
    for kind in kinds:
        parts.append(f"### About {'an' if kind[0] in 'aio' else 'a'} {kind}\n")
        parts += ["| rule | asks | reads |", "|---|---|---|"]
        parts += [_rule(rule) for rule in BY_NAME.values() if rule.about == kind]
        parts.append("")
    return parts


def _rule(rule: Rule) -> str:
    asks = (rule.judge.__doc__ or "").strip().partition("\n")[0]
    return (
        f"| `{rule.name}` | {_cell(asks)} | {', '.join(f'`{param.name}`' for param in parameters_of(rule))} |"
    )


def _param(param: Param[Any], rules: list[str]) -> str:
    """A parameter's title, its rules, and a line for each span."""
    unit = f", in {param.unit}" if param.unit else ""
    by = f"Read by {', '.join(f'`{name}`' for name in rules)}." if rules else "Told, and read by no rule."
    lines = [f"**`{param.name}`**: {param.title}{unit}. {by}\n"]
    lines += [
        "| value | from | until | section | read in | text of | how it was had | read on | confidence |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    lines += [_span(span) for span in param.spans]
    return "\n".join([*lines, ""])


def _span(span: ValueSpan) -> str:
    until = "" if span.until is None else span.until.isoformat()
    sure = span.confidence + (", open" if span.open_edge else "")
    where = "; also ".join((span.source, *span.also))
    dates = (str(span.text_of), span.had.value, span.read_on.isoformat())
    cells = (shown(span.value), span.start.isoformat(), until, span.cites, where, *dates, sure)
    return "| " + " | ".join(_cell(cell) for cell in cells) + " |"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _pairs() -> str:
    """The pairs of facts that cannot both be so, each with its sentence and section."""
    lines = ["| pair | facts | what is said | section |", "|---|---|---|---|"]
    for pair in pairs():
        facts = ", ".join(f"`{place.key.name}`" for place in pair.places)
        lines.append(f"| `{pair.name}` | {facts} | {_cell(pair.says)} | {pair.cites} |")
    return "\n".join([*lines, ""])


def told() -> dict[str, str]:
    """The parameters that are told and not judged, with the reason."""
    return tomllib.loads(TOLD.read_text(encoding="utf-8"))


def _told() -> str:
    """How many parameters change a verdict when they change, and which do not, with the reason."""
    names, all_of_them = told(), len(_params())
    lines = [
        (
            f"Of {all_of_them} parameters, {all_of_them - len(names)} decide: each changes a verdict "
            f"when it is moved, in `tests/unit/law/test_every_parameter_decides.py`. {len(names)} are told and "
            f"not judged, because no fact that a lead can have decides them.\n"
        ),
        "| parameter | why it decides nothing |",
        "|---|---|",
    ]
    return "\n".join([*lines, *(f"| `{name}` | {_cell(reason)} |" for name, reason in names.items()), ""])


def _unused() -> str:
    """The readings on file that no parameter rests on, with the reason."""
    reasons = tomllib.loads(UNUSED.read_text(encoding="utf-8"))
    lines = ["| reading | why not |", "|---|---|"]
    return "\n".join([*lines, *(f"| `{name}` | {_cell(reasons[name])} |" for name in reasons), ""])


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
