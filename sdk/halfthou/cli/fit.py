"""``halfthou fit``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, client, leave, print_json, service_options, told_errors, units_option

if TYPE_CHECKING:
    from ..models import FitAnswer


@click.command("fit")
@click.argument("designation", required=False)
@click.argument("size", required=False)
@click.option("--from", "low", metavar="SIZE", help="Tightest clearance wanted, such as '2 thou'; below zero is interference.")
@click.option("--to", "high", metavar="SIZE", help="Loosest clearance wanted.")
@click.option("--at", "at", metavar="SIZE", help="Nominal size for --from and --to.")
@units_option
@service_options
def command(
    designation: str | None,
    size: str | None,
    low: str | None,
    high: str | None,
    at: str | None,
    units: Any,
    url: str | None,
    as_json: bool,
) -> None:
    """The limits of a fit: DESIGNATION (H7/g6, RC5) at SIZE; or the fits that give a clearance.

    \b
    halfthou fit H7/g6 "25 mm"
    halfthou fit RC5 "2-1/4 in"
    halfthou fit --from "2 thou" --to "5 thou" --at "2-1/4 in"
    """
    with told_errors(as_json):
        ends = [low, high, at]
        if any(ends) and (designation or size):
            raise UsageError("name a fit and a size, or give --from, --to and --at; not both")
        if any(ends) != all(ends) or not (any(ends) or (designation and size)):
            raise UsageError("name a fit and a size, such as H7/g6 '25 mm', or give --from, --to and --at")
        with client(url) as shop:
            if designation and size:
                found: tuple[FitAnswer, ...] = (shop.fit(designation, size, units=units),)
            else:
                found = shop.fits_giving(low, high, at, units=units)
            if as_json:
                print_json(found[0].raw if designation else {"items": [entry.raw for entry in found]})
            else:
                click.echo("\n".join(_one(found[0]) if designation else _several(found)))
            leave(ALL_WELL if found and found[0].within else SOMETHING)


def _one(fit: FitAnswer) -> list[str]:
    from .show import heading, listed, section, wrapped

    lines = heading(f"{fit.designation}  {fit.size or ''}".strip(), f"edition {fit.edition}" if fit.edition else "")
    lines += wrapped(fit.text)
    if fit.use:
        lines += wrapped(fit.use)
    rows = [(f"  {name}", f"{part.zone}: {part.low} to {part.high}") for name, part in (("hole", fit.hole), ("shaft", fit.shaft))]
    lines += listed([*rows, ("  clearance", f"{fit.tightest} to {fit.loosest}{'; below zero is interference' if fit.kind != 'clearance' else ''}")])
    lines += section("Where the numbers come from")
    for cell in fit.cells:
        who = "from memory, unchecked" if cell.from_memory else f"{cell.grade}: {', '.join(cell.works)}"
        lines += wrapped(f"{cell.what} {cell}: {who}{f'; {cell.note}' if cell.note else ''}", "  ", "    ")
    for note in fit.notes:
        lines += wrapped(note, "  ")
    return lines


def _several(found: tuple[FitAnswer, ...]) -> list[str]:
    from .show import listed, wrapped

    if not found:
        return ["No fit on file comes near that."]
    lines = [] if found[0].within else wrapped("No fit lies wholly within that. Nearest:")
    return lines + listed((fit.designation, fit.text.partition(": ")[2]) for fit in found)
