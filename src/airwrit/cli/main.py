"""The `airwrit` command: its commands load when called, so that help comes at once."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from contextlib import suppress

import click

from airwrit import __version__
from airwrit.base.collector import paused
from airwrit.base.errors import AirwritError
from airwrit.base.faults import of_the_machine, own_fault

COMMANDS: dict[str, tuple[str, str]] = {
    "demo": (
        "airwrit.cli.look.demo",
        "An invented program with the usual traps: its sheet and its standing.",
    ),
    "standing": ("airwrit.cli.look.standing", "Who and what may fly on a day, why not, and what is due."),
    "import": (
        "airwrit.cli.write.import_sheets",
        "Put a sheet's facts into the ledger, shown before they are kept.",
    ),
    "ask": (
        "airwrit.cli.look.ask",
        "How to register an aircraft; what rules say about a flight or an incident.",
    ),
    "due": ("airwrit.cli.look.due", "What is due and when, as a list or a calendar, and what it costs."),
    "worksheet": (
        "airwrit.cli.look.worksheet",
        "A page for each aircraft: how to register it or fix its record.",
    ),
    "marks": ("airwrit.cli.look.marks", "Registration numbers to print, cut out and stick on."),
    "identify": ("airwrit.cli.look.identify", "What a number is, and whether it can be right."),
    "link": ("airwrit.cli.look.link", "Whether a web address can be official."),
    "light": ("airwrit.cli.place.light", "Sunrise, sunset, twilight and night at a place."),
    "weather": ("airwrit.cli.place.weather", "What a METAR or TAF says, beside the limits of Part 107."),
    "airspace": ("airwrit.cli.look.airspace", "Airspace data on file, and what of it applies at a place."),
    "over-people": (
        "airwrit.cli.place.over_people",
        "Which category is open over people, and what it needs.",
    ),
    "terrain": ("airwrit.cli.place.terrain", "The ground under an area, and a height over it."),
    "record": ("airwrit.cli.write.record", "Enter facts, or something that happened, by hand."),
    "whatif": (
        "airwrit.cli.write.whatif",
        "What a change would do, without saving it.",
    ),
    "carry": ("airwrit.cli.look.carry", "A pilot's papers for a day: a file for the phone, and a PDF."),
    "enter": ("airwrit.cli.write.enter", "Log a flight by hand."),
    "hours": ("airwrit.cli.look.hours", "Flights, hours and battery cycles up to a day."),
    "attach": ("airwrit.cli.write.attach", "Keep a photo or a PDF with the record it shows."),
    "proof": (
        "airwrit.cli.keep.proof",
        "The status on a day, as a file that an outsider can check.",
    ),
    "history": ("airwrit.cli.look.history", "Everything ever recorded about something, by whom and when."),
    "check": ("airwrit.cli.keep.check", "Whether the ledger is complete and unchanged."),
    "clock": ("airwrit.cli.keep.clock", "Find entries stamped by a clock that ran ahead, and fix it."),
    "key": ("airwrit.cli.keep.key", "Make a key to sign checkpoints."),
    "checkpoint": (
        "airwrit.cli.keep.checkpoint",
        "Save a short note of the log to keep elsewhere, or check one.",
    ),
    "verify": ("airwrit.cli.keep.verify", "What a proof file shows, and what it doesn't."),
    "backup": ("airwrit.cli.keep.backup", "Copy the ledger while it is in use."),
    "restore": ("airwrit.cli.keep.restore", "Make a new ledger from a backup or exported lines."),
    "export": ("airwrit.cli.keep.export", "The ledger's lines, exactly as they were hashed."),
    "blank": ("airwrit.cli.keep.blank", "Remove a person's private facts on a lawful request."),
    "hold": ("airwrit.cli.keep.hold", "Records to keep: set a hold, release it, list holds."),
    "serve": ("airwrit.cli.look.serve", "Open the page, on this computer only."),
    "law": ("airwrit.cli.look.law", "A rule's numbers over time, with their source and when we read it."),
}

_HELP = """airwrit: the records and deadlines of an organization's drones, in one place.

It gives information, not legal advice. The FAA, local rules and the pilot in command decide.

\b
Example:
  airwrit standing fleet.xlsx --on 2026-11-25
"""


class _Commands(click.Group):
    """A group that imports a command's module only when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """The names, in the order of the job."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """The command of that name, imported now."""
        entry = COMMANDS.get(cmd_name)
        if entry is None:
            return None
        with (
            paused()
        ):  # modules are made to stay, and looking through them again and again is a tenth of the start
            command: click.Command = importlib.import_module(entry[0]).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's
        """The list of commands from their one-line helps, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(cls=_Commands, help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="airwrit")
def cli() -> None:
    """Entry of the group; the help text stands in `_HELP`."""


def main() -> None:
    """Run the command line with the arguments of this process."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command; its exit code. Errors go to stderr as one line: what, where, what to do; that is code 2."""
    try:
        code = cli.main(list(arguments), prog_name="airwrit", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Abort:
        return 2
    except click.exceptions.NoArgsIsHelpError as asked:
        _tell(asked.ctx.get_help())
        return 2
    except click.ClickException as error:
        return _refused(_one_line(error))
    except AirwritError as error:
        return _refused(str(error))
    except BrokenPipeError:
        _let_go_of_output()
        return 0
    except (OSError, MemoryError) as error:
        _let_go_of_output()
        return _refused(of_the_machine(error))
    except Exception as error:  # noqa: BLE001 - the last that a user may meet is one line too
        return _refused(own_fault(error))
    return code if isinstance(code, int) else 0


def _refused(line: str) -> int:
    _tell(f"airwrit: {printable(line)}")
    return 2


def _tell(text: str) -> None:
    """Write to stderr; where that cannot be written either there is nobody left to tell."""
    with suppress(OSError, ValueError):
        click.echo(text, err=True)


def _let_go_of_output() -> None:
    """Lead standard output nowhere: what it still holds cannot be written, and is not tried again at the end."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _one_line(error: click.ClickException) -> str:
    """A wrong use in one line, with where its help is."""
    context = error.ctx if isinstance(error, click.UsageError) else None
    where = f"{context.command_path} --help" if context else "airwrit --help"
    return f"{error.format_message().rstrip('.')}; see `{where}`"


def printable(text: str) -> str:
    """The text without control characters and terminal escapes, on one line."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
