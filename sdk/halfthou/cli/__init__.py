"""The command line. Each command is imported only when it is asked for."""

from __future__ import annotations

import sys
from importlib import import_module

import click

COMMANDS = {
    "limit": "What a measurement should be, who says so and who disagrees.",
    "judge": "What one reading or finding means.",
    "sheet": "What a whole sheet of readings means.",
    "ready": "What stands against starting it, and what nobody looked at.",
    "limits-sheet": "Every limit of one engine, on paper.",
    "as-found": "What to write down before anything is turned, and that form filled in.",
    "order": "What each machinist must be told of each part.",
    "parts-back": "The machinist's sizes and yours against the order.",
    "compare": "Two sheets of one engine, before and after.",
    "fit": "Limits of a fit such as H7/g6 or RC5, or the fits that give a clearance.",
    "calc": "Work something out: oil film, shims, springs, belts, flywheel, and the rest.",
    "guess": "What sizes an engine of this power usually has: guesses, marked as such.",
    "overlay": "Figures from your own book for one engine: begin a file, check it.",
    "search": "Find a characteristic by the words a restorer would use.",
    "characteristic": "What a characteristic is and how to measure it.",
    "instruments": "The measuring tools the table knows.",
    "classes": "The engine classes, by the id for --class.",
    "features": "What an engine may have, by the id for --feature.",
    "dimensions": "What an engine measures, by the id for --dimension.",
    "cautions": "What can hurt you.",
    "editions": "The editions of the table, and what changed between two.",
    "demo": "An invented engine, judged.",
    "serve": "Start the service.",
}


class LazyGroup(click.Group):
    """A group that imports a command's module when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every command, in the order a newcomer meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in COMMANDS:
            return None
        command = getattr(import_module(f".{cmd_name.replace('-', '_')}", __name__), "command", None)
        return command if isinstance(command, click.Command) else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _version(ctx: click.Context, _param: click.Parameter, value: bool) -> None:
    if value and not ctx.resilient_parsing:
        from ..version import version

        click.echo(f"halfthou {version()}")
        ctx.exit()


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Say the version.")
def cli() -> None:
    """What a measurement on an old single-cylinder engine should be, who says so, and what your reading means.

    Commands ask the service installed here, or the one that --url or HALFTHOU_URL names.

    \b
    Exit codes: 0 every item within_fit, usable or typical and nothing asked for is missing
                1 something beyond the limit, outside the fit, undecided, unusual or not judged
                2 the question itself is wrong
                3 no service answers, or it is not installed
                4 a stop
    """


def main() -> None:
    """Entry point of the ``halfthou`` command."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    cli(prog_name="halfthou")
