"""The `airwrit` command: its commands load when called, so that help comes at once."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from contextlib import suppress

import click

from airwrit import __version__
from airwrit.base.errors import AirwritError
from airwrit.base.faults import of_the_machine, own_fault
from airwrit.base.process import paused
from airwrit.base.sentences import sentence

GROUPS: dict[str, dict[str, tuple[str, str]]] = {
    "Look something up": {
        "today": (
            "airwrit.cli.look.today",
            "Show which aircraft and pilots have their papers in order, who is grounded, and what to fix first.",
        ),
        "deadlines": (
            "airwrit.cli.look.deadlines",
            "List what expires and when, save it as a calendar, and show what it costs.",
        ),
        "aircraft": (
            "airwrit.cli.look.one_subject:aircraft",
            "Show everything about one aircraft: whether it is OK, and if not, why and what to do first.",
        ),
        "person": (
            "airwrit.cli.look.one_subject:person",
            "Show everything about one person: whether they are current, and if not, why and what to do first.",
        ),
        "history": (
            "airwrit.cli.look.history",
            "Show everything ever recorded about an aircraft, a person or a document, and who entered it.",
        ),
        "batteries": (
            "airwrit.cli.look.upkeep:batteries",
            "Show every battery: whether it is fit, its cycles, and its capacity.",
        ),
        "battery": ("airwrit.cli.look.upkeep:battery", "Show one battery in full."),
        "maintenance": (
            "airwrit.cli.look.upkeep:maintenance",
            "Show defects, work done, what is due next, and how aircraft are set up.",
        ),
        "training": (
            "airwrit.cli.look.upkeep:training",
            "Show gaps in training, and how recently each model was flown.",
        ),
        "flight-hours": ("airwrit.cli.look.flight_hours", "Count flights, hours and battery cycles."),
        "report": (
            "airwrit.cli.look.report",
            "Make a report for a month, a year, an insurer or others.",
        ),
        "rules": (
            "airwrit.cli.look.rules",
            "Show what a rule required over the years, with its source.",
        ),
        "penalties": ("airwrit.cli.look.penalties", "Show the maximum penalties for breaking rules."),
        "daylight": ("airwrit.cli.place.daylight", "Show sunrise, sunset, twilight and night at a place."),
        "weather": (
            "airwrit.cli.place.weather",
            "Read a METAR or TAF in plain words, and compare it with the Part 107 limits.",
        ),
        "over-people": (
            "airwrit.cli.place.over_people",
            "Show which categories allow a flight over people, and what each one requires.",
        ),
        "airspace": (
            "airwrit.cli.place.airspace",
            "Add airspace data, and show what it says about a place.",
        ),
        "check-authorization": (
            "airwrit.cli.place.check_authorization",
            "Check whether an authorization or COA on file covers a planned flight.",
        ),
        "height-near-tower": (
            "airwrit.cli.place.height_near_tower",
            "Show how high you may fly next to a tower or building.",
        ),
        "line-of-sight": (
            "airwrit.cli.place.line_of_sight",
            "Show how far away the aircraft gets, and whether the ground hides it.",
        ),
        "terrain": (
            "airwrit.cli.place.terrain",
            "Show how high the ground is, and how high a flight is above it.",
        ),
        "check-number": (
            "airwrit.cli.look.check_number",
            "Check what kind of number this is, and whether it can be right.",
        ),
        "check-web-address": (
            "airwrit.cli.look.check_web_address",
            "Check whether a web address can be an official one.",
        ),
        "demo": (
            "airwrit.cli.look.demo",
            "Try airwrit on a made-up program with the usual problems.",
        ),
    },
    "Get something done": {
        "new-aircraft": (
            "airwrit.cli.write.job:new_aircraft",
            "Add a new aircraft, from the purchase to the registration, the number on it and Remote ID.",
        ),
        "renew": (
            "airwrit.cli.write.job:renew",
            "Record that you renewed registrations. We work out the new expiration dates.",
        ),
        "filed-with-faa": (
            "airwrit.cli.write.job:file_changes",
            "Record changes you filed with the FAA, for several registrations at once.",
        ),
        "new-person": ("airwrit.cli.write.job:join", "Add someone who joins the program."),
        "person-leaves": (
            "airwrit.cli.write.job:leave",
            "Record that someone left, and hand over what they had.",
        ),
        "which-registration": (
            "airwrit.cli.prepare.which_registration",
            "Find out how to register an aircraft, one question at a time.",
        ),
        "whose-name": (
            "airwrit.cli.prepare.whose_name",
            "Compare whose name to register an organization's aircraft in.",
        ),
        "registration-sheets": (
            "airwrit.cli.prepare.registration_sheets",
            "Make a page for each aircraft that says how to register it or fix its record.",
        ),
        "reminder-letter": (
            "airwrit.cli.prepare.reminder_letter",
            "Write a letter about what is due, as text or HTML. You send it.",
        ),
        "number-labels": (
            "airwrit.cli.prepare.number_labels",
            "Print registration numbers to cut out and stick on.",
        ),
        "before-flight": (
            "airwrit.cli.place.before_flight",
            "Check whether a flight breaks a rule, when and how high you could fly, and what to confirm.",
        ),
        "after-flight": (
            "airwrit.cli.place.after_flight",
            "Check a flight log against the limits, the papers and the plan.",
        ),
        "planned-flights": (
            "airwrit.cli.place.planned_flights",
            "Check every flight planned for a day against the records.",
        ),
        "way-home": (
            "airwrit.cli.place.way_home",
            "Check whether the battery lasts for the flight home against the wind.",
        ),
        "record-change": (
            "airwrit.cli.write.record_change",
            "Enter a fact, or record something that happened.",
        ),
        "what-if": ("airwrit.cli.write.what_if", "Show what a change would do, without saving it."),
        "log-flight": ("airwrit.cli.write.log_flight", "Log a flight, or sign off a defect."),
        "incident": (
            "airwrit.cli.write.incident",
            "Find out whom to notify after an incident, and by when.",
        ),
        "pilot-papers": (
            "airwrit.cli.prepare.pilot_papers",
            "Make the papers a pilot carries, as a file for the phone or a PDF.",
        ),
        "check-scenario": (
            "airwrit.cli.prepare.check_scenario",
            "Check an aircraft, a flight or an incident that you describe in a file.",
        ),
        "open-page": ("airwrit.cli.look.open_page", "Open airwrit in your browser, on this computer only."),
    },
    "Keep the records": {
        "import": ("airwrit.cli.write.import_sheets", "Import your spreadsheet. You see a preview first."),
        "attach-file": (
            "airwrit.cli.write.attach_file",
            "Attach a photo or a PDF to an aircraft, a person or a document.",
        ),
        "proof": ("airwrit.cli.keep.proof", "Make a PDF that proves the status on a day to an outsider."),
        "check-proof": (
            "airwrit.cli.keep.check_proof",
            "Check a proof file: what it shows, and what it doesn't.",
        ),
        "check-records": (
            "airwrit.cli.keep.check_records",
            "Check that the records are complete and unchanged.",
        ),
        "seal-records": (
            "airwrit.cli.keep.seal_records",
            "Save a checkpoint: a short note that shows later whether anyone changed the records.",
        ),
        "signing-key": ("airwrit.cli.keep.signing_key", "Make a key to sign proofs and checkpoints."),
        "backup": ("airwrit.cli.keep.backup", "Save a copy of the records, even while they are in use."),
        "restore": ("airwrit.cli.keep.restore", "Get the records back from a backup or an export."),
        "export-records": (
            "airwrit.cli.keep.export_records",
            "Save every entry as a line of text.",
        ),
        "legal-hold": (
            "airwrit.cli.keep.legal_hold",
            "Set, release or list holds on records that must be kept.",
        ),
        "erase-personal-data": (
            "airwrit.cli.keep.erase_personal_data",
            "Remove a person's private facts on a lawful request.",
        ),
        "fix-entry-dates": (
            "airwrit.cli.keep.fix_entry_dates",
            "Fix entries that were dated ahead because the computer's clock was wrong.",
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
    # numpy would begin threads for matrices that nothing here has
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
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
