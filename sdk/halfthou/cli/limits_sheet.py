"""``halfthou limits-sheet``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from .common import ALL_WELL, client, engine_options, leave, overlay_option, told_errors, units_option
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import engine_file_option, given_engine, owned_engine


@click.command("limits-sheet")
@click.option("--no-guess", is_flag=True, help="Leave limits out whose size is not stated, instead of guessing it.")
@engine_file_option
@engine_options
@overlay_option
@units_option
@paper_options
def command(
    engine_file: Path | None,
    overlay: Path | None,
    no_guess: bool,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """Every limit of one engine on paper: what, where, new, stop at, the tool, by assembly in the order it comes apart.

    \b
    halfthou limits-sheet --class slow-open-crank --dimension bore="5-1/4 in" --out limits.html
    halfthou limits-sheet --engine sheet.json
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        engine = given_engine(engine_file, **given)
        with client(url, overlay) as shop:
            asked = {**owned_engine(engine, shop, overlay), "guess": not no_guess}
            sheet = shop.limits_sheet(**asked)
            from .limits_page import limits_page

            hand_over(chosen, out, replace, raw=sheet.raw, lines=lambda: limits_page(sheet, not no_guess),
                      paper=lambda form: shop.paper("limits-sheet", format=form, **asked))  # fmt: skip
        leave(ALL_WELL)
