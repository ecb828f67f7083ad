"""``halfthou compare``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, STOP, client, engine_options, leave, overlay_option, told_errors, units_option
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import engine_file_option, given_sheet

if TYPE_CHECKING:
    from ..models.back import Comparison


@click.command("compare")
@click.argument("before", type=click.Path(path_type=Path, allow_dash=True))
@click.argument("after", required=False, type=click.Path(path_type=Path, allow_dash=True))
@engine_file_option
@engine_options
@overlay_option
@units_option
@paper_options
def command(
    before: Path,
    after: Path | None,
    engine_file: Path | None,
    overlay: Path | None,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    units: Any,
    **given: Any,
) -> None:
    """Two sheets of one engine, BEFORE and AFTER, place by place; or one that holds readings as found and as made.

    A change counts where it is more than the two tools can tell. Exit code 4 where the last reading of a place says stop, 1 where one
    does not pass, cannot be compared or got worse, otherwise 0.

    \b
    halfthou compare before.json after.json
    halfthou compare before.csv after.csv --engine engine.json
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        if after is not None and str(before) == str(after) == "-":
            raise UsageError("only one of the two sheets can come from standard input")
        sources = [given_sheet(file, engine_file, overlay, **given) for file in (before, after) if file is not None]
        with client(url, overlay) as shop:
            (first, asked), *second = [source.sent(shop) for source in sources]
            later = second[0][0] if second else None
            asked |= {name: value for name, value in second[0][1].items() if value} if second else {}
            found = shop.compare(first, later, units=units, **asked)
            from .back_page import compared_page

            hand_over(chosen, out, replace, raw=found.raw, lines=lambda: compared_page(found),
                      paper=lambda form: shop.paper("comparison", first, format=form, after=later, units=units, **asked))  # fmt: skip
        leave(_code(found))


def _code(found: Comparison) -> int:
    from ..models.verdicts import PASSES

    last = [row.last.verdict for row in found.rows if row.last]
    if "stop" in last:
        return STOP
    doubtful = any(row.better == "worse" or row.change == "cannot_tell" for row in found.rows)
    return SOMETHING if doubtful or not last or not set(last) <= PASSES else ALL_WELL
