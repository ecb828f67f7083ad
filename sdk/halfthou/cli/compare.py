"""``halfthou compare``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, STOP, client, leave, overlay_option, told_errors, units_option
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import given_sheet

if TYPE_CHECKING:
    from ..models.back import Comparison


@click.command("compare")
@click.argument("before", type=click.Path(path_type=Path, allow_dash=True))
@click.argument("after", required=False, type=click.Path(path_type=Path, allow_dash=True))
@overlay_option
@units_option
@paper_options
def command(
    before: Path,
    after: Path | None,
    overlay: Path | None,
    units: Any,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
) -> None:
    """Two JSON sheets of one engine, BEFORE and AFTER, place by place; or one that holds readings as found and as made.

    A change counts where it is more than the two tools can tell. Exit code 4 where the last reading of a place says stop, 1 where one
    does not pass, cannot be compared or got worse, otherwise 0.

    \b
    halfthou compare before.json after.json
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        if after is not None and str(before) == str(after) == "-":
            raise UsageError("only one of the two sheets can come from standard input")
        sources = [given_sheet(file, None, overlay) for file in (before, after) if file is not None]
        with client(url, overlay) as shop:
            first, *second = [source.sent(shop)[0] for source in sources]
            later = second[0] if second else None
            found = shop.compare(first, later, units=units)
            from .back_page import compared_page

            hand_over(chosen, out, replace, raw=found.raw, lines=lambda: compared_page(found),
                      paper=lambda form: shop.paper("comparison", first, format=form, after=later, units=units))  # fmt: skip
        leave(_code(found))


def _code(found: Comparison) -> int:
    from ..models.verdicts import PASSES

    last = [row.last.verdict for row in found.rows if row.last]
    if "stop" in last:
        return STOP
    doubtful = any(row.better == "worse" or row.change == "cannot_tell" for row in found.rows)
    return SOMETHING if doubtful or not last or not set(last) <= PASSES else ALL_WELL
