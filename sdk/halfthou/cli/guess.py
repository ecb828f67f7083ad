"""``halfthou guess``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from .common import ALL_WELL, SOMETHING, client, leave, print_json, service_options, told_errors, units_option

if TYPE_CHECKING:
    from ..models import Guess, Guesses


@click.command("guess")
@click.argument("power", nargs=-1, required=True)
@click.option("--stroke", metavar="SIZE", help="Such as '6 in': chooses between two bands of power, or doubts the guess.")
@click.option("--engine-class", "--class", "engine_class", metavar="ID", help="Engine class; without it, every class on file.")
@units_option
@service_options
def command(power: tuple[str, ...], stroke: str | None, engine_class: str | None, units: Any, url: str | None, as_json: bool) -> None:
    """What sizes an engine of this POWER usually has: guesses to start from, never used for a verdict.

    \b
    halfthou guess "5 hp"
    halfthou guess 3-1/2 hp --stroke "6 in"
    """
    with told_errors(as_json), client(url) as shop:
        found = shop.typical(" ".join(power), engine_class=engine_class, stroke=stroke, units=units)
        if as_json:
            print_json(found.raw)
        else:
            click.echo("\n".join(_page(found)))
        leave(ALL_WELL if found.items else SOMETHING)


def _page(found: Guesses) -> list[str]:
    from .show import heading, listed, wrapped

    classes = sorted({guess.engine_class for guess in found.items})
    title = f"Guesses for {found.power}{f', {classes[0]}' if len(classes) == 1 else ''}"
    lines = heading(title, f"edition {found.edition}" if found.edition else "") + wrapped(found.text)
    rows = [(f"  {guess.name}", _told(guess, len(classes) > 1)) for guess in found.items]
    return [*lines, "", *listed(rows)] if rows else lines


def _told(guess: Guess, name_class: bool) -> str:
    grade = "from memory, unchecked" if guess.grade == "from-memory" else guess.grade.replace("-", " ")
    low, high = guess.for_power
    band = f"{low.value:f} to {high}" if low and high else ""
    parts = ("guess", band, guess.engine_class if name_class else "", grade, guess.note)
    return f"{guess}  ({'; '.join(part for part in parts if part)})"
