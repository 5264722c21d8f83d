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
from airwrit.base.sentences import sentence

GROUPS: dict[str, dict[str, tuple[str, str]]] = {
    "Looking": {
        "today": (
            "airwrit.cli.look.today",
            "Whose papers are OK on a day, who is grounded and why, and what to fix first.",
        ),
        "deadlines": (
            "airwrit.cli.look.deadlines",
            "What expires and when, as a list or a calendar, and what it costs.",
        ),
        "aircraft": (
            "airwrit.cli.look.aircraft",
            "One aircraft in full: is it OK, why not, and what to do first.",
        ),
        "person": (
            "airwrit.cli.look.person",
            "One person in full: are they current, why not, and what to do first.",
        ),
        "history": (
            "airwrit.cli.look.history",
            "Everything ever recorded about something, by whom and when.",
        ),
        "flight-hours": ("airwrit.cli.look.flight_hours", "Flights, hours and battery cycles up to a day."),
        "rules": (
            "airwrit.cli.look.rules",
            "A rule's numbers over time, with their source and when we read it.",
        ),
        "penalties": ("airwrit.cli.look.penalties", "The maximum penalties for breaking rules."),
        "daylight": ("airwrit.cli.place.daylight", "Sunrise, sunset, twilight and night at a place."),
        "weather": ("airwrit.cli.place.weather", "What a METAR or TAF says, next to the limits of Part 107."),
        "over-people": (
            "airwrit.cli.place.over_people",
            "Which category you can use over people, and what it needs.",
        ),
        "airspace": (
            "airwrit.cli.place.airspace",
            "Airspace data on file, and what applies at a place.",
        ),
        "authority": (
            "airwrit.cli.place.authority",
            "Whether an authorization or COA on file covers a planned flight.",
        ),
        "structure": (
            "airwrit.cli.place.structure",
            "How high a flight may go beside a tower or building.",
        ),
        "line-of-sight": (
            "airwrit.cli.place.line_of_sight",
            "How far a flight is from the pilot, and what is in the way.",
        ),
        "terrain": (
            "airwrit.cli.place.terrain",
            "How high the ground is, and how high a flight is above it.",
        ),
        "check-number": ("airwrit.cli.look.check_number", "What a number is, and whether it can be right."),
        "check-link": ("airwrit.cli.look.check_link", "Whether a web address can be official."),
        "demo": (
            "airwrit.cli.look.demo",
            "A made-up program with the usual problems: its sheet and its day.",
        ),
    },
    "Doing": {
        "new-aircraft": (
            "airwrit.cli.write.job:new_aircraft",
            "Bring in an aircraft: bought, registered, marked, on record.",
        ),
        "renew": ("airwrit.cli.write.job:renew", "Record renewals. We work out the new expiration."),
        "file-changes": (
            "airwrit.cli.write.job:file_changes",
            "Record that you told the FAA about changes, for all registrations at once.",
        ),
        "join": ("airwrit.cli.write.job:join", "Somebody joins the program."),
        "leave": ("airwrit.cli.write.job:leave", "Somebody leaves: hand over what they have."),
        "register": ("airwrit.cli.prepare.register", "How to register an aircraft, question by question."),
        "whose-name": (
            "airwrit.cli.prepare.whose_name",
            "Whose name to register an organization's aircraft in.",
        ),
        "registration-sheets": (
            "airwrit.cli.prepare.registration_sheets",
            "A page for each aircraft: how to register it or fix its record.",
        ),
        "number-labels": (
            "airwrit.cli.prepare.number_labels",
            "Registration numbers to print, cut out and stick on.",
        ),
        "before-flight": (
            "airwrit.cli.place.before_flight",
            "Can this flight go? When, how high, and what to confirm first.",
        ),
        "planned-flights": (
            "airwrit.cli.place.planned_flights",
            "All flights planned for a day, checked against the records now.",
        ),
        "way-home": (
            "airwrit.cli.place.way_home",
            "Whether the battery brings it home against the wind, with the reserve.",
        ),
        "record-change": (
            "airwrit.cli.write.record_change",
            "Enter facts, or something that happened, by hand.",
        ),
        "what-if": ("airwrit.cli.write.what_if", "What a change would do, without saving it."),
        "log-flight": ("airwrit.cli.write.log_flight", "Log a flight, or sign off a defect."),
        "incident": (
            "airwrit.cli.write.incident",
            "After an incident: whom to notify, by when, or why not.",
        ),
        "papers": (
            "airwrit.cli.prepare.papers",
            "A pilot's papers to carry: a file for the phone, and a PDF.",
        ),
        "check-facts": (
            "airwrit.cli.prepare.check_facts",
            "What the rules say about an aircraft, flight or incident described in a file.",
        ),
        "open-page": ("airwrit.cli.look.open_page", "Open the page in a browser, on this computer only."),
    },
    "Keeping records": {
        "import": ("airwrit.cli.write.import_sheets", "Read a spreadsheet, show what it says, and save it."),
        "attach-file": ("airwrit.cli.write.attach_file", "Keep a photo or a PDF with the record it shows."),
        "proof": ("airwrit.cli.keep.proof", "The status on a day, as a file an outsider can check."),
        "check-proof": ("airwrit.cli.keep.check_proof", "What a proof file shows, and what it doesn't."),
        "check-records": (
            "airwrit.cli.keep.check_records",
            "Whether the records are complete and unchanged.",
        ),
        "tamper-seal": (
            "airwrit.cli.keep.tamper_seal",
            "Save a short note to keep elsewhere, or check one. It shows if records were changed.",
        ),
        "signing-key": ("airwrit.cli.keep.signing_key", "Make a key to sign proofs and tamper seals."),
        "backup": ("airwrit.cli.keep.backup", "Copy the records while they are in use."),
        "restore": ("airwrit.cli.keep.restore", "Make the records again from a backup or exported lines."),
        "export-records": (
            "airwrit.cli.keep.export_records",
            "Every entry as a line, exactly as it was hashed.",
        ),
        "legal-hold": (
            "airwrit.cli.keep.legal_hold",
            "Records that must be kept: set a hold, release it, list holds.",
        ),
        "erase-personal-data": (
            "airwrit.cli.keep.erase_personal_data",
            "Remove a person's private facts on a lawful request.",
        ),
        "fix-clock": (
            "airwrit.cli.keep.fix_clock",
            "Find entries stamped by a fast clock, and fix it.",
        ),
    },
}
"""Every command by what a person wants: its module (with the command's name where it has several), its line in the help."""

COMMANDS: dict[str, tuple[str, str]] = {
    name: entry for group in GROUPS.values() for name, entry in group.items()
}

_HELP = """airwrit: the records and deadlines of an organization's drones, in one place.

It gives information, not legal advice. The FAA, local rules and the pilot in command decide.

\b
Example:
  airwrit today fleet.xlsx --on 2026-11-25
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
            module, _, name = entry[0].partition(":")
            command: click.Command = getattr(importlib.import_module(module), name or "command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's
        """The list of commands from their one-line helps, without importing any."""
        for title, commands in GROUPS.items():
            with formatter.section(title):
                formatter.write_dl([(name, line) for name, (_, line) in commands.items()])


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
        return _refused(str(of_the_machine(error)))
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
    return f"{sentence(error.format_message())} See `{where}`."


def printable(text: str) -> str:
    """The text without control characters and terminal escapes, on one line."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
