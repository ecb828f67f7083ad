"""``halfthou order``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, STOP, client, leave, told_errors
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import facts_option, given_sheet, part_of_file, sheet_options

if TYPE_CHECKING:
    from ..models.orders import WorkOrder

LETTERHEAD = ("date", "owner", "ring", "machinist")


@click.command("order")
@sheet_options
@click.option(
    "--wishes", "wishes_file", type=click.Path(path_type=Path), metavar="FILE.json",
    help="Your decisions by part: send, low, high, mate, mark, quantity, fillet, method, notes. A JSON sheet may carry them.",
)  # fmt: skip
@click.option("--letter", "letter", multiple=True, metavar="NAME=TEXT", help="date, owner, ring or machinist; may be repeated.")
@click.option("--part", metavar="ID", help="The machinist's copy of that part alone, such as crankshaft.")
@click.option("--report", is_flag=True, help="The blank report of finished sizes as CSV, for halfthou parts-back.")
@facts_option
@paper_options
def command(
    file: Path | None,
    engine_file: Path | None,
    facts_file: Path | None,
    wishes_file: Path | None,
    overlay: Path | None,
    letter: tuple[str, ...],
    part: str | None,
    report: bool,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """What each machinist must be told of each part. FILE is a sheet, or - for standard input.

    Exit code 4 where a cracked part is kept at home, 1 where you must decide something first or nothing goes out, otherwise 0.

    \b
    halfthou order sheet.json --letter owner="J. Doe" --letter date="12 March"
    halfthou order sheet.json --part crankshaft --out crankshaft.html
    halfthou order sheet.json --report --out report.csv
    """
    with told_errors(as_json):
        if report and (form not in (None, "csv") or as_json):
            raise UsageError("--report is a form as CSV; leave --format and --json out")
        chosen = "csv" if report else form_of(form, out, as_json)
        checked(out, replace)
        more = {"wishes": part_of_file(wishes_file, "wishes"), "facts": part_of_file(facts_file, "facts"), "letterhead": _letterhead(letter)}
        source = given_sheet(file, engine_file, overlay, **given)
        with client(url, overlay) as shop:
            sheet, asked = source.sent(shop)
            asked |= {name: value for name, value in {**more, "part": part}.items() if value}
            order = shop.work_order(sheet, **asked)
            from .order_page import page

            hand_over(chosen, out, replace, raw=order.raw, lines=lambda: page(order, part),
                      paper=lambda form: shop.paper("work-order", sheet, format=form, **asked))  # fmt: skip
        leave(_code(order))


def _letterhead(given: tuple[str, ...]) -> dict[str, str]:
    out: dict[str, str] = {}
    for text in given:
        name, equals, value = text.partition("=")
        if not equals or name.strip() not in LETTERHEAD or not value.strip():
            raise UsageError(f"--letter {text!r}: write it like owner='J. Doe'; there are {', '.join(LETTERHEAD)}")
        out[name.strip()] = value.strip()
    return out


def _code(order: WorkOrder) -> int:
    if order.withheld:
        return STOP
    return SOMETHING if not order.parts or any(part.undecided or part.decide_first for part in order.parts) else ALL_WELL
