"""``halfthou as-found``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from .. import asking
from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, client, engine_options, leave, overlay_option, told_errors, units_option
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import engine_file_option, given_engine, owned_engine


@click.command("as-found")
@click.option("--read", "filled", type=click.Path(path_type=Path), metavar="FILE.csv", help="The form that was filled in: take it back.")
@engine_file_option
@engine_options
@overlay_option
@units_option
@paper_options
def command(
    filled: Path | None,
    engine_file: Path | None,
    overlay: Path | None,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """What to write down before anything is turned; or, with --read, what was written down.

    As CSV it is a form to fill. Taken back and written as JSON it is a whole sheet for halfthou sheet, with its engine and the shim
    leaves; as CSV it is the readings alone. What is not fitted: write so in its box. Exit code 1 where a form taken back has empty boxes.

    \b
    halfthou as-found --class slow-open-crank --out as-found.csv
    halfthou as-found --read as-found.csv
    halfthou as-found --read as-found.csv --engine engine.json --out my-sheet.json
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        if filled is not None:
            _take_back(filled, chosen, out, replace, url, overlay, engine_file, given)
        engine = given_engine(engine_file, **given)
        with client(url, overlay) as shop:
            asked = owned_engine(engine, shop, overlay)
            sheet = shop.as_found_sheet(**asked)
            from .limits_page import as_found_page

            hand_over(chosen, out, replace, raw=sheet.raw, lines=lambda: as_found_page(sheet),
                      paper=lambda form: shop.paper("as-found-sheet", format=form, **asked))  # fmt: skip
        leave(ALL_WELL)


def _take_back(
    filled: Path, form: str, out: Path | None, replace: bool, url: str | None, overlay: Path | None, engine_file: Path | None, given: dict[str, Any]
) -> None:
    if overlay is not None or given.pop("units", None):
        raise UsageError("--read takes the form as it is; leave --overlay and --units to halfthou sheet afterwards")
    if form in ("html", "markdown"):
        raise UsageError(f"a form that was filled in comes back as text, CSV or JSON, not as {form}")
    named = given_engine(engine_file, **given) if engine_file is not None or any(given.values()) else {}
    engine = asking.engine_body(**named)
    with client(url) as shop:
        found = shop.read_as_found(filled)
        from .filled_page import filled_page, next_steps

        steps = next_steps(filled, out, form, engine_file, bool(engine))
        hand_over(form, out, replace, raw=found.sheet(engine) if out is not None or engine else found.raw, lines=lambda: filled_page(found, steps),
                  paper=lambda form: shop.paper("filled-sheet", filled, format=form))  # fmt: skip
        if out is not None and form in ("csv", "json"):
            click.echo("\n".join(filled_page(found, steps)))
    leave(SOMETHING if found.empty else ALL_WELL)
