"""``halfthou ready``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .common import ALL_WELL, SOMETHING, STOP, client, leave, told_errors
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import facts_option, given_sheet, part_of_file, sheet_options

if TYPE_CHECKING:
    from ..models.readiness import Readiness


@click.command("ready")
@sheet_options
@click.option("--stage", type=click.Choice(["assembly", "first-start"]), default="first-start", show_default=True, help="Before what.")
@facts_option
@paper_options
def command(
    file: Path | None,
    engine_file: Path | None,
    facts_file: Path | None,
    overlay: Path | None,
    stage: str,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """What stands against putting it together or starting it, and what nobody looked at. FILE is a sheet, or - for standard input.

    It says what was found and what was not looked at, and never more. Exit code 4 where a reading says stop, 1 where anything else
    stops you, is in doubt or was not looked at, 0 where nothing on the list is left.

    \b
    halfthou ready sheet.json
    halfthou ready sheet.json --stage assembly --out ready.html
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        facts = part_of_file(facts_file, "facts")
        source = given_sheet(file, engine_file, overlay, **given)
        with client(url, overlay) as shop:
            sheet, asked = source.sent(shop)
            paper = shop.readiness(sheet, stage=stage, facts=facts, **asked)
            from .ready_page import page

            hand_over(chosen, out, replace, raw=paper.raw, lines=lambda: page(paper),
                      paper=lambda form: shop.paper("readiness", sheet, format=form, stage=stage, facts=facts, **asked))  # fmt: skip
            leave(_code(paper))


def _code(paper: Readiness) -> int:
    if paper.nothing_found:
        return ALL_WELL
    return STOP if any(entry.stops_engine or entry.verdict == "stop" for entry in paper.stops) else SOMETHING
