"""``halfthou sheet``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ..errors import UsageError
from .common import client, code_of_sheet, leave, print_json, service_options, told_errors
from .sheet_source import facts_option, given_sheet, part_of_file, sheet_options


@click.command("sheet")
@sheet_options
@click.option("--template", type=click.Choice(["csv", "json"]), help="Print a sheet to start from, and judge nothing.")
@click.option("--stage", help="as-found, machine-shop, assembly, first-start or running.")
@click.option("--remedies", is_flag=True, help="What to do about each reading, in amounts.")
@facts_option
@service_options
def command(
    file: Path | None,
    template: str | None,
    engine_file: Path | None,
    facts_file: Path | None,
    overlay: Path | None,
    url: str | None,
    as_json: bool,
    remedies: bool,
    **given: Any,
) -> None:
    """What a whole sheet means. FILE is JSON or CSV, or - for standard input.

    A JSON sheet carries its engine. A CSV sheet has any of the columns that --template csv prints, in any order; name its
    engine by --engine, or by --class, --use, --feature and --dimension.

    \b
    halfthou sheet --template csv > my-sheet.csv
    halfthou sheet my-sheet.csv --class slow-open-crank --dimension crankpin="2-1/4 in"
    """
    with told_errors(as_json):
        if template is not None:
            from ..template import sheet_template

            click.echo(sheet_template(template), nl=False)
            return
        if file is None:
            raise UsageError("there is no sheet to judge: name a file, - for standard input, or --template csv for one to start from")
        facts = part_of_file(facts_file, "facts")
        source = given_sheet(file, engine_file, overlay, **given)
        with client(url, overlay) as shop:
            sheet, asked = source.sent(shop)
            answer = shop.judge_sheet(sheet, remedies=remedies, facts=facts, **asked)
        if as_json:
            print_json(answer.raw)
        else:
            from .sheet_page import page

            click.echo("\n".join(page(answer, source.title)))
        leave(code_of_sheet(answer))
